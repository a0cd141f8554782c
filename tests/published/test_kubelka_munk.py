"""The two-flux reference method against its closed forms (Kubelka & Munk 1931, Kubelka 1948, Saunderson 1942)."""

from __future__ import annotations

import numpy as np
import pytest

from scumble.optics.kubelka_munk import (
    absorption_per_scattering,
    film_flux,
    film_from_pair,
    infinite_reflectance,
    reflectance_over,
    under_face,
)

INFINITE = {
    0.0001: 0.985958,
    0.001: 0.956267,
    0.01: 0.868226,
    0.1: 0.641742,
    0.25: 0.5,
    1.0: 0.267949,
    10.0: 0.045549,
    50.0: 0.009805,
}

# K/S, S X, over black, over 0.80, over 1.00, transmittance: hyperbolic solution worked with 30 digits.
FILMS = [
    (0.01, 1.0, 0.495862, 0.819726, 0.980328, 0.494205),
    (0.01, 5.0, 0.804875, 0.854246, 0.917502, 0.148244),
    (0.1, 2.0, 0.577121, 0.671347, 0.727051, 0.251798),
    (1.0, 0.5, 0.223381, 0.375702, 0.424735, 0.395444),
    (0.0, 2.0, 0.666667, 0.857143, 1.0, 0.333333),
    (0.0, 10.0, 0.909091, 0.933333, 1.0, 0.090909),
]


@pytest.mark.parametrize(("ratio", "reflectance"), INFINITE.items())
def test_endless_film(ratio: float, reflectance: float) -> None:
    assert infinite_reflectance(ratio, 1.0).item() == pytest.approx(reflectance, abs=1e-6)
    assert absorption_per_scattering(infinite_reflectance(ratio, 1.0)).item() == pytest.approx(
        ratio, rel=1e-9
    )


@pytest.mark.parametrize(("ratio", "power", "black", "over_80", "over_100", "through"), FILMS)
def test_film_over_black_and_white(
    ratio: float, power: float, black: float, over_80: float, over_100: float, through: float
) -> None:
    absorption = ratio * power
    assert film_flux(absorption, power)[0].item() == pytest.approx(black, abs=1e-6)
    assert film_flux(absorption, power)[1].item() == pytest.approx(through, abs=1e-6)
    assert reflectance_over(absorption, power, 0.8).item() == pytest.approx(over_80, abs=1e-6)
    assert reflectance_over(absorption, power, 1.0).item() == pytest.approx(over_100, abs=1e-6)


def test_film_is_found_back_from_black_and_white() -> None:
    absorption, scattering = np.array([0.01, 0.1, 0.5, 1.0]), np.array([1.0, 1.0, 2.0, 0.7])
    found = film_from_pair(
        reflectance_over(absorption, scattering, 0.0), reflectance_over(absorption, scattering, 0.8), 0.8
    )
    np.testing.assert_allclose(found, (absorption, scattering), rtol=1e-9)


def test_thick_film_is_the_endless_one() -> None:
    assert reflectance_over(0.1 * 200, 200.0, 0.8).item() == pytest.approx(
        infinite_reflectance(0.1, 1.0).item(), abs=1e-12
    )


# Saunderson's correction, mirror reflection excluded, k1 = 0.04, k2 = 0.596346.
@pytest.mark.parametrize(
    ("internal", "seen"), [(0.0, 0.0), (0.1, 0.041208), (0.5, 0.276071), (0.9, 0.752786), (1.0, 0.96)]
)
def test_saunderson(internal: float, seen: float) -> None:
    assert under_face(internal, 1.5).item() == pytest.approx(seen, abs=1e-6)


# Scattering power at which a white-scale contrast ratio of 0.98 over 0.80 is reached (ASTM D2805 manner): closed form.
@pytest.mark.parametrize(
    ("infinite", "power"), [(0.2, 1.11975), (0.5, 2.87166), (0.8, 6.50069), (0.9, 9.14267)]
)
def test_hiding_power(infinite: float, power: float) -> None:
    ratio = absorption_per_scattering(infinite).item()
    contrast = reflectance_over(ratio * power, power, 0.0) / reflectance_over(ratio * power, power, 0.8)
    assert contrast.item() == pytest.approx(0.98, abs=1e-5)
