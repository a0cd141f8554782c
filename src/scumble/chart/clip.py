"""Outlines cut down to a box, and outlines written as path data turned into points."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from typing import Final

from scumble.chart.box import Box
from scumble.chart.sheet import Point

Ring = tuple[Point, ...]

CURVE_STEPS: Final = 4
"""Straight pieces that stand for one curve of a brush's edge."""

_STEP = re.compile(r"([MLQCz])([^MLQCz]*)")
_NUMBER = re.compile(r"-?\d*\.?\d+")


def clip_ring(ring: Ring, box: Box) -> Ring:
    """The part of an outline that lies in a box.

    Parameters
    ----------
    ring : tuple of points [mm]
        Any closed outline.
    box : Box
        Keeps what is inside.

    Returns
    -------
    tuple of points [mm]
        Empty when nothing is left; parts that fall asunder stay joined along the box's edge.

    Notes
    -----
    *Source:* Sutherland & Hodgman, Reentrant polygon clipping, Commun. ACM 17, 32 (1974).

    Examples
    --------
    >>> clip_ring(((0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 4.0)), Box(2.0, -1.0, 9.0, 3.0))
    ((2.0, 2.0), (2.0, 0.0), (4.0, 0.0), (4.0, 2.0))
    """
    for axis, least, most in ((0, box.x_mm, box.right_mm), (1, box.y_mm, box.bottom_mm)):
        places = [point[axis] for point in ring]
        if ring and min(places) < least:
            ring = _cut(ring, axis, least, 1.0)
        if ring and max(places) > most:
            ring = _cut(ring, axis, most, -1.0)
    return ring


def _cut(ring: Ring, axis: int, edge: float, side: float) -> Ring:
    """What lies on one side of a straight edge."""
    kept: list[Point] = []
    before = ring[-1]
    for point in ring:
        if side * (point[axis] - edge) >= 0:
            if side * (before[axis] - edge) < 0:
                kept.append(_meet(before, point, axis, edge))
            kept.append(point)
        elif side * (before[axis] - edge) >= 0:
            kept.append(_meet(before, point, axis, edge))
        before = point
    return tuple(kept)


def _meet(first: Point, second: Point, axis: int, edge: float) -> Point:
    share = (edge - first[axis]) / (second[axis] - first[axis])
    other = first[1 - axis] + share * (second[1 - axis] - first[1 - axis])
    return (edge, other) if axis == 0 else (other, edge)


def path_rings(path: str, *, scale: float, x_mm: float = 0.0, y_mm: float = 0.0) -> tuple[Ring, ...]:
    """Outlines of path data of absolute moves, lines and curves, as :mod:`scumble.chart.brush` writes it.

    Parameters
    ----------
    path : str
        Path data.
    scale : float [mm]
        Size of one of its units.
    x_mm, y_mm : float [mm]
        Where its origin lies.

    Examples
    --------
    >>> path_rings("M0,0L2,0L2,2z", scale=0.5)
    (((0.0, 0.0), (1.0, 0.0), (1.0, 1.0)),)
    """
    rings: list[Ring] = []
    points: list[Point] = []
    for letter, written in _STEP.findall(path):
        numbers = [float(number) for number in _NUMBER.findall(written)]
        pairs = list(zip(numbers[::2], numbers[1::2], strict=True))
        if letter == "z":
            rings.append(tuple((x_mm + scale * x, y_mm + scale * y) for x, y in points))
            points = []
        elif letter in "ML":
            points += pairs
        else:
            size = {"Q": 2, "C": 3}[letter]
            for first in range(0, len(pairs), size):
                points += _curve([points[-1], *pairs[first : first + size]])
    return tuple(rings)


def _curve(controls: list[Point]) -> Iterator[Point]:
    """Points along a quadratic or cubic Bezier curve after its first."""
    if len(controls) == 3:
        (x0, y0), (x1, y1), (x2, y2) = controls
        for a, b, c in _WEIGHTS[3]:
            yield a * x0 + b * x1 + c * x2, a * y0 + b * y1 + c * y2
        return
    (x0, y0), (x1, y1), (x2, y2), (x3, y3) = controls
    for a, b, c, d in _WEIGHTS[4]:
        yield a * x0 + b * x1 + c * x2 + d * x3, a * y0 + b * y1 + c * y2 + d * y3


def _weights(count: int) -> tuple[tuple[float, ...], ...]:
    """Bernstein polynomials of a curve of so many controls at its steps."""
    shares = [step / CURVE_STEPS for step in range(1, CURVE_STEPS + 1)]
    last = count - 1
    return tuple(
        tuple(math.comb(last, k) * share**k * (1.0 - share) ** (last - k) for k in range(count))
        for share in shares
    )


_WEIGHTS: Final = {count: _weights(count) for count in (3, 4)}
