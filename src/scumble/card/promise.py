"""How far a reading may be off, in the colour difference that a person sees."""

from __future__ import annotations

from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from scumble.colour import spectral_weights, white_point, xyz_to_lab, xyz_to_lab_jacobian
from scumble.paint.camera_doubt import CameraDoubt, shared_covariance
from scumble.paint.look import interval_de00
from scumble.paint.reading import CardReadings, Reading
from scumble.tables import WAVELENGTH_NM

Floats = NDArray[np.float64]

SMOOTH_NM: Final = 60.0
"""Distance over which the reflectance that stands for an unknown one keeps its level."""

BLACK_NOISE: Final = 0.02
"""Error of a black reading, Y of a perfect diffuser at 100: steps of 8 bits."""


def reading_bounds(card: CardReadings) -> tuple[float, ...]:
    """Distance from each reading within which the true colour lies 19 times out of 20 [dE00].

    Parameters
    ----------
    card : CardReadings
        In XYZ. What an area is blind to, what all areas share and their own noise are added up.
    """
    return tuple(
        reading_bound(reading, card.noise, card.camera or CameraDoubt()) for reading in card.readings
    )


def reading_bound(reading: Reading, noise: float, camera: CameraDoubt) -> float:
    """The same for one reading under D65, 2 degrees."""
    white = white_point("D65", 2)
    # Lab has no slope at black; a reading cut to 0 is as uncertain as the darkest one.
    xyz = np.maximum(reading.values, 1e-3 * white)
    lost = np.array(reading.blind).reshape(-1, 3)
    covariance = np.diag((noise * xyz) ** 2 + BLACK_NOISE**2) + lost.T @ lost
    covariance += shared_covariance(camera, _smooth_reflectance(xyz), xyz)
    slope = xyz_to_lab_jacobian(xyz, white)
    return interval_de00(xyz_to_lab(xyz, white), slope @ covariance @ slope.T)


def _smooth_reflectance(xyz: Floats) -> Floats:
    """A smooth reflectance of about the given colour, shape (..., 36)."""
    return np.asarray(np.clip(xyz / 100.0 @ _from_colour(), 0.0, 1.0))


@lru_cache(maxsize=1)
def _from_colour() -> Floats:
    """Linear map from XYZ / 100 to the most probable reflectance of a smooth Gaussian process, shape (3, 36)."""
    away = (WAVELENGTH_NM[:, None] - WAVELENGTH_NM) / SMOOTH_NM
    smooth = np.exp(-0.5 * away**2)
    weights = spectral_weights("D65", 2) / 100.0
    return np.asarray(np.linalg.solve(weights.T @ smooth @ weights, weights.T @ smooth))
