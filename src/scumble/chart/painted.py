"""Painted strokes and dabs on a sheet: the film in its colours over every ground it crosses, with its ridges."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

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
    rng = np.random.default_rng(seed)
    stroke = Stroke(0.0, 0.0, place.width_mm / UNIT_MM, place.height_mm / UNIT_MM, runs_down=runs_down)
    levels = len(zones[0].colours)
    body = _rings([stroke_outline(stroke, rng)], place)
    ridges = bristle_ridges(stroke, levels, rng)
    threads = {
        level: _rings([ridge.path for ridge in ridges if ridge.level == level], place)
        for level in range(levels)
        if level != levels // 2
    }
    films = [(levels // 2, body), *threads.items()]
    return tuple(
        shape
        for zone in zones
        for level, rings in films
        for shape in _film(zone, level, rings, place, runs_down)
    )


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
    rng = np.random.default_rng(seed)
    thin, middling, thick = (as_colour(colour) for colour in np.asarray(colours))
    size = (0.0, 0.0, box.width_mm / UNIT_MM, box.height_mm / UNIT_MM)
    shapes: list[Shape] = [Polygon(_rings([dab_outline(*size, rng)], box), fill=middling)]
    for heavy in rng.integers(2, size=THREADS_PER_DAB).tolist():
        shapes.append(Polygon(_rings([dab_thread(*size, rng)], box), fill=thick if heavy else thin))
    return tuple(shapes)


def as_colour(colour: ArrayLike) -> Colour:
    """One screen colour as plain numbers, to a thousandth: finer than any print.

    Examples
    --------
    >>> as_colour(np.array([1.2, 0.12345, 0.0]))
    (1.0, 0.123, 0.0)
    """
    red, green, blue = np.clip(np.asarray(colour, dtype=np.float64), 0.0, 1.0).round(3).tolist()
    return red, green, blue


def _rings(paths: Sequence[str], place: Box) -> tuple[Ring, ...]:
    return tuple(
        ring for path in paths for ring in path_rings(path, scale=UNIT_MM, x_mm=place.x_mm, y_mm=place.y_mm)
    )


def _film(zone: Zone, level: int, rings: Sequence[Ring], place: Box, runs_down: bool) -> tuple[Shape, ...]:
    """The paint of one thickness in one zone; nothing where it does not reach."""
    kept = tuple(cut for ring in rings if len(cut := clip_ring(ring, zone.box)) > 2)
    if not kept:
        return ()
    start, end = _way_through(zone.box, place, runs_down)
    return (Wash(kept, start, end, _stops(zone.colours[level])),)


def _way_through(box: Box, place: Box, runs_down: bool) -> tuple[Point, Point]:
    """Where the brush enters and leaves a box, or the stroke's own ends where the box is the longer."""
    x, y = place.x_mm, place.y_mm
    if runs_down:
        return (x, max(y, box.y_mm)), (x, min(place.bottom_mm, box.bottom_mm))
    return (max(x, box.x_mm), y), (min(place.right_mm, box.right_mm), y)


def _stops(row: Floats) -> tuple[tuple[float, Colour], ...]:
    """Stops at even steps; those that a straight run of colour between their neighbours gives as well are left out."""
    last = len(row) - 1
    if last == 0 or np.ptp(row, axis=0).max() <= UNSEEN:
        return ((0.0, as_colour(row[0])),)
    kept, at = [0], 0
    while at < last:
        ahead = last
        while ahead > at + 1 and not _runs_straight(row[at : ahead + 1]):
            ahead -= 1
        at = ahead
        kept.append(at)
    return tuple((at / last, as_colour(row[at])) for at in kept)


def _runs_straight(run: Floats) -> bool:
    """Whether all colours of a run lie on the straight line between its ends, as far as it can be seen."""
    share = np.linspace(0.0, 1.0, len(run))[:, None]
    return bool(np.abs(run - (run[0] + share * (run[-1] - run[0]))).max() <= UNSEEN)
