"""Grounds that charts are painted on: white and black paper, and the colours that glazes are tried over."""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import NDArray

from scumble.paint import Ground, ground_of_colour, paper_ground
from scumble.paint.swatches import swatches_of

Floats = NDArray[np.float64]

COLOURED: dict[str, tuple[float, float, float]] = {
    "yellow": (84.0, 2.0, 74.0),
    "red": (48.0, 58.0, 34.0),
    "green": (52.0, -40.0, 22.0),
    "blue": (38.0, 4.0, -42.0),
    "grey": (50.0, 0.0, 0.0),
}
"""CIELAB of flat, matte grounds (D65, 2 degrees), invented: full enough to try a glaze on, and within any screen."""

SIX_GROUNDS = ("white", "yellow", "red", "green", "blue", "black")

STRIPE_GROUNDS = ("yellow", "red", "blue")
"""Stripes of the hanging strip from the top."""


@cache
def chart_ground(name: str) -> Ground:
    """A ground by name: one of :data:`COLOURED`, else a paper.

    Raises
    ------
    InputError
        If there is none of that name.
    """
    if name in COLOURED:
        plain = ground_of_colour(COLOURED[name])
        return Ground(plain.reflectance, plain.face, name)
    paper = paper_ground(name)
    return Ground(paper.reflectance, paper.face, name)


def bare_colour(name: str) -> Floats:
    """Screen colour of a bare ground, sRGB 0-1."""
    return swatches_of(chart_ground(name).reflectance).srgb
