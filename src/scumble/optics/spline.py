"""Cubic B-splines on an even grid: the tables of the engine are stored as their coefficients."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


def spline_coefficients(values: Floats, axis: int = 0) -> Floats:
    """Coefficients of the natural cubic spline through evenly spaced values.

    Parameters
    ----------
    values : array, shape (..., n, ...)
        Values at the knots along ``axis``, n at least 3.
    axis : int
        Axis of the knots.

    Returns
    -------
    array, n + 2 long along ``axis``
        At a fraction f past knot i the spline is the sum of coefficients i to i+3 with the weights of
        :func:`spline_weights`.

    Notes
    -----
    *Source:* de Boor, A Practical Guide to Splines (1978), chapter IX.

    Examples
    --------
    >>> c = spline_coefficients(np.array([0.0, 1.0, 2.0, 3.0]))
    >>> round(float(spline_weights(0.5) @ c[1:5]), 12)
    1.5
    """
    from scipy.linalg import solve_banded

    knots = np.moveaxis(np.asarray(values, dtype=np.float64), axis, 0)
    inner = 6.0 * knots[1:-1]
    inner[0] -= knots[0]
    inner[-1] -= knots[-1]
    bands = np.ones((3, len(inner)))
    bands[1] = 4.0
    solved = solve_banded((1, 1), bands, inner.reshape(len(inner), -1)).reshape(inner.shape)
    body = np.concatenate([knots[:1], solved, knots[-1:]])
    ends = 2.0 * body[0] - body[1], 2.0 * body[-1] - body[-2]
    return np.moveaxis(np.concatenate([ends[0][None], body, ends[1][None]]), 0, axis)


def spline_weights(fraction: float) -> Floats:
    """Weights of the four coefficients around a point, shape (4,)."""
    f = fraction
    g = 1.0 - f
    return np.array([g**3, 3 * f**3 - 6 * f**2 + 4, 3 * g**3 - 6 * g**2 + 4, f**3]) / 6.0
