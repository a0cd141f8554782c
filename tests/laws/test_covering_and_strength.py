"""Hiding and tinting strength against closed forms that hold for any optics."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from scumble.optics.film import film_response
from scumble.optics.kubelka_munk import absorption_per_scattering, reflectance_over, under_face
from scumble.optics.response import take_off_face
from scumble.paint.covering import HIDING_RATIO, coats_to_hide, contrast_ratio
from scumble.paint.drawdown import CHART_WHITE
from scumble.paint.pigment import starter_shelf
from scumble.paint.tinting import predict_tinting

SHELF = {paint.key: paint for paint in starter_shelf()}
WHITE = SHELF["titanium-white"].optics
STRONG = ("phthalo-blue-green-shade", "quinacridone-magenta", "cadmium-red", "red-oxide")


@pytest.mark.parametrize("key", [key for key, paint in SHELF.items() if "white" not in key][::4])
def test_coats_to_hide_reach_the_ratio_and_halve_when_optics_double(key: str) -> None:
    """A film of twice the optics and half the coats is the same film, so its coats to hide are half."""
    own = SHELF[key].optics.absorption, SHELF[key].optics.scattering
    coats = coats_to_hide(*own)
    if not np.isfinite(coats):
        assert contrast_ratio(*own, 8.0) < HIDING_RATIO
        return
    assert contrast_ratio(*own, coats) == pytest.approx(HIDING_RATIO, abs=1e-5)
    assert coats_to_hide(2 * own[0], 2 * own[1]) == pytest.approx(coats / 2, rel=1e-3)


@pytest.mark.parametrize(("ratio", "power"), [(0.01, 3.0), (0.02, 6.0), (0.05, 4.0), (0.1, 8.0)])
def test_contrast_ratio_against_the_two_flux_closed_form(ratio: float, power: float) -> None:
    """Kubelka (1948), J. Opt. Soc. Am. 38, 448: R(0) / R(0.80) of a film, under Saunderson's face (1942).

    Diffuse absorption is twice and diffuse scattering three quarters of what a parallel beam meets (Mudgett and
    Richards 1971, Applied Optics 10, 1485, for reduced scattering); the two theories agree to 0.035 there.
    """
    inner = [reflectance_over(ratio * power, power, ground) for ground in (0.0, 0.8)]
    black, white = (under_face(each, 1.5).item() for each in inner)
    response = film_response(np.full(36, ratio * power / 2), np.full(36, power * 4 / 3), index=1.5)
    own = response.over(np.zeros(36)).mean() / response.over(np.full(36, 0.8)).mean()
    assert own == pytest.approx(black / white, abs=0.035)


@pytest.mark.parametrize("key", STRONG)
def test_twice_the_pigment_pulls_twice_the_white(key: str) -> None:
    """ASTM D4838 and ISO 787-24 in manner: strength is the ratio of amounts that give equal depth."""
    own = SHELF[key].optics
    pale = WHITE.absorption[None], WHITE.scattering[None]
    once = predict_tinting((own.absorption[None], own.scattering[None]), pale).strength_parts.value
    double = replace(own, absorption=2 * own.absorption, scattering=2 * own.scattering)
    twice = predict_tinting((double.absorption[None], double.scattering[None]), pale).strength_parts.value
    assert twice == pytest.approx(2 * once, rel=0.02)


@pytest.mark.parametrize("key", STRONG)
def test_relative_strength_by_the_absorption_maximum(key: str) -> None:
    """ISO 787-24 and ISO 18314-2 in manner: the ratio of K/S of two tints is that of their amounts of pigment.

    K/S by Kubelka and Munk's closed form from thick tints without their face, less the white's own, at the band where
    the tint absorbs most, the violet left out where the white itself absorbs; the tints are pale, R of 0.4 or more,
    where two fluxes and many agree.
    """
    own, index = SHELF[key].optics, 1.5

    def ratio_of(parts: float) -> tuple[np.ndarray, np.ndarray]:
        share = 1.0 / (1.0 + parts)
        film = [
            60.0 * (share * getattr(own, name) + (1.0 - share) * getattr(WHITE, name))
            for name in ("absorption", "scattering")
        ]
        shown = film_response(*film, index=index).over(take_off_face(CHART_WHITE, index))
        return absorption_per_scattering(take_off_face(shown, index)), shown

    white, _ = ratio_of(1e9)
    band = int(np.argmax((own.absorption / WHITE.scattering)[8:])) + 8
    pale, shown = ratio_of(999.0)
    assert shown[band] > 0.4
    for times in (0.5, 2.0):
        other, _ = ratio_of(1000.0 / times - 1.0)
        strength = (other[band] - white[band]) / (pale[band] - white[band])
        assert strength == pytest.approx(times, rel=0.03)
