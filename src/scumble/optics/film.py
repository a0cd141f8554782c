"""One film over a ground at the price of a look-up.

The four numbers of a single film are smooth functions of its absorption depth a and its reduced-scattering
depth s. They are computed once by the engine on an even grid of ``log(a + a0)`` and ``log(s + s0)`` and read back
through a bicubic spline, with exact derivatives of that spline.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numba import njit
from numpy.typing import ArrayLike, NDArray

from scumble.optics.response import Response
from scumble.optics.spline import spline_coefficients
from scumble.optics.stack import MATH, stack_response

Floats = NDArray[np.float64]

KNOTS = 80
ABSORPTION_OFFSET = 2e-4
SCATTERING_OFFSET = 1e-3
DEEPEST = 1000.0
"""Largest depth in the table; deeper films are scaled down to it, which leaves an endless film unchanged."""

ABSORPTION_START = np.log(ABSORPTION_OFFSET)
SCATTERING_START = np.log(SCATTERING_OFFSET)
ABSORPTION_STEP = (np.log(DEEPEST + ABSORPTION_OFFSET) - ABSORPTION_START) / (KNOTS - 1)
SCATTERING_STEP = (np.log(DEEPEST + SCATTERING_OFFSET) - SCATTERING_START) / (KNOTS - 1)


@lru_cache(maxsize=8)
def film_table(index: float) -> Floats:
    """Spline coefficients of the single film, shape (knots + 2, knots + 2, 4); built in some 50 ms, then kept."""
    steps = np.arange(KNOTS)
    absorption = np.exp(ABSORPTION_START + ABSORPTION_STEP * steps) - ABSORPTION_OFFSET
    scattering = np.exp(SCATTERING_START + SCATTERING_STEP * steps) - SCATTERING_OFFSET
    stacks = np.maximum(absorption, 0.0)[:, None, None], np.maximum(scattering, 0.0)[None, None, :]
    response = stack_response(*stacks, index=index)
    values = np.stack([response.reflected, response.inward, response.outward, response.returned], axis=-1)
    return np.ascontiguousarray(spline_coefficients(spline_coefficients(values, axis=0), axis=1))


def film_response(absorption: ArrayLike, scattering: ArrayLike, *, index: float = 1.5) -> Response:
    """Response of one film.

    Parameters
    ----------
    absorption, scattering : array, broadcastable to each other [1]
        Absorption depth and reduced-scattering depth, 0 or more.
    index : float [1]
        Refractive index of the binder.

    Returns
    -------
    Response
        Four arrays of the common shape.

    Examples
    --------
    >>> film_response(0.2, 0.72).over(0.8).round(4).item()
    0.225
    """
    a, s, shape = _flat_pair(absorption, scattering)
    out = np.empty((a.size, 4))
    look_up_film(film_table(index), a, s, out)
    return Response(*np.moveaxis(out.reshape(*shape, 4), -1, 0))


def film_response_and_slopes(
    absorption: ArrayLike, scattering: ArrayLike, *, index: float = 1.5
) -> tuple[Response, Response, Response]:
    """Response of one film and its derivatives with respect to absorption and to scattering depth.

    Parameters
    ----------
    absorption, scattering : array, broadcastable to each other [1]
        Absorption depth and reduced-scattering depth, 0 or more.

    Returns
    -------
    response, absorption_slope, scattering_slope : Response
        The slopes hold the derivative of each of the four numbers.
    """
    a, s, shape = _flat_pair(absorption, scattering)
    out = np.empty((a.size, 3, 4))
    look_up_film_with_slopes(film_table(index), a, s, out)
    parts = np.moveaxis(out.reshape(*shape, 3, 4), (-2, -1), (0, 1))
    return Response(*parts[0]), Response(*parts[1]), Response(*parts[2])


def _flat_pair(absorption: ArrayLike, scattering: ArrayLike) -> tuple[Floats, Floats, tuple[int, ...]]:
    a, s = np.broadcast_arrays(
        np.asarray(absorption, dtype=np.float64), np.asarray(scattering, dtype=np.float64)
    )
    return np.ascontiguousarray(a).reshape(-1), np.ascontiguousarray(s).reshape(-1), a.shape


@njit(cache=True, fastmath=MATH, error_model="numpy")
def _place(a, s):  # type: ignore[no-untyped-def]
    """Knot and fraction on both axes, and the factor that brings a too deep film into the table."""
    scale = min(1.0, DEEPEST / max(a, s, 1e-300))
    u = (np.log(a * scale + ABSORPTION_OFFSET) - ABSORPTION_START) / ABSORPTION_STEP
    v = (np.log(s * scale + SCATTERING_OFFSET) - SCATTERING_START) / SCATTERING_STEP
    i = min(max(int(u), 0), KNOTS - 2)
    j = min(max(int(v), 0), KNOTS - 2)
    return i, u - i, j, v - j, scale


@njit(cache=True, fastmath=MATH, error_model="numpy")
def _weights(f):  # type: ignore[no-untyped-def]
    g = 1.0 - f
    return (
        g * g * g / 6.0,
        (3.0 * f * f * f - 6.0 * f * f + 4.0) / 6.0,
        (3.0 * g * g * g - 6.0 * g * g + 4.0) / 6.0,
        f * f * f / 6.0,
    )


@njit(cache=True, fastmath=MATH, error_model="numpy")
def _weight_slopes(f):  # type: ignore[no-untyped-def]
    g = 1.0 - f
    return -0.5 * g * g, 1.5 * f * f - 2.0 * f, -1.5 * g * g + 2.0 * g, 0.5 * f * f


@njit(cache=True, fastmath=MATH, error_model="numpy")
def look_up_film(table, absorption, scattering, out):  # type: ignore[no-untyped-def]
    """Fill ``out[p] = reflected, inward, outward, returned``."""
    for p in range(absorption.size):
        i, f, j, g, _ = _place(absorption[p], scattering[p])
        across = _weights(g)
        r, t, o, b = 0.0, 0.0, 0.0, 0.0
        for m, w in enumerate(_weights(f)):
            row = table[i + m]
            for n in range(4):
                x = w * across[n]
                cell = row[j + n]
                r += x * cell[0]
                t += x * cell[1]
                o += x * cell[2]
                b += x * cell[3]
        out[p, 0], out[p, 1], out[p, 2], out[p, 3] = r, t, o, b


@njit(cache=True, fastmath=MATH, error_model="numpy")
def look_up_film_with_slopes(table, absorption, scattering, out):  # type: ignore[no-untyped-def]
    """Fill ``out[p]`` with the four numbers, their absorption slopes and their scattering slopes."""
    for p in range(absorption.size):
        i, f, j, g, scale = _place(absorption[p], scattering[p])
        down, across = _weights(f), _weights(g)
        down_slope, across_slope = _weight_slopes(f), _weight_slopes(g)
        per_a = scale / (ABSORPTION_STEP * (absorption[p] * scale + ABSORPTION_OFFSET))
        per_s = scale / (SCATTERING_STEP * (scattering[p] * scale + SCATTERING_OFFSET))
        out[p] = 0.0
        for m in range(4):
            for n in range(4):
                value = down[m] * across[n]
                slope_a = down_slope[m] * across[n] * per_a
                slope_s = down[m] * across_slope[n] * per_s
                cell = table[i + m, j + n]
                for q in range(4):
                    out[p, 0, q] += value * cell[q]
                    out[p, 1, q] += slope_a * cell[q]
                    out[p, 2, q] += slope_s * cell[q]
