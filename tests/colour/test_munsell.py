"""Hue, value and chroma there and back, and an answer for every colour."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from scumble.colour import (
    delta_e_2000,
    munsell_notation,
    munsell_to_xyz,
    srgb_to_xyz,
    white_point,
    xyz_to_lab,
    xyz_to_munsell,
)
from scumble.colour.renotation import hue_number

RGB = st.tuples(*[st.floats(0, 1)] * 3).map(np.array)


@given(st.floats(0, 99.999), st.floats(1, 9), st.floats(0.5, 14))
def test_a_notation_survives_the_way_to_xyz_and_back(hue: float, value: float, chroma: float) -> None:
    found = xyz_to_munsell(munsell_to_xyz([hue, value, chroma]))
    assert abs((found[0] - hue + 50) % 100 - 50) < 1e-5
    assert found[1:].tolist() == pytest.approx([value, chroma], abs=1e-5)


@given(RGB)
def test_every_screen_colour_has_a_notation_that_gives_it_back(rgb: np.ndarray) -> None:
    xyz = srgb_to_xyz(rgb)
    munsell = xyz_to_munsell(xyz)
    assert 0.0 <= munsell[0] < 100.0 and 0.0 <= munsell[1] <= 10.0 and 0.0 <= munsell[2] < 40.0
    again = munsell_to_xyz(munsell)
    assert delta_e_2000(xyz_to_lab(xyz, white_point()), xyz_to_lab(again, white_point())) < 1e-4


@pytest.mark.parametrize("xyz", [(0.0, 0.0, 0.0), (120.0, 110.0, 5.0), (1.0, 60.0, 1.0), (80.0, 5.0, 90.0)])
def test_even_impossible_colours_get_a_finite_answer(xyz: tuple[float, float, float]) -> None:
    assert np.all(np.isfinite(xyz_to_munsell(xyz)))


def test_an_image_is_read_pixel_by_pixel_in_pieces() -> None:
    image = srgb_to_xyz(np.linspace(0.02, 0.98, 90 * 50 * 3).reshape(90, 50, 3) ** [1.0, 1.5, 0.5])
    together = xyz_to_munsell(image)
    assert together.shape == image.shape
    assert np.allclose(together[89, 49], xyz_to_munsell(image[89, 49]), atol=1e-5)
    assert xyz_to_munsell(np.empty((0, 3))).shape == (0, 3)


@pytest.mark.parametrize("light", ["D50", "A", "LED-B3"])
def test_the_light_is_taken_out(light: str) -> None:
    grey = 0.2 * white_point(light, 10)
    assert xyz_to_munsell(grey, light=light, observer=10)[2] < 1e-6


@given(st.integers(1, 1000))
def test_hue_notation_reads_back(tenths: int) -> None:
    written = munsell_notation([tenths / 10, 5.0, 6.0]).split()[0]
    assert hue_number(written) == pytest.approx(tenths / 10 % 100, abs=1e-9)
