"""Pictures that the pages ask for by address: strips, steps into white, card photographs."""

from __future__ import annotations

from scumble.jobs.remember import Remembered
from scumble.jobs.shelf.fetch_tube import fetch
from scumble.jobs.shelf.paint_strip import (
    draw_hanging_strip,
    draw_lying_strip,
    draw_narrow_strip,
    draw_white_steps,
)
from scumble.jobs.shelf.shown_picture import ShownPicture, show_picture
from scumble.store.picture import Picture
from scumble.store.shelf import Shelf

DRAWINGS = {
    "hanging": draw_hanging_strip,
    "lying": draw_lying_strip,
    "narrow": draw_narrow_strip,
    "steps": draw_white_steps,
}
"""What can be drawn of a paint, by the name in its address."""


def draw_of_paint(shelf: Shelf, key: str, drawing: str) -> tuple[str, str]:
    """A drawing of a paint, and the stamp it was drawn for.

    Parameters
    ----------
    shelf : Shelf
        Open.
    key : str
        Of the paint.
    drawing : str
        One of :data:`DRAWINGS`.

    Raises
    ------
    InputError
        If there is no such paint.
    """
    paint, white, stamp = fetch(shelf, key)
    return _drawn.recall(f"{drawing}-{stamp}", lambda: DRAWINGS[drawing](paint, white)), stamp


def fetch_card_picture(shelf: Shelf, key: str) -> Picture | None:
    """The picture a paint's card was read from, as it came; None if there is none."""
    return shelf.load_picture(key)


def fetch_shown_picture(shelf: Shelf, key: str) -> ShownPicture | None:
    """The same as a page shows it: a small copy of what browsers do not show; None if there is none."""
    picture = shelf.load_picture(key)
    return None if picture is None else show_picture(picture)


_drawn: Remembered[str] = Remembered()
