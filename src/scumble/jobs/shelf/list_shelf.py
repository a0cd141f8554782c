"""List the shelf as plain data, and a few tubes side by side."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from scumble.jobs.files import shelf_path
from scumble.jobs.shelf_filter import ShelfFilter
from scumble.jobs.show_beside import show_beside
from scumble.jobs.show_shelf import show_shelf
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


def lay_beside(keys: Sequence[str], shelf: Path | None) -> dict[str, Any]:
    """A few tubes side by side: what each has, and in what every two differ.

    Parameters
    ----------
    keys : sequence of str
        Two to six short names or labels.
    shelf : Path, optional
        The shelf; the person's own by default.

    Raises
    ------
    InputError, StoreError
        If there are too few or too many, one is not there, or the shelf cannot be read.
    """
    with open_shelf(shelf_path(shelf)) as opened:
        page = show_beside(opened, keys, least=2)
    return {
        "paints": [{"key": strip.key, "label": strip.label} for strip in page.strips],
        "rows": {row.title: list(row.cells) for row in page.rows},
        "pairs": [
            {"names": names, "sentences": [str(said) for said in sentences]}
            for names, sentences in page.pairs
        ],
    }
