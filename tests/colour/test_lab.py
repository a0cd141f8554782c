"""CIELAB there and back, its polar form, and its slope."""

from __future__ import annotations

import warnings

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from scumble.colour import (
    lab_to_lch,
    lab_to_xyz,
    lch_to_lab,
    white_point,
    xyz_to_lab,
    xyz_to_lab_jacobian,
)

with warnings.catch_warnings(), np.printoptions():  # it sets numpy's print options for everyone
    warnings.simplefilter("ignore")  # and warns about its optional parts
    import colour

WHITE = white_point("D65", 2)
TRISTIMULUS = st.tuples(*[st.floats(0, 120)] * 3).map(np.array)
LAB = st.tuples(st.floats(0, 100), st.floats(-120, 120), st.floats(-120, 120)).map(np.array)


def test_white_is_100_and_black_is_0() -> None:
    assert xyz_to_lab(WHITE, WHITE).tolist() == pytest.approx([100.0, 0.0, 0.0], abs=1e-12)
    assert xyz_to_lab([0.0, 0.0, 0.0], WHITE).tolist() == pytest.approx([0.0, 0.0, 0.0], abs=1e-12)


@given(TRISTIMULUS)
def test_lab_agrees_with_colour_science(xyz: np.ndarray) -> None:
    chromaticity = WHITE[:2] / WHITE.sum()
    assert np.allclose(xyz_to_lab(xyz, WHITE), colour.XYZ_to_Lab(xyz / 100, chromaticity), atol=1e-9)


@given(TRISTIMULUS)
def test_xyz_survives_the_way_to_lab_and_back(xyz: np.ndarray) -> None:
    assert np.allclose(lab_to_xyz(xyz_to_lab(xyz, WHITE), WHITE), xyz, atol=1e-9)


@given(LAB)
def test_lab_survives_the_way_to_xyz_and_back(lab: np.ndarray) -> None:
    assert np.allclose(xyz_to_lab(lab_to_xyz(lab, WHITE), WHITE), lab, atol=1e-8)


@given(LAB)
def test_lab_survives_the_way_to_lch_and_back(lab: np.ndarray) -> None:
    lch = lab_to_lch(lab)
    assert lch[1] >= 0.0
    assert 0.0 <= lch[2] < 360.0
    assert np.allclose(lch_to_lab(lch), lab, atol=1e-9)


def test_hue_angles_of_the_four_axes() -> None:
    axes = np.array([[50.0, 10.0, 0.0], [50.0, 0.0, 10.0], [50.0, -10.0, 0.0], [50.0, 0.0, -10.0]])
    assert lab_to_lch(axes)[:, 2].tolist() == [0.0, 90.0, 180.0, 270.0]
    assert lab_to_lch([50.0, 10.0, -1e-300])[2] == 0.0


@given(st.tuples(*[st.floats(0.02, 110)] * 3).map(np.array))
def test_the_slope_is_that_of_finite_differences(xyz: np.ndarray) -> None:
    jacobian = xyz_to_lab_jacobian(xyz, WHITE)
    step = 1e-5 * xyz
    # Across the bend of the formula the slope is continuous, its change is not: allow for one step of it.
    for component in range(3):
        nudge = np.eye(3)[component] * step[component]
        slope = (xyz_to_lab(xyz + nudge, WHITE) - xyz_to_lab(xyz - nudge, WHITE)) / (2 * step[component])
        assert np.allclose(jacobian[:, component], slope, rtol=1e-4, atol=1e-5)


def test_the_slope_of_black_is_the_straight_part() -> None:
    slope = xyz_to_lab_jacobian([0.0, 0.0, 0.0], [100.0, 100.0, 100.0])
    # CIE 15:2018, 8.2.1: L* = 903.3 Y/Yn for small Y; exactly (29/3)^3.
    assert slope[0].tolist() == pytest.approx([0.0, (29 / 3) ** 3 / 100, 0.0], rel=1e-12)


def test_every_function_takes_an_image() -> None:
    image = np.linspace(1.0, 90.0, 4 * 5 * 3).reshape(4, 5, 3)
    assert lab_to_xyz(xyz_to_lab(image, WHITE), WHITE).shape == image.shape
    assert lch_to_lab(lab_to_lch(image)).shape == image.shape
    jacobian = xyz_to_lab_jacobian(image, WHITE)
    assert jacobian.shape == (4, 5, 3, 3)
    assert np.array_equal(jacobian[2, 3], xyz_to_lab_jacobian(image[2, 3], WHITE))
