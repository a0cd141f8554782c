"""Outlines of the areas of a map, as closed rings that neighbours share, drawn into a box."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from scumble.chart.box import Box
from scumble.chart.sheet import WHITE, Colour, Point, Polygon, Shape

Places = NDArray[np.integer]
Ring = tuple[tuple[float, float], ...]

SEAM_MM = 0.12
"""Width of the line in an area's own colour that closes the hair between neighbours [mm]."""


def trace_areas(places: Places) -> dict[int, tuple[Ring, ...]]:
    """Outlines of every area.

    Parameters
    ----------
    places : array of int, shape (height, width)
        Area of each point.

    Returns
    -------
    dict of int to tuple of rings
        In points of the map, x to the right and y down, through the middles of the points' edges, so that steps become
        slopes; a hole is a ring of its own. Along the map's own edge corners stay square.

    Examples
    --------
    >>> len(trace_areas(np.array([[0, 0, 1], [0, 0, 1]]))[1][0])
    4
    """
    padded = np.pad(np.asarray(places, dtype=np.int64), 1, constant_values=-1)
    return {int(area): tuple(_rings(padded == area, padded.shape)) for area in np.unique(places)}


def _rings(mask: NDArray[np.bool_], shape: tuple[int, ...]) -> list[Ring]:
    """Closed walks along the edges of a mask, the inside on the right hand."""
    steps: dict[tuple[int, int], list[tuple[int, int]]] = {}

    def add(edges: NDArray[np.bool_], start: tuple[int, int], end: tuple[int, int]) -> None:
        for row, column in np.argwhere(edges).tolist():
            first = (column + start[0], row + start[1])
            steps.setdefault(first, []).append((column + end[0], row + end[1]))

    inside = mask[1:-1, 1:-1]
    add(inside & ~mask[:-2, 1:-1], (0, 0), (1, 0))
    add(inside & ~mask[1:-1, 2:], (1, 0), (1, 1))
    add(inside & ~mask[2:, 1:-1], (1, 1), (0, 1))
    add(inside & ~mask[1:-1, :-2], (0, 1), (0, 0))
    size = (shape[1] - 2, shape[0] - 2)
    rings = []
    while steps:
        first = next(iter(steps))
        walk = [first]
        at = _take(steps, first, None)
        while at != first:
            before = walk[-1]
            walk.append(at)
            at = _take(steps, at, before)
        rings.append(_smooth(walk, size))
    return rings


def _take(
    steps: dict[tuple[int, int], list[tuple[int, int]]], at: tuple[int, int], before: tuple[int, int] | None
) -> tuple[int, int]:
    """Where a walk goes on; where two cross it turns to the right, so that corners that touch stay apart."""
    ways = steps[at]
    way = ways[0]
    if len(ways) > 1 and before is not None:
        right = (at[0] - (at[1] - before[1]), at[1] + (at[0] - before[0]))
        way = right if right in ways else ways[0]
    ways.remove(way)
    if not ways:
        del steps[at]
    return way


def _smooth(walk: Sequence[tuple[int, int]], size: tuple[int, int]) -> Ring:
    """A walk through the middles of its edges, straight runs without points between; square at the map's edge."""
    points: list[tuple[float, float]] = []
    for number, (x, y) in enumerate(walk):
        nx, ny = walk[(number + 1) % len(walk)]
        if x in (0, size[0]) or y in (0, size[1]):
            points.append((float(x), float(y)))
        points.append(((x + nx) / 2.0, (y + ny) / 2.0))
    kept = [
        point
        for number, point in enumerate(points)
        if _turns(points[number - 1], point, points[(number + 1) % len(points)])
    ]
    return tuple(kept)


def _turns(before: Point, at: Point, after: Point) -> bool:
    across = (at[0] - before[0]) * (after[1] - at[1]) - (at[1] - before[1]) * (after[0] - at[0])
    return abs(across) > 1e-9


def draw_areas(
    box: Box,
    outlines: dict[int, tuple[Ring, ...]],
    size: tuple[int, int],
    colours: Sequence[Colour],
    *,
    stroke: Colour | None = None,
    line_mm: float = SEAM_MM,
) -> tuple[Shape, ...]:
    """Draw areas into a box.

    Parameters
    ----------
    box : Box
        The whole map fills it.
    outlines : dict of int to tuple of rings
        From :func:`trace_areas`.
    size : (int, int)
        Width and height of the map in points.
    colours : sequence of Colour
        Of every area by its number; white where there is none.
    stroke : Colour, optional
        Of their outlines; each area's own unless said.
    line_mm : float [mm]
        Width of the outlines.
    """
    across, down = box.width_mm / size[0], box.height_mm / size[1]
    shapes: list[Shape] = []
    for area, rings in outlines.items():
        fill = colours[area] if area < len(colours) else WHITE
        placed = tuple(tuple((box.x_mm + x * across, box.y_mm + y * down) for x, y in ring) for ring in rings)
        shapes.append(Polygon(placed, fill=fill, stroke=fill if stroke is None else stroke, line_mm=line_mm))
    return tuple(shapes)
