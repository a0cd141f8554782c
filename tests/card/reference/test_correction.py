"""Root-polynomial corrections: exact where they must be, blind to exposure, honest about patches left out."""

import numpy as np
import pytest
from benchmarks.routes.root_polynomial import fit_correction
from demo.sensor import raw_weights
from demo.target import reflectances

from scumble.card.reference.correction import colour_metric, fit_terms, root_terms
from scumble.colour import delta_e_2000, spectral_weights, white_point, xyz_to_lab

WHITE = white_point("D65", 2)
PATCHES = reflectances()
XYZ = PATCHES @ spectral_weights("D65", 2)
MATRIX = np.array([[60.0, 25.0, 10.0], [30.0, 70.0, 2.0], [1.0, 12.0, 95.0]])


@pytest.mark.parametrize("degree", [1, 2, 3])
def test_twice_the_light_is_twice_the_terms(degree):
    """Finlayson, Mackiewicz & Hurlbert (2015): what sets roots of polynomials apart from polynomials."""
    light = np.random.default_rng(1).uniform(0.0, 1.0, (40, 3))
    np.testing.assert_allclose(root_terms(2.0 * light, degree), 2.0 * root_terms(light, degree), rtol=1e-12)
    assert root_terms(light, degree).shape[-1] == {1: 3, 2: 6, 3: 13}[degree]


def test_a_camera_that_is_a_matrix_away_is_met():
    light = XYZ @ np.linalg.inv(MATRIX).T
    found = fit_correction(light, XYZ)
    np.testing.assert_allclose(found.to_xyz(light), XYZ, rtol=2e-3, atol=0.02)
    assert found.residual.max() < 0.2


@pytest.mark.parametrize("light", ["D65", "LED"])
def test_a_real_sensor_is_led_closer_than_by_a_matrix(light):
    seen = PATCHES @ raw_weights("mosaic", light, balanced_for={light: 1.0})
    found = fit_correction(seen, XYZ)
    plain = fit_terms(root_terms(seen, 1), XYZ, colour_metric(XYZ), np.ones(len(XYZ)), degree=1, ridge=1e-6)
    assert found.degree > 1
    assert found.residual.mean() < 0.9 * plain.residual.mean()


def test_the_residual_is_that_of_patches_left_out():
    """Against leaving out one patch by hand."""
    seen = PATCHES @ raw_weights("gaussian", "D50", balanced_for={"D50": 1.0})
    metric, trust = colour_metric(XYZ), np.ones(len(XYZ))
    whole = fit_terms(root_terms(seen, 2), XYZ, metric, trust, degree=2, ridge=1e-3)
    for patch in (3, 40, 77):
        trust = np.ones(len(XYZ))
        trust[patch] = 0.0
        without = fit_terms(root_terms(seen, 2), XYZ, metric, trust, degree=2, ridge=1e-3)
        lab = xyz_to_lab(np.maximum(without.to_xyz(seen[patch]), 0), WHITE)
        off = float(delta_e_2000(lab, xyz_to_lab(XYZ[patch], WHITE)))
        assert whole.residual[patch] == pytest.approx(off, abs=0.15)


def test_a_scratched_patch_moves_little():
    light = XYZ @ np.linalg.inv(MATRIX).T
    light[[5, 30]] = [0.9, 0.1, 0.4]
    found = fit_correction(light, XYZ)
    others = np.delete(np.arange(len(XYZ)), [5, 30])
    off = delta_e_2000(xyz_to_lab(found.to_xyz(light[others]), WHITE), xyz_to_lab(XYZ[others], WHITE))
    assert np.mean(off) < 0.5
    assert found.residual[5] > 5.0
