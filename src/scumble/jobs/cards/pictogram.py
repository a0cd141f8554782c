"""The small picture that says how a film is laid."""

from __future__ import annotations

from scumble.chart.pictogram import draw_bare, draw_drops, draw_stroke
from scumble.chart.sheet import Shape

STRENGTH = {"full": 1.0, "thin1": 0.3, "thin2": 0.1}


def draw_film(film: str, x_mm: float, y_mm: float, side_mm: float) -> tuple[Shape, ...]:
    """How a film is laid, in a square: drops to be mixed, a stroke of some strength, or nothing at all.

    Parameters
    ----------
    film : str
        As on the card: ``full``, ``thin1``, ``tint4`` or ``bare``.
    x_mm, y_mm, side_mm : float [mm]
        The square.
    """
    if film.startswith("tint"):
        return draw_drops(x_mm, y_mm, side_mm, white=int(film.removeprefix("tint")))
    if film in STRENGTH:
        return draw_stroke(x_mm, y_mm, side_mm, strength=STRENGTH[film])
    return draw_bare(x_mm, y_mm, side_mm)
