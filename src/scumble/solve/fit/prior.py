"""What is believed about a paint or a ground before its card is read: smooth spectra, wide levels.

Spectra are described by a mean and a factor: a draw from the prior is ``mean + factor @ x`` with x standard
normal. Everything the estimator looks for is such an x, so its unknowns all have the same size.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from scumble.tables import BANDS, WAVELENGTH_NM

Floats = NDArray[np.float64]

LOG_WAVELENGTH = np.log(WAVELENGTH_NM / 550.0)


@dataclass(frozen=True, slots=True)
class Prior:
    """A Gaussian over spectra.

    Parameters
    ----------
    mean : array, shape (m,)
        Centre.
    factor : array, shape (m, r)
        ``factor @ factor.T`` is the covariance, up to directions too small to matter.
    """

    mean: Floats
    factor: Floats


def matern_covariance(length_nm: float, deviation: float) -> Floats:
    """Covariance between bands of a once-differentiable smooth spectrum, shape (36, 36).

    Parameters
    ----------
    length_nm : float [nm]
        Distance over which the spectrum keeps its trend.
    deviation : float
        Standard deviation at a band.

    Notes
    -----
    Matern covariance of order 3/2. *Source:* Rasmussen & Williams, Gaussian Processes for Machine Learning
    (2006), equation 4.17.
    """
    distance = np.sqrt(3.0) * np.abs(WAVELENGTH_NM[:, None] - WAVELENGTH_NM) / length_nm
    return np.asarray(deviation**2 * (1.0 + distance) * np.exp(-distance))


def covariance_factor(covariance: Floats, *, rank: int | None = None, floor: float = 1e-9) -> Floats:
    """Factor of a covariance from its largest eigenvectors, shape (m, r)."""
    values, vectors = np.linalg.eigh(covariance)
    keep = np.flatnonzero(values > floor * values[-1])[::-1][:rank]
    return np.asarray(vectors[:, keep] * np.sqrt(values[keep]))


def power_law_covariance(level: float, exponent: float) -> Floats:
    """Covariance of ``c - p log(wavelength / 550)`` for independent c and p of the given deviations."""
    return level**2 + exponent**2 * np.outer(LOG_WAVELENGTH, LOG_WAVELENGTH)


def _optics_prior(mean: Floats, absorption: Floats, scattering: Floats) -> Prior:
    """Prior over [log absorption, log scattering] with the two independent."""
    covariance = np.zeros((2 * BANDS, 2 * BANDS))
    covariance[:BANDS, :BANDS] = absorption
    covariance[BANDS:, BANDS:] = scattering
    return Prior(mean, covariance_factor(covariance))


@lru_cache(maxsize=1)
def paint_prior() -> Prior:
    """Prior of any paint: absorption may rise and fall a hundredfold, scattering is near a power law.

    Notes
    -----
    The scattering may leave its power law by a factor of about 1.6: close to a strong absorption edge the
    pigment's refractive index, and with it the scattering, rises (Kramers-Kronig).
    """
    mean = np.concatenate([np.full(BANDS, 0.0), 0.5 - 1.1 * LOG_WAVELENGTH])
    absorption = matern_covariance(80.0, 1.3) + 2.0**2
    scattering = matern_covariance(80.0, 0.5) + power_law_covariance(1.8, 0.9)
    return _optics_prior(mean, absorption, scattering)


@lru_cache(maxsize=1)
def white_prior() -> Prior:
    """Prior of a white: weak absorption that climbs towards the ultraviolet, strong power-law scattering."""
    edge = 5.0 / (1.0 + np.exp((WAVELENGTH_NM - 398.0) / 6.0))
    mean = np.concatenate([np.log(0.02) + edge, np.log(10.0) - 0.6 * LOG_WAVELENGTH])
    at_edge = np.exp(-0.5 * ((WAVELENGTH_NM - 385.0) / 18.0) ** 2)
    absorption = matern_covariance(90.0, 0.6) + 1.2**2 + 1.0 * np.outer(at_edge, at_edge)
    scattering = matern_covariance(100.0, 0.08) + power_law_covariance(0.8, 0.4)
    return _optics_prior(mean, absorption, scattering)


@lru_cache(maxsize=2)
def ground_prior(rank: int) -> Prior:
    """Prior over the logit of a ground's reflectance, cut to its ``rank`` smoothest directions."""
    covariance = matern_covariance(70.0, 1.0) + 2.0**2
    return Prior(np.full(BANDS, -0.5), covariance_factor(covariance, rank=rank))
