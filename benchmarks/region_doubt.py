"""``python -m benchmarks.region_doubt``: how far cameras are off in each region of colour, against what is promised.

Films of random paints (`benchmarks.accuracy.population`) and of varied illustrative ones are seen by cameras drawn at
random (`benchmarks.cameras`); how far each colour is off is held against the covariance that a reading of it promises.
What is printed stands in `scumble.paint.region_doubt`. No paint of `demo/` and no measured camera is among them.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from benchmarks.cameras import DRAWS, camera_weights
from benchmarks.lost_channels import random_areas
from scumble.card.reference.likely_films import CURVES, likely_spectra
from scumble.colour import spectral_weights, upsample_colours, white_point, xyz_to_lab
from scumble.paint.camera_doubt import CameraDoubt, shared_covariance
from scumble.paint.region_doubt import DARK_BELOW, FULL_CHROMA, GREY_CHROMA

Floats = NDArray[np.float64]

CAMERAS, FILMS, SEED = 80, 2000, 5
"""Cameras, and films of either kind; the directions of cameras were found on others."""

SHARE = 99.0
"""Percentile of the squared distance that is compared: beyond the 95th, so that what lies outside a bound is not far
outside."""

DARKEST = 1e-3
STEPS = 0.02
"""Share of white below which nothing is read, and error of a black reading, Y of a perfect diffuser at 100."""


def measured() -> tuple[float, list[float], list[float]]:
    """Factors of greys, and of dark and light colours by hue, against all films together."""
    lab, far = _seen()
    hue, chroma = np.degrees(np.arctan2(lab[:, 2], lab[:, 1])) % 360.0, np.hypot(lab[:, 1], lab[:, 2])
    dark, hued = lab[:, 0] < DARK_BELOW, chroma > (GREY_CHROMA + FULL_CHROMA) / 2.0
    sector = (hue // 30.0).astype(int)
    overall = np.percentile(far, SHARE)

    def factor(some: NDArray[np.bool_]) -> float:
        return round(float(np.sqrt(np.percentile(far[some], SHARE) / overall)), 2)

    own = np.array([[factor(hued & side & (sector == at)) for at in range(12)] for side in (dark, ~dark)])
    widest = np.max([np.roll(own, step, axis=1) for step in (-1, 0, 1)], axis=0)
    return factor(chroma < GREY_CHROMA), widest[0].tolist(), widest[1].tolist()


def _seen() -> tuple[Floats, Floats]:
    """Colours as cameras read them, and squared distances from the truth in units of what is promised."""
    rng, eye, white = np.random.default_rng(SEED), spectral_weights("D65", 2), white_point("D65", 2)
    kinds = (random_areas(), likely_spectra()[:-CURVES])
    films = np.concatenate([kind[rng.choice(len(kind), FILMS)] for kind in kinds])
    lab, far = [], []
    for number in range(CAMERAS):
        read = np.maximum(100.0 * films @ camera_weights(DRAWS + number), DARKEST * white)
        covariance = shared_covariance(CameraDoubt(sensor=1.0), upsample_colours(read), read)
        missed = read - films @ eye
        scaled = np.linalg.solve(covariance + STEPS**2 * np.eye(3), missed[..., None])[..., 0]
        lab.append(xyz_to_lab(read, white))
        far.append(np.sum(missed * scaled, axis=1))
    return np.concatenate(lab), np.concatenate(far)


if __name__ == "__main__":
    grey, dark, light = measured()
    print(f"GREY {grey}\nDARK {tuple(dark)}\nLIGHT {tuple(light)}")
