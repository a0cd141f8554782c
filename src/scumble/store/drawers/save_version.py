"""Add a version to a paint: nothing that is there is changed but the number that counts."""

from __future__ import annotations

from typing import Any

import numpy as np
from sqlalchemy import Connection, Row, func, insert, select, update

from scumble.errors import InputError
from scumble.paint import CardReadings, Paint
from scumble.store.database.door import now
from scumble.store.database.schema import paints, versions
from scumble.store.drawers.card_table import insert_card, insert_picture
from scumble.store.drawers.paint_table import (
    insert_optics,
    insert_version,
    row_to_paint,
    select_pigments,
    select_whole,
)
from scumble.store.named_things import check_names
from scumble.store.picture import Picture


def add_version(
    connection: Connection,
    paint: Paint,
    readings: CardReadings | None,
    picture: Picture | None,
    *,
    same_card: bool = False,
) -> int:
    """Add a version unless it is there already; its number.

    Parameters
    ----------
    connection : Connection
        Inside a transaction.
    paint : Paint
        Under its key.
    readings, picture : CardReadings, Picture, optional
        What its optics come from.
    same_card : bool
        Whether new optics come from the card and picture of the version before.

    Raises
    ------
    InputError
        If a name or a reading cannot be kept.
    """
    check_words(paint)
    query = select(paints.c.id, paints.c.current).where(
        paints.c.key == paint.key, paints.c.binned_at.is_(None)
    )
    found = connection.execute(query).first()
    if found is None:
        added = connection.execute(insert(paints).values(key=paint.key, current=1))
        paint_id: int = added.inserted_primary_key[0]  # type: ignore[index]
        sources = _insert_sources(connection, paint, readings, picture, None)
        insert_version(connection, paint, paint_id=paint_id, number=1, saved_at=now(), **sources)
        return 1
    before = _current_row(connection, found.id, found.current)
    old = row_to_paint(before, select_pigments(connection, [before.id])[before.id])
    if readings is None and picture is None and same_paint(old, paint):
        current: int = found.current
        return current
    newest = select(func.max(versions.c.number)).where(versions.c.paint_id == found.id)
    number: int = connection.execute(newest).scalar_one() + 1
    kept = before if _same_optics(old, paint) else None
    sources = _insert_sources(connection, paint, readings, picture, kept)
    if same_card:
        sources |= {name: before._mapping[name] for name in ("card_id", "picture_id")}
    insert_version(connection, paint, paint_id=found.id, number=number, saved_at=now(), **sources)
    connection.execute(update(paints).where(paints.c.id == found.id).values(current=number))
    return number


def select_current(connection: Connection, key: str) -> tuple[int, Paint] | None:
    """Number and current paint of a key on the shelf, None where nothing stands there."""
    query = select(paints.c.id, paints.c.current).where(paints.c.key == key, paints.c.binned_at.is_(None))
    found = connection.execute(query).first()
    if found is None:
        return None
    row = _current_row(connection, found.id, found.current)
    return found.id, row_to_paint(row, select_pigments(connection, [row.id])[row.id])


def _current_row(connection: Connection, paint_id: int, number: int) -> Row[Any]:
    query = select_whole().add_columns(versions.c.optics_id, versions.c.card_id, versions.c.picture_id)
    return connection.execute(query.where(versions.c.paint_id == paint_id, versions.c.number == number)).one()


def _insert_sources(
    connection: Connection,
    paint: Paint,
    readings: CardReadings | None,
    picture: Picture | None,
    kept: Row[Any] | None,
) -> dict[str, int | None]:
    """Optics, card and picture of a new version; ``kept`` is the version whose own it shares where none is new."""
    sources: dict[str, int | None] = {"optics_id": None, "card_id": None, "picture_id": None}
    if kept is not None:
        # A new card comes with its own picture or none; the old card's would show other areas.
        shared = sources if readings is None else ("optics_id",)
        sources |= {name: kept._mapping[name] for name in shared}
    else:
        sources["optics_id"] = insert_optics(connection, paint)
    if readings is not None:
        sources["card_id"] = insert_card(connection, readings)
    if picture is not None:
        sources["picture_id"] = insert_picture(connection, picture)
    return sources


def same_paint(one: Paint, other: Paint) -> bool:
    """Whether two paints of one key say the same, to the last digit."""
    words = ("label", "pigments", "binder", "status")
    return _same_optics(one, other) and all(getattr(one, word) == getattr(other, word) for word in words)


def _same_optics(one: Paint, other: Paint) -> bool:
    names = ("absorption", "scattering", "covariance")
    alike = all(np.array_equal(getattr(one.optics, name), getattr(other.optics, name)) for name in names)
    return alike and one.provenance is other.provenance


def check_words(paint: Paint) -> None:
    """Refuse names that the shelf does not keep.

    Raises
    ------
    InputError
        Naming which.
    """
    check_names(paint.key, paint.label)
    for name in paint.pigments:
        if not name.strip() or not name.isprintable() or len(name) > 20:
            raise InputError("pigments", name, "Colour Index names, such as PB29")
