"""Curves in a frame without words: the page writes its own labels around it, so that they never shrink."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from scumble.chart.brush import write_coordinate

Floats = NDArray[np.float64]

SIDE = 1000.0
"""Width and height of the frame in drawing units; it is stretched to whatever room there is."""


@dataclass(frozen=True, slots=True)
class Frame:
    """What the frame spans.

    Parameters
    ----------
    x_from, x_to, y_from, y_to : float
        Ends of the two axes, in their own units.
    x_marks, y_marks : tuple of float
        Where faint lines cross it.
    x_is_log : bool
        Whether the horizontal axis is logarithmic.
    """

    x_from: float
    x_to: float
    y_from: float
    y_to: float
    x_marks: tuple[float, ...] = ()
    y_marks: tuple[float, ...] = ()
    x_is_log: bool = False

    def place(self, x: ArrayLike, y: ArrayLike) -> Floats:
        """Drawing positions of points, shape (points, 2)."""
        across, ends = np.asarray(x, dtype=np.float64), np.array([self.x_from, self.x_to])
        if self.x_is_log:
            across, ends = np.log(across), np.log(ends)
        right = (across - ends[0]) / (ends[1] - ends[0])
        up = (np.asarray(y, dtype=np.float64) - self.y_from) / (self.y_to - self.y_from)
        return SIDE * np.stack(np.broadcast_arrays(right, 1.0 - up), axis=-1)


@dataclass(frozen=True, slots=True)
class Curve:
    """A line through points.

    Parameters
    ----------
    x, y : array, shape (points,)
        In the units of the frame.
    colour : str
        ``#rrggbb``, or ``currentColor`` for the ink of the page.
    width : float [screen pixel]
        Of the line.
    is_dashed : bool
        Whether it is dashed.
    """

    x: Floats
    y: Floats
    colour: str = "currentColor"
    width: float = 2.0
    is_dashed: bool = False


@dataclass(frozen=True, slots=True)
class Haze:
    """A band between two curves, for where a number may lie; arguments as for a curve."""

    x: Floats
    low: Floats
    high: Floats


@dataclass(frozen=True, slots=True)
class Dot:
    """A round mark at one point, of a size in screen pixels."""

    x: float
    y: float
    colour: str = "currentColor"
    size: float = 12.0


Mark = Curve | Haze | Dot


def draw_curves(frame: Frame, marks: Sequence[Mark], *, words: str) -> str:
    """Draw curves as an SVG element to set into a page.

    Parameters
    ----------
    frame : Frame
        What it spans.
    marks : sequence of Curve, Haze or Dot
        Drawn in this order.
    words : str
        What the picture shows, for who cannot see it.

    Returns
    -------
    str
        An element without text that stretches to its box; lines and dots keep their size on the screen.
    """
    side = write_coordinate(SIDE)
    drawn = "".join(_draw(frame, mark) for mark in marks)
    return (
        f'<svg class="curves" viewBox="0 0 {side} {side}" preserveAspectRatio="none" role="img" '
        f'aria-label="{_escape(words)}">{_grid(frame)}{drawn}</svg>'
    )


def _grid(frame: Frame) -> str:
    down = [f"M{write_coordinate(frame.place(x, frame.y_from)[0])} 0V1000" for x in frame.x_marks]
    across = [f"M0 {write_coordinate(frame.place(frame.x_from, y)[1])}H1000" for y in frame.y_marks]
    return f'<path class="grid" d="{"".join(down + across)}"/>' if down or across else ""


def _draw(frame: Frame, mark: Mark) -> str:
    if isinstance(mark, Haze):
        there, back = frame.place(mark.x, mark.high), frame.place(mark.x, mark.low)[::-1]
        return f'<path class="haze" d="M{_points(np.concatenate([there, back]))}z"/>'
    if isinstance(mark, Dot):
        place = _points(frame.place(mark.x, mark.y)[None])
        return f'<path class="dot" d="M{place}h0" stroke="{mark.colour}" stroke-width="{mark.size:g}"/>'
    dashes = ' stroke-dasharray="3 6"' if mark.is_dashed else ""
    line = _points(frame.place(mark.x, mark.y))
    return f'<path class="curve" d="M{line}" stroke="{mark.colour}" stroke-width="{mark.width:g}"{dashes}/>'


def _points(points: Floats) -> str:
    return " ".join(f"{write_coordinate(x)},{write_coordinate(y)}" for x, y in points)


def _escape(text: str) -> str:
    return text.replace("&", "&amp;").replace("<", "&lt;").replace('"', "&quot;")
