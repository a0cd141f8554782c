"""A few tubes side by side, as plain data."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from scumble.jobs.files import shelf_path
from scumble.jobs.tube.show_beside import show_beside
from scumble.store.shelf import open_shelf


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
