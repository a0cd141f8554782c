"""Flat swatches: a colour, its words, and the corner that says it is fuller than shown; or blank, to paint by hand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from scumble.chart.box import Box
from scumble.chart.frame import SOFT
from scumble.chart.lettering import text_width_mm
from scumble.chart.sheet import BLACK, WHITE, Colour, Line, Shape, Text, grey
from scumble.chart.signs import draw_beyond

HAIR = grey(0.55)
BLANK_DASH = (1.0, 0.8)

NEARLY_WHITE = 0.8
"""Part of a ground's colour from which a soft grey stands out on it."""


@dataclass(frozen=True, slots=True)
class Patch:
    """One swatch.

    Parameters
    ----------
    colour : Colour or None
        sRGB 0-1; ``None`` is left blank, to be painted by hand.
    words : str
        Amounts in parts, or another caption; may be empty.
    beyond : bool
        Whether the paint's colour is fuller than the one shown.
    """

    colour: Colour | None
    words: str = ""
    beyond: bool = False


def draw_patch(box: Box, patch: Patch, *, size_mm: float = 0.0, ground: Colour = WHITE) -> tuple[Shape, ...]:
    """Draw a swatch; its words inside it when they are given a size.

    Parameters
    ----------
    box : Box
        Where it lies.
    patch : Patch
        What is shown.
    size_mm : float [mm]
        Body of its words, made smaller where they are too wide; 0 leaves them out.
    ground : Colour
        What it lies on; a blank one must stand out from it.
    """
    blank = _softly_on(ground)
    if patch.colour is None:
        ring = (*box.ring, box.ring[0])
        shapes: list[Shape] = [Line(ring, blank, 0.15, dash_mm=BLANK_DASH)]
    else:
        shapes = [box.drawn(fill=patch.colour)]
    if patch.beyond and patch.colour is not None:
        shapes += draw_beyond(box, side_mm=min(2.2, 0.3 * min(box.width_mm, box.height_mm)))
    if size_mm and patch.words:
        size = min(size_mm, 0.86 * box.width_mm / text_width_mm(patch.words, size_mm=1.0))
        x, y = box.centre
        ink = blank if patch.colour is None else readable_on(patch.colour)
        shapes.append(Text(x, y + 0.36 * size, patch.words, size, anchor="middle", fill=ink))
    return tuple(shapes)


def draw_ladder(box: Box, patches: Sequence[Patch], *, size_mm: float, gap_mm: float) -> tuple[Shape, ...]:
    """Draw swatches side by side, with their words under them.

    Parameters
    ----------
    box : Box
        Of the swatches; their words stand below it.
    patches : sequence of Patch
        From left to right.
    size_mm : float [mm]
        Body of the words.
    gap_mm : float [mm]
        Between two swatches.
    """
    wide = (box.width_mm - gap_mm * (len(patches) - 1)) / len(patches)
    shapes: list[Shape] = []
    for number, patch in enumerate(patches):
        own = Box(box.x_mm + (wide + gap_mm) * number, box.y_mm, wide, box.height_mm)
        size = min(size_mm, (wide + 0.6 * gap_mm) / max(text_width_mm(patch.words, size_mm=1.0), 1e-6))
        shapes += draw_patch(own, patch)
        baseline = own.bottom_mm + 1.4 * size_mm
        shapes.append(Text(own.centre[0], baseline, patch.words, size, anchor="middle", fill=SOFT))
    return tuple(shapes)


def _softly_on(ground: Colour) -> Colour:
    """The ink of what is left blank."""
    return SOFT if min(ground) > NEARLY_WHITE else readable_on(ground)


def readable_on(colour: Colour) -> Colour:
    """Black or white, whichever stands out more."""
    light = 0.2126 * colour[0] ** 2.2 + 0.7152 * colour[1] ** 2.2 + 0.0722 * colour[2] ** 2.2
    return BLACK if light > 0.18 else WHITE
