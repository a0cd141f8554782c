"""Spectrum to XYZ: whites, shapes, linearity, refusals."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from scumble.colour import LIGHTS, OBSERVERS, reflectance_to_xyz, spectral_weights, white_point
from scumble.errors import InputError
from scumble.tables import BANDS, WAVELENGTH_NM

EVERY_LIGHT = [(light, observer) for light in LIGHTS for observer in OBSERVERS]


@pytest.mark.parametrize(("light", "observer"), EVERY_LIGHT)
def test_weights_sum_to_the_white_point(light: str, observer: int) -> None:
    weights = spectral_weights(light, observer)
    assert weights.shape == (BANDS, 3)
    assert weights.sum(axis=0).tolist() == white_point(light, observer).tolist()
    assert white_point(light, observer)[1] == pytest.approx(100.0, abs=1e-9)


@pytest.mark.parametrize(("light", "observer"), EVERY_LIGHT)
def test_a_grey_of_any_lightness_has_the_colour_of_the_light(light: str, observer: int) -> None:
    xyz = reflectance_to_xyz(np.full(BANDS, 0.18), light=light, observer=observer)
    assert xyz.tolist() == pytest.approx((0.18 * white_point(light, observer)).tolist(), abs=1e-12)


def test_leading_axes_broadcast() -> None:
    stack = np.linspace(0.0, 1.0, 2 * 3 * BANDS).reshape(2, 3, BANDS)
    together = reflectance_to_xyz(stack, light="A", observer=10)
    assert together.shape == (2, 3, 3)
    assert together[1, 2].tolist() == pytest.approx(
        reflectance_to_xyz(stack[1, 2], light="A", observer=10).tolist()
    )


@given(
    arrays(np.float64, BANDS, elements=st.floats(0, 1)),
    arrays(np.float64, BANDS, elements=st.floats(0, 1)),
    st.floats(0, 1),
)
def test_mixing_light_is_linear(first: np.ndarray, second: np.ndarray, share: float) -> None:
    mixed = reflectance_to_xyz(share * first + (1 - share) * second)
    apart = share * reflectance_to_xyz(first) + (1 - share) * reflectance_to_xyz(second)
    assert np.allclose(mixed, apart, atol=1e-9)


def test_weights_follow_smooth_reflectance_as_a_1_nm_sum_does() -> None:
    # A smooth sigmoid: 10 nm weights against the same sum at 1 nm over the same range.
    from scumble.colour.spectrum import _light, _observer

    fine_nm = np.arange(360.0, 831.0)
    product = _observer(2) * _light("D65")[:, None]
    product *= 100 / product[:, 1].sum()

    def edge(nm: np.ndarray) -> np.ndarray:
        return 0.05 + 0.9 / (1 + np.exp(-(nm - 560.0) / 15.0))

    held = edge(np.clip(fine_nm, 380.0, 730.0))
    assert reflectance_to_xyz(edge(WAVELENGTH_NM)).tolist() == pytest.approx(
        (held @ product).tolist(), abs=0.01
    )


def test_weights_and_whites_are_shared_and_cannot_be_changed() -> None:
    assert spectral_weights("D50", 2) is spectral_weights("D50", 2)
    with pytest.raises(ValueError, match="read-only"):
        spectral_weights("D50", 2)[0, 0] = 1.0
    with pytest.raises(ValueError, match="read-only"):
        white_point("D50", 2)[0] = 1.0


def test_an_unknown_light_is_refused_by_name() -> None:
    with pytest.raises(
        InputError, match="light: saw 'candle'; allowed is one of D65, D50, A, LED-B3"
    ) as refusal:
        spectral_weights("candle", 2)
    assert refusal.value.field == "light"


def test_an_unknown_observer_is_refused_by_name() -> None:
    with pytest.raises(InputError, match="observer: saw '4'; allowed is 2 or 10 degrees") as refusal:
        white_point("D65", 4)
    assert refusal.value.field == "observer"


def test_a_spectrum_on_another_grid_is_refused() -> None:
    with pytest.raises(
        InputError, match=r"reflectance: saw '\(5, 31\)'; allowed is 36 bands along the last axis"
    ):
        reflectance_to_xyz(np.zeros((5, 31)))
