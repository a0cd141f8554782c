"""What the smooth face between air and binder does to light."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


def inside_reflectance(cosine_inside: ArrayLike, index: float) -> Floats:
    """Unpolarised reflectance of the face for light that meets it from within the binder.

    Parameters
    ----------
    cosine_inside : array, any shape [1]
        Cosine of the angle to the normal, inside the binder, 0 to 1.
    index : float [1]
        Refractive index of the binder against air.

    Returns
    -------
    array, same shape
        Reflectance 0-1; exactly 1 beyond the critical angle.

    Notes
    -----
    *Source:* Fresnel's equations, e.g. Born & Wolf, Principles of Optics (1999), section 1.5.2.

    Examples
    --------
    >>> inside_reflectance([1.0, 0.5], 1.5).round(6).tolist()
    [0.04, 1.0]
    """
    inside = np.asarray(cosine_inside, dtype=np.float64)
    sine2_outside = (1.0 - inside**2) * index**2
    outside = np.sqrt(np.maximum(1.0 - sine2_outside, 0.0))
    perpendicular = (index * inside - outside) / (index * inside + outside)
    parallel = (inside - index * outside) / (inside + index * outside)
    return np.where(sine2_outside < 1.0, 0.5 * (perpendicular**2 + parallel**2), 1.0)


def mirror_reflectance(index: float) -> float:
    """Mirror reflectance of the face at normal incidence.

    Examples
    --------
    >>> round(mirror_reflectance(1.5), 6)
    0.04
    """
    return ((index - 1.0) / (index + 1.0)) ** 2


def diffuse_reflectance_outside(index: float) -> float:
    """Reflectance of the face for perfectly diffuse light from the air.

    Notes
    -----
    Closed form. *Source:* Walsh (1926), as restated by Duntley, J. Opt. Soc. Am. 32, 61 (1942).

    Examples
    --------
    >>> round(diffuse_reflectance_outside(1.5), 6)
    0.091778
    """
    n = index
    n2, n4 = n**2, n**4
    return float(
        0.5
        + (n - 1) * (3 * n + 1) / (6 * (n + 1) ** 2)
        + n2 * (n2 - 1) ** 2 / (n2 + 1) ** 3 * np.log((n - 1) / (n + 1))
        - 2 * n**3 * (n2 + 2 * n - 1) / ((n2 + 1) * (n4 - 1))
        + 8 * n4 * (n4 + 1) / ((n2 + 1) * (n4 - 1) ** 2) * np.log(n)
    )


def diffuse_reflectance_inside(index: float) -> float:
    """Reflectance of the face for perfectly diffuse light from within the binder.

    Notes
    -----
    Follows from the outside value by reciprocity, ``1 - (1 - outside) / n^2``.

    Examples
    --------
    >>> round(diffuse_reflectance_inside(1.5), 6)
    0.596346
    """
    return 1.0 - (1.0 - diffuse_reflectance_outside(index)) / index**2
