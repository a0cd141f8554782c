"""The transport engine: films on films, solved exactly in a few directions.

The stack is worked from the air down. At each depth the light obeys ``D = s - F S`` (see :mod:`modes` for S and
D): F is what the films above do to light from below, s what they let through of the light from the normal, and
y carries back up whatever gets out into the air. A film changes them by one small Cholesky factorisation,

    (C + F) = K K',   Z = K^-1 [H s y],   F <- C - Zh' Zh,   s <- Zh' zs,   y <- Zh' zy,   reflected += zy . zs

which is stable for any thickness because C, F and C - H C^-1 H are positive. The films' own angular spread is
kept throughout; a chain of scalar reflectances would lose it.
"""

from __future__ import annotations

import numpy as np
from numba import njit
from numpy.typing import ArrayLike, NDArray

from scumble.optics.modes import LOG_RATIO_KNOTS, LOG_RATIO_START, LOG_RATIO_STEP, Modes, modes_table
from scumble.optics.response import Response
from scumble.optics.streams import STREAMS

Floats = NDArray[np.float64]

N = STREAMS
LANES = 32
"""Stacks solved side by side: the innermost loop of every step, so that it runs in vector instructions."""

THINNEST = 3e-8
"""Smallest optical depth of a film and smallest scattering per absorption; below them nothing more changes."""

MATH = {"reassoc", "contract", "arcp", "nsz"}


def stack_response(absorption: ArrayLike, scattering: ArrayLike, *, index: float = 1.5) -> Response:
    """Response of a stack of films of one binder.

    Parameters
    ----------
    absorption, scattering : array, shape (..., films, bands) [1]
        Absorption depth and reduced-scattering depth of each film, top film first, 0 or more.
    index : float [1]
        Refractive index shared by all films.

    Returns
    -------
    Response
        Four arrays of shape (..., bands).

    Notes
    -----
    Discrete ordinates with 8 directions a hemisphere, Henyey-Greenstein scattering with asymmetry 0.6.
    *Source:* Stamnes, Tsay, Wiscombe & Jayaweera, Appl. Opt. 27, 2502 (1988) for discrete ordinates in layers;
    the symmetric admittance form is derived in :mod:`scumble.optics.modes`.

    Examples
    --------
    A film of albedo 0.9 and optical thickness 2, over black and over a ground of 0.8:

    >>> film = stack_response([[0.2]], [[0.72]])
    >>> film.over(0.0).round(4).tolist(), film.over(0.8).round(4).tolist()
    ([0.0646], [0.225])
    """
    a, s = np.broadcast_arrays(
        np.asarray(absorption, dtype=np.float64), np.asarray(scattering, dtype=np.float64)
    )
    bands_first = np.moveaxis(np.stack([a, s], axis=-1), -3, -2)
    shape = bands_first.shape[:-2]
    depths = np.ascontiguousarray(bands_first).reshape(-1, a.shape[-2], 2)
    modes = modes_table(index)
    *face, start = _face_terms(modes)
    out = np.empty((len(depths), 4))
    _solve_stacks(depths, modes.coefficients, modes.thickening, tuple(face), start, out)
    return Response(*np.moveaxis(out.reshape(*shape, 4), -1, 0))


def _face_terms(modes: Modes) -> tuple[Floats, Floats, Floats, Floats, float]:
    """What the air face contributes before any film: flux, admittance F, s, y and the light reflected."""
    reflectance, flux = modes.streams.face_reflectance, modes.streams.flux
    admittance = (1.0 - reflectance) / (1.0 + reflectance)
    source = np.zeros(N)
    source[-1] = 2.0 * admittance[-1] / flux[-1]
    # The mirror reflection is left out, so what was never let in is taken off what S holds at the face.
    reflected = -admittance[-1] * (1.0 - reflectance[-1])
    return flux, admittance, source, flux * admittance, float(reflected)


@njit(cache=True, fastmath=MATH, error_model="numpy")
def _look_up_modes(table, log_ratio, row, lane):  # type: ignore[no-untyped-def]
    """Write the decay rates squared and the modes of one ratio into a lane of ``row``."""
    place = (log_ratio - LOG_RATIO_START) / LOG_RATIO_STEP
    place = min(max(place, 0.0), LOG_RATIO_KNOTS - 1.000001)
    knot = int(place)
    f = place - knot
    g = 1.0 - f
    w0 = g * g * g / 6.0
    w1 = (3.0 * f * f * f - 6.0 * f * f + 4.0) / 6.0
    w2 = (3.0 * g * g * g - 6.0 * g * g + 4.0) / 6.0
    w3 = f * f * f / 6.0
    for i in range(N + N * N):
        row[i, lane] = (
            w0 * table[knot, i] + w1 * table[knot + 1, i] + w2 * table[knot + 2, i] + w3 * table[knot + 3, i]
        )


@njit(cache=True, fastmath=MATH, error_model="numpy")
def _film_matrices(row, depth, c, h, near, far):  # type: ignore[no-untyped-def]
    """Write the lower halves of C and H of films of the given optical depths."""
    for m in range(N):
        for w in range(LANES):
            x2 = max(row[m, w], 0.0) * depth[w] * depth[w]
            x = np.sqrt(x2)
            e = np.exp(-x)
            if x2 < 1e-6:
                near[m, w] = (1.0 + x2 / 3.0) / depth[w]
                far[m, w] = (1.0 - x2 / 6.0) / depth[w]
            else:
                near[m, w] = x / depth[w] * (1.0 + e * e) / (1.0 - e * e)
                far[m, w] = 2.0 * x / depth[w] * e / (1.0 - e * e)
    for i in range(N):
        for j in range(i + 1):
            for w in range(LANES):
                c[i, j, w] = 0.0
                h[i, j, w] = 0.0
            for m in range(N):
                a, b = N + m * N + i, N + m * N + j
                for w in range(LANES):
                    product = row[a, w] * row[b, w]
                    c[i, j, w] += near[m, w] * product
                    h[i, j, w] += far[m, w] * product


@njit(cache=True, fastmath=MATH, error_model="numpy")
def _forward_substitute(k, z, columns):  # type: ignore[no-untyped-def]
    """Factorise ``k = K K'`` in place, from its lower half, and overwrite ``z`` with ``K^-1 z``."""
    for i in range(N):
        for j in range(i):
            for m in range(j):
                for w in range(LANES):
                    k[i, j, w] -= k[i, m, w] * k[j, m, w]
            for w in range(LANES):
                k[i, j, w] *= k[j, j, w]
        for m in range(i):
            for w in range(LANES):
                k[i, i, w] -= k[i, m, w] * k[i, m, w]
        for w in range(LANES):
            k[i, i, w] = 1.0 / np.sqrt(k[i, i, w])
        for j in range(columns):
            for m in range(i):
                for w in range(LANES):
                    z[i, j, w] -= k[i, m, w] * z[m, j, w]
            for w in range(LANES):
                z[i, j, w] *= k[i, i, w]


@njit(cache=True, fastmath=MATH, error_model="numpy")
def _add_films(c, h, f, s, y, reflected, k, z):  # type: ignore[no-untyped-def]
    """Carry F (lower half), s, y and the light reflected so far through one film in place."""
    for i in range(N):
        for j in range(i + 1):
            for w in range(LANES):
                k[i, j, w] = c[i, j, w] + f[i, j, w]
                z[i, j, w] = h[i, j, w]
                z[j, i, w] = h[i, j, w]
        for w in range(LANES):
            z[i, N, w] = s[i, w]
            z[i, N + 1, w] = y[i, w]
    _forward_substitute(k, z, N + 2)
    s[:] = 0.0
    y[:] = 0.0
    for i in range(N):
        for j in range(i + 1):
            for w in range(LANES):
                f[i, j, w] = c[i, j, w]
            for m in range(N):
                for w in range(LANES):
                    f[i, j, w] -= z[m, i, w] * z[m, j, w]
        for m in range(N):
            for w in range(LANES):
                s[i, w] += z[m, i, w] * z[m, N, w]
                y[i, w] += z[m, i, w] * z[m, N + 1, w]
        for w in range(LANES):
            reflected[w] += z[i, N, w] * z[i, N + 1, w]


@njit(cache=True, fastmath=MATH, error_model="numpy")
def _meet_ground(f, s, y, flux, reflected, k, z, out):  # type: ignore[no-untyped-def]
    """Write the four numbers of each stack once all its films are added."""
    for i in range(N):
        for j in range(i + 1):
            k[i, j] = f[i, j]
        k[i, i] += 1.0
        z[i, 0], z[i, 1], z[i, 2] = s[i], y[i], flux[i]
    _forward_substitute(k, z, 3)
    for w in range(out.shape[0]):
        out[w, 0], out[w, 1], out[w, 2], out[w, 3] = reflected[w], 0.0, 0.0, -1.0
        for i in range(N):
            out[w, 0] += z[i, 0, w] * z[i, 1, w]
            out[w, 1] += z[i, 0, w] * z[i, 2, w]
            out[w, 2] += 2.0 * z[i, 1, w] * z[i, 2, w]
            out[w, 3] += 2.0 * z[i, 2, w] * z[i, 2, w]


@njit(cache=True, fastmath=MATH, error_model="numpy")
def _solve_stacks(depths, table, thickening, face, start, out):  # type: ignore[no-untyped-def]
    """Fill ``out[p] = reflected, inward, outward, returned`` for every stack ``depths[p]``."""
    flux, admittance, source, leaving = face
    row, depth, reflected = np.empty((N + N * N, LANES)), np.empty(LANES), np.empty(LANES)
    near, far, s, y = np.empty((N, LANES)), np.empty((N, LANES)), np.empty((N, LANES)), np.empty((N, LANES))
    c, h, k, f = (
        np.empty((N, N, LANES)),
        np.empty((N, N, LANES)),
        np.empty((N, N, LANES)),
        np.empty((N, N, LANES)),
    )
    z = np.empty((N, N + 2, LANES))
    last = depths.shape[0] - 1
    for first in range(0, last + 1, LANES):
        f[:] = 0.0
        reflected[:] = start
        for i in range(N):
            f[i, i], s[i], y[i] = admittance[i], source[i], leaving[i]
        for film in range(depths.shape[1]):
            for w in range(LANES):
                absorbed, scattered = depths[min(first + w, last), film]
                depth[w] = max(absorbed + thickening * scattered, THINNEST)
                ratio = max(absorbed, 1e-300) / max(scattered, THINNEST * absorbed, 1e-300)
                _look_up_modes(table, np.log(ratio), row, w)
            _film_matrices(row, depth, c, h, near, far)
            _add_films(c, h, f, s, y, reflected, k, z)
        _meet_ground(f, s, y, flux, reflected, k, z, out[first : first + LANES])
