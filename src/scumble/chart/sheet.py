"""Plain shapes on a sheet of paper: millimetres, origin top left, y down; knows paper, not paint."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Point = tuple[float, float]
Colour = tuple[float, float, float]
"""sRGB, 0-1."""

BLACK: Colour = (0.0, 0.0, 0.0)
WHITE: Colour = (1.0, 1.0, 1.0)

Face = Literal["regular", "bold", "italic"]
Anchor = Literal["start", "middle", "end"]


def grey(level: float) -> Colour:
    """A neutral colour, 0 black to 1 white."""
    return (level, level, level)


@dataclass(frozen=True, slots=True)
class Rectangle:
    """An upright rectangle.

    Parameters
    ----------
    x_mm, y_mm, width_mm, height_mm : float [mm]
        Its top left corner and size.
    fill, stroke : Colour or None
        Inside and outline; ``None`` leaves it out.
    line_mm : float [mm]
        Width of the outline, half of it outside.
    """

    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float
    fill: Colour | None = None
    stroke: Colour | None = None
    line_mm: float = 0.25


@dataclass(frozen=True, slots=True)
class Polygon:
    """One or more closed outlines filled in one go, so that touching parts show no seam.

    Parameters
    ----------
    rings : tuple of outlines, each a tuple of points [mm]
        Where rings overlap the inside counts by even and odd: a ring in a ring is a hole.
    fill, stroke, line_mm
        As for a rectangle.
    """

    rings: tuple[tuple[Point, ...], ...]
    fill: Colour | None = BLACK
    stroke: Colour | None = None
    line_mm: float = 0.25


@dataclass(frozen=True, slots=True)
class Line:
    """A straight line, or a run of them.

    Parameters
    ----------
    points : tuple of points [mm]
        At least two.
    stroke : Colour
        Its colour.
    line_mm : float [mm]
        Its width.
    dash_mm : tuple of float [mm]
        Lengths of dashes and gaps in turn; empty for a solid line.
    """

    points: tuple[Point, ...]
    stroke: Colour = BLACK
    line_mm: float = 0.25
    dash_mm: tuple[float, ...] = ()


@dataclass(frozen=True, slots=True)
class Wash:
    """Closed outlines filled with a colour that changes along a line.

    Parameters
    ----------
    rings : tuple of outlines, each a tuple of points [mm]
        All turning the same way round; where they overlap both are filled.
    start, end : Point [mm]
        Where the first and the last stop lie; beyond them their colours go on.
    stops : tuple of (share, Colour)
        Shares of the way from start to end, rising from 0 to 1, and the colours there; one stop is a flat fill.
    """

    rings: tuple[tuple[Point, ...], ...]
    start: Point
    end: Point
    stops: tuple[tuple[float, Colour], ...]

    @property
    def is_flat(self) -> bool:
        """Whether it has one colour all over."""
        return len({colour for _, colour in self.stops}) == 1


@dataclass(frozen=True, slots=True)
class Text:
    """One line of words.

    Parameters
    ----------
    x_mm, y_mm : float [mm]
        Where its anchor stands on the baseline.
    words : str
        What it says.
    size_mm : float [mm]
        Height of the font's body: 1 mm is 2.83 points.
    face : str
        ``regular``, ``bold`` or ``italic``.
    anchor : str
        ``start``, ``middle`` or ``end`` of the line stands at x.
    fill : Colour
        Its colour.
    """

    x_mm: float
    y_mm: float
    words: str
    size_mm: float = 2.8
    face: Face = "regular"
    anchor: Anchor = "start"
    fill: Colour = BLACK


Shape = Rectangle | Polygon | Line | Wash | Text


@dataclass(frozen=True, slots=True)
class Sheet:
    """A page and what is drawn on it, first to last.

    Parameters
    ----------
    width_mm, height_mm : float [mm]
        Size of the page.
    shapes : tuple of Shape
        Later ones lie over earlier ones.
    """

    width_mm: float
    height_mm: float
    shapes: tuple[Shape, ...]
