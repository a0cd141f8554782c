"""Drawers of grounds, recipes and plans: saved in versions, binned and fetched back, never overwritten."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from itertools import groupby
from typing import Any, Generic, TypeVar

from sqlalchemy import Connection, Row, Select, Table, and_, func, insert, select

from scumble.errors import InputError
from scumble.store.database.array_bytes import bytes_to_spectrum, spectrum_to_bytes
from scumble.store.database.door import Door, now
from scumble.store.database.schema import grounds, plans, recipes
from scumble.store.named_things import KeptGround, KeptPlan, Recipe
from scumble.tables import BANDS

Thing = TypeVar("Thing", KeptGround, Recipe, KeptPlan)

_TABLES: dict[type[Any], tuple[Table, str]] = {
    KeptGround: (grounds, "ground"),
    Recipe: (recipes, "recipe"),
    KeptPlan: (plans, "plan"),
}


@dataclass(frozen=True, slots=True)
class Kept(Generic[Thing]):
    """A version of a thing.

    Parameters
    ----------
    saved_at : datetime or None
        When it was saved; None for now.
    binned : bool
        Whether it went into the bin with this version.
    thing : KeptGround, Recipe or KeptPlan
        What it was.
    """

    saved_at: datetime | None
    binned: bool
    thing: Thing

    @property
    def moment(self) -> datetime:
        """When it was saved, for a version that was."""
        if self.saved_at is None:
            raise ValueError("this version was not saved yet")
        return self.saved_at


class NamedDrawer(Generic[Thing]):
    """Things of one kind by name.

    Parameters
    ----------
    door : Door
        Of the shelf.
    kind : type
        `KeptGround`, `Recipe` or `KeptPlan`.
    """

    def __init__(self, door: Door, kind: type[Thing]) -> None:
        self._door = door
        self.kind: type[Any] = kind
        self._table, self._word = _TABLES[kind]

    def save(self, thing: Thing) -> int:
        """Save a thing as a new version of its key unless it is there already; the version's number.

        Raises
        ------
        StoreError
            If the shelf cannot be written; nothing was saved.
        """
        with self._door.writing() as connection:
            return self.add(connection, thing)

    def save_all(self, things: Iterable[Thing]) -> None:
        """Save several things, all or none.

        Raises
        ------
        StoreError
            If the shelf cannot be written; nothing was saved.
        """
        with self._door.writing() as connection:
            for thing in things:
                self.add(connection, thing)

    def load(self, key: str, *, version: int | None = None) -> Thing:
        """One thing by key; its newest version when none is named.

        Raises
        ------
        InputError
            If there is none.
        """
        with self._door.reading() as connection:
            rows = self._history(connection, key)
        if not rows or rows[-1].binned:
            known = ", ".join(thing.key for thing in self.load_all())
            hint = f"There are: {known}." if known else "There are none yet."
            raise InputError(self._word, key, f"a {self._word} on the shelf", hint)
        if version is not None and not 1 <= version <= len(rows):
            raise InputError("version", version, f"1 to {len(rows)}")
        thing: Thing = self._thing(rows[-1 if version is None else version - 1])
        return thing

    def load_all(self) -> tuple[Thing, ...]:
        """Every thing that is not in the bin, by key."""
        return self._load_newest(binned=False)

    def load_bin(self) -> tuple[Thing, ...]:
        """Every thing in the bin, by key."""
        return self._load_newest(binned=True)

    def load_histories(self, *, binned: bool) -> tuple[tuple[Kept[Thing], ...], ...]:
        """Every thing that is on the shelf, or in the bin, with all its versions, oldest first; by key."""
        with self._door.reading() as connection:
            rows = connection.execute(
                select(self._table).order_by(self._table.c.key, self._table.c.number)
            ).all()
        histories = [tuple(own) for _, own in groupby(rows, key=lambda row: row.key)]
        return tuple(
            tuple(Kept(row.saved_at.replace(tzinfo=UTC), row.binned, self._thing(row)) for row in own)
            for own in histories
            if own[-1].binned == binned
        )

    def add_history(self, connection: Connection, history: Sequence[Kept[Thing]]) -> None:
        """Add a thing that is not there yet, with all its versions, within a visit."""
        for number, each in enumerate(history, start=1):
            self._insert(connection, each.thing, number, binned=each.binned, saved_at=each.saved_at)

    def delete(self, key: str) -> None:
        """Put a thing into the bin.

        Raises
        ------
        InputError
            If there is none.
        """
        self._move(key, binned=True)

    def restore(self, key: str) -> None:
        """Fetch a thing back from the bin.

        Raises
        ------
        InputError
            If it is not there.
        """
        self._move(key, binned=False)

    def add(self, connection: Connection, thing: Thing, *, binned: bool = False) -> int:
        """Add a version within a visit; its number."""
        rows = self._history(connection, thing.key)
        if rows and rows[-1].binned == binned and self._thing(rows[-1]) == thing:
            return len(rows)
        self._insert(connection, thing, len(rows) + 1, binned=binned)
        return len(rows) + 1

    def count(self, connection: Connection, key: str) -> int:
        """How many versions of a thing there are."""
        return len(self._history(connection, key))

    def _move(self, key: str, *, binned: bool) -> None:
        with self._door.writing() as connection:
            rows = self._history(connection, key)
            if not rows or rows[-1].binned == binned:
                where = "on the shelf" if binned else "in the bin"
                raise InputError(self._word, key, f"a {self._word} {where}")
            self._insert(connection, self._thing(rows[-1]), len(rows) + 1, binned=binned)

    def _insert(
        self,
        connection: Connection,
        thing: Thing,
        number: int,
        *,
        binned: bool,
        saved_at: datetime | None = None,
    ) -> None:
        row: dict[str, Any] = {"key": thing.key, "label": thing.label, "notes": thing.notes}
        if isinstance(thing, KeptGround):
            if thing.reflectance is not None:
                row["reflectance"] = spectrum_to_bytes(thing.reflectance)
            if thing.lab is not None:
                row["lab"] = list(thing.lab)
        elif isinstance(thing, KeptPlan):
            row["content"] = thing.content
        else:
            row["layering"] = thing.layering
        moment = now() if saved_at is None else saved_at.astimezone(UTC).replace(tzinfo=None)
        connection.execute(insert(self._table).values(**row, number=number, saved_at=moment, binned=binned))

    def _history(self, connection: Connection, key: str) -> list[Row[Any]]:
        table = self._table
        query = select(table).where(table.c.key == key.strip().casefold()).order_by(table.c.number)
        return list(connection.execute(query))

    def _load_newest(self, *, binned: bool) -> tuple[Thing, ...]:
        with self._door.reading() as connection:
            rows = connection.execute(_newest(self._table).where(self._table.c.binned.is_(binned))).all()
        return tuple(self._thing(row) for row in rows)

    def _thing(self, row: Row[Any]) -> Any:
        if self.kind is Recipe:
            return Recipe(row.key, row.label, row.layering, row.notes)
        if self.kind is KeptPlan:
            return KeptPlan(row.key, row.label, row.content, row.notes)
        spectrum = None if row.reflectance is None else bytes_to_spectrum(row.reflectance, BANDS)
        lab = None if row.lab is None else tuple(row.lab)
        return KeptGround(row.key, row.label, spectrum, lab, row.notes)


def _newest(table: Table) -> Select[Any]:
    top = select(table.c.key, func.max(table.c.number).label("top")).group_by(table.c.key).subquery()
    newest = and_(table.c.key == top.c.key, table.c.number == top.c.top)
    return select(table).join(top, newest).order_by(table.c.key)
