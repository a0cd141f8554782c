"""The shapes a flat brush leaves: an edge that is almost straight, and the ridges of its bristles."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Points = list[tuple[float, float]]

BRISTLE_WIDTH = (0.012, 0.06)
"""Least and greatest width of a ridge, as a share of the stroke's."""

EDGE_WANDER = 0.008
"""How far the long edges stray, as a share of the stroke's width (one standard deviation)."""

EDGE_POINTS, END_POINTS = 6, 9
"""Places along a long edge and across an end where it may stray."""

END_WANDER = 0.014
"""How far the bristles stray where they touch down and lift, as a share of the stroke's width."""

DAB_WANDER = 0.012
"""How far the outline of a dab strays, as a share of its smaller side."""


@dataclass(frozen=True, slots=True)
class Ridge:
    """One ridge left by some bristles.

    Parameters
    ----------
    level : int
        How thick it is, as a row of the strip's colours.
    path : str
        Its outline as SVG path data.
    """

    level: int
    path: str


@dataclass(frozen=True, slots=True)
class Stroke:
    """Where a stroke lies.

    Parameters
    ----------
    x, y, width, height : float
        Its box in drawing units.
    runs_down : bool
        Whether the brush was drawn from top to bottom; otherwise from left to right.
    """

    x: float
    y: float
    width: float
    height: float
    runs_down: bool

    @property
    def length(self) -> float:
        """Way of the brush."""
        return self.height if self.runs_down else self.width

    @property
    def breadth(self) -> float:
        """Width of the brush."""
        return self.width if self.runs_down else self.height

    def place(self, along: float, across: float) -> tuple[float, float]:
        """Drawing position of a point given along and across the stroke."""
        return (self.x + across, self.y + along) if self.runs_down else (self.x + along, self.y + across)


def stroke_outline(stroke: Stroke, rng: np.random.Generator) -> str:
    """Outline of the whole stroke as SVG path data: clean edges, a little irregular.

    Parameters
    ----------
    stroke : Stroke
        Where it lies.
    rng : numpy Generator
        Decides how the hand strays.
    """
    along = np.linspace(0.0, stroke.length, EDGE_POINTS)
    near, far = rng.normal(0.0, EDGE_WANDER * stroke.breadth, (2, EDGE_POINTS))
    start = _ragged_end(stroke, 0.0, rng)
    end = _ragged_end(stroke, stroke.length, rng)
    points = [
        *zip(along, near, strict=True),
        *end,
        *zip(along[::-1], stroke.breadth + far[::-1], strict=True),
        *start[::-1],
    ]
    sides = (0, EDGE_POINTS - 1, EDGE_POINTS + END_POINTS, 2 * EDGE_POINTS + END_POINTS - 1)
    return _closed_curve([stroke.place(*point) for point in points], corners=sides)


def _ragged_end(stroke: Stroke, along: float, rng: np.random.Generator) -> Points:
    """Points across one end, where the bristles touch down or lift a little apart."""
    across = np.linspace(0.06, 0.94, END_POINTS) * stroke.breadth
    stray = rng.normal(0.0, END_WANDER * stroke.breadth, END_POINTS)
    return list(zip((along + stray).tolist(), across.tolist(), strict=True))


def bristle_ridges(stroke: Stroke, levels: int, rng: np.random.Generator) -> tuple[Ridge, ...]:
    """Ridges of a stroke: thicker and thinner threads of paint along the way of the brush.

    Parameters
    ----------
    stroke : Stroke
        Where it lies.
    levels : int
        Rows of colour to choose from, the thinnest first; the middle one is the stroke's own.
    rng : numpy Generator
        Decides where the bristles run and how much they carry.

    Returns
    -------
    tuple of Ridge
        From one edge to the other; the outermost are thick, where paint gathers.
    """
    middle = (levels - 1) / 2
    ridges, across, load = [], stroke.breadth * 0.004, levels - 1.0
    while across < stroke.breadth:
        width = stroke.breadth * rng.uniform(*BRISTLE_WIDTH)
        at_edge = across < 0.02 * stroke.breadth or across + width > 0.97 * stroke.breadth
        level = levels - 1 if at_edge else int(np.clip(np.rint(load), 0, levels - 1))
        if level != int(middle):
            ridges.append(Ridge(level, _thread(stroke, min(across, stroke.breadth - width), width, rng)))
        across += width * rng.uniform(0.75, 1.3)
        load = middle + 0.35 * (load - middle) + rng.normal(0.0, 0.36 * levels)
    return tuple(ridges)


def dab_outline(x: float, y: float, width: float, height: float, rng: np.random.Generator) -> str:
    """Outline of one short dab of a flat brush as SVG path data."""
    stray = rng.normal(0.0, DAB_WANDER * min(width, height), (8, 2))
    share = [
        (0.04, 0.02),
        (0.5, 0.0),
        (0.97, 0.02),
        (1.0, 0.5),
        (0.97, 0.98),
        (0.5, 1.0),
        (0.03, 0.98),
        (0.0, 0.5),
    ]
    points = [
        (x + width * a + dx, y + height * b + dy) for (a, b), (dx, dy) in zip(share, stray, strict=True)
    ]
    return _closed_curve(points, corners=(0, 2, 4, 6))


def dab_thread(x: float, y: float, width: float, height: float, rng: np.random.Generator) -> str:
    """One ridge across a dab, from left to right."""
    dab = Stroke(x + 0.03 * width, y, 0.95 * width, height, runs_down=False)
    return _thread(dab, height * rng.uniform(0.12, 0.7), height * rng.uniform(0.07, 0.16), rng)


def write_coordinate(number: float) -> str:
    """A coordinate to a tenth of a unit, without needless digits.

    Examples
    --------
    >>> write_coordinate(12.04), write_coordinate(0.5), write_coordinate(-0.04)
    ('12', '.5', '0')
    """
    text = f"{number:.1f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "0", "") else text.replace("0.", ".", 1) if abs(number) < 1 else text


def _thread(stroke: Stroke, across: float, width: float, rng: np.random.Generator) -> str:
    """A long lens: blunt where the brush set down, drawn out where it lifted."""
    starts = stroke.length * abs(rng.normal(0.0, 0.004))
    ends = stroke.length * (1.0 - abs(rng.normal(0.0, 0.06)))
    drift = rng.normal(0.0, 0.006 * stroke.breadth)
    near, far, tip = across + drift, across + width + drift, across + width / 2 + drift
    third, late = starts + 0.05 * (ends - starts), starts + 0.75 * (ends - starts)
    points = [
        (starts, across + width * 0.3),
        (third, near),
        (late, near - drift),
        (ends, tip),
        (late, far - drift),
        (third, far),
        (starts, across + width * 0.7),
    ]
    s, a, b, e, c, d, f = (",".join(map(write_coordinate, stroke.place(*point))) for point in points)
    return f"M{s}C{a} {b} {e}C{c} {d} {f}z"


def _closed_curve(points: Points, corners: tuple[int, ...] = ()) -> str:
    """Smooth closed curve through the midpoints of a polygon's sides, sharp at the given corners."""
    count = len(points)
    halfway = [_mean(points[i], points[(i + 1) % count]) for i in range(count)]
    steps = [f"M{_pair(halfway[-1])}"]
    for i, point in enumerate(points):
        steps.append(
            f"L{_pair(point)}L{_pair(halfway[i])}" if i in corners else f"Q{_pair(point)} {_pair(halfway[i])}"
        )
    return "".join(steps) + "z"


def _mean(first: tuple[float, float], second: tuple[float, float]) -> tuple[float, float]:
    return (first[0] + second[0]) / 2, (first[1] + second[1]) / 2


def _pair(point: tuple[float, float]) -> str:
    return f"{write_coordinate(point[0])},{write_coordinate(point[1])}"
