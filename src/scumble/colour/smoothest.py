"""The smoothest reflectance that has a given colour."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from scumble.colour.spectrum import spectral_weights
from scumble.errors import InputError
from scumble.tables import BANDS

Floats = NDArray[np.float64]

ITERATIONS = 60


def smoothest_reflectance(xyz: ArrayLike, *, light: str = "D65", observer: int = 2) -> Floats:
    """Reflectance between 0 and 1 with the given colour and the least slope.

    Parameters
    ----------
    xyz : array, shape (3,)
        Tristimulus values, perfect diffuser at Y = 100.
    light, observer
        What the colour was seen under and by.

    Returns
    -------
    array, shape (36,) [1]
        Reflectance.

    Raises
    ------
    InputError
        If no reflectance between 0 and 1 has that colour.

    Notes
    -----
    Minimises the summed squared slope of ``artanh(2 R - 1)`` subject to the colour, by Newton's method on the
    Lagrangian. *Source:* Burns, Color Res. Appl. 45, 8 (2020), "least hyperbolic tangent slope squared".

    Examples
    --------
    >>> r = smoothest_reflectance([19.0, 20.0, 21.8])
    >>> (r @ spectral_weights("D65", 2)).round(6).tolist()
    [19.0, 20.0, 21.8]
    """
    wanted = np.asarray(xyz, dtype=np.float64)
    weights = spectral_weights(light, observer)
    white = weights.sum(axis=0)
    if wanted.shape != (3,) or not np.all(np.isfinite(wanted)):
        raise InputError("xyz", xyz, "three finite numbers")
    black, bright = 1e-4 * white, (1.0 - 1e-4) * white
    target = np.clip(wanted, black, None)
    difference = np.diff(np.eye(BANDS), axis=0)
    roughness = 2.0 * difference.T @ difference
    z = np.full(BANDS, np.arctanh(2.0 * min(target[1] / white[1], bright[1] / white[1]) - 1.0))
    multipliers = np.zeros(3)
    for _ in range(ITERATIONS):
        z, multipliers, miss = _newton_step(z, multipliers, target, weights, roughness)
        if np.max(np.abs(miss)) < 1e-9 * white[1]:
            break
    reflectance = 0.5 * (np.tanh(z) + 1.0)
    if not np.allclose(reflectance @ weights, target, atol=1e-6 * white[1]):
        shown = ", ".join(f"{value:.1f}" for value in wanted)
        raise InputError("colour", f"XYZ {shown}", "a colour that a surface can have", "It is too vivid.")
    return np.asarray(reflectance)


def _newton_step(
    z: Floats, multipliers: Floats, target: Floats, weights: Floats, roughness: Floats
) -> tuple[Floats, Floats, Floats]:
    """One damped Newton step on the Lagrangian; returns z, multipliers and the colour missed before it."""
    th = np.tanh(z)
    slope = 0.5 * (1.0 - th**2)
    miss = 0.5 * (th + 1.0) @ weights - target
    gradient = roughness @ z + slope * (weights @ multipliers)
    jacobian = slope[:, None] * weights
    curvature = roughness + np.diag(-2.0 * th * slope * (weights @ multipliers))
    system = np.block([[curvature, jacobian], [jacobian.T, np.zeros((3, 3))]])
    step = np.linalg.lstsq(system, -np.concatenate([gradient, miss]), rcond=None)[0]
    step *= min(1.0, 1.5 / max(float(np.max(np.abs(step[:BANDS]))), 1e-12))
    return z + step[:BANDS], multipliers + step[BANDS:], miss
