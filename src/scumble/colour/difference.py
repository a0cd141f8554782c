"""CIEDE2000: how different two colours look, and the same as a local yardstick."""

from __future__ import annotations

from typing import Final, NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

_Array = NDArray[np.float64]

_OPPOSITE: Final = 180.0 + 1e-9
"""Hues exactly opposite count as at most 180 degrees apart, whatever the last bit of the angle says."""

_TINY: Final = 1e-12


class _Weights(NamedTuple):
    lightness: _Array
    chroma: _Array
    hue: _Array
    rotation: _Array


def delta_e_2000(first: ArrayLike, second: ArrayLike) -> _Array:
    """Colour difference CIEDE2000 with all parametric factors 1.

    Parameters
    ----------
    first, second : array, shape (..., 3)
        CIELAB colours; leading axes broadcast.

    Returns
    -------
    array, shape (...)
        Difference; about 1 is the least that can be told apart side by side.

    Notes
    -----
    The formula jumps where two hues are exactly opposite, and its mean hue is undefined for a neutral, where it
    does not matter.

    *Source:* Sharma G, Wu W, Dalal E N (2005) The CIEDE2000 color-difference formula: implementation notes,
    supplementary test data, and mathematical observations, Color Res. Appl. 30(1), 21-30, equations 2-22,
    doi:10.1002/col.20070; ISO/CIE 11664-6:2022.

    Examples
    --------
    >>> float(delta_e_2000([50.0, 2.6772, -79.7751], [50.0, 0.0, -82.7485]).round(4))
    2.0425
    """
    l1, a1, b1 = np.moveaxis(np.asarray(first, dtype=np.float64), -1, 0)
    l2, a2, b2 = np.moveaxis(np.asarray(second, dtype=np.float64), -1, 0)
    stretch = _stretch((np.hypot(a1, b1) + np.hypot(a2, b2)) / 2)
    a1, a2 = a1 * stretch, a2 * stretch
    c1, c2 = np.hypot(a1, b1), np.hypot(a2, b2)
    turn, mean_hue = _hues(a1, b1, a2, b2, neutral=(c1 < _TINY) | (c2 < _TINY))
    weights = _weights((l1 + l2) / 2, (c1 + c2) / 2, mean_hue)
    lightness = (l2 - l1) / weights.lightness
    chroma = (c2 - c1) / weights.chroma
    hue = 2 * np.sqrt(c1 * c2) * np.sin(np.radians(turn / 2)) / weights.hue
    square = lightness**2 + chroma**2 + hue**2 + weights.rotation * chroma * hue
    return np.asarray(np.sqrt(np.maximum(square, 0.0)), dtype=np.float64)


def delta_e_2000_metric(lab: ArrayLike) -> _Array:
    """Matrix that turns a small CIELAB difference into a CIEDE2000 difference.

    Parameters
    ----------
    lab : array, shape (..., 3)
        The colour around which the differences lie.

    Returns
    -------
    array, shape (..., 3, 3)
        M with ``delta_e**2 ~ d @ M @ d`` for a small difference ``d`` in L*, a*, b*; symmetric, positive definite.

    Notes
    -----
    Both colours of a pair share one stretch of the red-green axis, so to first order it is a constant; chroma and
    hue differences are then the turn of (a', b') into the direction of the colour and across it. At the neutral
    axis that direction is free and does not matter.

    *Source:* the limit of the equations of Sharma, Wu & Dalal (2005) for a vanishing difference.

    Examples
    --------
    >>> delta_e_2000_metric([50.0, 0.0, 0.0]).round(6)
    array([[1.  , 0.  , 0.  ],
           [0.  , 2.25, 0.  ],
           [0.  , 0.  , 1.  ]])
    """
    lightness, a, b = np.moveaxis(np.asarray(lab, dtype=np.float64), -1, 0)
    stretch = _stretch(np.hypot(a, b))
    a = a * stretch
    chroma = np.hypot(a, b)
    weights = _weights(lightness, chroma, np.degrees(np.arctan2(b, a)) % 360.0)
    neutral = chroma < _TINY
    along = np.where(neutral, 1.0, a / np.where(neutral, 1.0, chroma))
    across = np.where(neutral, 0.0, b / np.where(neutral, 1.0, chroma))
    to_chroma = np.stack([along * stretch, across], axis=-1) / weights.chroma[..., None]
    to_hue = np.stack([-across * stretch, along], axis=-1) / weights.hue[..., None]
    mixed = weights.rotation[..., None, None] / 2 * _outer(to_chroma, to_hue)
    metric = np.zeros((*lightness.shape, 3, 3))
    metric[..., 0, 0] = 1 / weights.lightness**2
    metric[..., 1:, 1:] = _outer(to_chroma, to_chroma) + _outer(to_hue, to_hue)
    metric[..., 1:, 1:] += mixed + np.swapaxes(mixed, -1, -2)
    return metric


def _stretch(mean_chroma: _Array) -> _Array:
    """Stretch of the red-green axis, 1 + G; equations 4 and 5."""
    return np.asarray(1.5 - 0.5 * _saturation(mean_chroma))


def _saturation(chroma: _Array) -> _Array:
    """Share that rises from 0 at the neutral axis to 1 far from it, half way (in its square) at chroma 25."""
    square = chroma * chroma
    seventh = square * square * square * chroma
    return np.asarray(np.sqrt(seventh / (seventh + 25.0**7)))


def _hues(
    a1: _Array, b1: _Array, a2: _Array, b2: _Array, *, neutral: NDArray[np.bool_]
) -> tuple[_Array, _Array]:
    """Turn from the first hue to the second and their mean [degrees]; equations 7, 10 and 14."""
    h1 = np.degrees(np.arctan2(b1, a1)) % 360.0
    h2 = np.degrees(np.arctan2(b2, a2)) % 360.0
    turn, total = h2 - h1, h1 + h2
    far = np.abs(turn) > _OPPOSITE
    turn = turn - 360.0 * far * np.sign(turn)
    mean = (total + 360.0 * far * np.where(total < 360.0, 1.0, -1.0)) / 2
    return np.where(neutral, 0.0, turn), np.where(neutral, total, mean)


def _weights(lightness: _Array, chroma: _Array, hue: _Array) -> _Weights:
    """Weighting functions at a mean colour; equations 15 to 21."""
    angle = np.radians(hue)
    waves = (
        1.0
        - 0.17 * np.cos(angle - np.radians(30.0))
        + 0.24 * np.cos(2 * angle)
        + 0.32 * np.cos(3 * angle + np.radians(6.0))
        - 0.20 * np.cos(4 * angle - np.radians(63.0))
    )
    middle = (lightness - 50.0) ** 2
    swing = np.radians(60.0) * np.exp(-(((hue - 275.0) / 25.0) ** 2))
    return _Weights(
        lightness=np.asarray(1.0 + 0.015 * middle / np.sqrt(20.0 + middle)),
        chroma=np.asarray(1.0 + 0.045 * chroma),
        hue=np.asarray(1.0 + 0.015 * chroma * waves),
        rotation=np.asarray(-2.0 * np.sin(swing) * _saturation(chroma)),
    )


def _outer(left: _Array, right: _Array) -> _Array:
    return left[..., :, None] * right[..., None, :]
