"""CIELAB: from tristimulus values and back, its polar form, and its slope."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

_BEND: Final = 6.0 / 29.0
"""Where the cube root gives way to a straight line; CIE 15:2018, 8.2.1."""

_TO_LAB: Final[NDArray[np.float64]] = np.array(
    [[0.0, 116.0, 0.0], [500.0, -500.0, 0.0], [0.0, 200.0, -200.0]]
)


def xyz_to_lab(xyz: ArrayLike, white: ArrayLike) -> NDArray[np.float64]:
    """CIELAB of a colour.

    Parameters
    ----------
    xyz : array, shape (..., 3)
        Tristimulus values.
    white : array, shape (3,) or broadcasting
        Tristimulus values of the white, in the same scale.

    Returns
    -------
    array, shape (..., 3)
        L*, a*, b*.

    Notes
    -----
    *Source:* CIE 15:2018, Colorimetry, 8.2.1; ISO/CIE 11664-4:2019.

    Examples
    --------
    >>> xyz_to_lab([20.0, 20.0, 20.0], [100.0, 100.0, 100.0]).round(3)
    array([51.837,  0.   ,  0.   ])
    """
    ratio = np.asarray(xyz, dtype=np.float64) / np.asarray(white, dtype=np.float64)
    root = np.where(ratio > _BEND**3, np.cbrt(ratio), ratio / (3 * _BEND**2) + 4 / 29)
    lab = np.empty_like(root)
    lab[..., 0] = 116 * root[..., 1] - 16
    lab[..., 1] = 500 * (root[..., 0] - root[..., 1])
    lab[..., 2] = 200 * (root[..., 1] - root[..., 2])
    return lab


def lab_to_xyz(lab: ArrayLike, white: ArrayLike) -> NDArray[np.float64]:
    """Tristimulus values of a CIELAB colour; the inverse of :func:`xyz_to_lab`.

    Parameters
    ----------
    lab : array, shape (..., 3)
        L*, a*, b*.
    white : array, shape (3,) or broadcasting
        Tristimulus values of the white.

    Returns
    -------
    array, shape (..., 3)
        XYZ in the scale of the white.

    Examples
    --------
    >>> lab_to_xyz([50.0, 0.0, 0.0], [100.0, 100.0, 100.0]).round(3)
    array([18.419, 18.419, 18.419])
    """
    lightness, a, b = np.moveaxis(np.asarray(lab, dtype=np.float64), -1, 0)
    middle = (lightness + 16) / 116
    root = np.stack([middle + a / 500, middle, middle - b / 200], axis=-1)
    ratio = np.where(root > _BEND, root**3, 3 * _BEND**2 * (root - 4 / 29))
    return np.asarray(ratio * np.asarray(white, dtype=np.float64), dtype=np.float64)


def xyz_to_lab_jacobian(xyz: ArrayLike, white: ArrayLike) -> NDArray[np.float64]:
    """Slope of CIELAB against tristimulus values.

    Parameters
    ----------
    xyz : array, shape (..., 3)
        Tristimulus values.
    white : array, shape (3,) or broadcasting
        Tristimulus values of the white.

    Returns
    -------
    array, shape (..., 3, 3)
        Row i, column j: change of L*, a*, b* [i] for a unit change of X, Y, Z [j].

    Examples
    --------
    >>> xyz_to_lab_jacobian([100.0, 100.0, 100.0], [100.0, 100.0, 100.0]).round(3)
    array([[ 0.   ,  0.387,  0.   ],
           [ 1.667, -1.667,  0.   ],
           [ 0.   ,  0.667, -0.667]])
    """
    scale = np.asarray(white, dtype=np.float64)
    ratio = np.asarray(xyz, dtype=np.float64) / scale
    curved = 1.0 / (3 * np.cbrt(np.maximum(ratio, _BEND**3)) ** 2)
    slope = np.where(ratio > _BEND**3, curved, 1 / (3 * _BEND**2)) / scale
    return np.asarray(_TO_LAB * slope[..., None, :], dtype=np.float64)


def lab_to_lch(lab: ArrayLike) -> NDArray[np.float64]:
    """Lightness, chroma and hue angle of a CIELAB colour.

    Parameters
    ----------
    lab : array, shape (..., 3)
        L*, a*, b*.

    Returns
    -------
    array, shape (..., 3)
        L*, C*ab and hue angle [degrees], 0 to 360; a neutral has hue 0.

    Examples
    --------
    >>> lab_to_lch([50.0, 0.0, -20.0])
    array([ 50.,  20., 270.])
    """
    lightness, a, b = np.moveaxis(np.asarray(lab, dtype=np.float64), -1, 0)
    hue = np.degrees(np.arctan2(b, a)) % 360.0
    return np.stack([lightness, np.hypot(a, b), np.where(hue == 360.0, 0.0, hue)], axis=-1)


def lch_to_lab(lch: ArrayLike) -> NDArray[np.float64]:
    """CIELAB colour of a lightness, chroma and hue angle; the inverse of :func:`lab_to_lch`.

    Parameters
    ----------
    lch : array, shape (..., 3)
        L*, C*ab and hue angle [degrees].

    Returns
    -------
    array, shape (..., 3)
        L*, a*, b*.

    Examples
    --------
    >>> lch_to_lab([50.0, 20.0, 90.0]).round(6)
    array([50.,  0., 20.])
    """
    lightness, chroma, hue = np.moveaxis(np.asarray(lch, dtype=np.float64), -1, 0)
    angle = np.radians(hue)
    return np.stack([lightness, chroma * np.cos(angle), chroma * np.sin(angle)], axis=-1)
