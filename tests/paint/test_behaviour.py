"""How a paint behaves: definitions hold, limits are right, and uncertainty is carried."""

from __future__ import annotations

import numpy as np
import pytest

from scumble.errors import InputError
from scumble.paint import Binder, Film, Ground, GroundFace, Layering, Optics, Paint, Provenance, predict_look
from scumble.paint.behaviour import predict_behaviour
from scumble.paint.covering import HIDING_RATIO, MOST_COATS, Mark, contrast_ratio
from scumble.paint.drawdown import CHART_BLACK, CHART_WHITE
from scumble.paint.thinning import Course
from scumble.tables import BANDS, WAVELENGTH_NM


def paint(
    key: str, absorption: float | np.ndarray, scattering: float, *, doubt: float = 0.0, **more: object
) -> Paint:
    optics = Optics(
        np.broadcast_to(absorption, BANDS) * 1.0, np.full(BANDS, scattering), doubt**2 * np.eye(2 * BANDS)
    )
    return Paint(key, key.title(), optics, Provenance.CARD, **more)  # type: ignore[arg-type]


def edge(depth: float, at_nm: float = 580.0) -> np.ndarray:
    """Absorption below a wavelength: yellows, oranges, reds."""
    return 0.05 + depth / (1.0 + np.exp((WAVELENGTH_NM - at_nm) / 8.0))


WHITE = paint("white", 0.005, 18.0)
CLEAR_RED = paint("clear red", edge(9.0), 0.5)
DENSE_RED = paint("dense red", edge(9.0), 16.0)
NORMALS = np.random.default_rng(5).standard_normal((2, 60, 2 * BANDS))


def test_contrast_ratio_is_luminance_over_black_by_luminance_over_white_of_the_chart() -> None:
    film = (Film(((CLEAR_RED, 1.0),), 1.0),)
    over = [
        predict_look(Layering(Ground(np.full(BANDS, level), GroundFace.GLOSS), film)).xyz[1]
        for level in (CHART_BLACK, CHART_WHITE)
    ]
    behaviour = predict_behaviour(CLEAR_RED)
    assert behaviour.contrast_ratio.value == pytest.approx(over[0] / over[1], rel=1e-9)


def test_coats_to_hide_reach_the_hiding_ratio_and_no_more() -> None:
    coats = predict_behaviour(DENSE_RED).coats_to_hide.value
    optics = DENSE_RED.optics
    assert float(contrast_ratio(optics.absorption, optics.scattering, coats)) == pytest.approx(
        HIDING_RATIO, abs=1e-5
    )


def test_a_paint_that_no_workable_film_hides_says_so() -> None:
    clear = paint("clear", 0.02, 0.02)
    assert predict_behaviour(clear).coats_to_hide.value == np.inf
    assert float(contrast_ratio(clear.optics.absorption, clear.optics.scattering, MOST_COATS)) < HIDING_RATIO


def test_twice_as_concentrated_hides_in_half_the_coats() -> None:
    double = paint("double", 2 * DENSE_RED.optics.absorption, 2 * float(DENSE_RED.optics.scattering[0]))
    once, twice = (predict_behaviour(each).coats_to_hide.value for each in (DENSE_RED, double))
    assert twice == pytest.approx(once / 2, rel=1e-5)


def test_contrast_ratio_runs_from_none_to_one_and_never_back() -> None:
    coats = np.geomspace(1e-3, 200.0, 60)
    for each in (CLEAR_RED, DENSE_RED, WHITE):
        ratios = contrast_ratio(each.optics.absorption, each.optics.scattering, coats)
        assert ratios[0] < 0.02 and ratios[-1] == pytest.approx(1.0, abs=1e-3)
        assert np.all(np.diff(ratios) > -1e-6)


def test_more_scattering_moves_the_mark_from_transparent_to_opaque() -> None:
    marks = [
        predict_behaviour(paint("p", edge(9.0), scattering)).mark for scattering in (0.3, 2.0, 5.0, 16.0)
    ]
    assert marks == list(Mark)


def test_a_clear_red_brightens_and_a_dense_one_only_lightens() -> None:
    assert predict_behaviour(CLEAR_RED).thinning.course is Course.BRIGHTENS
    assert predict_behaviour(DENSE_RED).thinning.course is Course.LIGHTENS
    assert predict_behaviour(WHITE).thinning.course is Course.NEUTRAL


def test_the_undertone_has_the_greatest_chroma_of_all_films() -> None:
    thinning = predict_behaviour(CLEAR_RED).thinning
    chroma = np.hypot(*thinning.undertone[1:])
    ground = Ground(np.full(BANDS, CHART_WHITE), GroundFace.GLOSS)
    for coats in np.geomspace(0.01, 1.0, 40):
        lab = predict_look(Layering(ground, (Film(((CLEAR_RED, 1.0),), float(coats)),))).lab
        assert np.hypot(lab[1], lab[2]) <= chroma + 0.05
    assert thinning.chroma_gain.value == pytest.approx(chroma - np.hypot(*thinning.masstone[1:]))


def test_white_lets_a_clear_red_gain_chroma_and_a_dense_one_only_pale() -> None:
    clear, dense = (predict_behaviour(each, white=WHITE).tinting for each in (CLEAR_RED, DENSE_RED))
    assert clear is not None and dense is not None
    assert clear.chroma_gain.value > 5 > dense.chroma_gain.value
    assert clear.peak_parts.value > 0 == dense.peak_parts.value


def test_tinting_strength_grows_with_what_a_paint_absorbs() -> None:
    weak, strong = (
        predict_behaviour(paint("p", edge(depth), 0.5), white=WHITE).tinting for depth in (4.0, 16.0)
    )
    assert weak is not None and strong is not None
    assert strong.strength_parts.value == pytest.approx(4 * weak.strength_parts.value, rel=0.15)


def test_a_white_has_no_ladder_into_itself_and_other_paints_none_without_a_white() -> None:
    assert predict_behaviour(WHITE, white=WHITE).tinting is None
    assert predict_behaviour(CLEAR_RED).tinting is None


def test_a_white_in_another_binder_is_refused() -> None:
    oil = paint("oil white", 0.005, 18.0, binder=Binder.OIL)
    with pytest.raises(
        InputError, match=r"white: saw 'oil'; allowed is a white in acrylic\. Binders do not mix\."
    ):
        predict_behaviour(CLEAR_RED, white=oil, normals=NORMALS)


def test_exact_optics_give_exact_numbers_even_when_draws_are_handed_in() -> None:
    behaviour = predict_behaviour(CLEAR_RED, white=WHITE, normals=NORMALS)
    assert behaviour.contrast_ratio.is_exact and behaviour.coats_to_hide.is_exact
    assert behaviour.mark_share == 1.0
    assert behaviour.tinting is not None and behaviour.tinting.strength_parts.is_exact


def test_doubtful_optics_give_intervals_that_hold_the_value_and_grow_with_the_doubt() -> None:
    little, much = (
        predict_behaviour(paint("p", edge(9.0), 2.8, doubt=doubt), white=WHITE, normals=NORMALS)
        for doubt in (0.05, 0.5)
    )
    for one, other in (
        (little.contrast_ratio, much.contrast_ratio),
        (little.coats_to_hide, much.coats_to_hide),
        (little.thinning.thinned_chroma, much.thinning.thinned_chroma),
    ):
        assert one.low < one.value < one.high
        assert other.high - other.low > 2 * (one.high - one.low)
    assert much.mark_share < little.mark_share


def test_intervals_agree_with_the_linear_ones_of_a_look() -> None:
    """Two ways to the same uncertainty of lightness: draws here, derivatives there."""
    doubtful = paint("p", edge(3.0), 2.0, doubt=0.08)
    ground = Ground(np.full(BANDS, CHART_BLACK), GroundFace.GLOSS)
    look = predict_look(Layering(ground, (Film(((doubtful, 1.0),), 1.0),)))
    share = predict_behaviour(doubtful, normals=np.random.default_rng(1).standard_normal((2, 800, 72)))
    drawn = (share.black_lightness.high - share.black_lightness.low) / 3.92 / share.black_lightness.value
    linear = np.sqrt(look.lab_covariance[0, 0]) / look.lab[0]
    assert drawn < 1.3 * linear


def test_the_same_question_gets_the_same_answer() -> None:
    doubtful = paint("p", edge(9.0), 2.0, doubt=0.1)
    first, second = (predict_behaviour(doubtful, white=WHITE, normals=NORMALS) for _ in range(2))
    assert first.contrast_ratio == second.contrast_ratio
    assert first.tinting is not None and second.tinting is not None
    assert first.tinting.strength_parts == second.tinting.strength_parts
