"""A triangle of three paints: six-sided swatches, each mixed from the parts that its place says."""

from __future__ import annotations

import math
from collections.abc import Sequence

from scumble.chart.box import Box
from scumble.chart.frame import SOFT
from scumble.chart.patch import BLANK_DASH, HAIR, Patch, readable_on
from scumble.chart.sheet import WHITE, Line, Point, Polygon, Shape, Text
from scumble.chart.signs import INK

Parts = tuple[int, int, int]


def triangle_parts(steps: int) -> tuple[Parts, ...]:
    """All ways to share out some parts among three paints, row by row from the top corner.

    Examples
    --------
    >>> triangle_parts(2)
    ((2, 0, 0), (1, 1, 0), (1, 0, 1), (0, 2, 0), (0, 1, 1), (0, 0, 2))
    """
    return tuple((steps - row, row - column, column) for row in range(steps + 1) for column in range(row + 1))


def cell_radius_mm(inner: Box, steps: int) -> float:
    """Largest radius of the swatches with which the triangle fits a box [mm]."""
    across = inner.width_mm / (math.sqrt(3.0) * (steps + 1))
    down = inner.height_mm / (1.5 * steps + 2.0)
    return min(across, down)


def cell_centre(inner: Box, parts: Parts, *, radius_mm: float) -> Point:
    """Middle of the swatch of some parts [mm]: the first paint's corner on top, the second's on the left."""
    row, column = parts[1] + parts[2], parts[2]
    x = inner.centre[0] + math.sqrt(3.0) * radius_mm * (column - row / 2)
    return x, inner.y_mm + radius_mm * (1.0 + 1.5 * row)


def draw_triangle(inner: Box, patches: Sequence[Patch], steps: int, *, size_mm: float) -> tuple[Shape, ...]:
    """Draw the swatches.

    Parameters
    ----------
    inner : Box
        Room for them.
    patches : sequence of Patch
        In the order of :func:`triangle_parts`.
    steps : int
        Parts in all.
    size_mm : float [mm]
        Body of the words in the swatches.
    """
    radius = cell_radius_mm(inner, steps)
    shapes: list[Shape] = []
    for parts, patch in zip(triangle_parts(steps), patches, strict=True):
        centre = cell_centre(inner, parts, radius_mm=radius)
        shapes += _draw_cell(centre, radius, patch, min(size_mm, 0.3 * radius))
    return tuple(shapes)


def _draw_cell(centre: Point, radius_mm: float, patch: Patch, size_mm: float) -> list[Shape]:
    ring = _hexagon(centre, 0.96 * radius_mm)
    if patch.colour is None:
        shapes: list[Shape] = [Line((*ring, ring[0]), HAIR, 0.15, dash_mm=BLANK_DASH)]
        ink = SOFT
    else:
        shapes = [Polygon((ring,), fill=patch.colour)]
        ink = readable_on(patch.colour)
    if patch.beyond and patch.colour is not None:
        top, right = ring[0], ring[1]
        cut = 0.3
        inner = (top[0] + cut * (right[0] - top[0]), top[1] + cut * (right[1] - top[1]))
        other = (2 * top[0] - inner[0], inner[1])
        shapes.append(Polygon(((top, inner, other),), fill=INK, stroke=WHITE, line_mm=0.1))
    shapes.append(
        Text(centre[0], centre[1] + 0.36 * size_mm, patch.words, size_mm, anchor="middle", fill=ink)
    )
    return shapes


def _hexagon(centre: Point, radius_mm: float) -> tuple[Point, ...]:
    """Corners from the top, clockwise."""
    turn = [math.radians(60 * corner - 90) for corner in range(6)]
    return tuple(
        (centre[0] + radius_mm * math.cos(angle), centre[1] + radius_mm * math.sin(angle)) for angle in turn
    )
