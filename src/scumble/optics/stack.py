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
THINNEST = 1e-9
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
def _look_up_modes(table, log_ratio, row):  # type: ignore[no-untyped-def]
    """Write the decay rates squared and the modes of one ratio into ``row``."""
    place = (log_ratio - LOG_RATIO_START) / LOG_RATIO_STEP
    place = min(max(place, 0.0), LOG_RATIO_KNOTS - 1.000001)
    knot = int(place)
    f = place - knot
    g = 1.0 - f
    w0 = g * g * g / 6.0
    w1 = (3.0 * f * f * f - 6.0 * f * f + 4.0) / 6.0
    w2 = (3.0 * g * g * g - 6.0 * g * g + 4.0) / 6.0
    w3 = f * f * f / 6.0
    t0, t1, t2, t3 = table[knot], table[knot + 1], table[knot + 2], table[knot + 3]
    for i in range(N + N * N):
        row[i] = w0 * t0[i] + w1 * t1[i] + w2 * t2[i] + w3 * t3[i]


@njit(cache=True, fastmath=MATH, error_model="numpy")
def _film_matrices(row, depth, c, h):  # type: ignore[no-untyped-def]
    """Write the matrices C and H of a film of the given optical depth."""
    c[:] = 0.0
    h[:] = 0.0
    for m in range(N):
        x2 = max(row[m], 0.0) * depth * depth
        if x2 < 1e-6:
            near, far = (1.0 + x2 / 3.0) / depth, (1.0 - x2 / 6.0) / depth
        else:
            x = np.sqrt(x2)
            e = np.exp(-x)
            far = 2.0 * (x / depth) * e / (1.0 - e * e)
            near = (x / depth) * (1.0 + e * e) / (1.0 - e * e)
        mode = row[N + m * N : N + (m + 1) * N]
        for i in range(N):
            near_i = near * mode[i]
            far_i = far * mode[i]
            for j in range(N):
                c[i, j] += near_i * mode[j]
                h[i, j] += far_i * mode[j]


@njit(cache=True, fastmath=MATH, error_model="numpy")
def _forward_substitute(k, z, columns):  # type: ignore[no-untyped-def]
    """Factorise ``k = K K'`` in place and overwrite ``z`` with ``K^-1 z``."""
    for i in range(N):
        for j in range(i):
            total = k[i, j]
            for m in range(j):
                total -= k[i, m] * k[j, m]
            k[i, j] = total * k[j, j]
        total = k[i, i]
        for m in range(i):
            total -= k[i, m] * k[i, m]
        k[i, i] = 1.0 / np.sqrt(total)
        for m in range(i):
            factor = k[i, m]
            for j in range(columns):
                z[i, j] -= factor * z[m, j]
        for j in range(columns):
            z[i, j] *= k[i, i]


@njit(cache=True, fastmath=MATH, error_model="numpy")
def _add_film(c, h, f, s, y, k, z):  # type: ignore[no-untyped-def]
    """Carry F, s and y through one film in place; return the light this reflects."""
    for i in range(N):
        for j in range(N):
            k[i, j] = c[i, j] + f[i, j]
            z[i, j] = h[i, j]
        z[i, N] = s[i]
        z[i, N + 1] = y[i]
    _forward_substitute(k, z, N + 2)
    f[:] = c
    s[:] = 0.0
    y[:] = 0.0
    reflected = 0.0
    for i in range(N):
        reflected += z[i, N] * z[i, N + 1]
        for a in range(N):
            s[a] += z[i, a] * z[i, N]
            y[a] += z[i, a] * z[i, N + 1]
            for b in range(N):
                f[a, b] -= z[i, a] * z[i, b]
    return reflected


@njit(cache=True, fastmath=MATH, error_model="numpy")
def _meet_ground(f, s, y, flux, k, z, reflected, out):  # type: ignore[no-untyped-def]
    """Write the four numbers of a stack once all its films are added."""
    for i in range(N):
        for j in range(N):
            k[i, j] = f[i, j]
        k[i, i] += 1.0
        z[i, 0], z[i, 1], z[i, 2] = s[i], y[i], flux[i]
    _forward_substitute(k, z, 3)
    inward, outward, returned = 0.0, 0.0, 0.0
    for i in range(N):
        reflected += z[i, 0] * z[i, 1]
        inward += z[i, 0] * z[i, 2]
        outward += z[i, 1] * z[i, 2]
        returned += z[i, 2] * z[i, 2]
    out[0], out[1], out[2], out[3] = reflected, inward, 2.0 * outward, 2.0 * returned - 1.0


@njit(cache=True, fastmath=MATH, error_model="numpy")
def _solve_stacks(depths, table, thickening, face, start, out):  # type: ignore[no-untyped-def]
    """Fill ``out[p] = reflected, inward, outward, returned`` for every stack ``depths[p]``."""
    row = np.empty(N + N * N)
    c, h, k, f = np.empty((N, N)), np.empty((N, N)), np.empty((N, N)), np.empty((N, N))
    z = np.empty((N, N + 2))
    flux, admittance, source, leaving = face
    for p in range(depths.shape[0]):
        s, y = source.copy(), leaving.copy()
        f[:] = 0.0
        for i in range(N):
            f[i, i] = admittance[i]
        reflected = start
        for film in range(depths.shape[1]):
            absorbed, scattered = depths[p, film, 0], depths[p, film, 1]
            depth = absorbed + thickening * scattered
            if depth > THINNEST:
                _look_up_modes(table, np.log(absorbed / max(scattered, THINNEST * absorbed)), row)
                _film_matrices(row, depth, c, h)
                reflected += _add_film(c, h, f, s, y, k, z)
        _meet_ground(f, s, y, flux, k, z, reflected, out[p])
