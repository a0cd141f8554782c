"""Depth of shade and relative strength against closed forms and values worked out by hand."""

from __future__ import annotations

from dataclasses import replace

import colour
import numpy as np
import pytest

from scumble.errors import InputError
from scumble.optics.kubelka_munk import under_face
from scumble.paint import Binder, Paint
from scumble.paint.depth import predict_relative_strength, say_relative_strength, shade_depth
from scumble.paint.pigment import starter_shelf
from scumble.tables import WAVELENGTH_NM

SHELF = {paint.key: paint for paint in starter_shelf()}
WHITE = SHELF["titanium-white"]
STRONG = ("phthalo-blue-green-shade", "quinacridone-magenta", "cadmium-red", "yellow-ochre", "bone-black")
NORMALS = np.random.default_rng(5).standard_normal((3, 40, 72))


def times(paint: Paint, factor: float) -> Paint:
    """A tube with so many times the pigment: absorption and scattering alike."""
    own = paint.optics
    return replace(
        paint,
        key=f"{paint.key}-other",
        optics=replace(own, absorption=factor * own.absorption, scattering=factor * own.scattering),
    )


@pytest.mark.parametrize(
    ("reflectance", "ratio"), [(0.05, 9.025), (0.1, 4.05), (0.2, 1.6), (0.4, 0.45), (0.5, 0.25), (0.8, 0.025)]
)
def test_depth_of_a_grey_is_kubelka_and_munks_function(reflectance: float, ratio: float) -> None:
    """Kubelka and Munk (1931): K/S = (1 - R)^2 / 2 R, worked out by hand; Saunderson's face taken off first."""
    seen = under_face(np.full(36, reflectance), 1.5)
    assert shade_depth(seen, index=1.5).item() == pytest.approx(ratio, rel=1e-9)


def test_depth_weighs_by_light_and_observer() -> None:
    """D65 times the sum of the 2 degree colour-matching functions, here from the colour-science tables in 1 nm.

    A film of K/S 0.25 up to 560 nm and of 1.6 beyond has the mean that the weights on both sides give by hand.
    """
    shape = colour.SpectralShape(360, 780, 1)
    functions = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"].copy().align(shape).values.sum(axis=1)
    power = colour.SDS_ILLUMINANTS["D65"].copy().align(shape).values
    weights, nm = functions * power, shape.wavelengths
    share = weights[nm <= 565].sum() / weights.sum()
    seen = under_face(np.where(WAVELENGTH_NM <= 560, 0.5, 0.2), 1.5)
    assert shade_depth(seen, index=1.5).item() == pytest.approx(0.25 * share + 1.6 * (1 - share), abs=0.004)


@pytest.mark.parametrize("key", STRONG)
@pytest.mark.parametrize("factor", [0.5, 1.0, 3.0])
def test_strength_by_every_criterion_is_the_ratio_of_pigment(key: str, factor: float) -> None:
    """ISO 787-24: relative strength is the ratio of amounts; three times the pigment is 300 %, and nothing is left."""
    found = predict_relative_strength(times(SHELF[key], factor), SHELF[key], WHITE)
    for strength in (found.by_depth, found.by_band, found.by_value):
        assert strength.value == pytest.approx(factor, rel=0.003)
    assert found.parts.value == pytest.approx(9.0 * factor, rel=0.003)
    assert found.left_over < 0.05


def test_strength_there_and_back_is_one() -> None:
    """Where both are pale, a times as strong as b and b times as strong as a multiply to 1."""
    blue, red = SHELF["ultramarine-blue"], SHELF["quinacridone-magenta"]
    there = predict_relative_strength(blue, red, WHITE).by_depth.value
    back = predict_relative_strength(red, blue, WHITE).by_depth.value
    assert there * back == pytest.approx(1.0, abs=0.08)


def test_a_weak_tube_says_that_it_never_goes_so_deep() -> None:
    weak = times(SHELF["yellow-ochre"], 1e-3)
    found = predict_relative_strength(weak, SHELF["phthalo-blue-green-shade"], WHITE)
    assert found.parts.value == 0.0
    said = say_relative_strength(found, "Phthalo blue")
    assert said.claim == "Even by itself it is not as deep as phthalo blue let down 1 : 9 with white"
    assert said.number == "strength below 10 %"
    named = say_relative_strength(found, "Phthalo blue", paint="Weak ochre")
    assert named.claim == "Even by itself Weak ochre is not as deep as Phthalo blue let down 1 : 9 with white"


def test_a_painter_hears_two_let_downs() -> None:
    found = predict_relative_strength(times(SHELF["cadmium-red"], 4 / 3), SHELF["cadmium-red"], WHITE)
    said = say_relative_strength(found, "Cadmium red")
    assert said.claim == "As deep as cadmium red let down 1 : 9 with white when let down 1 : 12"
    assert said.number == (
        "strength 133 % by equal depth of shade, 133 % by the band it absorbs most, 133 % by the least tristimulus "
        "value; the two tints are dE00 0 apart"
    )
    doubtful = replace(SHELF["cadmium-red"].optics, covariance=0.02 * np.eye(72))
    unsure = predict_relative_strength(
        replace(SHELF["cadmium-red"], optics=doubtful), SHELF["pyrrole-red"], WHITE, normals=NORMALS
    )
    assert "when let down about 1 : " in say_relative_strength(unsure, "Pyrrole red").claim
    unlike = predict_relative_strength(SHELF["phthalo-blue-green-shade"], SHELF["cadmium-red"], WHITE)
    assert "band" not in say_relative_strength(unlike, "Cadmium red").number


def test_doubt_of_any_of_the_three_is_doubt_of_the_strength() -> None:
    sure, red = SHELF["cadmium-red"], SHELF["quinacridone-magenta"]
    doubtful = replace(sure, optics=replace(sure.optics, covariance=0.01 * np.eye(72)))
    sure, red, white = (
        replace(each, optics=replace(each.optics, covariance=np.zeros((72, 72))))
        for each in (sure, red, WHITE)
    )
    exact = predict_relative_strength(sure, red, white, normals=NORMALS)
    assert exact.by_depth.is_exact
    for three in ((doubtful, red, white), (red, doubtful, white)):
        found = predict_relative_strength(*three, normals=NORMALS).by_depth
        assert found.low < found.value < found.high


def test_binders_do_not_mix() -> None:
    oil = replace(WHITE, binder=Binder.OIL)
    with pytest.raises(InputError, match="white: saw 'oil'; allowed is a paint in acrylic"):
        predict_relative_strength(SHELF["cadmium-red"], SHELF["bone-black"], oil)
