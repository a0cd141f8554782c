"""Small signs beside a swatch: how transparent, beyond what can be printed, to be handled with care."""

from __future__ import annotations

import math

from scumble.chart.box import Box
from scumble.chart.sheet import WHITE, Colour, Line, Point, Polygon, Rectangle, Shape, grey

INK = grey(0.2)
VEIL = grey(0.72)

FILM_TONES = (WHITE, grey(0.86), grey(0.66), INK)
"""Tone of the drawn film, from transparent to opaque."""

LINES = 3
"""Ruled lines under the film; one less is seen through it at each step."""

CIRCLE_STEPS = 40


def draw_transparency(x_mm: float, y_mm: float, side_mm: float, *, step: int) -> tuple[Shape, ...]:
    """Draw how much of what lies below a film lets through: a film laid across three ruled lines.

    Parameters
    ----------
    x_mm, y_mm, side_mm : float [mm]
        The square it stands in.
    step : int
        0 transparent: all three lines are seen through the film, to 3 opaque: none of them.
    """
    line, top = 0.1 * side_mm, 0.24 * side_mm
    film = Box(x_mm, y_mm + top, side_mm, side_mm - 2 * top)
    ruled = [x_mm + side_mm * (0.5 + 0.27 * (number - 1)) - line / 2 for number in range(LINES)]
    return (
        *(Rectangle(x, y_mm, line, side_mm, fill=INK) for x in ruled),
        film.drawn(fill=FILM_TONES[step], stroke=INK, line_mm=0.06 * side_mm),
        *(Rectangle(x, film.y_mm, line, film.height_mm, fill=INK) for x in ruled[: LINES - step]),
    )


def draw_beyond(box: Box, *, side_mm: float) -> tuple[Shape, ...]:
    """Draw the corner that says: this colour is fuller than can be shown here.

    Parameters
    ----------
    box : Box
        The swatch; its top right corner is marked.
    side_mm : float [mm]
        Size of the corner.
    """
    x, y = box.right_mm, box.y_mm
    corner = ((x - side_mm, y), (x, y), (x, y + side_mm))
    return (Polygon((corner,), fill=INK, stroke=WHITE, line_mm=0.08 * side_mm),)


def draw_care(x_mm: float, y_mm: float, side_mm: float, *, ink: Colour = INK) -> tuple[Shape, ...]:
    """Draw the sign that says: read the safety data sheet before anything that makes dust, spray or scrapings.

    Parameters
    ----------
    x_mm, y_mm, side_mm : float [mm]
        The square it stands in.
    ink : Colour
        Its colour.
    """
    top, middle = y_mm + 0.08 * side_mm, x_mm + side_mm / 2
    corners = ((middle, top), (x_mm + side_mm, y_mm + 0.94 * side_mm), (x_mm, y_mm + 0.94 * side_mm))
    line = 0.09 * side_mm
    return (
        Polygon((corners,), fill=None, stroke=ink, line_mm=line),
        Line(((middle, y_mm + 0.4 * side_mm), (middle, y_mm + 0.64 * side_mm)), ink, 1.2 * line),
        Polygon((_circle((middle, y_mm + 0.78 * side_mm), 0.055 * side_mm),), fill=ink),
    )


def _circle(centre: Point, radius_mm: float) -> tuple[Point, ...]:
    turn = [2 * math.pi * step / CIRCLE_STEPS for step in range(CIRCLE_STEPS)]
    return tuple(
        (centre[0] + radius_mm * math.cos(angle), centre[1] + radius_mm * math.sin(angle)) for angle in turn
    )
