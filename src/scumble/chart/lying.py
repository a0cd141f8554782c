"""A lying strip: one stroke from left to right, its lower part on a black bar, with its thickness told below."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from scumble.chart.box import Box
from scumble.chart.frame import SOFT
from scumble.chart.painted import Zone, as_colour, draw_painted_stroke
from scumble.chart.patch import BLANK_DASH, HAIR
from scumble.chart.sheet import Colour, Line, Shape, Text

Floats = NDArray[np.float64]

STROKE_SHARE = (0.02, 0.13, 0.96, 0.60)
"""Left, top, width and height of the stroke in its panel."""

BAR_SHARE = (0.47, 0.34)
"""Top and height of the bar in the panel."""


@dataclass(frozen=True, slots=True)
class LyingColours:
    """Screen colours of a lying strip, sRGB 0-1.

    Parameters
    ----------
    over_paper, over_bar : array, shape (levels, stops, 3)
        Thin to thick ridges at even steps along the stroke.
    beyond : bool
        Whether some colour of it cannot be shown.
    """

    over_paper: Floats
    over_bar: Floats
    beyond: bool


def stroke_box(panel: Box) -> Box:
    """Where the stroke lies in a panel."""
    left, top, width, height = STROKE_SHARE
    return panel.inside(
        left * panel.width_mm, top * panel.height_mm, width * panel.width_mm, height * panel.height_mm
    )


def bar_box(panel: Box) -> Box:
    """Where the bar lies in a panel."""
    top, height = BAR_SHARE
    return panel.inside(0.0, top * panel.height_mm, panel.width_mm, height * panel.height_mm)


def draw_lying(
    panel: Box, colours: LyingColours | None, *, paper: Colour, bar: Colour, seed: int
) -> tuple[Shape, ...]:
    """Draw a lying strip on its panel.

    Parameters
    ----------
    panel : Box
        The paper and, across it, the bar.
    colours : LyingColours or None
        Of the stroke; ``None`` leaves its place blank, to be painted by hand.
    paper, bar : Colour
        The bare grounds.
    seed : int
        Decides the hand.
    """
    stroke, black = stroke_box(panel), bar_box(panel)
    grounds: list[Shape] = [panel.drawn(fill=as_colour(paper)), black.drawn(fill=as_colour(bar))]
    if colours is None:
        ring = (*stroke.ring, stroke.ring[0])
        return (*grounds, Line(ring, HAIR, 0.2, dash_mm=BLANK_DASH))
    zones = [Zone(panel, colours.over_paper), Zone(black, colours.over_bar)]
    return (*grounds, *draw_painted_stroke(stroke, zones, runs_down=False, seed=seed))


def draw_ticks(panel: Box, ticks: Sequence[tuple[float, str]], *, size_mm: float) -> tuple[Shape, ...]:
    """Draw what the stroke's thickness is at some places, under its panel.

    Parameters
    ----------
    panel : Box
        Of the strip.
    ticks : sequence of (share, words)
        Share of the way of the brush, and what to say there.
    size_mm : float [mm]
        Body of the words.
    """
    stroke, y = stroke_box(panel), panel.bottom_mm
    shapes: list[Shape] = []
    for share, words in ticks:
        x = stroke.x_mm + share * stroke.width_mm
        shapes.append(Line(((x, y), (x, y + 0.5 * size_mm)), SOFT, 0.15))
        shapes.append(Text(x, y + 1.6 * size_mm, words, size_mm, anchor="middle", fill=SOFT))
    return tuple(shapes)
