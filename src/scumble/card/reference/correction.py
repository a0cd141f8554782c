"""From a camera's channels to XYZ by a reference target: root-polynomials, judged by leaving patches out.

*Source:* Finlayson, Mackiewicz & Hurlbert, Color correction using root-polynomial regression, IEEE Trans. Image
Process. 24, 1460 (2015), doi:10.1109/TIP.2015.2405336: terms of degree 2 and 3 under their root, so that twice the
light is twice the colour. The residual with a patch left out: Allen, Technometrics 16, 125 (1974), the PRESS of a
linear least-squares fit, here with three channels a patch.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from scumble.colour import (
    delta_e_2000,
    delta_e_2000_metric,
    white_point,
    xyz_to_lab,
    xyz_to_lab_jacobian,
)

Floats = NDArray[np.float64]

LEAST_Y: Final = 0.4
"""Y below which a black patch no longer counts by its own slope of L*, which an unsteady camera cannot follow."""

FAR: Final = 4.0
"""Times the median residual beyond which a patch counts little: a scratch, a shine."""

ROUNDS: Final = 4


@dataclass(frozen=True, slots=True)
class Correction:
    """Channels to XYZ.

    Parameters
    ----------
    degree : int
        Of the root-polynomial.
    ridge : float
        Pull towards the plain matrix.
    coefficients : array, shape (3, terms)
        From terms to XYZ, the perfect diffuser at 100.
    residual : array, shape (patches,) [dE00]
        Of each patch when it was left out of the fit.
    """

    degree: int
    ridge: float
    coefficients: Floats
    residual: Floats

    def to_xyz(self, light: Floats) -> Floats:
        """XYZ of channels, shape (..., 3); twice the light gives twice the XYZ."""
        return np.asarray(root_terms(light, self.degree) @ self.coefficients.T)


def root_terms(light: Floats, degree: int) -> Floats:
    """Terms of a root-polynomial, shape (..., 3, 6 or 13).

    Examples
    --------
    >>> root_terms(np.array([1.0, 4.0, 9.0]), 2).tolist()
    [1.0, 4.0, 9.0, 2.0, 6.0, 3.0]
    """
    kept = np.maximum(light, 0.0)
    r, g, b = kept[..., 0], kept[..., 1], kept[..., 2]
    terms = [light[..., 0], light[..., 1], light[..., 2]]
    if degree >= 2:
        terms += [np.sqrt(r * g), np.sqrt(g * b), np.sqrt(r * b)]
    if degree >= 3:
        terms += [np.cbrt(p * q * q) for p, q in ((r, g), (g, b), (r, b), (g, r), (b, g), (b, r))]
        terms.append(np.cbrt(r * g * b))
    return np.stack(terms, axis=-1)


def fit_terms(
    terms: Floats, xyz: Floats, metric: Floats, trust: Floats, *, degree: int, ridge: float
) -> Correction:
    """One degree and one pull; patches far off count less and less."""
    weights = trust
    coefficients, residual = _solve(terms, xyz, metric, weights, ridge)
    for _ in range(ROUNDS - 1):
        middle = max(float(np.median(residual[trust > 0])), 0.3)
        weights = trust / (1.0 + (residual / (FAR * middle)) ** 4)
        coefficients, residual = _solve(terms, xyz, metric, weights, ridge)
    return Correction(degree, ridge, coefficients, residual)


def colour_metric(xyz: Floats) -> Floats:
    """Square roots of the metric of CIEDE2000 in XYZ at each colour, shape (patches, 3, 3)."""
    white = white_point("D65", 2)
    at = np.maximum(xyz, LEAST_Y / 100.0 * white)
    slope = xyz_to_lab_jacobian(at, white)
    metric = delta_e_2000_metric(xyz_to_lab(at, white))
    values, vectors = np.linalg.eigh(metric)
    root = np.sqrt(np.maximum(values, 0.0))[:, :, None] * np.swapaxes(vectors, -1, -2)
    return np.asarray(root @ slope)


def _solve(
    terms: Floats, xyz: Floats, metric: Floats, weights: Floats, ridge: float
) -> tuple[Floats, Floats]:
    """Ridge regression in colour differences, and the residual of each patch left out [dE00]."""
    count = terms.shape[1]
    scale = np.sqrt(np.mean(terms**2, axis=0)) + 1e-12
    scaled = terms / scale
    # Row of patch i for coefficient (channel, term): metric[i, :, channel] * scaled[i, term].
    rows = (metric[:, :, :, None] * scaled[:, None, None, :]).reshape(len(xyz), 3, 3 * count)
    wanted = np.einsum("pij,pj->pi", metric, xyz)
    root = np.sqrt(weights)[:, None]
    flat = (root[..., None] * rows).reshape(-1, 3 * count)
    pull = np.tile(np.where(np.arange(count) < 3, 1e-7, ridge), 3)
    normal = flat.T @ flat + np.diag(pull)
    inverse = np.linalg.inv(normal)
    solution = inverse @ (flat.T @ (root * wanted).ravel())
    coefficients = solution.reshape(3, count) / scale
    missed = wanted - rows @ solution
    spread = (rows.reshape(-1, 3 * count) @ inverse).reshape(rows.shape)
    hat = weights[:, None, None] * (spread @ np.swapaxes(rows, -1, -2))
    left_out = np.linalg.solve(np.eye(3) - np.minimum(hat, 0.999), missed[..., None])[..., 0]
    return np.asarray(coefficients), _residual(metric, xyz, left_out)


def _residual(metric: Floats, xyz: Floats, missed: Floats) -> Floats:
    """Colour differences of misses that are given in the metric's own units."""
    white = white_point("D65", 2)
    off = np.linalg.solve(metric + 1e-12 * np.eye(3), missed[..., None])[..., 0]
    seen = xyz_to_lab(np.maximum(xyz - off, 0.0), white)
    return np.asarray(delta_e_2000(seen, xyz_to_lab(xyz, white)))
