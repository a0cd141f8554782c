"""Painted strokes and dabs on a sheet: the film in its colours over every ground it crosses, with its ridges."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from scumble.chart.box import Box
from scumble.chart.brush import Stroke, bristle_ridges, dab_outline, dab_thread, stroke_outline
from scumble.chart.clip import Ring, clip_ring, path_rings
from scumble.chart.sheet import Colour, Point, Polygon, Shape, Wash

Floats = NDArray[np.float64]

UNIT_MM = 0.1
"""Size of the brush's drawing unit on paper."""

UNSEEN = 1.5 / 255
"""Difference of screen colour that is not worth a stop of its own."""

THREADS_PER_DAB = 3
"""Ridges drawn on each dab."""

HANDS = 64
"""Different strokes that are drawn, and different dabs; a chart of hundreds meets each a few times, far apart, and is
drawn in a fraction of the time."""


@dataclass(frozen=True, slots=True)
class Zone:
    """A box that a stroke crosses, and its colours there.

    Parameters
    ----------
    box : Box
        The ground.
    colours : array, shape (levels, stops, 3)
        sRGB of thin to thick ridges, odd in number, at even steps along the way of the brush through the box, or
        through the stroke where the box is the longer.
    """

    box: Box
    colours: Floats


def draw_painted_stroke(
    place: Box, zones: Sequence[Zone], *, runs_down: bool, seed: int
) -> tuple[Shape, ...]:
    """Draw one stroke of a flat brush.

    Parameters
    ----------
    place : Box
        Where it lies.
    zones : sequence of Zone
        Grounds from the lowest to the uppermost; later ones lie over earlier ones.
    runs_down : bool
        Whether the brush was drawn from top to bottom; otherwise from left to right.
    seed : int
        Decides the hand; the same seed draws the same stroke.
    """
    relative = tuple(_seen_from(zone.box, place) for zone in zones)
    size, levels = (place.width_mm, place.height_mm), len(zones[0].colours)
    films = _stroke_films(size, relative, levels, runs_down, seed % HANDS)
    shapes: list[Shape] = []
    for zone, kept in zip(zones, films, strict=True):
        start, end = _way_through(zone.box, place, runs_down)
        stops = _stops(zone.colours)
        shapes += [Wash(_shifted(rings, place), start, end, stops[level]) for level, rings in kept]
    return tuple(shapes)


def draw_dab(box: Box, colours: ArrayLike, *, seed: int) -> tuple[Shape, ...]:
    """Draw one short dab of a flat brush.

    Parameters
    ----------
    box : Box
        Where it lies.
    colours : array, shape (3, 3)
        sRGB of its thin, middling and thick paint.
    seed : int
        Decides the hand.
    """
    thin, middling, thick = (as_colour(colour) for colour in np.asarray(colours))
    outline, threads = _dab_rings((box.width_mm, box.height_mm), seed % HANDS)
    return (
        Polygon(_shifted(outline, box), fill=middling),
        *(Polygon(_shifted(rings, box), fill=thick if heavy else thin) for heavy, rings in threads),
    )


def as_colour(colour: ArrayLike) -> Colour:
    """One screen colour as plain numbers, to a thousandth: finer than any print.

    Examples
    --------
    >>> as_colour(np.array([1.2, 0.12345, 0.0]))
    (1.0, 0.123, 0.0)
    """
    red, green, blue = np.clip(np.asarray(colour, dtype=np.float64), 0.0, 1.0).round(3).tolist()
    return red, green, blue


Rings = tuple[Ring, ...]
Sides = tuple[float, float, float, float]


def _seen_from(box: Box, place: Box) -> Sides:
    """A box measured from the corner of another one, to a micrometre [mm]."""
    x, y = box.x_mm - place.x_mm, box.y_mm - place.y_mm
    return round(x, 3), round(y, 3), round(box.width_mm, 3), round(box.height_mm, 3)


@lru_cache(maxsize=1024)
def _stroke_films(
    size_mm: tuple[float, float], zones: tuple[Sides, ...], levels: int, runs_down: bool, hand: int
) -> tuple[tuple[tuple[int, Rings], ...], ...]:
    """Outlines of the paint of every thickness in every zone, from the stroke's own corner."""
    rng = np.random.default_rng(hand)
    stroke = Stroke(0.0, 0.0, size_mm[0] / UNIT_MM, size_mm[1] / UNIT_MM, runs_down=runs_down)
    body = _rings([stroke_outline(stroke, rng)])
    ridges = bristle_ridges(stroke, levels, rng)
    films = [(levels // 2, body)]
    films += [
        (level, _rings([ridge.path for ridge in ridges if ridge.level == level]))
        for level in range(levels)
        if level != levels // 2
    ]
    return tuple(
        tuple((level, kept) for level, rings in films if (kept := _clipped(rings, Box(*zone))))
        for zone in zones
    )


@lru_cache(maxsize=512)
def _dab_rings(size_mm: tuple[float, float], hand: int) -> tuple[Rings, tuple[tuple[bool, Rings], ...]]:
    """Outline of a dab, and its ridges, each with whether it is a heavy one."""
    rng = np.random.default_rng(hand)
    sides = (0.0, 0.0, size_mm[0] / UNIT_MM, size_mm[1] / UNIT_MM)
    outline = _rings([dab_outline(*sides, rng)])
    heavy = rng.integers(2, size=THREADS_PER_DAB).tolist()
    return outline, tuple((bool(each), _rings([dab_thread(*sides, rng)])) for each in heavy)


def _rings(paths: Sequence[str]) -> Rings:
    return tuple(ring for path in paths for ring in path_rings(path, scale=UNIT_MM))


def _clipped(rings: Rings, box: Box) -> Rings:
    return tuple(cut for ring in rings if len(cut := clip_ring(ring, box)) > 2)


def _shifted(rings: Rings, place: Box) -> Rings:
    """Outlines moved to where they lie."""
    left, top = place.x_mm, place.y_mm
    return tuple(tuple([(left + x, top + y) for x, y in ring]) for ring in rings)


def _way_through(box: Box, place: Box, runs_down: bool) -> tuple[Point, Point]:
    """Where the brush enters and leaves a box, or the stroke's own ends where the box is the longer."""
    x, y = place.x_mm, place.y_mm
    if runs_down:
        return (x, max(y, box.y_mm)), (x, min(place.bottom_mm, box.bottom_mm))
    return (max(x, box.x_mm), y), (min(place.right_mm, box.right_mm), y)


def _stops(colours: Floats) -> tuple[tuple[tuple[float, Colour], ...], ...]:
    """Stops of every level; those that a straight run of colour between others gives as well are left out."""
    rows: list[list[list[float]]] = np.clip(colours, 0.0, 1.0).round(3).tolist()
    last = max(len(rows[0]) - 1, 1)
    return tuple(
        tuple((at / last, (row[at][0], row[at][1], row[at][2])) for at in _bends(row)) for row in rows
    )


def _bends(row: list[list[float]]) -> list[int]:
    """Places of a row of colours between which it runs straight, as far as that can be seen.

    Notes
    -----
    Every channel keeps the slopes that pass all places since the last bend; where none is left, the place before is a
    bend. *Source:* J. Sklansky and V. Gonzalez, Fast polygonal approximation of digitized curves, Pattern Recognition
    12, 327 (1980), *from memory*.

    Examples
    --------
    >>> _bends([[0.0] * 3, [0.5] * 3, [1.0] * 3, [1.0] * 3])
    [0, 2, 3]
    >>> _bends([[0.3] * 3, [0.301] * 3])
    [0]
    """
    if all(abs(part - first) <= UNSEEN for place in row for part, first in zip(place, row[0], strict=True)):
        return [0]
    kept, at = [0], 1
    low, high = [-np.inf] * 3, [np.inf] * 3
    while at < len(row):
        away = at - kept[-1]
        rise = [part - start for part, start in zip(row[at], row[kept[-1]], strict=True)]
        if all(down <= up / away <= most for down, up, most in zip(low, rise, high, strict=True)):
            low = [max(down, (up - UNSEEN) / away) for down, up in zip(low, rise, strict=True)]
            high = [min(most, (up + UNSEEN) / away) for most, up in zip(high, rise, strict=True)]
            at += 1
        else:
            kept.append(at - 1)
            low, high = [-np.inf] * 3, [np.inf] * 3
    return [*kept, len(row) - 1]
