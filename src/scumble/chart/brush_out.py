"""A brush-out: one stroke of a flat brush across white and black, its furrows thinner and its ridges thicker."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np

from scumble.chart.brush import Stroke, bristle_ridges, stroke_outline

WIDTH, HEIGHT = 640.0, 190.0
"""Of the drawing; white reaches to its middle, black from there."""

STROKE = Stroke(22.0, 24.0, 596.0, 142.0, runs_down=False)
SEED = 3
LEVELS = 3
"""Furrows, body, ridges."""


@dataclass(frozen=True, slots=True)
class BrushOut:
    """Outlines of a brush-out as SVG path data; they never change, only their colours do.

    Parameters
    ----------
    width, height : float
        Of the drawing.
    body : str
        The whole stroke.
    furrows, ridges : str
        Threads of it that are thinner and thicker.
    """

    width: float
    height: float
    body: str
    furrows: str
    ridges: str


@cache
def draw_brush_out() -> BrushOut:
    """Draw it.

    Examples
    --------
    >>> drawn = draw_brush_out()
    >>> drawn.furrows.count("M") > 4, drawn.ridges.count("M") > 4
    (True, True)
    """
    rng = np.random.default_rng(SEED)
    body = stroke_outline(STROKE, rng)
    threads = bristle_ridges(STROKE, LEVELS, rng)
    furrows, ridges = (
        "".join(each.path for each in threads if each.level == level) for level in (0, LEVELS - 1)
    )
    return BrushOut(WIDTH, HEIGHT, body, furrows, ridges)
