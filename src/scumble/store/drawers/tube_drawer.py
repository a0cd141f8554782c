"""Tubes: facts about a paint, added to and never overwritten."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from datetime import UTC, datetime
from decimal import Decimal
from typing import Any

from sqlalchemy import Connection, Row, and_, func, insert, select

from scumble.store.database.door import Door, now
from scumble.store.database.schema import lightfastness, paints, tubes
from scumble.store.drawers.paint_search import find_paint
from scumble.store.tube_facts import Lightfastness, LightScale, TubeFacts


class TubeDrawer:
    """What is known of the tubes on a shelf."""

    def __init__(self, door: Door) -> None:
        self._door = door

    def save(self, key: str, facts: TubeFacts) -> int:
        """Save what is known of a paint's tube; what was known before stays. The number of the entry.

        Raises
        ------
        InputError
            If there is no such paint.
        StoreError
            If the shelf cannot be written; nothing was saved.
        """
        with self._door.writing() as connection:
            return add_tube(connection, find_paint(connection, key).id, facts)

    def save_all(self, facts: Mapping[str, TubeFacts]) -> None:
        """Save facts of several paints by key, all or none.

        Raises
        ------
        InputError
            If there is no such paint.
        StoreError
            If the shelf cannot be written; nothing was saved.
        """
        with self._door.writing() as connection:
            for key, each in facts.items():
                add_tube(connection, find_paint(connection, key).id, each)

    def load(self, key: str) -> TubeFacts:
        """What is known of a paint's tube; nothing, if nothing was ever said.

        Raises
        ------
        InputError
            If there is no such paint.
        """
        with self._door.reading() as connection:
            history = select_tubes(connection, find_paint(connection, key).id)
        return history[-1][1] if history else TubeFacts()

    def load_all(self, keys: Collection[str] | None = None, *, since: int = 0) -> dict[str, TubeFacts]:
        """What is known of every paint on the shelf, by key; those of which nothing is known are left out.

        Parameters
        ----------
        keys : collection of str, optional
            Of these paints only.
        since : int
            Only of tubes of which something was said after this :meth:`stamp`.
        """
        newest = select(tubes.c.paint_id, func.max(tubes.c.number).label("top")).group_by(tubes.c.paint_id)
        top = newest.subquery()
        query = (
            select(tubes, paints.c.key)
            .join(top, and_(tubes.c.paint_id == top.c.paint_id, tubes.c.number == top.c.top))
            .join(paints, paints.c.id == tubes.c.paint_id)
            .where(paints.c.binned_at.is_(None), tubes.c.id > since)
            .order_by(paints.c.key)
        )
        if keys is not None:
            query = query.where(paints.c.key.in_(keys))
        with self._door.reading() as connection:
            rows = connection.execute(query).all()
            rated = _select_ratings(connection, [row.id for row in rows])
        return {row.key: _row_to_facts(row, rated.get(row.id, ())) for row in rows}

    def stamp(self) -> int:
        """Another number whenever anything was said of any tube since; costs one short question."""
        with self._door.reading() as connection:
            newest: int = connection.execute(select(func.coalesce(func.max(tubes.c.id), 0))).scalar_one()
        return newest

    def load_history(self, key: str) -> tuple[tuple[datetime, TubeFacts], ...]:
        """All that was ever said of a paint's tube, oldest first, with when it was said in UTC.

        Raises
        ------
        InputError
            If there is no such paint.
        """
        with self._door.reading() as connection:
            return select_tubes(connection, find_paint(connection, key).id)


def add_tube(
    connection: Connection, paint_id: int, facts: TubeFacts, *, saved_at: datetime | None = None
) -> int:
    """Add facts to a paint's unless they are what is known already; the number of the entry."""
    known = select_tubes(connection, paint_id)
    if saved_at is None and known and known[-1][1] == facts:
        return len(known)
    row = {
        "paint_id": paint_id,
        "number": len(known) + 1,
        "saved_at": saved_at or now(),
        "price": None if facts.price is None else f"{facts.price:f}",
        "currency": facts.currency,
        "size_ml": facts.size_ml,
        "stock": facts.stock,
        "shop_code": facts.shop_code,
        "discontinued": facts.discontinued,
        "notes": facts.notes,
        "coat": facts.coat or None,
    }
    tube_id: int = connection.execute(insert(tubes).values(**row)).inserted_primary_key[0]  # type: ignore[index]
    ratings = [
        {"tube_id": tube_id, "place": place, "scale": each.scale.value, "rating": each.rating}
        | {"said_by": each.said_by}
        for place, each in enumerate(facts.lightfastness)
    ]
    if ratings:
        connection.execute(insert(lightfastness), ratings)
    return len(known) + 1


def select_tubes(connection: Connection, paint_id: int) -> tuple[tuple[datetime, TubeFacts], ...]:
    """All facts of one paint, oldest first, with when they were saved in UTC."""
    rows = connection.execute(
        select(tubes).where(tubes.c.paint_id == paint_id).order_by(tubes.c.number)
    ).all()
    rated = _select_ratings(connection, [row.id for row in rows])
    return tuple(
        (row.saved_at.replace(tzinfo=UTC), _row_to_facts(row, rated.get(row.id, ()))) for row in rows
    )


def _select_ratings(connection: Connection, tube_ids: list[int]) -> dict[int, tuple[Lightfastness, ...]]:
    query = select(lightfastness).order_by(lightfastness.c.tube_id, lightfastness.c.place)
    # Databases limit how many numbers one may give.
    if len(tube_ids) <= 100:
        query = query.where(lightfastness.c.tube_id.in_(tube_ids))
    found: dict[int, tuple[Lightfastness, ...]] = {}
    # A long shelf says the same few things over and over; each is checked once.
    known: dict[tuple[str, str, str], Lightfastness] = {}
    for tube_id, _, *said in connection.execute(query).all():
        scale, rating, said_by = said
        each = known.get((scale, rating, said_by))
        if each is None:
            each = known[scale, rating, said_by] = Lightfastness(LightScale(scale), rating, said_by)
        found[tube_id] = (*found.get(tube_id, ()), each)
    return found


def _row_to_facts(row: Row[Any], ratings: tuple[Lightfastness, ...]) -> TubeFacts:
    price = None if row.price is None else Decimal(row.price)
    return TubeFacts(
        price,
        row.currency,
        row.size_ml,
        row.stock,
        row.shop_code,
        row.discontinued,
        ratings,
        row.notes,
        row.coat or "",
    )
