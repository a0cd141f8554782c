"""Light on the card: slopes, corners, casts, shadows and mirrored lamps as asked."""

from dataclasses import replace

import numpy as np
import pytest
from demo.conditions import Falling, Glare, Shadow
from demo.falling_light import glare_field, lamp_share, light_field, shadow_field

EVEN = Falling(0.0, 0.0, 0.0, (0.0, 0.0), (1.0, 1.0), 0.0, 0.0, None, None)
MM = np.zeros((3, 2))
FRAME = np.array([[-1.0, 0.0], [0.0, 0.0], [1.0, 0.0]])


def test_even_light_is_even():
    np.testing.assert_allclose(light_field(EVEN, MM, FRAME), 1)


def test_slope_and_direction():
    field = light_field(replace(EVEN, slope=0.3), MM, FRAME)[:, 1]
    np.testing.assert_allclose(field, np.exp([-0.3, 0, 0.3]))
    turned = light_field(replace(EVEN, slope=0.3, direction_degree=180.0), MM, FRAME)[:, 1]
    np.testing.assert_allclose(turned, field[::-1])


def test_vignetting_is_lost_in_the_corners():
    np.testing.assert_allclose(light_field(replace(EVEN, vignetting=0.3), MM, FRAME)[:, 0], [0.7, 1, 0.7])


def test_casts_leave_green_alone():
    falling = replace(EVEN, cast=(1.1, 0.9), cast_slope=(0.05, -0.05), direction_degree=-90.0)
    field = light_field(falling, MM, FRAME)
    np.testing.assert_allclose(field[:, 1], 1)
    np.testing.assert_allclose(field[1], [1.1, 1, 0.9])
    assert field[2, 0] / field[0, 0] == pytest.approx(np.exp(0.1))
    assert field[2, 2] / field[0, 2] == pytest.approx(np.exp(-0.1))


def test_a_shadow_has_its_depth_and_its_width():
    shadow = Shadow(0.6, (50.0, 0.0), 0.0, 10.0)
    x = np.array([0.0, 45.0, 50.0, 55.0, 100.0])
    left = shadow_field(shadow, np.stack([x, np.zeros(5)], axis=-1))
    # Nine tenths of the change happen outside 10 mm, and a half on each side of the edge.
    np.testing.assert_allclose(left, [1, 0.96, 0.8, 0.64, 0.6], atol=0.002)


def test_glare_is_flat_within_and_gone_beyond():
    glare = Glare(0.8, (10.0, 10.0), 5.0)
    places = np.array([[10.0, 10.0], [12.0, 10.0], [15.0, 10.0], [25.0, 10.0]])
    np.testing.assert_allclose(glare_field(glare, places), [0.8, 0.8, 0.4, 0.001], rtol=0.12)


def test_a_second_lamp_grows_away_from_the_window():
    share = lamp_share(0.3, 0.2, 0.0, FRAME)
    np.testing.assert_allclose(share, [0.5, 0.3, 0.1])
