"""Cameras drawn at random, and whether published ones are among them."""

import numpy as np
import pytest
from benchmarks.cameras import TABLE, camera_weights, draw_modes, table_text
from demo.sensor import colour_matrix, raw_weights

from scumble.colour import delta_e_2000, spectral_weights, white_point, xyz_to_lab
from scumble.colour.sensor import sensor_modes

OBSERVER = spectral_weights("D65", 2) / 100
WHITE = white_point("D65", 2)


def smooth(count=80, seed=0):
    rng, place = np.random.default_rng(seed), np.linspace(0, 1, 36)
    waves = sum(rng.normal(0, 2.0 / (k + 1), (count, 1)) * np.cos(k * np.pi * place) for k in range(1, 6))
    return 1 / (1 + np.exp(-(rng.normal(-0.5, 1.0, (count, 1)) + waves)))


def lab(xyz):
    return xyz_to_lab(np.maximum(xyz, 0.0), WHITE)


def test_a_perfect_diffuser_keeps_its_colour():
    for seed in range(5):
        np.testing.assert_allclose(camera_weights(seed).sum(axis=0), WHITE / 100, rtol=1e-4)
    np.testing.assert_allclose(sensor_modes(16).sum(axis=0), 0.0, atol=1e-4)


def test_the_same_number_is_the_same_camera():
    np.testing.assert_array_equal(camera_weights(7), camera_weights(7))
    assert not np.allclose(camera_weights(7), camera_weights(8))


@pytest.mark.parametrize("sensor", ["mosaic", "reference", "gaussian"])
@pytest.mark.parametrize("light", ["D65", "D50", "A", "LED"])
def test_published_sensors_lie_within_what_is_believed(sensor, light):
    """Sixteen directions, none stretched beyond 2.5 deviations, leave a measured camera within dE00 0.5."""
    weights = raw_weights(sensor, light, balanced_for={light: 1.0}) @ colour_matrix(sensor, {light: 1.0}).T
    films, modes = smooth(), sensor_modes(16)
    slope = (films @ OBSERVER / (WHITE / 100) + 0.01) ** (-2 / 3)
    effects = np.stack([(films @ mode * slope).ravel() for mode in np.moveaxis(modes, -1, 0)], axis=-1)
    wanted = (films @ (weights - OBSERVER) * slope).ravel()
    # As the estimator does: a standard-normal prior against readings of 1 %.
    sizes = np.linalg.solve(effects.T @ effects + 0.01**2 * np.eye(16), effects.T @ wanted)
    left = delta_e_2000(lab(100 * films @ (weights - modes @ sizes)), lab(100 * films @ OBSERVER))
    assert np.abs(sizes).max() < 2.5
    assert left.mean() < 0.5


def test_the_table_is_what_its_command_writes():
    """To the digits it keeps, whatever the order in which a processor sums; a mode may come with either sign."""
    drawn, kept = draw_modes(16), sensor_modes(16)
    turned = np.sign((drawn * kept).sum(axis=(0, 1)))
    np.testing.assert_allclose(drawn * turned, kept, atol=2e-5 * np.abs(kept).max())
    assert table_text(kept).splitlines()[6:] == TABLE.read_text(encoding="utf-8").splitlines()[6:]
