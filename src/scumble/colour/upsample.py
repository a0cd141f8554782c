"""A smooth reflectance for every colour of a picture, thousands at a time."""

from __future__ import annotations

import numpy as np
from numba import njit
from numpy.typing import ArrayLike, NDArray

from scumble.colour.spectrum import spectral_weights
from scumble.tables import BANDS

Floats = NDArray[np.float64]

DARKEST, BRIGHTEST = 2e-4, 1.0 - 2e-3
"""Share of white between which tristimulus values are taken: the curves reach neither 0 nor 1."""

MOST_STEPS = 60
CLOSE = 1e-7
"""Largest miss, as a difference of logits, at which a colour counts as met."""

LONGEST_STEP = 2.0
"""Of a coefficient, relative to one more than the largest of them: farther away the slopes no longer hold."""

LEAST_DAMPING = 1e-3

MATH = {"reassoc", "contract", "arcp", "nsz"}


def upsample_colours(xyz: ArrayLike, *, light: str = "D65", observer: int = 2) -> Floats:
    """Smooth reflectances between 0 and 1 that have given colours.

    Parameters
    ----------
    xyz : array, shape (..., 3)
        Tristimulus values, perfect diffuser at Y = 100.
    light, observer
        What the colours were seen under and by.

    Returns
    -------
    array, shape (..., 36) [1]
        Reflectance. A colour that no such curve reaches gets the nearest that was found.

    Notes
    -----
    ``R = 1/2 + x / (2 sqrt(1 + x^2))`` with x a quadratic in wavelength. Its three coefficients are found by
    damped Newton steps on the logits of the tristimulus values, which start from the grey of the same luminance.
    *Source:* Jakob & Hanika, A low-dimensional function space for efficient spectral upsampling, Comput. Graph.
    Forum 38(2), 147 (2019), equations 2 and 3, DOI 10.1111/cgf.13626.

    Examples
    --------
    >>> r = upsample_colours([[19.0, 20.0, 21.8], [30.0, 20.0, 4.0]])
    >>> (r @ spectral_weights("D65", 2)).round(4).tolist()
    [[19.0, 20.0, 21.8], [30.0, 20.0, 4.0]]
    """
    wanted = np.asarray(xyz, dtype=np.float64)
    weights = spectral_weights(light, observer)
    white = weights.sum(axis=0)
    share = np.clip(wanted / white, DARKEST, BRIGHTEST).reshape(-1, 3)
    out = np.empty((len(share), BANDS))
    place = np.linspace(-1.0, 1.0, BANDS)
    _find_curves(np.log(share / (1.0 - share)), np.ascontiguousarray((weights / white).T), place, out)
    return out.reshape(*wanted.shape[:-1], BANDS)


@njit(cache=True, fastmath=MATH, error_model="numpy")
def _look(curve, weights, place, logits, slopes):  # type: ignore[no-untyped-def]
    """Write the logits of one curve's tristimulus values, and their slopes by its coefficients."""
    for i in range(3):
        share, by0, by1, by2 = 0.0, 0.0, 0.0, 0.0
        for band in range(place.size):
            p, w = place[band], weights[i, band]
            x = (curve[2] * p + curve[1]) * p + curve[0]
            inverse = 1.0 / np.sqrt(1.0 + x * x)
            slope = 0.5 * w * inverse * inverse * inverse
            share += w * (0.5 + 0.5 * x * inverse)
            by0 += slope
            by1 += slope * p
            by2 += slope * p * p
        share = min(max(share, 1e-12), 1.0 - 1e-12)
        stretch = 1.0 / (share * (1.0 - share))
        logits[i] = np.log(share / (1.0 - share))
        slopes[i, 0], slopes[i, 1], slopes[i, 2] = by0 * stretch, by1 * stretch, by2 * stretch


@njit(cache=True, error_model="numpy")
def _newton_step(slopes, miss, step):  # type: ignore[no-untyped-def]
    """Write the step that would remove the miss, by Cramer's rule; False where there is none."""
    c = np.empty((3, 3))
    for i in range(3):
        for j in range(3):
            a, b, d, e = (i + 1) % 3, (i + 2) % 3, (j + 1) % 3, (j + 2) % 3
            c[i, j] = slopes[a, d] * slopes[b, e] - slopes[a, e] * slopes[b, d]
    determinant = slopes[0, 0] * c[0, 0] + slopes[0, 1] * c[0, 1] + slopes[0, 2] * c[0, 2]
    if abs(determinant) < 1e-300:
        return False
    for j in range(3):
        step[j] = (c[0, j] * miss[0] + c[1, j] * miss[1] + c[2, j] * miss[2]) / determinant
    return True


@njit(cache=True, error_model="numpy")
def _shorten(step, curve):  # type: ignore[no-untyped-def]
    """Scale a step that leaves the reach of the slopes."""
    reach = LONGEST_STEP * (1.0 + max(abs(curve[0]), abs(curve[1]), abs(curve[2])))
    longest = max(abs(step[0]), abs(step[1]), abs(step[2]))
    if longest > reach:
        step *= reach / longest


@njit(cache=True, error_model="numpy")
def _find_curve(goal, weights, place, curve):  # type: ignore[no-untyped-def]
    """Overwrite ``curve`` with the coefficients whose logits are ``goal``."""
    logits, slopes, miss = np.empty(3), np.empty((3, 3)), np.empty(3)
    step, start = np.zeros(3), curve.copy()
    before, damping = np.inf, 1.0
    for _ in range(MOST_STEPS):
        _look(curve, weights, place, logits, slopes)
        miss[:] = goal - logits
        worst = np.max(np.abs(miss))
        if worst < CLOSE:
            return
        if worst > before:
            damping *= 0.5
            if damping < LEAST_DAMPING:
                curve[:] = start
                return
        else:
            before, damping = worst, 1.0
            start[:] = curve
            if not _newton_step(slopes, miss, step):
                return
            _shorten(step, curve)
        curve[:] = start + damping * step


@njit(cache=True, fastmath=MATH, error_model="numpy")
def _find_curves(goals, weights, place, out):  # type: ignore[no-untyped-def]
    """Fill ``out`` with the reflectance of every goal."""
    curve = np.empty(3)
    for n in range(len(goals)):
        curve[:] = 0.0
        # A grey is a level curve: logit R = 2 arsinh x.
        curve[0] = np.sinh(0.5 * goals[n, 1])
        _find_curve(goals[n], weights, place, curve)
        for band in range(place.size):
            x = (curve[2] * place[band] + curve[1]) * place[band] + curve[0]
            out[n, band] = 0.5 + 0.5 * x / np.sqrt(1.0 + x * x)
