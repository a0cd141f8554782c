"""The open shelf that pages are shown from."""

from __future__ import annotations

from pathlib import Path

from scumble.store.shelf import Shelf, open_shelf

PageShelf = Shelf


def open_page_shelf(place: Path | str) -> PageShelf:
    """Open a shelf to show pages from; close it when the last page was shown.

    Raises
    ------
    StoreError
        If it cannot be opened.
    """
    return open_shelf(place)
