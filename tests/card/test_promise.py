"""Bounds by region of colour, against films and cameras that the regions were not learnt from."""

import numpy as np
import pytest
from benchmarks.accuracy.population import edges_and_bands
from benchmarks.cameras import camera_weights

from scumble.card.promise import reading_bound
from scumble.colour import delta_e_2000, spectral_weights, white_point, xyz_to_lab
from scumble.optics.film import film_response
from scumble.paint.camera_doubt import CameraDoubt
from scumble.paint.reading import Reading
from scumble.paint.region_doubt import DARK, GREY, LIGHT, PROMISED, region_doubt

WHITE = white_point("D65", 2)


def test_a_grey_has_one_factor_and_hues_go_over_into_each_other():
    assert region_doubt(np.array([60.0, 0.0, 0.0])) == pytest.approx(PROMISED * GREY)
    around = [
        region_doubt(np.array([60.0, 40 * np.cos(turn), 40 * np.sin(turn)]))
        for turn in np.radians(np.arange(0.0, 361.0))
    ]
    assert around[0] == pytest.approx(around[-1])
    assert np.abs(np.diff(around)).max() < 0.02
    assert min(around) == pytest.approx(PROMISED * min(LIGHT), rel=0.01)


def test_deep_blues_are_promised_less_than_oranges():
    assert DARK[8] > 1.5 * LIGHT[2]
    assert region_doubt(np.array([25.0, -10.0, -40.0])) > 1.5 * region_doubt(np.array([60.0, 40.0, 60.0]))


def test_nothing_is_assumed_of_an_instrument():
    blue = Reading("full-white", "full", 1.0, 0.0, "white", np.array([1.0, 1.4, 5.0]))
    assert reading_bound(blue, 0.01, CameraDoubt()) < 2.0


def test_next_to_no_random_film_is_confidently_wrong_before_random_cameras():
    """Fresh cameras and paints: 19 of 20 within the bound, next to none beyond twice of it and more than 7 dE00."""
    rng, eye = np.random.default_rng(77), spectral_weights("D65", 2)
    off, bound = [], []
    for number in range(150):
        paint = edges_and_bands(rng)
        coats = float(np.exp(rng.uniform(np.log(0.1), 0.0)))
        film = film_response(coats * paint.absorption, coats * paint.scattering).over(np.full(36, 0.86))
        read = np.maximum(100.0 * film @ camera_weights(5000 + number), 1e-3 * WHITE)
        reading = Reading("full-white", "full", 1.0, 0.0, "white", read)
        bound.append(reading_bound(reading, 0.01, CameraDoubt(sensor=1.0)))
        off.append(float(delta_e_2000(xyz_to_lab(read, WHITE), xyz_to_lab(film @ eye, WHITE))))
    missed, promised = np.array(off), np.array(bound)
    assert np.mean(missed <= promised) > 0.9
    assert np.mean((missed > 7.0) & (missed > 2.0 * promised)) < 0.02
