"""Chromatic adaptation: the colour that looks the same under another white."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

BRADFORD: Final[NDArray[np.float64]] = np.array(
    [[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]]
)
"""XYZ to sharpened cone responses; ICC.1:2022, Annex E (Lam K M, 1985, PhD thesis, University of Bradford)."""


def adapt_xyz(xyz: ArrayLike, white_from: ArrayLike, white_to: ArrayLike) -> NDArray[np.float64]:
    """Corresponding colour under another white.

    Parameters
    ----------
    xyz : array, shape (..., 3)
        Tristimulus values seen under the first white.
    white_from, white_to : array, shape (3,)
        Tristimulus values of the two whites.

    Returns
    -------
    array, shape (..., 3)
        Tristimulus values that look the same under the second white.

    Notes
    -----
    The linear Bradford transform with complete adaptation.

    *Source:* ICC.1:2022, Image technology colour management, Annex E; matrix of Lam (1985).

    Examples
    --------
    >>> adapt_xyz([96.422, 100.0, 82.521], [96.422, 100.0, 82.521], [95.047, 100.0, 108.883]).round(3)
    array([ 95.047, 100.   , 108.883])
    """
    matrix = adaptation_matrix(white_from, white_to)
    return np.asarray(np.asarray(xyz, dtype=np.float64) @ matrix.T, dtype=np.float64)


def adaptation_matrix(white_from: ArrayLike, white_to: ArrayLike) -> NDArray[np.float64]:
    """Matrix of :func:`adapt_xyz`.

    Parameters
    ----------
    white_from, white_to : array, shape (3,)
        Tristimulus values of the two whites.

    Returns
    -------
    array, shape (3, 3)
        To be multiplied from the left onto XYZ.

    Examples
    --------
    >>> bool(np.allclose(adaptation_matrix([96.42, 100.0, 82.49], [96.42, 100.0, 82.49]), np.eye(3)))
    True
    """
    before = BRADFORD @ np.asarray(white_from, dtype=np.float64)
    after = BRADFORD @ np.asarray(white_to, dtype=np.float64)
    return np.asarray(np.linalg.inv(BRADFORD) @ ((after / before)[:, None] * BRADFORD), dtype=np.float64)
