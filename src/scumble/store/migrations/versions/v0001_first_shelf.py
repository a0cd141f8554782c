"""The first shelf: paints in versions, optics, cards with their readings, pictures, pigments."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None

_BY_ITSELF = sa.text("binned_at IS NULL")


def upgrade() -> None:
    op.create_table(
        "paints",
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("key", sa.String(80), nullable=False),
        sa.Column("current", sa.Integer, nullable=False),
        sa.Column("binned_at", sa.DateTime),
        sa.PrimaryKeyConstraint("id", name="pk_paints"),
    )
    op.create_index(
        "ix_paints_key", "paints", ["key"], unique=True, sqlite_where=_BY_ITSELF, postgresql_where=_BY_ITSELF
    )
    op.create_table(
        "optics",
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("provenance", sa.String(20), nullable=False),
        sa.Column("absorption", sa.LargeBinary, nullable=False),
        sa.Column("scattering", sa.LargeBinary, nullable=False),
        sa.Column("covariance", sa.LargeBinary, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_optics"),
    )
    op.create_table(
        "pictures",
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("media_type", sa.String(80), nullable=False),
        sa.Column("content", sa.LargeBinary, nullable=False),
        sa.Column("outlines", sa.JSON, nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_pictures"),
    )
    op.create_table(
        "cards",
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("quantity", sa.String(20), nullable=False),
        sa.Column("light", sa.String(20), nullable=False),
        sa.Column("observer", sa.Integer, nullable=False),
        sa.Column("noise", sa.Float(53), nullable=False),
        sa.PrimaryKeyConstraint("id", name="pk_cards"),
    )
    _create_readings()
    _create_versions()
    if op.get_bind().dialect.name == "sqlite":
        # The letters SCMB: marks the file as a shelf.
        op.execute("PRAGMA application_id = 1396919618")


def _create_readings() -> None:
    op.create_table(
        "readings",
        sa.Column("card_id", sa.Integer, nullable=False),
        sa.Column("place", sa.Integer, nullable=False),
        sa.Column("area", sa.String(80), nullable=False),
        sa.Column("film", sa.String(80), nullable=False),
        sa.Column("paint_parts", sa.Float(53), nullable=False),
        sa.Column("white_parts", sa.Float(53), nullable=False),
        sa.Column("ground", sa.String(80), nullable=False),
        sa.Column("weight", sa.Float(53), nullable=False),
        sa.Column("values", sa.LargeBinary, nullable=False),
        sa.ForeignKeyConstraint(["card_id"], ["cards.id"], name="fk_readings_card_id"),
        sa.PrimaryKeyConstraint("card_id", "place", name="pk_readings"),
    )


def _create_versions() -> None:
    op.create_table(
        "versions",
        sa.Column("id", sa.Integer, nullable=False),
        sa.Column("paint_id", sa.Integer, nullable=False),
        sa.Column("number", sa.Integer, nullable=False),
        sa.Column("saved_at", sa.DateTime, nullable=False),
        sa.Column("label", sa.String(200), nullable=False),
        sa.Column("binder", sa.String(20), nullable=False),
        sa.Column("status", sa.JSON, nullable=False),
        sa.Column("optics_id", sa.Integer, nullable=False),
        sa.Column("card_id", sa.Integer),
        sa.Column("picture_id", sa.Integer),
        sa.ForeignKeyConstraint(["paint_id"], ["paints.id"], name="fk_versions_paint_id"),
        sa.ForeignKeyConstraint(["optics_id"], ["optics.id"], name="fk_versions_optics_id"),
        sa.ForeignKeyConstraint(["card_id"], ["cards.id"], name="fk_versions_card_id"),
        sa.ForeignKeyConstraint(["picture_id"], ["pictures.id"], name="fk_versions_picture_id"),
        sa.PrimaryKeyConstraint("id", name="pk_versions"),
        sa.UniqueConstraint("paint_id", "number", name="uq_versions_paint_id"),
    )
    op.create_table(
        "pigments",
        sa.Column("version_id", sa.Integer, nullable=False),
        sa.Column("place", sa.Integer, nullable=False),
        sa.Column("colour_index", sa.String(20), nullable=False),
        sa.ForeignKeyConstraint(["version_id"], ["versions.id"], name="fk_pigments_version_id"),
        sa.PrimaryKeyConstraint("version_id", "place", name="pk_pigments"),
    )
    op.create_index("ix_pigments_colour_index", "pigments", ["colour_index"])
