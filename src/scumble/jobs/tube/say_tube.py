"""What the shop knows of a tube: say it, or see it."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from scumble.jobs.files import shelf_path
from scumble.store.one_row import save_row
from scumble.store.shelf import Shelf, open_shelf
from scumble.store.travel.table import COLUMNS, entry_to_cells


def say_tube(key: str, said: Mapping[str, str], shelf: Path | None) -> dict[str, Any]:
    """Save what is said of a tube, all of it or nothing, and tell all that is known then.

    Parameters
    ----------
    key : str
        Key or label.
    said : mapping of str to str
        By column of the shelf's table; an empty word empties it, what is left out stays.
    shelf : Path, optional
        The shelf; the person's own by default.

    Returns
    -------
    dict
        Every column, and ``became``: ``changed``, ``same`` or ``told`` where nothing was said.

    Raises
    ------
    InputError, StoreError
        Naming the column; nothing was saved.
    """
    with open_shelf(shelf_path(shelf)) as opened:
        found = opened.load_paint(key).key
        became = save_row(opened.door, found, dict(said)) if said else "told"
        return {**_cells(opened, found), "became": became}


def _cells(shelf: Shelf, key: str) -> dict[str, str]:
    entry = next(each for each in shelf.load_entries() if each.key == key)
    return dict(zip(COLUMNS, entry_to_cells(entry, shelf.tubes.load(key)), strict=True))
