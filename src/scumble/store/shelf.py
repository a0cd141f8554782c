"""The shelf: paints kept in versions, with the cards and pictures they come from."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from pathlib import Path
from types import TracebackType
from typing import Any, Self

from sqlalchemy import Connection, Select, func, select, update
from sqlalchemy.exc import IntegrityError

from scumble.errors import InputError, StoreError
from scumble.paint import CardReadings, Paint
from scumble.store.database.connect import open_door
from scumble.store.database.door import Door, now
from scumble.store.database.schema import paints, versions
from scumble.store.drawers.card_table import select_card, select_picture
from scumble.store.drawers.entry import Entry
from scumble.store.drawers.named_drawer import NamedDrawer
from scumble.store.drawers.paint_search import find_paint
from scumble.store.drawers.paint_table import (
    CURRENT,
    FEW,
    row_to_entry,
    row_to_paint,
    select_labels,
    select_pigments,
    select_whole,
)
from scumble.store.drawers.proof_drawer import ProofDrawer
from scumble.store.drawers.save_version import add_version
from scumble.store.drawers.summary_drawer import Summary, SummaryDrawer
from scumble.store.drawers.trainee_drawer import TraineeDrawer
from scumble.store.drawers.tube_drawer import TubeDrawer
from scumble.store.named_things import KeptGround, KeptPlan, Recipe
from scumble.store.picture import Picture
from scumble.store.tube_facts import Lightfastness, LightScale, TubeFacts

__all__ = [
    "Entry",
    "KeptGround",
    "KeptPlan",
    "LightScale",
    "Lightfastness",
    "Picture",
    "Recipe",
    "Shelf",
    "Summary",
    "TubeFacts",
    "open_shelf",
]


def open_shelf(place: Path | str, *, patience_s: float = 5.0) -> Shelf:
    """Open a shelf; an empty one is made where there is none.

    Parameters
    ----------
    place : Path or str
        A file in a folder that exists, or a URL ``sqlite:///file`` or ``postgresql://user@host/database``.
    patience_s : float [s]
        How long to wait while another program writes.

    Raises
    ------
    StoreError
        If it is no shelf, was written by a newer Scumble, or cannot be opened.
    """
    return Shelf(open_door(place, patience_s=patience_s))


class Shelf:
    """An open shelf; close it, or use it in a ``with`` block.

    Every call is one transaction: it happens whole or not at all, and what was saved stays saved. Threads may
    share a shelf, and several programs may open the same file.

    Parameters
    ----------
    door : Door
        From `open_door`.

    Attributes
    ----------
    tubes : TubeDrawer
        Price, size, stock and lightfastness by paint.
    grounds, recipes, plans : NamedDrawer
        Named grounds, layerings and plans of paintings.
    summaries : SummaryDrawer
        What jobs worked out, for fast lists.
    proofs : ProofDrawer
        Predictions to be painted, and what was read of them.
    trainees : TraineeDrawer
        Who learns to foretell, and what they answered.
    """

    def __init__(self, door: Door) -> None:
        self.door = door
        self.tubes = TubeDrawer(door)
        self.grounds = NamedDrawer(door, KeptGround)
        self.recipes = NamedDrawer(door, Recipe)
        self.plans = NamedDrawer(door, KeptPlan)
        self.summaries = SummaryDrawer(door)
        self.proofs = ProofDrawer(door)
        self.trainees = TraineeDrawer(door)

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the file or server."""
        self.door.engine.dispose()

    def save_paint(
        self, paint: Paint, *, readings: CardReadings | None = None, picture: Picture | None = None
    ) -> int:
        """Save a paint as a new version of its key; older versions stay as they are.

        A paint that is there already, to the last digit, is not saved again. While the optics stay the same, so
        do the readings and the picture they came from.

        Parameters
        ----------
        paint : Paint
            Under its key.
        readings : CardReadings, optional
            The card its optics were fitted to.
        picture : Picture, optional
            What the card was read from.

        Returns
        -------
        int
            The version's number, counted from 1.

        Raises
        ------
        InputError
            If a name or a reading cannot be kept.
        StoreError
            If the shelf cannot be written; nothing was saved.
        """
        with self.door.writing() as connection:
            return add_version(connection, paint, readings, picture)

    def save_refit(self, paint: Paint) -> int:
        """Save a paint whose optics were worked out anew from the card it has; card and picture stay its own.

        Parameters
        ----------
        paint : Paint
            Under the key of one that is there.

        Returns
        -------
        int
            The version's number; that of the current one if nothing changed.

        Raises
        ------
        InputError
            If there is no such paint.
        StoreError
            If the shelf cannot be written; nothing was saved.
        """
        with self.door.writing() as connection:
            find_paint(connection, paint.key)
            return add_version(connection, paint, None, None, same_card=True)

    def save_paints(self, several: Iterable[Paint]) -> None:
        """Save several paints, all or none.

        Raises
        ------
        InputError
            If a name cannot be kept.
        StoreError
            If the shelf cannot be written; nothing was saved.
        """
        with self.door.writing() as connection:
            for paint in several:
                add_version(connection, paint, None, None)

    def load_paint(self, key: str, *, version: int | None = None) -> Paint:
        """One paint, by key or label; its current version when none is named.

        Raises
        ------
        InputError
            If there is none; the message lists near names.
        """
        with self.door.reading() as connection:
            found = find_paint(connection, key)
            query = _of_version(select_whole(), found.id, found.current if version is None else version)
            row = connection.execute(query).first()
            if row is None:
                count = len(connection.execute(_of_paint(select_labels(), found.id)).all())
                raise InputError("version", version, f"1 to {count}")
            return row_to_paint(row, select_pigments(connection, [row.id])[row.id])

    def load_paints(self) -> tuple[Paint, ...]:
        """Every paint on the shelf in its current version, by key."""
        query = select_whole().where(CURRENT, paints.c.binned_at.is_(None)).order_by(paints.c.key)
        with self.door.reading() as connection:
            rows = connection.execute(query).all()
            names = select_pigments(connection, [row.id for row in rows])
        return tuple(row_to_paint(row, names[row.id]) for row in rows)

    def load_entries(self, keys: Collection[str] | None = None) -> tuple[Entry, ...]:
        """Every paint on the shelf as a list shows it, by key; of some keys only, those that are there."""
        query = select_labels().where(CURRENT, paints.c.binned_at.is_(None))
        if keys is not None and len(keys) <= FEW:
            query = query.where(paints.c.key.in_(keys))
        entries = self._load_entries(query)
        return entries if keys is None else tuple(entry for entry in entries if entry.key in keys)

    def load_standing(self) -> dict[str, tuple[int, int]]:
        """Of every key on the shelf which paint stands there and its current version: another pair, another entry."""
        query = select(paints.c.key, paints.c.id, paints.c.current).where(paints.c.binned_at.is_(None))
        with self.door.reading() as connection:
            return {key: (paint_id, current) for key, paint_id, current in connection.execute(query).all()}

    def stamp(self) -> tuple[object, ...]:
        """Something small that is another whenever :meth:`load_entries` would be; costs one short question."""
        chosen = func.coalesce(func.sum(paints.c.current * paints.c.id), 0)
        newest = select(func.max(versions.c.id)).scalar_subquery()
        query = select(
            newest, func.count(), chosen, func.count(paints.c.binned_at), func.max(paints.c.binned_at)
        )
        with self.door.reading() as connection:
            return tuple(connection.execute(query.select_from(paints)).one())

    def load_bin(self) -> tuple[Entry, ...]:
        """Every paint in the bin, by key."""
        return self._load_entries(select_labels().where(CURRENT, paints.c.binned_at.is_not(None)))

    def load_versions(self, key: str) -> tuple[Entry, ...]:
        """All versions of a paint, oldest first.

        Raises
        ------
        InputError
            If there is no such paint.
        """
        with self.door.reading() as connection:
            paint_id = find_paint(connection, key).id
        return self._load_entries(_of_paint(select_labels(), paint_id))

    def load_readings(self, key: str) -> CardReadings | None:
        """The card that a paint's optics were fitted to, None if there was none.

        Raises
        ------
        InputError
            If there is no such paint.
        """
        with self.door.reading() as connection:
            card_id = self._source(connection, key, "card_id")
            return None if card_id is None else select_card(connection, card_id)

    def load_picture(self, key: str) -> Picture | None:
        """The picture that a paint's card was read from, None if there was none.

        Raises
        ------
        InputError
            If there is no such paint.
        """
        with self.door.reading() as connection:
            picture_id = self._source(connection, key, "picture_id")
            return None if picture_id is None else select_picture(connection, picture_id)

    def choose_version(self, key: str, version: int) -> None:
        """Make an older version the current one; the newer ones stay.

        Raises
        ------
        InputError
            If there is no such paint or version.
        """
        with self.door.writing() as connection:
            found = find_paint(connection, key)
            numbers = connection.execute(select(versions.c.number).where(versions.c.paint_id == found.id))
            if version not in (known := numbers.scalars().all()):
                raise InputError("version", version, f"1 to {len(known)}")
            connection.execute(update(paints).where(paints.c.id == found.id).values(current=version))

    def delete_paint(self, key: str) -> None:
        """Put a paint into the bin, with all its versions; `restore_paint` fetches it back.

        Raises
        ------
        InputError
            If there is no such paint.
        """
        with self.door.writing() as connection:
            found = find_paint(connection, key)
            connection.execute(update(paints).where(paints.c.id == found.id).values(binned_at=now()))

    def restore_paint(self, key: str) -> None:
        """Fetch a paint back from the bin, the one binned last where several had that key.

        Raises
        ------
        InputError
            If it is not in the bin.
        StoreError
            If another paint has its key by now.
        """
        with self.door.writing() as connection:
            found = find_paint(connection, key, binned=True)
            try:
                connection.execute(update(paints).where(paints.c.id == found.id).values(binned_at=None))
            except IntegrityError:
                raise StoreError(f"Another paint is called {found.key} by now; bin that one first.") from None

    def _load_entries(self, query: Select[Any]) -> tuple[Entry, ...]:
        with self.door.reading() as connection:
            rows = connection.execute(query.order_by(paints.c.key, versions.c.number)).all()
            names = select_pigments(connection, [row.id for row in rows])
        return tuple(row_to_entry(row, names[row.id]) for row in rows)

    def _source(self, connection: Connection, key: str, column: str) -> int | None:
        found = find_paint(connection, key)
        query = _of_version(select(versions.c[column]), found.id, found.current)
        number: int | None = connection.execute(query).scalar_one()
        return number


def _of_paint(query: Select[Any], paint_id: int) -> Select[Any]:
    return query.where(versions.c.paint_id == paint_id)


def _of_version(query: Select[Any], paint_id: int, number: int) -> Select[Any]:
    return _of_paint(query, paint_id).where(versions.c.number == number)
