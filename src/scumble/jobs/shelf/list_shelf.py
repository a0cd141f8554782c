"""List the shelf as plain data."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from scumble.jobs.files import shelf_path
from scumble.jobs.shelf.shelf_filter import ShelfFilter
from scumble.jobs.shelf.show_shelf import show_shelf
from scumble.store.shelf import open_shelf


def list_shelf(
    shelf: Path | None, *, order: str = "hue", find: str = "", wanted: ShelfFilter | None = None
) -> list[dict[str, Any]]:
    """Paints that answer to some words and pass a filter, in order.

    Raises
    ------
    InputError, StoreError
        For an unknown order, or a shelf that cannot be read.
    """
    with open_shelf(shelf_path(shelf)) as opened:
        page = show_shelf(opened, order=order, find=find, wanted=wanted)
    return [
        {
            "key": strip.key,
            "label": strip.label,
            "pigments": list(strip.pigments),
            "mark": strip.mark,
            "provenance": strip.provenance,
            "price": None if facts.price is None else float(facts.price),
            "currency": facts.currency,
            "stock": facts.stock,
        }
        for strip in page.strips
        for facts in (page.facts[strip.key],)
    ]
