"""Where a channel of a colour lies that its space could not hold, and how surely: learnt per space from random films.

A film that is too strong for a picture's primaries has a channel below zero, which the file writes as zero. How far
below depends on the primaries: those of sRGB cut off much, wider ones little, and where a wide one still writes zero
the camera's own error had its part in it, so that the true channel lies above.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class LostChannels:
    """Red, green and blue given that the picture shows nothing of them, as shares of the highest channel.

    Parameters
    ----------
    middle : three floats [1]
        Mean; below zero for what lies outside the space.
    spread : three floats [1]
        Standard deviation, or half of what 19 of 20 lie within where a tail is long, as that of deep blues' red is.
    """

    middle: tuple[float, float, float]
    spread: tuple[float, float, float]


LEARNT: Final = {
    ((0.64, 0.33), (0.30, 0.60), (0.15, 0.06)): LostChannels((-0.141, -0.027, -0.034), (0.119, 0.028, 0.041)),
    ((0.68, 0.32), (0.265, 0.69), (0.15, 0.06)): LostChannels((-0.07, -0.022, 0.012), (0.056, 0.027, 0.026)),
    ((0.7347, 0.2653), (0.1596, 0.8404), (0.0366, 0.0001)): LostChannels(
        (0.0, 0.014, 0.038), (0.04, 0.031, 0.037)
    ),
}
"""By the primaries' chromaticities: sRGB (IEC 61966-2-1), P3 with a D65 white (SMPTE EG 432-1) and ISO 22028-2.
*Source:* Scumble's own, ``python -m benchmarks.lost_channels``: random films before cameras drawn at random. A red of
the widest is all but never lost; its numbers are no more than cautious."""


def lost_in(rgb_to_xyz: Floats) -> LostChannels:
    """What lost channels probably are in the learnt space whose primaries lie nearest.

    Parameters
    ----------
    rgb_to_xyz : array, shape (3, 3)
        From linear channels to XYZ, of any size.

    Examples
    --------
    >>> from scumble.colour.screen import LINEAR_RGB_TO_XYZ
    >>> lost_in(86 * LINEAR_RGB_TO_XYZ).middle
    (-0.141, -0.027, -0.034)
    """
    own = (rgb_to_xyz[:2] / rgb_to_xyz.sum(axis=0)).T
    return LEARNT[min(LEARNT, key=lambda primaries: float(np.abs(own - primaries).sum()))]
