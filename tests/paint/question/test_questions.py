"""Every question has one right answer, wrong ones that can be told from it, and none that the interval leaves open."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.paint.question.trays import SHELF, invented_paint, lay_out, tray_of

from scumble.colour import delta_e_2000
from scumble.paint.behaviour import predict_behaviour
from scumble.paint.covering import HIDING_RATIO, mark_of
from scumble.paint.film import Film
from scumble.paint.layering import Layering
from scumble.paint.look import predict_look
from scumble.paint.question.ask import ASK, THEME_KINDS, ask_question
from scumble.paint.question.pointed import NEAR_DE00, compare_pointed
from scumble.paint.question.question import EASIEST, HARDEST, Kind, Question
from scumble.paint.question.tray import Tray
from scumble.paint.question.wrong import LEAST_APART, Guess, offer_swatches, on_screen

SOME = (
    "ultramarine-blue",
    "cadmium-red",
    "burnt-sienna",
    "phthalo-green-blue-shade",
    "yellow-ochre",
    "lamp-black",
)


def assert_sound(question: Question, tray: Tray) -> None:
    """One right answer, and all answers to be told apart."""
    assert 2 <= len(question.choices) <= 4
    assert [at for at, each in enumerate(question.choices) if not each.slip] == [question.right]
    words = [each.words for each in question.choices]
    labs = [each.lab for each in question.choices]
    assert (None in labs) == (labs == [None] * len(labs))
    if None in labs:
        assert len(set(words)) == len(words)
    else:
        seen = [on_screen(lab) for lab in labs]
        apart = min(float(delta_e_2000(*pair)) for pair in combinations(seen, 2))
        assert apart >= LEAST_APART[tray.level] - 0.02, "to a hundredth of Lab"
        assert question.wanted == question.choices[question.right].lab
    assert question.margin >= 1.0 and EASIEST <= question.difficulty <= HARDEST
    assert question.paints[0] == tray.tube.paint.key
    assert question.asks.endswith("?") and question.why.endswith(".")
    assert question.painted and question.number


@pytest.mark.parametrize("kind", Kind)
def test_every_kind_asks_sound_questions_of_the_starter_shelf(kind: Kind) -> None:
    asked = 0
    for at, key in enumerate(SOME):
        others = tuple(other for other in SOME if other != key)
        for level in (1, 3):
            tray = tray_of(key, *others, level=level, seed=at)
            question = ask_question(kind, tray)
            if question is not None:
                assert question.kind is kind
                assert_sound(question, tray)
                asked += 1
    assert asked >= 2, "the starter shelf leaves next to nothing to ask"


@settings(max_examples=20, deadline=None)
@given(st.integers(0, 10_000), st.sampled_from(Kind), st.sampled_from((1, 2, 3)))
def test_every_question_of_a_random_shelf_is_sound(seed: int, kind: Kind, level: int) -> None:
    paints = [invented_paint(name, seed) for name in ("first", "second", "third", "fourth")]
    tray = lay_out(paints[0], paints[1:], SHELF["titanium-white"], level, seed)
    question = ask_question(kind, tray)
    if question is not None:
        assert_sound(question, tray)


@pytest.mark.parametrize("kind", Kind)
def test_the_same_tray_asks_the_same(kind: Kind) -> None:
    others = SOME[1:]
    first, second = (ask_question(kind, tray_of(SOME[0], *others, seed=7)) for _ in range(2))
    assert first == second


@pytest.mark.parametrize("kind", Kind)
def test_a_tube_alone_or_beside_its_twin_is_asked_nothing_that_compares(kind: Kind) -> None:
    """One tube, no white: no mixture, no tint. Beside a twin there is no better one."""
    question = ask_question(kind, tray_of("ultramarine-blue", white=None))
    needs = {
        Kind.WITH_WHITE,
        Kind.LITTLE_WHITE,
        Kind.PULLS_WHITE,
        Kind.TWO_WAYS,
        Kind.COVERS_BETTER,
        Kind.MIXING,
    }
    if kind in needs:
        assert question is None
    twin = replace(SHELF["ultramarine-blue"], key="twin", label="Twin")
    tray = lay_out(SHELF["ultramarine-blue"], [twin, twin], SHELF["titanium-white"])
    if kind in (Kind.COVERS_BETTER, Kind.PULLS_WHITE, Kind.MIXING):
        assert ask_question(kind, tray) is None


def test_an_answer_that_the_interval_leaves_open_is_not_asked() -> None:
    """Cadmium red hides at 0.976 of 0.98, 0.94 to 0.99: as it stands nobody can say whether one coat covers."""
    ratio = predict_behaviour(SHELF["cadmium-red"]).contrast_ratio.value
    assert abs(ratio - HIDING_RATIO) < 0.01
    assert ask_question(Kind.COVER, tray_of("cadmium-red")) is None
    assert ask_question(Kind.COVER, tray_of("titanium-white", sure=True)) is not None


def test_a_masstone_too_dark_to_have_a_chroma_is_not_said_to_dull() -> None:
    """Ultramarine: L* 6 with a chroma of 76, which no eye sees."""
    assert ask_question(Kind.THINNING, tray_of("ultramarine-blue", sure=True)) is None


def test_truth_is_what_the_rest_of_the_product_says() -> None:
    """The same functions: behaviour of the paint's page, look of the layer bench."""
    paint = SHELF["ultramarine-blue"]
    behaviour = predict_behaviour(paint, white=SHELF["titanium-white"])
    tray = tray_of("ultramarine-blue", sure=True)
    cover = ask_question(Kind.COVER, tray)
    assert cover is not None and (cover.right == 0) == (behaviour.contrast_ratio.value >= HIDING_RATIO)
    mark = ask_question(Kind.TRANSPARENCY, tray)
    assert mark is not None
    assert mark.choices[mark.right].words == mark_of(behaviour.opacity.value).value == behaviour.mark.value
    sienna = ask_question(Kind.UNDERTONE, tray_of("burnt-sienna", sure=True))
    assert sienna is not None and sienna.wanted is not None
    thinned = predict_behaviour(SHELF["burnt-sienna"]).thinning.undertone
    assert sienna.wanted == pytest.approx(thinned.tolist(), abs=0.006)
    glaze = ask_question(Kind.OVER_GROUND, tray)
    assert glaze is not None and glaze.laid is not None and glaze.wanted is not None
    film = Film(((paint, 1.0),), glaze.laid.coats)
    look = predict_look(Layering(tray.grounds[glaze.laid.ground], (film,)))
    assert glaze.wanted == pytest.approx(look.lab.tolist(), abs=0.006)


def test_themes_hold_every_kind_once() -> None:
    assert sorted(kind for kinds in THEME_KINDS.values() for kind in kinds) == sorted(Kind)
    assert set(ASK) == set(Kind)


def test_too_few_swatches_that_can_be_told_apart_are_not_offered() -> None:
    right = np.tile([50.0, 0.0, 0.0], (5, 1))
    near = [Guess(right[0] + [0.0, 1.0 * step, 0.0], "near") for step in range(3)]
    offered = offer_swatches(right, near, level=3, rng=np.random.default_rng(0))
    assert offered is not None, "steps lighter and darker are left"
    assert all(each.slip != "near" for each in offered.choices)
    spread = right + np.array([[0, 0, 0], [12, 0, 0], [-12, 0, 0], [20, 0, 0], [-20, 0, 0]])
    assert offer_swatches(spread, near, level=3, rng=np.random.default_rng(0)) is None


@pytest.mark.parametrize(
    ("shift", "words"),
    [
        ((15.0, 0.0, 0.0), "too light"),
        ((-15.0, 0.0, 0.0), "too dark"),
        ((0.0, 25.0, 0.0), "too full"),
        ((0.0, -18.0, 0.0), "too dull"),
        ((0.0, 0.0, 25.0), "too yellowish"),
        ((0.0, 0.0, -25.0), "too bluish"),
    ],
)
def test_a_colour_pointed_out_is_told_its_fault(shift: tuple[float, float, float], words: str) -> None:
    wanted = np.array([50.0, 40.0, 0.0])
    told = compare_pointed(wanted, wanted + shift)
    assert words in told.words and told.difference == pytest.approx(delta_e_2000(wanted, wanted + shift))
    assert told.is_near == (told.difference <= NEAR_DE00)
    assert compare_pointed(wanted, wanted + shift, interval_de00=60.0).is_near
