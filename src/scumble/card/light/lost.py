"""Channels at the low end of their scale: a colour the picture's space cannot hold, and what it probably was."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from scumble.card.light.beyond_space import lost_in
from scumble.card.photographed import Direction

Floats = NDArray[np.float64]

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
    >>> from scumble.colour.screen import LINEAR_RGB_TO_XYZ
    >>> light, lost = np.array([0.9, 0.8, 0.0]), np.array([False, False, True])
    >>> xyz = 100 * LINEAR_RGB_TO_XYZ @ light
    >>> moved, (blue,) = restore_lost(xyz, light, 100 * LINEAR_RGB_TO_XYZ, lost)
    >>> (moved - xyz).round(1).tolist(), [round(part, 1) for part in blue]
    ([-0.6, -0.2, -2.9], [0.7, 0.3, 3.5])
    """
    highest = float(np.max(light))
    learnt = lost_in(rgb_to_xyz)
    spread = np.maximum(highest * np.array(learnt.spread), LEAST_SPREAD)
    columns = (rgb_to_xyz * spread)[:, lost].T
    shift = rgb_to_xyz @ np.where(lost, -highest * np.array(learnt.middle), 0.0)
    reach = np.min(np.where(shift > 0, (1.0 - KEPT) * xyz / np.maximum(shift, 1e-12), 1.0))
    moved = xyz - min(float(reach), 1.0) * shift
    return np.asarray(moved), tuple((float(x), float(y), float(z)) for x, y, z in columns)
