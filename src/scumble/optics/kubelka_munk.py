"""Kubelka and Munk's two-flux film with Saunderson's face: the trade's reference method and a fast first guess.

Light in the film is taken as perfectly diffuse from the start, which thin films are not; the transport engine is
what predictions use (docs/accuracy.md compares the two).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

from scumble.optics.response import Response, bare_face

Floats = NDArray[np.float64]

ABSORPTION_FACTOR = 2.0
SCATTERING_FACTOR = 0.75
"""Absorption K and scattering S per absorption and reduced-scattering depth in the limit of weak absorption.
*Source:* Thennadil, J. Opt. Soc. Am. A 25, 1480 (2008), from memory."""


def infinite_reflectance(absorption: ArrayLike, scattering: ArrayLike) -> Floats:
    """Reflectance of an endless film without a face, from K and S of any common unit.

    Notes
    -----
    *Source:* Kubelka & Munk, Z. tech. Phys. 12, 593 (1931).

    Examples
    --------
    >>> infinite_reflectance(0.25, 1.0).item()
    0.5
    """
    ratio = np.asarray(absorption, dtype=np.float64) / np.asarray(scattering, dtype=np.float64)
    return np.asarray(1.0 / (1.0 + ratio + np.sqrt(ratio**2 + 2.0 * ratio)))


def absorption_per_scattering(infinite: ArrayLike) -> Floats:
    """K/S of an endless film of the given reflectance, above 0 and at most 1.

    Examples
    --------
    >>> absorption_per_scattering(0.5).item()
    0.25
    """
    r = np.asarray(infinite, dtype=np.float64)
    return np.asarray((1.0 - r) ** 2 / (2.0 * r))


def film_flux(absorption: ArrayLike, scattering: ArrayLike) -> tuple[Floats, Floats]:
    """Reflectance over black and transmittance of a film without a face.

    Parameters
    ----------
    absorption, scattering : array, broadcastable [1]
        K X and S X, the coefficients times the thickness, 0 or more.

    Returns
    -------
    over_black, transmittance : array [1]

    Notes
    -----
    *Source:* Kubelka, J. Opt. Soc. Am. 38, 448 (1948), the hyperbolic solution. The limits without scattering
    and without absorption are included.

    Examples
    --------
    >>> [round(part.item(), 6) for part in film_flux(1.0, 1.0)]
    [0.260147, 0.164589]
    """
    k, s = np.broadcast_arrays(
        np.asarray(absorption, dtype=np.float64), np.asarray(scattering, dtype=np.float64)
    )
    depth = np.sqrt(k * (k + 2.0 * s))
    # sinh(x)/x and exp(-x) cosh(x) stay finite from clear to opaque when both are scaled by exp(-x).
    fade = np.exp(-depth)
    cosh = 0.5 * (1.0 + fade**2)
    small = depth < 1e-6
    sinh_over = np.where(small, fade, 0.5 * (1.0 - fade**2) / np.where(small, 1.0, depth))
    below = (k + s) * sinh_over + cosh
    return np.asarray(s * sinh_over / below), np.asarray(fade / below)


def reflectance_over(absorption: ArrayLike, scattering: ArrayLike, ground: ArrayLike) -> Floats:
    """Reflectance of a film without a face over a ground.

    Parameters
    ----------
    absorption, scattering : array, broadcastable [1]
        K X and S X.
    ground : array, broadcastable [1]
        Reflectance of the ground.

    Examples
    --------
    >>> round(reflectance_over(0.1, 1.0, 0.8).item(), 6)
    0.712347
    """
    over_black, transmittance = film_flux(absorption, scattering)
    below = np.asarray(ground, dtype=np.float64)
    return np.asarray(over_black + transmittance**2 * below / (1.0 - over_black * below))


def film_from_pair(over_black: ArrayLike, over_ground: ArrayLike, ground: ArrayLike) -> tuple[Floats, Floats]:
    """K X and S X of a film from its reflectance over black and over a ground, without a face.

    Notes
    -----
    *Source:* Kubelka, J. Opt. Soc. Am. 38, 448 (1948); the route of ASTM D2805.

    Examples
    --------
    >>> [round(part.item(), 4) for part in film_from_pair(0.461034, 0.712347, 0.8)]
    [0.1, 1.0]
    """
    black, white, below = (np.asarray(value, dtype=np.float64) for value in (over_black, over_ground, ground))
    a = 0.5 * (white + (black - white + below) / (black * below))
    b = np.sqrt(a**2 - 1.0)
    scattering = np.arctanh(b * black / (1.0 - a * black)) / b
    return np.asarray((a - 1.0) * scattering), np.asarray(scattering)


def under_face(internal: ArrayLike, index: float) -> Floats:
    """What is seen, mirror reflection excluded, of a film of the given reflectance once it has a face.

    Notes
    -----
    *Source:* Saunderson, J. Opt. Soc. Am. 32, 727 (1942); ISO 18314-2 uses it (its formulas were not read).

    Examples
    --------
    >>> round(under_face(0.5, 1.5).item(), 6)
    0.276071
    """
    return np.asarray(bare_face(index).over(internal))


def film_response_and_slopes(
    absorption: ArrayLike, scattering: ArrayLike, *, index: float = 1.5
) -> tuple[Response, Response, Response]:
    """Two-flux stand-in for :func:`scumble.optics.film.film_response_and_slopes`, for comparisons.

    Parameters
    ----------
    absorption, scattering : array, broadcastable [1]
        Absorption depth and reduced-scattering depth, as of the transport engine.
    """
    k, s = (np.asarray(value, dtype=np.float64) for value in (absorption, scattering))
    step = 1e-5
    centre = _faced(k, s, index)
    slopes = []
    for bump_k, bump_s, depth in ((step, 0.0, k), (0.0, step, s)):
        more = _faced(k * (1 + bump_k), s * (1 + bump_s), index)
        less = _faced(k * (1 - bump_k), s * (1 - bump_s), index)
        slopes.append(Response(*((m - n) / (2 * step * depth) for m, n in zip(more, less, strict=True))))
    return Response(*centre), slopes[0], slopes[1]


def _faced(absorption: Floats, scattering: Floats, index: float) -> tuple[Floats, Floats, Floats, Floats]:
    """Response of a two-flux film under a face: reflected, inward, outward, returned."""
    face = bare_face(index)
    r, t = film_flux(ABSORPTION_FACTOR * absorption, SCATTERING_FACTOR * scattering)
    trapped = 1.0 - face.returned * r
    return (
        face.inward * r * face.outward / trapped,
        face.inward * t / trapped,
        t * face.outward / trapped,
        r + t**2 * face.returned / trapped,
    )
