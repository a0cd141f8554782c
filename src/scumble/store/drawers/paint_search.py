"""Find a paint on the shelf by what a person calls it, and say which names are near when there is none."""

from __future__ import annotations

from difflib import get_close_matches
from typing import Any

from sqlalchemy import Connection, Row, select

from scumble.errors import InputError
from scumble.store.database.schema import paints, versions
from scumble.store.drawers.paint_table import CURRENT


def find_paint(connection: Connection, name: str, *, binned: bool = False) -> Row[Any]:
    """A paint's row by its key, or by its label where only one paint has it.

    Parameters
    ----------
    connection : Connection
        In a transaction.
    name : str
        Key or label, capitals aside.
    binned : bool
        Look in the bin instead of on the shelf; the paint binned last goes first.

    Raises
    ------
    InputError
        If there is none; the message lists near names.
    """
    where = paints.c.binned_at.is_not(None) if binned else paints.c.binned_at.is_(None)
    rows = select(paints).where(where).order_by(paints.c.binned_at.desc())
    wanted = name.strip().casefold()
    if (row := connection.execute(rows.where(paints.c.key == wanted)).first()) is not None:
        return row
    labels = connection.execute(select(paints, versions.c.label).join(versions, CURRENT).where(where)).all()
    found = [row for row in labels if row.label.casefold() == wanted]
    if len(found) == 1:
        return found[0]
    raise _nothing_found(name, {row.key: row.label for row in labels}, binned=binned)


def _nothing_found(name: str, known: dict[str, str], *, binned: bool) -> InputError:
    allowed = "a paint in the bin" if binned else "a paint on the shelf"
    if not known:
        return InputError("paint", name, allowed, "The bin is empty." if binned else "The shelf is empty.")
    ways = {label.casefold(): key for key, label in known.items()} | {key: key for key in known}
    near = dict.fromkeys(
        ways[way] for way in get_close_matches(name.strip().casefold(), ways, n=6, cutoff=0.5)
    )
    if near:
        return InputError("paint", name, allowed, f"Did you mean {' or '.join(list(near)[:3])}?")
    some = ", ".join(sorted(known)[:8]) + (" ..." if len(known) > 8 else "")
    return InputError("paint", name, allowed, f"There are: {some}.")
