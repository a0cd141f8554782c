"""The legend of a chart: each sign with its words, flowing from left to right."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

from scumble.chart.box import Box
from scumble.chart.lettering import text_width_mm
from scumble.chart.sheet import Shape, Text, grey
from scumble.chart.signs import draw_beyond, draw_care, draw_transparency

SOFT = grey(0.35)
SIGN, GAP, APART, LINE = 1.35, 0.6, 2.2, 2.0
"""Side of a sign, gap to its words, gap to the next sign and height of a line, in bodies of the letters."""

MARK_WORDS = ("transparent", "semi-transparent", "semi-opaque", "opaque")


@dataclass(frozen=True, slots=True)
class Item:
    """One sign and what it says.

    Parameters
    ----------
    draw : callable
        Draws the sign, from the left, top and side of its square [mm].
    words : str
        What it says.
    """

    draw: Callable[[float, float, float], tuple[Shape, ...]]
    words: str


def mark_items() -> tuple[Item, ...]:
    """The four marks of transparency."""
    return tuple(Item(partial(_mark, step), words) for step, words in enumerate(MARK_WORDS))


def beyond_item() -> Item:
    """The corner of a colour that cannot be shown."""
    return Item(_beyond, "fuller in paint than it can be shown here")


def care_item() -> Item:
    """The sign of a pigment that asks for care."""
    return Item(draw_care, "asks for care: read its safety data sheet")


def legend_height_mm(items: Sequence[Item], *, width_mm: float, size_mm: float) -> float:
    """Height that a legend takes in letters of some body [mm]."""
    rows = 1 + max((row for row, _, _ in _places(items, width_mm, size_mm)), default=-1)
    return LINE * size_mm * rows


def draw_legend(items: Sequence[Item], box: Box, *, size_mm: float) -> tuple[Shape, ...]:
    """Draw a legend from the top left of a box.

    Parameters
    ----------
    items : sequence of Item
        In the order they are read.
    box : Box
        Its width breaks the rows.
    size_mm : float [mm]
        Body of the letters.
    """
    shapes: list[Shape] = []
    side = SIGN * size_mm
    for row, left, item in _places(items, box.width_mm, size_mm):
        x, y = box.x_mm + left, box.y_mm + LINE * size_mm * row
        shapes += item.draw(x, y, side)
        baseline = y + side / 2 + 0.36 * size_mm
        shapes.append(Text(x + side + GAP * size_mm, baseline, item.words, size_mm, fill=SOFT))
    return tuple(shapes)


def _places(items: Sequence[Item], width_mm: float, size_mm: float) -> list[tuple[int, float, Item]]:
    """Row and left edge of every item."""
    places, row, left = [], 0, 0.0
    for item in items:
        long = (SIGN + GAP) * size_mm + text_width_mm(item.words, size_mm=size_mm)
        if left > 0 and left + long > width_mm:
            row, left = row + 1, 0.0
        places.append((row, left, item))
        left += long + APART * size_mm
    return places


def _mark(step: int, x_mm: float, y_mm: float, side_mm: float) -> tuple[Shape, ...]:
    return draw_transparency(x_mm, y_mm, side_mm, step=step)


def _beyond(x_mm: float, y_mm: float, side_mm: float) -> tuple[Shape, ...]:
    box = Box(x_mm, y_mm, side_mm, side_mm)
    return (box.drawn(fill=grey(0.6)), *draw_beyond(box, side_mm=0.6 * side_mm))
