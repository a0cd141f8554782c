"""The tables of a shelf.

A *paint* is a place on the shelf with a key. What stands there is a *version*: label, binder, pigments, status and
the *optics* it points to. Saving adds a version and moves the paint's ``current`` number; no version is ever changed.
A *card* is what was read, with one *reading* an area, and a *picture* is the file it was read from.

Around the paints, *tubes* hold what is said on and about a tube, *lightfastness* who says how it lasts, *grounds* what
can be painted on, *recipes* layerings and *plans* paintings
in passes with a name. They too are only ever added to: the highest number counts.
A *proof* is a prediction that is painted, in a box of a *proof sheet* if it likes, and read back; its *uses* name the
optics that a reading went into. *Summaries* alone are overwritten, as they can be worked out anew.
"""

from __future__ import annotations

from typing import Final

from sqlalchemy import (
    JSON,
    Boolean,
    Column,
    DateTime,
    Float,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    String,
    Table,
    Text,
    UniqueConstraint,
    text,
)

HEAD: Final = "0008"
"""Newest migration; a test holds it against the migrations themselves, so that opening need not load them."""

APPLICATION_ID: Final = 0x53434D42
"""Marks an SQLite file as a shelf: the letters SCMB."""

metadata: Final = MetaData(
    naming_convention={
        "ix": "ix_%(table_name)s_%(column_0_name)s",
        "uq": "uq_%(table_name)s_%(column_0_name)s",
        "fk": "fk_%(table_name)s_%(column_0_name)s",
        "pk": "pk_%(table_name)s",
    }
)

paints: Final = Table(
    "paints",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("key", String(80), nullable=False),
    Column("current", Integer, nullable=False),
    Column("binned_at", DateTime),
)
"""``current`` is the number of the version that counts; a paint in the bin has a time there."""

Index(
    "ix_paints_key",
    paints.c.key,
    unique=True,
    sqlite_where=text("binned_at IS NULL"),
    postgresql_where=text("binned_at IS NULL"),
)

optics: Final = Table(
    "optics",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("provenance", String(20), nullable=False),
    Column("absorption", LargeBinary, nullable=False),
    Column("scattering", LargeBinary, nullable=False),
    Column("covariance", LargeBinary, nullable=False),
)
"""Spectra per coat as little-endian float64; the covariance packed, see ``array_bytes``."""

pictures: Final = Table(
    "pictures",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("media_type", String(80), nullable=False),
    Column("content", LargeBinary, nullable=False),
    Column("outlines", JSON, nullable=False),
)
"""The file as it came, and the outline of each area in its pixels."""

cards: Final = Table(
    "cards",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("quantity", String(20), nullable=False),
    Column("light", String(20), nullable=False),
    Column("observer", Integer, nullable=False),
    Column("noise", Float(53), nullable=False),
    Column("camera", JSON),
    Column("condition", String(4)),
    Column("backing", String(80)),
    Column("serial", String(8)),
)
"""``camera`` holds the sizes of what a photograph does to all areas; the others are empty where they are not known."""

readings: Final = Table(
    "readings",
    metadata,
    Column("card_id", ForeignKey(cards.c.id), primary_key=True),
    Column("place", Integer, primary_key=True),
    Column("area", String(80), nullable=False),
    Column("film", String(80), nullable=False),
    Column("paint_parts", Float(53), nullable=False),
    Column("white_parts", Float(53), nullable=False),
    Column("ground", String(80), nullable=False),
    Column("weight", Float(53), nullable=False),
    Column("values", LargeBinary, nullable=False),
    Column("blind", JSON),
)

versions: Final = Table(
    "versions",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("paint_id", ForeignKey(paints.c.id), nullable=False),
    Column("number", Integer, nullable=False),
    Column("saved_at", DateTime, nullable=False),
    Column("label", String(200), nullable=False),
    Column("binder", String(20), nullable=False),
    Column("status", JSON, nullable=False),
    Column("optics_id", ForeignKey(optics.c.id), nullable=False),
    Column("card_id", ForeignKey(cards.c.id)),
    Column("picture_id", ForeignKey(pictures.c.id)),
    UniqueConstraint("paint_id", "number"),
)

pigments: Final = Table(
    "pigments",
    metadata,
    Column("version_id", ForeignKey(versions.c.id), primary_key=True),
    Column("place", Integer, primary_key=True),
    Column("colour_index", String(20), nullable=False, index=True),
)
"""Colour Index names of a version, in the order the tube gives them."""

tubes: Final = Table(
    "tubes",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("paint_id", ForeignKey(paints.c.id), nullable=False),
    Column("number", Integer, nullable=False),
    Column("saved_at", DateTime, nullable=False),
    Column("price", String(20)),
    Column("currency", String(3), nullable=False),
    Column("size_ml", Float(53)),
    Column("stock", Integer),
    Column("shop_code", String(80), nullable=False),
    Column("discontinued", Boolean, nullable=False),
    Column("notes", Text, nullable=False),
    Column("coat", String(80)),
    UniqueConstraint("paint_id", "number"),
)
"""A price is a decimal number in digits, as money is not rounded to binary fractions; ``coat`` is in a
person's words."""

lightfastness: Final = Table(
    "lightfastness",
    metadata,
    Column("tube_id", ForeignKey(tubes.c.id), primary_key=True),
    Column("place", Integer, primary_key=True),
    Column("scale", String(20), nullable=False),
    Column("rating", String(4), nullable=False),
    Column("said_by", String(200), nullable=False),
)

grounds: Final = Table(
    "grounds",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("key", String(80), nullable=False),
    Column("number", Integer, nullable=False),
    Column("saved_at", DateTime, nullable=False),
    Column("binned", Boolean, nullable=False),
    Column("label", String(200), nullable=False),
    Column("notes", Text, nullable=False),
    Column("reflectance", LargeBinary),
    Column("lab", JSON),
    UniqueConstraint("key", "number"),
)

recipes: Final = Table(
    "recipes",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("key", String(80), nullable=False),
    Column("number", Integer, nullable=False),
    Column("saved_at", DateTime, nullable=False),
    Column("binned", Boolean, nullable=False),
    Column("label", String(200), nullable=False),
    Column("notes", Text, nullable=False),
    Column("layering", JSON, nullable=False),
    UniqueConstraint("key", "number"),
)

plans: Final = Table(
    "plans",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("key", String(80), nullable=False),
    Column("number", Integer, nullable=False),
    Column("saved_at", DateTime, nullable=False),
    Column("binned", Boolean, nullable=False),
    Column("label", String(200), nullable=False),
    Column("notes", Text, nullable=False),
    Column("content", JSON, nullable=False),
    UniqueConstraint("key", "number"),
)
"""A plan's ``content`` holds what was asked, the small copy of the picture, its areas, and every area's layers."""

summaries: Final = Table(
    "summaries",
    metadata,
    Column("version_id", ForeignKey(versions.c.id), primary_key=True),
    Column("made_by", String(40), nullable=False),
    Column("content", JSON, nullable=False),
)
"""How a version behaves, as some job worked it out; ``made_by`` tells whether the job would still say the same."""

proofs: Final = Table(
    "proofs",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("key", String(80), nullable=False),
    Column("kept_at", DateTime, nullable=False),
    Column("binned_at", DateTime),
    Column("label", String(200), nullable=False),
    Column("notes", Text, nullable=False),
    Column("kind", String(200), nullable=False),
    Column("ground", String(200), nullable=False),
    Column("layering", JSON, nullable=False),
    Column("paints", JSON, nullable=False),
    Column("light", String(200), nullable=False),
    Column("observer", Integer, nullable=False),
    Column("promise", JSON, nullable=False),
    UniqueConstraint("key"),
)

proof_sheets: Final = Table(
    "proof_sheets",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("serial", String(8), nullable=False),
    Column("printed_at", DateTime, nullable=False),
    Column("page", String(20), nullable=False),
    Column("boxes", JSON, nullable=False),
    UniqueConstraint("serial"),
)

proof_readings: Final = Table(
    "proof_readings",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("proof_id", ForeignKey(proofs.c.id), nullable=False),
    Column("number", Integer, nullable=False),
    Column("read_at", DateTime, nullable=False),
    Column("binned_at", DateTime),
    Column("source", String(20), nullable=False),
    Column("lab", JSON, nullable=False),
    Column("error", JSON, nullable=False),
    Column("expected", JSON, nullable=False),
    Column("quantity", String(20), nullable=False),
    Column("values", LargeBinary, nullable=False),
    Column("ground", LargeBinary),
    Column("light", String(20), nullable=False),
    Column("observer", Integer, nullable=False),
    Column("noise", Float(53), nullable=False),
    Column("camera", JSON),
    Column("blind", JSON, nullable=False),
    Column("sheet", String(8), nullable=False),
    Column("area", String(80), nullable=False),
    Column("said", JSON, nullable=False),
    Column("picture_id", ForeignKey(pictures.c.id)),
    UniqueConstraint("proof_id", "number"),
)
"""The newest reading that is not binned counts; several may share a picture, as several proofs share a sheet."""

proof_uses: Final = Table(
    "proof_uses",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("reading_id", ForeignKey(proof_readings.c.id), nullable=False),
    Column("paint", String(80), nullable=False),
    Column("optics", String(64), nullable=False),
    UniqueConstraint("reading_id", "paint", "optics"),
)
"""Optics are named by a digest of their numbers, so that a use holds on any shelf they travel to."""

trainees: Final = Table(
    "trainees",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("key", String(80), nullable=False),
    Column("name", String(40), nullable=False),
    Column("added_at", DateTime, nullable=False),
    UniqueConstraint("key"),
)
"""A name or initials, and nothing else of the person; erased for good when that is asked."""

answers: Final = Table(
    "answers",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("trainee_id", ForeignKey(trainees.c.id), nullable=False),
    Column("answered_at", DateTime, nullable=False),
    Column("kind", String(40), nullable=False),
    Column("paints", JSON, nullable=False),
    Column("is_right", Boolean, nullable=False),
    Column("difficulty", Float(53), nullable=False),
    Column("guessed", Float(53), nullable=False),
    Column("round", String(16), nullable=False),
    Column("place", Integer, nullable=False),
    Column("slip", String(200), nullable=False),
    Column("off_de00", Float(53)),
    UniqueConstraint("trainee_id", "round", "place"),
)
"""Tubes are named by their keys, which may be gone from the shelf by now."""
