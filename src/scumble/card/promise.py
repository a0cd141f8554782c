"""How far a reading may be off, in the colour difference that a person sees."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from scumble.colour import delta_e_2000, upsample_colours, white_point, xyz_to_lab
from scumble.paint.camera_doubt import CameraDoubt, own_covariance, shared_covariance
from scumble.paint.reading import CardReadings, Reading
from scumble.paint.region_doubt import region_doubt

Floats = NDArray[np.float64]

DRAWS: Final = 400
"""Colours drawn of each reading, and as many mirrored."""

DARKEST: Final = 1e-3
"""Share of white below which no colour is drawn."""

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
    """The same for one reading under D65, 2 degrees.

    Notes
    -----
    The colour may be so far off that differences no longer run straight - the blue light of a red is soon all or
    nothing - so that colours are drawn from what it may be and counted, the same draws for every reading.
    """
    white = white_point("D65", 2)
    # Lab has no slope at black; a reading cut to 0 is as uncertain as the darkest one.
    xyz = np.maximum(reading.values, DARKEST * white)
    lab = xyz_to_lab(xyz, white)
    camera = replace(camera, sensor=camera.sensor * region_doubt(lab))
    lost = np.array(reading.blind).reshape(-1, 3)
    covariance = own_covariance(noise, camera, xyz) + BLACK_NOISE**2 * np.eye(3) + lost.T @ lost
    covariance += shared_covariance(camera, upsample_colours(xyz), xyz)
    maybe = np.maximum(xyz + _draws() @ np.linalg.cholesky(covariance).T, DARKEST * white)
    off = delta_e_2000(lab, xyz_to_lab(maybe, white))
    return float(np.quantile(off, 0.95))


@lru_cache(maxsize=1)
def _draws() -> Floats:
    """Independent standard-normal triples that mirror each other, shape (draws, 3)."""
    half = np.random.default_rng(DRAWS).standard_normal((DRAWS, 3))
    half = np.concatenate([half, -half])
    return np.asarray(half @ np.linalg.inv(np.linalg.cholesky(np.cov(half.T, bias=True))).T)
