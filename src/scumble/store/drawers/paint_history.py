"""All that ever stood under one key: every version with its card and picture, and all that was said of the tube."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Any

from sqlalchemy import Connection, Row, insert, select

from scumble.paint import CardReadings, Paint
from scumble.store.database.schema import paints, versions
from scumble.store.drawers.card_table import insert_card, insert_picture, select_card, select_picture
from scumble.store.drawers.paint_table import (
    insert_optics,
    insert_version,
    row_to_paint,
    select_pigments,
    select_whole,
)
from scumble.store.drawers.tube_drawer import add_tube, select_tubes
from scumble.store.picture import Picture
from scumble.store.tube_facts import TubeFacts


@dataclass(frozen=True, slots=True)
class VersionRecord:
    """One version of a paint, and which of its fellows it shares its sources with.

    Parameters
    ----------
    paint : Paint
        As it stood.
    saved_at : datetime
        When, UTC.
    optics, card, picture : int or None
        Versions with the same number here share them; None is none.
    """

    paint: Paint
    saved_at: datetime
    optics: int
    card: int | None = None
    picture: int | None = None


@dataclass(frozen=True, slots=True)
class PaintHistory:
    """A paint with its past.

    Parameters
    ----------
    key : str
        Its place on the shelf.
    current : int
        Number of the version that counts, from 1.
    binned_at : datetime, optional
        When it went to the bin, UTC.
    versions : tuple of VersionRecord
        Oldest first.
    cards, pictures : mapping
        By the numbers the versions name.
    tubes : tuple of (datetime, TubeFacts)
        Oldest first.
    """

    key: str
    current: int
    binned_at: datetime | None
    versions: tuple[VersionRecord, ...]
    cards: dict[int, CardReadings] = field(default_factory=dict)
    pictures: dict[int, Picture] = field(default_factory=dict)
    tubes: tuple[tuple[datetime, TubeFacts], ...] = ()

    @property
    def now(self) -> VersionRecord:
        """The version that counts."""
        return self.versions[self.current - 1]


def select_histories(connection: Connection) -> Iterator[PaintHistory]:
    """Every paint of the shelf with its past, by key, those in the bin too."""
    for row in connection.execute(select(paints).order_by(paints.c.key, paints.c.id)).all():
        yield _select_history(connection, row)


def _select_history(connection: Connection, place: Row[Any]) -> PaintHistory:
    query = select_whole().add_columns(versions.c.optics_id, versions.c.card_id, versions.c.picture_id)
    where = query.where(versions.c.paint_id == place.id).order_by(versions.c.number)
    rows = connection.execute(where).all()
    names = select_pigments(connection, [row.id for row in rows])
    records = tuple(
        VersionRecord(
            row_to_paint(row, names[row.id]),
            row.saved_at.replace(tzinfo=UTC),
            row.optics_id,
            row.card_id,
            row.picture_id,
        )
        for row in rows
    )
    cards = sorted({row.card_id for row in rows if row.card_id is not None})
    pictures = sorted({row.picture_id for row in rows if row.picture_id is not None})
    return PaintHistory(
        key=place.key,
        current=place.current,
        binned_at=None if place.binned_at is None else place.binned_at.replace(tzinfo=UTC),
        versions=records,
        cards={number: select_card(connection, number) for number in cards},
        pictures={number: select_picture(connection, number) for number in pictures},
        tubes=select_tubes(connection, place.id),
    )


def insert_history(connection: Connection, history: PaintHistory) -> None:
    """Add a paint with its past, where nothing stands under its key."""
    row = {"key": history.key, "current": history.current, "binned_at": plain_moment(history.binned_at)}
    paint_id: int = connection.execute(insert(paints).values(**row)).inserted_primary_key[0]  # type: ignore[index]
    cards = {number: insert_card(connection, card) for number, card in history.cards.items()}
    pictures = {number: insert_picture(connection, each) for number, each in history.pictures.items()}
    optics: dict[int, int] = {}
    for number, record in enumerate(history.versions, start=1):
        if record.optics not in optics:
            optics[record.optics] = insert_optics(connection, record.paint)
        insert_version(
            connection,
            record.paint,
            paint_id=paint_id,
            number=number,
            saved_at=plain_moment(record.saved_at),
            optics_id=optics[record.optics],
            card_id=None if record.card is None else cards[record.card],
            picture_id=None if record.picture is None else pictures[record.picture],
        )
    for saved_at, facts in history.tubes:
        add_tube(connection, paint_id, facts, saved_at=plain_moment(saved_at))


def plain_moment(moment: datetime | None) -> datetime | None:
    """A moment as the tables keep it: UTC, without saying so."""
    return None if moment is None else moment.astimezone(UTC).replace(tzinfo=None)
