"""Save what one tube says and what the shop knows of it, together or not at all; and take it back."""

from __future__ import annotations

from sqlalchemy import select, update

from scumble.errors import InputError
from scumble.store.database.door import Door
from scumble.store.database.schema import paints, versions
from scumble.store.drawers.paint_search import find_paint
from scumble.store.drawers.tube_drawer import add_tube, select_tubes
from scumble.store.travel.take_row import take_row
from scumble.store.tube_facts import TubeFacts


def save_row(door: Door, key: str, cells: dict[str, str]) -> str:
    """Save a row of the shelf's table about a paint that is there; ``changed`` or ``same``.

    Parameters
    ----------
    door : Door
        Of the shelf.
    key : str
        Of the paint.
    cells : mapping of str to str
        By column of the shelf's table; a column left out stays as it is.

    Raises
    ------
    InputError
        Naming the column, or if there is no such paint; nothing was saved.
    StoreError
        If the shelf cannot be written; nothing was saved.
    """
    with door.writing() as connection:
        return take_row(connection, find_paint(connection, key).key, cells)


def go_back(door: Door, key: str, *, version: int | None = None, said: int | None = None) -> None:
    """Make an older version of a paint, and an older word on its tube, the ones that count; all others stay.

    Parameters
    ----------
    door : Door
        Of the shelf.
    key : str
        Of the paint.
    version : int, optional
        Of the paint, counted from 1.
    said : int, optional
        Entry about the tube, counted from 1; 0 for nothing said.

    Raises
    ------
    InputError
        If there is no such paint, version or entry; nothing was saved.
    StoreError
        If the shelf cannot be written; nothing was saved.
    """
    with door.writing() as connection:
        found = find_paint(connection, key)
        if version is not None:
            numbers = connection.execute(select(versions.c.number).where(versions.c.paint_id == found.id))
            if version not in (known := numbers.scalars().all()):
                raise InputError("version", version, f"1 to {len(known)}")
            connection.execute(update(paints).where(paints.c.id == found.id).values(current=version))
        if said is not None:
            history = select_tubes(connection, found.id)
            if not 0 <= said <= len(history):
                raise InputError("said", said, f"0 to {len(history)}")
            add_tube(connection, found.id, history[said - 1][1] if said else TubeFacts())
