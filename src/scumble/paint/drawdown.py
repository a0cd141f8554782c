"""Even films on a sealed black and white chart: what every statement about a paint's behaviour is worked out on.

The chart is that of the hiding-power standards: its white shows 0.80 and its black nothing, both under a smooth
face that the film removes, so an ever thinner film ends in exactly the chart's own white and black.
*Source:* ASTM D2805, Standard test method for hiding power of paints by reflectometry, for a white of 0.80 (*from
memory*; its readable scope asks for a white of at least 0.78 and a black of at most 0.01).
"""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from scumble.colour import reflectance_to_xyz, spectral_weights, white_point, xyz_to_lab
from scumble.optics.film import film_response
from scumble.optics.response import take_off_face

Floats = NDArray[np.float64]

CHART_WHITE = 0.80
"""Reflectance of the chart's white as seen, the same in every band [1]."""

CHART_BLACK = 0.0
"""Reflectance of the chart's black [1]."""


@cache
def _under_film(shown: float, index: float) -> float:
    return float(take_off_face(shown, index))


def over_white(absorption: ArrayLike, scattering: ArrayLike, *, index: float) -> Floats:
    """Reflectance of films over the chart's white, mirror reflection excluded.

    Parameters
    ----------
    absorption, scattering : array, shape (..., 36) [1]
        Depths of the film.
    index : float [1]
        Refractive index of the binder.
    """
    return film_response(absorption, scattering, index=index).over(_under_film(CHART_WHITE, index))


def over_black(absorption: ArrayLike, scattering: ArrayLike, *, index: float) -> Floats:
    """Reflectance of films over the chart's black, mirror reflection excluded; arguments as for white."""
    return film_response(absorption, scattering, index=index).over(CHART_BLACK)


def luminous(reflectance: ArrayLike) -> Floats:
    """Luminous reflectance Y under D65 for the 2 degree observer, 0-1, of shape (..., 36) spectra."""
    return np.asarray(np.asarray(reflectance) @ (spectral_weights("D65", 2)[:, 1] / 100.0))


def lab_of(reflectance: ArrayLike) -> Floats:
    """CIELAB under D65 for the 2 degree observer of shape (..., 36) spectra."""
    return xyz_to_lab(reflectance_to_xyz(reflectance), white_point("D65", 2))


def chroma_of(lab: Floats) -> Floats:
    """CIELAB chroma of colours of shape (..., 3)."""
    return np.hypot(lab[..., 1], lab[..., 2])


def hue_of(lab: Floats) -> Floats:
    """CIELAB hue angle of colours of shape (..., 3) [degree], 0-360."""
    return np.degrees(np.arctan2(lab[..., 2], lab[..., 1])) % 360.0
