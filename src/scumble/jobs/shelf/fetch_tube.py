"""One tube with the white it is tinted with, and how it behaves."""

from __future__ import annotations

from scumble.jobs.draws import standard_draws
from scumble.jobs.remember import Remembered
from scumble.jobs.shelf.hung_shelf import look_at_wall
from scumble.paint import Paint
from scumble.paint.behaviour import Behaviour, predict_behaviour
from scumble.store.shelf import Shelf


def fetch(shelf: Shelf, key: str) -> tuple[Paint, Paint | None, str]:
    """A paint, the white it is tinted with, and the stamp of the two.

    Raises
    ------
    InputError
        If there is no such paint; the message lists near names.
    """
    paint, wall = shelf.load_paint(key), look_at_wall(shelf)
    entry = wall.entries[paint.key]
    white = wall.white_of(entry)
    return paint, shelf.load_paint(white.key) if white else None, wall.stamp_of(entry)


def behaviour_of(paint: Paint, white: Paint | None) -> Behaviour:
    """How a paint behaves, with the intervals that its covariance asks for."""
    return predict_behaviour(paint, white=white, normals=standard_draws())


def behaviour_at(paint: Paint, white: Paint | None, stamp: str) -> Behaviour:
    """How a paint behaves, worked out once for a stamp."""
    return _behaviours.recall(stamp, lambda: behaviour_of(paint, white))


_behaviours: Remembered[Behaviour] = Remembered()
