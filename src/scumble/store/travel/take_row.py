"""One row of a shelf's table onto the shelf: a known paint is changed, a new one shown by its pigments."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import replace

from sqlalchemy import Connection

from scumble.errors import InputError
from scumble.paint import Binder, Paint
from scumble.store.drawers.save_version import add_version, same_paint, select_current
from scumble.store.drawers.tube_drawer import add_tube, select_tubes
from scumble.store.travel.table import cells_to_facts, parse_binder, parse_pigments
from scumble.store.tube_facts import TubeFacts


def label_to_key(label: str) -> str:
    """Short name made from a label.

    Examples
    --------
    >>> label_to_key("Ultramarine blue (green shade)")
    'ultramarine-blue-green-shade'
    """
    plain = unicodedata.normalize("NFKC", label).casefold()
    return "-".join(re.findall(r"[^\W_]+", plain))[:80].strip("-")


def take_row(connection: Connection, key: str, cells: dict[str, str]) -> str:
    """Take one row; ``new``, ``changed`` or ``same``.

    Parameters
    ----------
    connection : Connection
        In a writing visit.
    key : str
        Of the paint.
    cells : mapping of str to str
        By column.

    Raises
    ------
    InputError
        Naming the column.
    """
    found = select_current(connection, key)
    after = _illustrated(key, cells) if found is None else _changed(found[1], cells)
    changed = found is None or not same_paint(found[1], after)
    if changed:
        add_version(connection, after, None, None)
    now = select_current(connection, key)
    assert now is not None
    known = select_tubes(connection, now[0])
    before = known[-1][1] if known else TubeFacts()
    facts = cells_to_facts(cells, before)
    if facts != before:
        add_tube(connection, now[0], facts)
    if found is None:
        return "new"
    return "changed" if changed or facts != before else "same"


def _changed(paint: Paint, cells: dict[str, str]) -> Paint:
    """The paint as the row calls it."""
    label = cells.get("label", paint.label)
    pigments = parse_pigments(cells["pigments"]) if "pigments" in cells else paint.pigments
    binder = parse_binder(cells["binder"]) if "binder" in cells else paint.binder
    return replace(paint, label=label, pigments=pigments, binder=binder)


def _illustrated(key: str, cells: dict[str, str]) -> Paint:
    """A paint that no card was painted of, shown by what its pigments usually look like."""
    # Imported here: only a list with paints that are not on the shelf pays for it.
    from scumble.paint.pigment import starter_shelf

    pigments = parse_pigments(cells.get("pigments", ""))
    wanted = {name.casefold() for name in pigments}
    for known in starter_shelf():
        if wanted and wanted == {name.casefold() for name in known.pigments}:
            binder = parse_binder(cells["binder"]) if cells.get("binder", "").strip() else Binder.ACRYLIC
            label = cells.get("label", "").strip() or key
            return replace(known, key=key, label=label, pigments=pigments, binder=binder)
    raise InputError(
        "key",
        key,
        "a paint on the shelf, or pigments that the starter shelf shows",
        "Paint and read its card, or import the shelf's JSON.",
    )
