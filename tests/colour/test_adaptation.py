"""Chromatic adaptation against colour-science and its own laws."""

from __future__ import annotations

import warnings

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from scumble.colour import LIGHTS, adapt_xyz, white_point

with warnings.catch_warnings(), np.printoptions():  # it sets numpy's print options for everyone
    warnings.simplefilter("ignore")  # and warns about its optional parts
    import colour

XYZ = st.tuples(*[st.floats(0, 110)] * 3).map(np.array)
LIGHT = st.sampled_from(LIGHTS)


@given(XYZ, LIGHT, LIGHT)
def test_bradford_agrees_with_colour_science(xyz: np.ndarray, before: str, after: str) -> None:
    white_from, white_to = white_point(before, 2), white_point(after, 10)
    reference = colour.adaptation.chromatic_adaptation_VonKries(
        xyz, white_from, white_to, transform="Bradford"
    )
    assert np.allclose(adapt_xyz(xyz, white_from, white_to), reference, atol=1e-9)


@given(XYZ, LIGHT, LIGHT)
def test_the_way_to_another_light_and_back_changes_nothing(xyz: np.ndarray, before: str, after: str) -> None:
    white_from, white_to = white_point(before, 2), white_point(after, 2)
    assert np.allclose(adapt_xyz(adapt_xyz(xyz, white_from, white_to), white_to, white_from), xyz, atol=1e-9)


@pytest.mark.parametrize("light", LIGHTS)
def test_white_becomes_white(light: str) -> None:
    white_from, white_to = white_point(light, 10), white_point("D65", 2)
    assert adapt_xyz(white_from, white_from, white_to).tolist() == pytest.approx(white_to.tolist(), abs=1e-10)


def test_d65_to_d50_is_the_matrix_of_the_colour_management_world() -> None:
    # The D65 to D50 Bradford matrix as commonly printed to 7 decimals (whites 0.95047, 1, 1.08883 and
    # 0.96422, 1, 0.82521): from memory.
    printed = [
        [1.0478112, 0.0228866, -0.0501270],
        [0.0295424, 0.9904844, -0.0170491],
        [-0.0092345, 0.0150436, 0.7521316],
    ]
    matrix = adapt_xyz(np.eye(3), [0.95047, 1.0, 1.08883], [0.96422, 1.0, 0.82521]).T
    assert np.abs(matrix - printed).max() < 1e-6


def test_an_image_is_adapted_pixel_by_pixel() -> None:
    image = np.linspace(1.0, 90.0, 4 * 5 * 3).reshape(4, 5, 3)
    whites = white_point("A", 2), white_point("D65", 2)
    adapted = adapt_xyz(image, *whites)
    assert adapted.shape == image.shape
    assert np.allclose(adapted[2, 3], adapt_xyz(image[2, 3], *whites), atol=1e-12)
