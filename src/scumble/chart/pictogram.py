"""Small grey pictures that say how to lay a film: a brush stroke of some strength, drops to be mixed, a bare square."""

from __future__ import annotations

import math

from scumble.chart.sheet import Line, Point, Polygon, Rectangle, Shape, grey

INK = grey(0.25)

_RAGGED = (0.0, 0.9, 0.35, 1.5, 0.6, 1.1, 0.1, 0.8, 0.3)
"""How far the tracks of single bristles run on at the end of a stroke, in shares of its breadth / 4."""


def draw_stroke(x_mm: float, y_mm: float, side_mm: float, *, strength: float) -> tuple[Shape, ...]:
    """A brush stroke across a square, and the film it leaves, seen from the side.

    Parameters
    ----------
    x_mm, y_mm, side_mm : float [mm]
        The square.
    strength : float [1]
        1 for a full film, less for a thinner one; sets the tone and the thickness drawn.
    """
    top, bottom = y_mm + 0.06 * side_mm, y_mm + 0.5 * side_mm
    tone = grey(0.92 - 0.67 * strength**0.6)
    ground_mm = y_mm + 0.86 * side_mm
    film_mm = max(0.2 * side_mm * strength, 0.018 * side_mm)
    return (
        Polygon((_swash(x_mm, top, side_mm, bottom - top),), fill=tone),
        Rectangle(x_mm, ground_mm - film_mm, side_mm, film_mm, fill=INK),
        Rectangle(x_mm, ground_mm, side_mm, 0.07 * side_mm, fill=None, stroke=INK, line_mm=0.15),
    )


def _swash(x_mm: float, y_mm: float, length_mm: float, breadth_mm: float) -> tuple[Point, ...]:
    """Outline of a stroke that starts soft and ends in the tracks of its bristles."""
    start = [
        (x_mm + 0.06 * length_mm * (1 - math.sin(math.pi * step / 8)), y_mm + breadth_mm * (1 - step / 8))
        for step in range(9)
    ]
    last = len(_RAGGED) - 1
    end = [
        (x_mm + length_mm - 0.055 * length_mm * reach, y_mm + breadth_mm * step / last)
        for step, reach in enumerate(_RAGGED)
    ]
    return (*start, *end)


def draw_drops(x_mm: float, y_mm: float, side_mm: float, *, white: int) -> tuple[Shape, ...]:
    """One dark drop and so many white ones, in a square.

    Parameters
    ----------
    x_mm, y_mm, side_mm : float [mm]
        The square.
    white : int
        Number of white drops.
    """
    count = white + 1
    columns = 2 if count <= 2 else 3 if count <= 6 else 5
    rows = math.ceil(count / columns)
    pitch = side_mm / max(columns, rows)
    left = x_mm + (side_mm - pitch * columns) / 2
    top = y_mm + (side_mm - pitch * rows) / 2
    shapes: list[Shape] = []
    for drop in range(count):
        row, column = divmod(drop, columns)
        centre = (left + pitch * (column + 0.5), top + pitch * (row + 0.56))
        outline = _drop(*centre, radius_mm=0.3 * min(pitch, 0.45 * side_mm))
        shapes.append(Polygon((outline,), fill=INK if drop == 0 else None, stroke=INK, line_mm=0.2))
    return tuple(shapes)


def _drop(x_mm: float, y_mm: float, *, radius_mm: float) -> tuple[Point, ...]:
    """Outline of a drop: three quarters of a circle drawn out to a point above."""
    steps = 32
    turn = [math.radians(-40 + 260 * step / steps) for step in range(steps + 1)]
    circle = [(x_mm + radius_mm * math.cos(angle), y_mm + radius_mm * math.sin(angle)) for angle in turn]
    return (*circle, (x_mm, y_mm - 1.65 * radius_mm))


def draw_bare(x_mm: float, y_mm: float, side_mm: float) -> tuple[Shape, ...]:
    """A dashed square with nothing in it."""
    inset = 0.06 * side_mm
    left, top, right, bottom = x_mm + inset, y_mm + inset, x_mm + side_mm - inset, y_mm + side_mm - inset
    corners = ((left, top), (right, top), (right, bottom), (left, bottom), (left, top))
    return (Line(corners, stroke=INK, line_mm=0.2, dash_mm=(1.1, 0.9)),)
