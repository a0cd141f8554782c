"""The colour on a screen: sRGB, and what to show when the screen cannot."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from scumble.colour.adaptation import adaptation_matrix
from scumble.colour.gamut import reduce_chroma
from scumble.colour.spectrum import spectral_weights, white_point

_Array = NDArray[np.float64]

_PRIMARIES_XY: Final = np.array([[0.64, 0.33], [0.30, 0.60], [0.15, 0.06]])
_WHITE_XY: Final = np.array([0.3127, 0.3290])

IN_GAMUT_TOLERANCE: Final = 1e-4
"""Linear light by which a colour may leave the screen and still count as inside: less than a step of 8 bits."""


def _primaries_to_xyz() -> _Array:
    """Matrix from linear sRGB to XYZ with Y = 1 for white, from the primaries and the white of the standard."""
    xyz = _xy_to_xyz(_PRIMARIES_XY).T
    return np.asarray(xyz * np.linalg.solve(xyz, _xy_to_xyz(_WHITE_XY)), dtype=np.float64)


def _xy_to_xyz(xy: _Array) -> _Array:
    x, y = xy[..., 0], xy[..., 1]
    return np.stack([x / y, np.ones_like(x), (1 - x - y) / y], axis=-1)


LINEAR_RGB_TO_XYZ: Final[_Array] = _primaries_to_xyz()
"""Linear sRGB to XYZ with Y = 1 for white; IEC 61966-2-1:1999 prints it rounded to 4 digits."""

_XYZ_TO_LINEAR_RGB: Final[_Array] = np.asarray(np.linalg.inv(LINEAR_RGB_TO_XYZ), dtype=np.float64)
_SCREEN_WHITE: Final[_Array] = 100.0 * _xy_to_xyz(_WHITE_XY)


def xyz_to_srgb(xyz: ArrayLike, *, light: str = "D65", observer: int = 2) -> tuple[_Array, NDArray[np.bool_]]:
    """Colour on a screen, adapted to the screen's white.

    Parameters
    ----------
    xyz : array, shape (..., 3)
        Tristimulus values with the perfect diffuser at Y = 100.
    light : str
        The light they were computed or measured under; its white becomes the white of the screen.
    observer : int [degrees]
        2 or 10.

    Returns
    -------
    rgb : array, shape (..., 3) [1]
        sRGB, 0-1. A colour beyond the screen keeps its luminance and hue and gives up chroma.
    in_gamut : array of bool, shape (...)
        Whether the screen can show the colour as it is.

    Raises
    ------
    InputError
        When the light or the observer is unknown.

    Notes
    -----
    *Source:* IEC 61966-2-1:1999, sRGB; adaptation by :func:`scumble.colour.adapt_xyz`; chroma by
    :func:`scumble.colour.gamut.reduce_chroma`.

    Examples
    --------
    >>> rgb, in_gamut = xyz_to_srgb(white_point("A", 10), light="A", observer=10)
    >>> rgb.round(6), bool(in_gamut)
    (array([1., 1., 1.]), True)
    """
    adapted = adaptation_matrix(white_point(light, observer), _SCREEN_WHITE)
    return linear_to_srgb(np.asarray(xyz, dtype=np.float64) @ (_XYZ_TO_LINEAR_RGB @ adapted / 100.0).T)


def linear_weights(light: str = "D65", observer: int = 2) -> _Array:
    """Weights that turn a reflectance into linear sRGB by one product, adapted to the screen's white.

    Parameters
    ----------
    light, observer
        As for :func:`xyz_to_srgb`.

    Returns
    -------
    array, shape (36, 3)
        ``reflectance @ weights`` is linear sRGB and may leave 0-1.

    Examples
    --------
    >>> linear_weights("A").sum(axis=0).round(6)
    array([1., 1., 1.])
    """
    adapted = adaptation_matrix(white_point(light, observer), _SCREEN_WHITE)
    return np.asarray(spectral_weights(light, observer) @ (_XYZ_TO_LINEAR_RGB @ adapted / 100.0).T)


def linear_to_srgb(linear: _Array) -> tuple[_Array, NDArray[np.bool_]]:
    """Screen colour from linear light.

    Parameters
    ----------
    linear : array, shape (..., 3) [1]
        Linear sRGB, may leave 0-1.

    Returns
    -------
    rgb, in_gamut
        As from :func:`xyz_to_srgb`.
    """
    low, high = linear.min(axis=-1), linear.max(axis=-1)
    in_gamut = np.asarray((low >= -IN_GAMUT_TOLERANCE) & (high <= 1.0 + IN_GAMUT_TOLERANCE))
    if not in_gamut.all():
        linear = np.array(linear)
        linear[~in_gamut] = reduce_chroma(linear[~in_gamut], luminance=LINEAR_RGB_TO_XYZ[1])
    return encode_srgb(np.clip(linear, 0.0, 1.0)), in_gamut


def srgb_to_xyz(rgb: ArrayLike, *, light: str = "D65", observer: int = 2) -> _Array:
    """Tristimulus values of a screen colour, adapted from the screen's white.

    Parameters
    ----------
    rgb : array, shape (..., 3) [1]
        sRGB, 0-1.
    light, observer
        The light and observer whose white the screen's white becomes.

    Returns
    -------
    array, shape (..., 3)
        XYZ with the perfect diffuser at Y = 100.

    Examples
    --------
    >>> srgb_to_xyz([1.0, 0.0, 0.0]).round(2)
    array([41.24, 21.26,  1.93])
    """
    adapted = adaptation_matrix(_SCREEN_WHITE, white_point(light, observer))
    return np.asarray(decode_srgb(rgb) @ (adapted @ LINEAR_RGB_TO_XYZ * 100.0).T, dtype=np.float64)


def encode_srgb(linear: ArrayLike) -> _Array:
    """Apply the transfer curve of sRGB.

    Parameters
    ----------
    linear : array [1]
        Linear light, 0-1.

    Returns
    -------
    array, same shape [1]
        Encoded value, 0-1.

    Notes
    -----
    *Source:* IEC 61966-2-1:1999 (breaks at 0.0031308 and 0.04045).

    Examples
    --------
    >>> encode_srgb([0.0, 0.18, 1.0]).round(4)
    array([0.    , 0.4614, 1.    ])
    """
    light = np.asarray(linear, dtype=np.float64)
    curved = 1.055 * np.maximum(light, 0.0031308) ** (1 / 2.4) - 0.055
    return np.where(light <= 0.0031308, 12.92 * light, curved)


def decode_srgb(encoded: ArrayLike) -> _Array:
    """Undo the transfer curve of sRGB; the inverse of :func:`encode_srgb`.

    Parameters
    ----------
    encoded : array [1]
        Encoded value, 0-1.

    Returns
    -------
    array, same shape [1]
        Linear light, 0-1.

    Examples
    --------
    >>> decode_srgb([0.0, 0.5, 1.0]).round(4)
    array([0.   , 0.214, 1.   ])
    """
    value = np.asarray(encoded, dtype=np.float64)
    curved = ((np.maximum(value, 0.04045) + 0.055) / 1.055) ** 2.4
    return np.where(value <= 0.04045, value / 12.92, curved)


def rgb_to_hex(rgb: ArrayLike) -> str:
    """Write one screen colour the way style sheets do.

    Parameters
    ----------
    rgb : array, shape (3,) [1]
        sRGB, 0-1; anything beyond is clipped.

    Returns
    -------
    str
        ``#rrggbb``.

    Examples
    --------
    >>> rgb_to_hex([1.0, 0.5, 0.0])
    '#ff8000'
    """
    steps = np.rint(np.clip(np.asarray(rgb, dtype=np.float64), 0.0, 1.0) * 255).astype(int)
    return "#" + "".join(f"{step:02x}" for step in steps)
