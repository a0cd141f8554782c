"""How much more, or less, a camera is in doubt about colours of a region than about colours at large: learnt per hue.

What a camera does to a colour hangs on its spectrum, and how far real films stray from the smoothest curve of a colour
differs from hue to hue: a yellow or a red has one edge and is told well; a green or a blue is a window between two
dark ends, of which the eye sees little and a lamp much.
"""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

DARK_BELOW: Final = 40.0
"""L* below which a colour counts as dark."""

GREY_CHROMA, FULL_CHROMA = 5.0, 15.0
"""Chroma up to which a colour counts as grey, and from which its hue counts in full."""

PROMISED: Final = 0.9
"""Share of a route's doubt that suffices for 19 of 20 areas once regions are told apart (docs/reading.md)."""

GREY: Final = 1.25
DARK: Final = (1.02, 1.02, 1.02, 1.54, 2.32, 2.32, 2.32, 1.92, 1.64, 1.11, 1.11, 0.91)
LIGHT: Final = (0.83, 0.8, 0.84, 0.96, 1.18, 1.18, 1.18, 1.05, 1.23, 1.23, 1.23, 0.83)
"""Factors on the doubt of the sensor: of greys, and of dark and of light colours at hues of 15, 45, ... 345 degrees.
Each hue's is the largest of its own and its neighbours', since a hue that was read is itself off by as much.
*Source:* Scumble's own, ``python -m benchmarks.region_doubt``: films of random and of varied illustrative paints before
cameras drawn at random, none of them measured."""


def region_doubt(lab: Floats) -> float:
    """Factor on the doubt of the sensor for a colour that was read.

    Parameters
    ----------
    lab : array, shape (3,)
        L*a*b* under D65, 2 degrees.

    Examples
    --------
    >>> orange, deep_blue = np.array([60.0, 40.0, 60.0]), np.array([25.0, -10.0, -40.0])
    >>> region_doubt(orange) < 0.8 < 1.4 < region_doubt(deep_blue)
    True
    """
    level, red, yellow = (float(part) for part in lab)
    hue, chroma = float(np.degrees(np.arctan2(yellow, red))), float(np.hypot(red, yellow))
    table = DARK if level < DARK_BELOW else LIGHT
    middles = np.arange(15.0, 360.0, 30.0)
    own = float(np.interp(hue, middles, table, period=360.0))
    share = float(np.clip((chroma - GREY_CHROMA) / (FULL_CHROMA - GREY_CHROMA), 0.0, 1.0))
    return PROMISED * (GREY + share * (own - GREY))
