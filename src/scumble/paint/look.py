"""How a layering will look, and how sure that is."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from scumble.colour import (
    delta_e_2000_metric,
    reflectance_to_xyz,
    spectral_weights,
    white_point,
    xyz_to_lab,
    xyz_to_lab_jacobian,
    xyz_to_srgb,
)
from scumble.optics.face import add_face, wet_milkiness
from scumble.optics.film import film_response_and_slopes
from scumble.optics.response import Response
from scumble.optics.stack import stack_response
from scumble.paint.film import Film
from scumble.paint.layering import Layering
from scumble.paint.paint import Binder, Paint
from scumble.tables import BANDS, WAVELENGTH_NM

Floats = NDArray[np.float64]

NORMAL_95 = 1.6448536269514722
"""One-sided 95 % point of the standard normal."""

STEP = 1e-3
"""Relative step of depth for derivatives of a stack."""


@dataclass(frozen=True, slots=True)
class Look:
    """What a layering looks like under one light.

    Parameters
    ----------
    reflectance : array, shape (36,) [1]
        As seen, mirror reflection excluded.
    xyz, lab, srgb : array, shape (3,)
        Tristimulus values (perfect diffuser Y = 100), CIELAB, and the screen colour 0-1.
    in_gamut : bool
        Whether the screen can show it; if not, ``srgb`` has less chroma.
    lab_covariance : array, shape (3, 3)
        How far the colour may be off, from the covariance of the paints' optics.
    interval_de00 : float [dE00]
        The true colour lies within this CIEDE2000 distance 19 times out of 20.
    """

    reflectance: Floats
    xyz: Floats
    lab: Floats
    srgb: Floats
    in_gamut: bool
    lab_covariance: Floats
    interval_de00: float


def predict_reflectance(layering: Layering) -> Floats:
    """Reflectance of a layering as seen, mirror reflection excluded, shape (36,) [1]."""
    absorption, scattering = film_depths(layering)
    return _seen(layering, absorption, scattering)


def predict_look(layering: Layering, *, light: str = "D65", observer: int = 2) -> Look:
    """Colour of a layering and the uncertainty of that colour.

    Parameters
    ----------
    layering : Layering
        Ground and films.
    light : str
        ``D65``, ``D50``, ``A`` or ``LED-B3``.
    observer : int
        2 or 10 degrees.

    Raises
    ------
    InputError
        For an unknown light or observer.
    """
    reflectance = predict_reflectance(layering)
    white = white_point(light, observer)
    xyz = reflectance_to_xyz(reflectance, light=light, observer=observer)
    lab = xyz_to_lab(xyz, white)
    srgb, in_gamut = xyz_to_srgb(xyz, light=light, observer=observer)
    per_band = xyz_to_lab_jacobian(xyz, white) @ spectral_weights(light, observer).T
    covariance = _lab_covariance(layering, per_band)
    interval = interval_de00(lab, covariance)
    return Look(reflectance, xyz, lab, srgb, bool(in_gamut), covariance, interval)


def interval_de00(lab: Floats, covariance: Floats) -> float:
    """Distance within which the true colour lies 19 times out of 20.

    Parameters
    ----------
    lab : array, shape (3,)
        Predicted colour.
    covariance : array, shape (3, 3)
        Covariance of its L*, a*, b*.

    Notes
    -----
    The squared distance is a weighted sum of three chi-squares; a scaled chi-square of the same mean and
    variance stands for it, its quantile by Wilson & Hilferty, Proc. Natl. Acad. Sci. 17, 684 (1931).
    *Source:* Satterthwaite, Biometrics Bulletin 2, 110 (1946).

    Examples
    --------
    For one uncertain direction this is the two-sided 95 % of a normal, 1.96 deviations:

    >>> round(interval_de00(np.array([50.0, 0.0, 0.0]), np.diag([1.0, 0.0, 0.0])), 2)
    1.94
    """
    spread = np.linalg.eigvals(delta_e_2000_metric(lab) @ covariance).real.clip(0.0)
    mean, variance = spread.sum(), 2.0 * np.sum(spread**2)
    if variance <= 1e-20:
        return 0.0
    freedom = 2.0 * mean**2 / variance
    cube = 1.0 - 2.0 / (9.0 * freedom) + NORMAL_95 * np.sqrt(2.0 / (9.0 * freedom))
    return float(np.sqrt(mean * cube**3))


def film_depths(layering: Layering) -> tuple[Floats, Floats]:
    """Absorption and scattering depth of each film, top film first, shape (films, 36)."""
    films = layering.films[::-1]
    absorption = np.array([film.absorption for film in films]).reshape(len(films), BANDS)
    scattering = np.array([film.scattering for film in films]).reshape(len(films), BANDS)
    if layering.wet and films and films[0].binder is Binder.ACRYLIC:
        scattering[0] += wet_milkiness(films[0].coats, WAVELENGTH_NM)
    return absorption, scattering


def _response(layering: Layering, absorption: Floats, scattering: Floats) -> Response:
    """Response of films of the given depths, shape (..., films, 36)."""
    if absorption.shape[-2] == 1:
        only = absorption[..., 0, :], scattering[..., 0, :]
        return film_response_and_slopes(*only, index=layering.index)[0]
    return stack_response(absorption, scattering, index=layering.index)


def _seen(layering: Layering, absorption: Floats, scattering: Floats) -> Floats:
    if not layering.films:
        return layering.ground.reflectance
    below = layering.ground.under_film(layering.index)
    diffuse = _response(layering, absorption, scattering).over(below)
    return add_face(diffuse, layering.face, layering.index)


def depth_slopes(layering: Layering) -> tuple[Floats, Floats]:
    """Derivative of reflectance by log absorption and log scattering depth of each film, top first.

    Returns
    -------
    by_absorption, by_scattering : array, shape (films, 36)
        Of a layering with at least one film.
    """
    absorption, scattering = film_depths(layering)
    films = len(layering.films)
    if films == 1:
        below = layering.ground.under_film(layering.index)
        film, absorbing, scattered = film_response_and_slopes(
            absorption[0], scattering[0], index=layering.index
        )
        return film.slope_over(absorbing, below) * absorption, film.slope_over(scattered, below) * scattering
    bump = 1.0 + STEP * np.eye(films)[:, :, None]
    dip = 1.0 - STEP * np.eye(films)[:, :, None]
    more = _seen(layering, absorption * bump, scattering), _seen(layering, absorption, scattering * bump)
    less = _seen(layering, absorption * dip, scattering), _seen(layering, absorption, scattering * dip)
    return (more[0] - less[0]) / (2.0 * STEP), (more[1] - less[1]) / (2.0 * STEP)


def paint_shares(film: Film) -> list[tuple[Paint, Floats, Floats]]:
    """Each paint's share of its film's absorption and of its scattering in every band."""
    parts = zip(film.fractions, film.parts, strict=True)
    return [
        (
            paint,
            film.dry_coats * fraction * paint.optics.absorption / film.absorption,
            film.dry_coats * fraction * paint.optics.scattering / film.scattering,
        )
        for fraction, (paint, _) in parts
    ]


def _lab_covariance(layering: Layering, per_band: Floats) -> Floats:
    if not layering.films:
        return np.zeros((3, 3))
    return lab_covariance(layering.films[::-1], *depth_slopes(layering), per_band)


def lab_covariance(
    films: tuple[Film, ...], by_absorption: Floats, by_scattering: Floats, per_band: Floats
) -> Floats:
    """Covariance of Lab; a paint's error is the same in every film it is stirred into.

    Parameters
    ----------
    films : tuple of Film
        Top film first, at least one.
    by_absorption, by_scattering : array, shape (films, ..., 36)
        Derivative of reflectance by log absorption and log scattering depth of each film.
    per_band : array, shape (..., 3, 36)
        Derivative of Lab by reflectance.

    Returns
    -------
    array, shape (..., 3, 3)
    """
    jacobians: dict[str, Floats] = {}
    covariances: dict[str, Floats] = {}
    for film, by_a, by_s in zip(films, by_absorption, by_scattering, strict=True):
        for paint, of_absorption, of_scattering in paint_shares(film):
            halves = (by_a * of_absorption)[..., None, :], (by_s * of_scattering)[..., None, :]
            own = np.concatenate([per_band * half for half in halves], axis=-1)
            jacobians[paint.key] = jacobians.get(paint.key, 0.0) + own
            covariances[paint.key] = paint.optics.covariance
    spread = [jac @ covariances[key] @ np.swapaxes(jac, -1, -2) for key, jac in jacobians.items()]
    return np.asarray(np.sum(spread, axis=0))
