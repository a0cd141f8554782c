"""Bring a colour that no screen can show back into reach, keeping its lightness and hue."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

_Array = NDArray[np.float64]

_RGB_TO_CONES: Final[_Array] = np.array(
    [
        [0.4122214708, 0.5363325363, 0.0514459929],
        [0.2119034982, 0.6806995451, 0.1073969566],
        [0.0883024619, 0.2817188376, 0.6299787005],
    ]
)
_CONES_TO_OPPONENT: Final[_Array] = np.array(
    [
        [0.2104542553, 0.7936177850, -0.0040720468],
        [1.9779984951, -2.4285922050, 0.4505937099],
        [0.0259040371, 0.7827717662, -0.8086757660],
    ]
)
"""Linear sRGB to cones, and their cube roots to lightness, green-red and blue-yellow: Oklab, Ottosson (2020)."""

_CONES_TO_RGB: Final[_Array] = np.asarray(np.linalg.inv(_RGB_TO_CONES), dtype=np.float64)
_OPPONENT_TO_CONES: Final[_Array] = np.asarray(np.linalg.inv(_CONES_TO_OPPONENT), dtype=np.float64)

_HALVINGS: Final = 14
"""Of the interval of chroma; leaves 6e-5 of it, far below a step of 8 bits."""

_DARKEST: Final = 1e-6
"""Least Oklab lightness; keeps the ratio of chroma to lightness finite for black."""


def rgb_to_opponent(linear: ArrayLike) -> _Array:
    """Oklab of a linear screen colour.

    Parameters
    ----------
    linear : array, shape (..., 3) [1]
        Linear sRGB, may leave 0-1.

    Returns
    -------
    array, shape (..., 3)
        Lightness, green-red and blue-yellow; lines of one hue are nearly straight.

    Notes
    -----
    *Source:* Ottosson B (2020) A perceptual color space for image processing; W3C CSS Color Module Level 4.

    Examples
    --------
    >>> rgb_to_opponent([1.0, 1.0, 1.0]).round(6)
    array([1., 0., 0.])
    """
    cones = np.cbrt(np.asarray(linear, dtype=np.float64) @ _RGB_TO_CONES.T)
    return np.asarray(cones @ _CONES_TO_OPPONENT.T, dtype=np.float64)


def reduce_chroma(linear: ArrayLike, *, luminance: ArrayLike) -> _Array:
    """Move colours towards the grey of their own luminance until the screen can show them.

    Parameters
    ----------
    linear : array, shape (colours, 3) [1]
        Linear sRGB beyond 0-1.
    luminance : array, shape (3,) [1]
        Luminance of each primary; they sum to 1.

    Returns
    -------
    array, shape (colours, 3) [1]
        Linear sRGB within 0-1, of the same luminance and Oklab hue and the largest chroma that fits. A luminance
        beyond 0-1 becomes black or white.

    Examples
    --------
    >>> reduce_chroma([[1.2, 0.3, -0.1]], luminance=[0.2126, 0.7152, 0.0722]).round(2)
    array([[0.98, 0.35, 0.  ]])
    """
    wanted = np.asarray(linear, dtype=np.float64)
    weights = np.asarray(luminance, dtype=np.float64)
    light = np.clip(wanted @ weights, 0.0, 1.0)
    cubic = _hue_line(wanted)
    low, high = np.zeros_like(light), np.ones_like(light)
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        trial = _along(cubic, middle)
        fits = (trial.min(axis=0) >= 0.0) & (trial.max(axis=0) * light <= weights @ trial)
        np.copyto(low, middle, where=fits)
        np.copyto(high, middle, where=~fits)
    found = _along(cubic, low)
    return np.asarray((found * (light / (weights @ found))).T, dtype=np.float64)


def _hue_line(linear: _Array) -> tuple[_Array, ...]:
    """Coefficients, each of shape (3, colours), of the line from grey to a colour in linear sRGB.

    Scaling linear light leaves the Oklab hue as it is, so only the ratio of chroma to lightness matters: with the
    lightness set to 1 the cones are cubes of a straight line in it, and their mixture is a cubic.
    """
    opponent = rgb_to_opponent(linear).T
    offsets = _OPPONENT_TO_CONES[:, 1:] @ (opponent[1:] / np.maximum(opponent[0], _DARKEST))
    return tuple(
        np.asarray(times * (_CONES_TO_RGB @ offsets**power), dtype=np.float64)
        for power, times in enumerate((1, 3, 3, 1))
    )


def _along(cubic: tuple[_Array, ...], share: _Array) -> _Array:
    """Linear sRGB, shape (3, colours), of lightness 1 at a share of the whole chroma."""
    constant, first, second, third = cubic
    return ((third * share + second) * share + first) * share + constant
