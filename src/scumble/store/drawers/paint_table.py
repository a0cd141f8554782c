"""Paints as rows, and back."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC
from typing import Any

from sqlalchemy import Connection, Row, Select, and_, insert, select

from scumble.paint import Binder, Optics, Paint, Provenance
from scumble.store.database.array_bytes import (
    bytes_to_matrix,
    bytes_to_spectrum,
    matrix_to_bytes,
    spectrum_to_bytes,
)
from scumble.store.database.schema import optics, paints, pigments, versions
from scumble.store.drawers.entry import Entry
from scumble.tables import BANDS


def insert_optics(connection: Connection, paint: Paint) -> int:
    """Add the optics of a paint; their number."""
    added = connection.execute(
        insert(optics).values(
            provenance=paint.provenance.name.lower(),
            absorption=spectrum_to_bytes(paint.optics.absorption),
            scattering=spectrum_to_bytes(paint.optics.scattering),
            covariance=matrix_to_bytes(paint.optics.covariance),
        )
    )
    optics_id: int = added.inserted_primary_key[0]  # type: ignore[index]
    return optics_id


def insert_version(connection: Connection, paint: Paint, **row: Any) -> None:
    """Add a version that points to optics already there.

    Parameters
    ----------
    connection : Connection
        In a transaction.
    paint : Paint
        Label, binder, status and pigments are taken from it.
    **row
        The other columns of ``versions``.
    """
    plain = {"label": paint.label, "binder": paint.binder.value, "status": list(paint.status)}
    added = connection.execute(insert(versions).values(**plain, **row))
    version_id: int = added.inserted_primary_key[0]  # type: ignore[index]
    names = [
        {"version_id": version_id, "place": place, "colour_index": name}
        for place, name in enumerate(paint.pigments)
    ]
    if names:
        connection.execute(insert(pigments), names)


FEW = 100
"""As many rows are asked for one by one; more are read whole, as databases limit how many numbers one may give."""

CURRENT = and_(versions.c.paint_id == paints.c.id, versions.c.number == paints.c.current)
"""Joins a paint to the version that counts."""


def select_labels() -> Select[Any]:
    """Everything of a version that a list shows."""
    return (
        select(
            paints.c.key,
            paints.c.binned_at,
            versions.c.id,
            versions.c.number,
            versions.c.saved_at,
            versions.c.label,
            versions.c.binder,
            optics.c.provenance,
        )
        .join_from(versions, paints, versions.c.paint_id == paints.c.id)
        .join(optics)
    )


def select_whole() -> Select[Any]:
    """Everything of a version."""
    return select_labels().add_columns(
        versions.c.status, optics.c.absorption, optics.c.scattering, optics.c.covariance
    )


def select_pigments(connection: Connection, version_ids: Iterable[int]) -> dict[int, tuple[str, ...]]:
    """Colour Index names of several versions, in their order."""
    wanted = set(version_ids)
    query = select(pigments).order_by(pigments.c.version_id, pigments.c.place)
    if len(wanted) <= FEW:
        query = query.where(pigments.c.version_id.in_(wanted))
    names: dict[int, list[str]] = {}
    for version_id, _, name in connection.execute(query).all():
        names.setdefault(version_id, []).append(name)
    return {version_id: tuple(names.get(version_id, ())) for version_id in wanted}


def row_to_paint(row: Row[Any], names: tuple[str, ...]) -> Paint:
    """A paint from a row of `select_whole` and its pigments."""
    own = Optics(
        bytes_to_spectrum(row.absorption, BANDS),
        bytes_to_spectrum(row.scattering, BANDS),
        bytes_to_matrix(row.covariance, 2 * BANDS),
    )
    provenance = Provenance[row.provenance.upper()]
    return Paint(row.key, row.label, own, provenance, names, Binder(row.binder), tuple(row.status))


def row_to_entry(row: Row[Any], names: tuple[str, ...]) -> Entry:
    """A list's entry from a row of `select_labels` and its pigments."""
    key, _, _, number, saved_at, label, binder, provenance = tuple(row)
    return Entry(
        key=key,
        label=label,
        provenance=Provenance[provenance.upper()],
        pigments=names,
        binder=Binder(binder),
        version=number,
        saved_at=saved_at.replace(tzinfo=UTC),
    )
