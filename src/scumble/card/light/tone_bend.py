"""Bends of a tone curve that leave its ends: what a phone adds to the curve its file claims."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from scumble.card.picture.profile import Encoding
from scumble.colour import decode_srgb, encode_srgb

Floats = NDArray[np.float64]

MOST: Final = 0.45
"""Size of either bend beyond which a curve would turn back."""

_NODES: Final = np.linspace(0.0, 1.0, 2049)


def bend_light(light: Floats, bends: Floats) -> Floats:
    """Linear light of what a file with bent codes claims, shape unchanged.

    Parameters
    ----------
    light : array
        As the file's own curve decodes it, 0-1.
    bends : array, shape (2,)
        What was done to the codes: of S shape (more contrast in the middle is above 0), and to one side (a picture
        made lighter is above 0).

    Notes
    -----
    The two lowest polynomials of the code that vanish at black and white were added to it: ``v (1 - v) (2 v - 1)`` and
    ``v (1 - v)``.

    Examples
    --------
    >>> bend_light(np.array([0.0, 0.1, 1.0]), np.array([0.2, 0.0])).round(3).tolist()
    [0.0, 0.108, 1.0]
    """
    s_shape, one_side = bends
    ends = _NODES * (1.0 - _NODES)
    bent = _NODES + s_shape * ends * (2.0 * _NODES - 1.0) + one_side * ends
    code = np.interp(encode_srgb(np.clip(light, 0.0, 1.0)), np.maximum.accumulate(bent), _NODES)
    return np.asarray(decode_srgb(code))


def bend_encoding(encoding: Encoding, bends: Floats) -> Encoding:
    """The same encoding with bent curves."""
    return replace(encoding, curves=bend_light(encoding.curves, bends))
