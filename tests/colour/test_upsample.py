"""Smooth reflectances of colours: they have the colour they were asked for and stay reflectances."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from scumble.colour import (
    delta_e_2000,
    reflectance_to_xyz,
    smoothest_reflectance,
    srgb_to_xyz,
    upsample_colours,
    white_point,
    xyz_to_lab,
)
from scumble.errors import InputError

RGB = st.tuples(*[st.floats(0, 1)] * 3)


def difference(xyz: np.ndarray, other: np.ndarray) -> np.ndarray:
    white = white_point()
    return delta_e_2000(xyz_to_lab(xyz, white), xyz_to_lab(other, white))


def test_every_screen_colour_comes_back() -> None:
    """Jakob & Hanika 2019, section 4: the whole of sRGB is reached; here but for the ends of the scale."""
    step = np.linspace(0.0, 1.0, 13)
    rgb = np.stack(np.meshgrid(step, step, step), axis=-1).reshape(-1, 3)
    xyz = srgb_to_xyz(rgb)
    missed = difference(xyz, reflectance_to_xyz(upsample_colours(xyz)))
    assert missed.mean() < 1e-3
    assert missed.max() < 0.3
    within = np.all((rgb > 0.1) & (rgb < 0.97), axis=1)
    assert missed[within].max() < 1e-4


@given(RGB)
def test_it_is_a_reflectance(rgb: tuple[float, float, float]) -> None:
    reflectance = upsample_colours(srgb_to_xyz(rgb))
    assert reflectance.shape == (36,)
    assert reflectance.min() > 0.0 and reflectance.max() < 1.0


@given(st.floats(0.02, 0.98))
def test_a_grey_is_level(level: float) -> None:
    reflectance = upsample_colours(level * white_point())
    np.testing.assert_allclose(reflectance, level, rtol=1e-5)


@given(RGB)
def test_it_turns_at_most_once(rgb: tuple[float, float, float]) -> None:
    """A monotone function of a parabola has one hill or one hollow, nothing finer."""
    slope = np.sign(np.round(np.diff(upsample_colours(srgb_to_xyz(rgb))), 12))
    slope = slope[slope != 0]
    assert np.count_nonzero(np.diff(slope)) <= 1


def test_it_lies_near_the_smoothest_one_where_paints_lie() -> None:
    """Two ways to a smooth spectrum agree for colours of usual paints: under another light within dE00 2."""
    rng = np.random.default_rng(3)
    mild = 0.5 + 0.22 * rng.uniform(-1, 1, (60, 3))
    xyz = srgb_to_xyz(mild)
    smoothest = np.array([smoothest_reflectance(each) for each in xyz])
    seen = [reflectance_to_xyz(spectra, light="A") for spectra in (upsample_colours(xyz), smoothest)]
    white = white_point("A", 2)
    apart = delta_e_2000(*(xyz_to_lab(each, white) for each in seen))
    assert apart.max() < 2.0


def test_other_lights_and_many_colours_at_once() -> None:
    xyz = np.array([[[30.0, 25.0, 8.0]], [[20.0, 22.0, 6.0]]])
    back = reflectance_to_xyz(upsample_colours(xyz, light="A", observer=10), light="A", observer=10)
    np.testing.assert_allclose(back, xyz, atol=1e-4)
    with pytest.raises(InputError, match="light: saw 'moonlight'"):
        upsample_colours(xyz, light="moonlight")
