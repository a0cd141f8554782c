"""Sensors and lamps: white stays white, an ideal device is exact, real ones are as imperfect as chart fits are."""

import numpy as np
import pytest
from demo.colorimetry import lab, weights, xyz
from demo.inks import GROUNDS
from demo.sensor import LIGHTS, SENSORS, chart, colour_matrix, power, raw_weights, sensitivities

from scumble.colour import delta_e_2000, white_point, xyz_to_lab

BLENDS = [{name: 1.0} for name in LIGHTS] + [{"D65": 0.7, "A": 0.3}]


def seen(sensor, blend, reflectance, **options):
    """Lab that a camera makes of a reflectance."""
    raw = sum(share * raw_weights(sensor, name, balanced_for=blend) for name, share in blend.items())
    rendered = reflectance @ raw @ colour_matrix(sensor, blend, **options).T
    return xyz_to_lab(100 * rendered, white_point("D65", 2))


@pytest.mark.parametrize("sensor", SENSORS)
@pytest.mark.parametrize("blend", BLENDS, ids=str)
def test_a_perfect_diffuser_comes_out_white(sensor, blend):
    np.testing.assert_allclose(seen(sensor, blend, np.ones(36)), [100, 0, 0], atol=0.05)


def test_the_reference_device_is_colorimetric_under_daylight():
    """Its sensitivities are sums of the colour-matching functions (S-2008-001), so a matrix is enough."""
    for reflectance in (*GROUNDS.values(), *chart()):
        np.testing.assert_allclose(seen("reference", {"D65": 1.0}, reflectance), lab(reflectance), atol=0.1)


@pytest.mark.parametrize(("sensor", "most"), [("mosaic", 1.5), ("gaussian", 1.5), ("stacked", 3.5)])
def test_a_matrix_leaves_a_real_sensor_a_little_off(sensor, most):
    off = delta_e_2000(seen(sensor, {"D65": 1.0}, chart()), lab(chart()))
    assert 0.3 < off.mean() < most


def test_lamplight_is_warm_and_balanced_away():
    assert power("A")[300] / power("A")[100] > 3 * power("D65")[300] / power("D65")[100]
    daylight = np.ones(36) @ raw_weights("mosaic", "D65", balanced_for={"A": 1.0})
    assert daylight[2] > 1.5 > 1.0 > daylight[0]


def test_a_scanner_knows_its_own_lamp():
    as_camera = delta_e_2000(seen("gaussian", {"LED": 1.0}, chart()), lab(chart())).mean()
    as_scanner = delta_e_2000(seen("gaussian", {"LED": 1.0}, chart(), own_lamp=True), lab(chart())).mean()
    assert as_scanner < 0.7 * as_camera


@pytest.mark.parametrize("sensor", SENSORS)
def test_sensitivities_peak_where_their_names_say(sensor):
    peaks = 360 + sensitivities(sensor).argmax(axis=0)
    assert peaks[2] < peaks[1] < peaks[0]
    assert sensitivities(sensor).min() >= 0


def test_every_patch_of_the_chart_is_plausible():
    assert chart().shape == (24, 36)
    assert chart().min() > 0.02 and chart().max() < 1
    # ISO 17321-1 lists its six greys last, white first.
    assert np.all(np.diff(xyz(chart()[18:])[:, 1]) < 0)
    assert weights().shape == (36, 3)
