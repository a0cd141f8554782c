"""Channels at the low end of their scale: a colour the picture's space cannot hold, and what it probably was."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from scumble.card.photographed import Direction

Floats = NDArray[np.float64]

BELOW: Final = (0.17, 0.05, 0.10)
BELOW_SPREAD: Final = (0.22, 0.05, 0.10)
"""How far below zero red, green and blue of the sRGB primaries lie, given that they do, as a share of the highest
channel, and a deviation: films of likely paints over white seen by cameras drawn at random (`scumble.colour.sensor`).
Red has a long tail (a mean of 0.17, but one in forty beyond 0.6: deep blues); its deviation is set so that 39 of 40 lie
within two of it. Wider spaces lose less, and seldom."""

LEAST_SPREAD: Final = 5e-4
"""Of a channel against the paper: steps of 8 bits."""

CUT_OFF_SHARE: Final = 0.25
"""Share of points at the lower end of a channel from which it counts as lost."""

SOME_CUT_OFF: Final = 0.03
NEXT_TO_NOTHING: Final = 0.015
"""The same where the grain lifts some points off the end, and the light, against that of the highest channel, up to
which the mean is then nothing but that grain."""

KEPT: Final = 0.2
"""Share of X, Y and Z that is always left."""


def lost_channels(cut_off: tuple[float, float, float], light: Floats) -> NDArray[np.bool_]:
    """Which channels lie at the low end of their scale, shape (3,).

    Parameters
    ----------
    cut_off : three floats [1]
        Share of points at that end.
    light : array, shape (3,) [1]
        Channels against the paper, veiling light taken off.

    Examples
    --------
    >>> lost_channels((0.2, 0.2, 0.0), np.array([0.0, 0.02, 0.09])).tolist()
    [True, False, False]
    """
    share = np.array(cut_off)
    nothing = light < NEXT_TO_NOTHING * float(np.max(light))
    return np.asarray((share > CUT_OFF_SHARE) | (nothing & (share > SOME_CUT_OFF)))


def restore_lost(
    xyz: Floats, light: Floats, rgb_to_xyz: Floats, lost: NDArray[np.bool_]
) -> tuple[Floats, tuple[Direction, ...]]:
    """What a reading probably was before channels were cut off at zero, and along which directions it is in doubt.

    Parameters
    ----------
    xyz : array, shape (3,)
        As the picture says.
    light : array, shape (3,) [1]
        Its linear channels against the paper.
    rgb_to_xyz : array, shape (3, 3)
        From such channels to XYZ.
    lost : array of bool, shape (3,)
        Channels at the low end.

    Returns
    -------
    xyz : array, shape (3,)
        Moved to the middle of what the lost channels may have been.
    directions : tuple of Direction
        One standard deviation each, in XYZ.

    Examples
    --------
    >>> moved, (blue,) = restore_lost(
    ...     np.array([70.0, 80.0, 10.0]), np.array([0.9, 0.8, 0.0]), 100 * np.eye(3), np.array([False, False, True])
    ... )
    >>> moved.round(1).tolist(), [round(part, 1) for part in blue]
    ([70.0, 80.0, 2.0], [0.0, 0.0, 9.0])
    """
    highest = float(np.max(light))
    spread = np.maximum(highest * np.array(BELOW_SPREAD), LEAST_SPREAD)
    columns = (rgb_to_xyz * spread)[:, lost].T
    shift = rgb_to_xyz @ np.where(lost, highest * np.array(BELOW), 0.0)
    reach = np.min(np.where(shift > 0, (1.0 - KEPT) * xyz / np.maximum(shift, 1e-12), 1.0))
    moved = xyz - min(float(reach), 1.0) * shift
    return np.asarray(moved), tuple((float(x), float(y), float(z)) for x, y, z in columns)
