"""CIEDE2000 as a distance, against colour-science, and as a local yardstick."""

from __future__ import annotations

import warnings

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from scumble.colour import delta_e_2000, delta_e_2000_metric, lab_to_lch

with warnings.catch_warnings(), np.printoptions():  # it sets numpy's print options for everyone
    warnings.simplefilter("ignore")  # and warns about its optional parts
    import colour

LAB = st.tuples(st.floats(0, 100), st.floats(-110, 110), st.floats(-110, 110)).map(np.array)
DIRECTION = st.tuples(*[st.floats(-1, 1)] * 3).map(np.array).filter(lambda d: np.linalg.norm(d) > 0.1)


@given(LAB, LAB)
def test_the_difference_is_symmetric_and_never_negative(first: np.ndarray, second: np.ndarray) -> None:
    there, back = delta_e_2000(first, second), delta_e_2000(second, first)
    assert there >= 0.0
    assert there == pytest.approx(float(back), abs=1e-9)


@given(LAB)
def test_a_colour_differs_from_itself_by_nothing(lab: np.ndarray) -> None:
    assert delta_e_2000(lab, lab) == 0.0


@given(LAB, LAB)
def test_differences_agree_with_colour_science(first: np.ndarray, second: np.ndarray) -> None:
    hues = [float(lab_to_lch(lab * np.array([1.0, 1.5, 1.0]))[2]) for lab in (first, second)]
    # At exactly opposite hues the formula jumps, and the last bit decides between the two sides.
    assume(abs(abs(hues[0] - hues[1]) - 180.0) > 1.0)
    assume(min(lab_to_lch(first)[1], lab_to_lch(second)[1]) > 1e-3)
    assert delta_e_2000(first, second) == pytest.approx(
        float(colour.delta_E(first, second, method="CIE 2000")), abs=1e-7
    )


def test_against_a_neutral_only_chroma_counts() -> None:
    # Sharma, Wu & Dalal (2005), equations 4-6 and 19, by hand: the mean chroma is 5, the other colour's hue is free.
    for angle in np.linspace(0.0, 2 * np.pi, 13):
        other = np.array([50.0, 10 * np.cos(angle), 10 * np.sin(angle)])
        stretch = 1.5 - 0.5 * np.sqrt(5**7 / (5**7 + 25**7))
        chroma = np.hypot(stretch * other[1], other[2])
        assert delta_e_2000([50.0, 0.0, 0.0], other) == pytest.approx(
            chroma / (1 + 0.045 * chroma / 2), abs=1e-12
        )


def test_one_colour_against_an_image() -> None:
    image = np.linspace(-40.0, 60.0, 4 * 5 * 3).reshape(4, 5, 3)
    differences = delta_e_2000(image, [50.0, 10.0, -10.0])
    assert differences.shape == (4, 5)
    assert differences[3, 1] == delta_e_2000(image[3, 1], [50.0, 10.0, -10.0])


@given(LAB, DIRECTION)
def test_the_metric_measures_small_differences(lab: np.ndarray, direction: np.ndarray) -> None:
    chroma = lab_to_lch(lab)[1]
    assume(chroma > 0.1)
    step = 1e-5 * direction
    measured = delta_e_2000(lab - step / 2, lab + step / 2)
    predicted = np.sqrt(step @ delta_e_2000_metric(lab) @ step)
    assert predicted == pytest.approx(float(measured), rel=1e-5)


@given(st.floats(0, 100), DIRECTION)
def test_the_metric_holds_at_the_neutral_axis(lightness: float, direction: np.ndarray) -> None:
    grey = np.array([lightness, 0.0, 0.0])
    metric = delta_e_2000_metric(grey)
    step = 1e-6 * direction
    assert np.sqrt(step @ metric @ step) == pytest.approx(float(delta_e_2000(grey, grey + step)), rel=1e-4)
    for turn in np.linspace(0.0, 2 * np.pi, 9):
        beside = grey + 1e-7 * np.array([0.0, np.cos(turn), np.sin(turn)])
        assert np.allclose(delta_e_2000_metric(beside), metric, atol=1e-6)


@given(LAB)
def test_the_metric_is_symmetric_and_positive(lab: np.ndarray) -> None:
    metric = delta_e_2000_metric(lab)
    assert np.array_equal(metric, metric.T)
    assert np.linalg.eigvalsh(metric).min() > 0.0


@pytest.mark.parametrize("hue_deg", [0.0, 90.0, 180.0, 270.0, 360.0])
def test_the_metric_does_not_jump_where_the_hue_angle_starts_again(hue_deg: float) -> None:
    around = [hue_deg - 1e-7, hue_deg + 1e-7]
    metrics = [
        delta_e_2000_metric([50.0, 40 * np.cos(np.radians(hue)), 40 * np.sin(np.radians(hue))])
        for hue in around
    ]
    # The formula itself jumps at 0 degrees, by what its bell at 275 degrees has left there: exp(-3.4**2) = 1e-5.
    assert np.allclose(metrics[0], metrics[1], atol=1e-5)


def test_metrics_of_an_image_are_those_of_its_pixels() -> None:
    image = np.linspace(-40.0, 60.0, 4 * 5 * 3).reshape(4, 5, 3)
    metrics = delta_e_2000_metric(image)
    assert metrics.shape == (4, 5, 3, 3)
    assert np.allclose(metrics[1, 2], delta_e_2000_metric(image[1, 2]), atol=1e-15)
