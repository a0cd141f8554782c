"""A proof is held to its promise: kinds, the hand, the interval and the words for how it strayed."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from scumble.paint import Film, Layering, Optics, Paint, Provenance, ground_of_colour, paper_ground
from scumble.paint.look import predict_look
from scumble.paint.proof import (
    HAND_COATS,
    HAND_PARTS,
    ProofKind,
    compare_painted,
    predict_hand,
    proof_kind,
    say_shift,
)

BLUE = Paint("blue", "Blue", Optics(np.linspace(0.2, 6.0, 36), np.full(36, 0.5)), Provenance.CARD, ("PB29",))
RED = Paint("red", "Red", Optics(np.linspace(6.0, 0.1, 36), np.full(36, 2.0)), Provenance.CARD, ("PR101",))
WHITE = Paint("white", "White", Optics(np.full(36, 0.01), np.full(36, 12.0)), Provenance.CARD, ("PW6",))
NONE = np.zeros((3, 3))


def is_white(paint: Paint) -> bool:
    return paint.key == "white"


def film(*parts: tuple[Paint, float], coats: float = 1.0, medium: float = 0.0) -> Film:
    return Film(parts, coats, medium)


@pytest.mark.parametrize(
    ("ground", "films", "kind"),
    [
        ("white", [film((BLUE, 1))], ProofKind.MASSTONE),
        ("white", [film((BLUE, 1), coats=0.2)], ProofKind.UNDERTONE),
        ("white", [film((BLUE, 1), medium=4.0)], ProofKind.UNDERTONE),
        ("black", [film((BLUE, 1), coats=0.2)], ProofKind.DARK),
        ("grey", [film((BLUE, 1))], ProofKind.DARK),
        ("white", [film((RED, 1)), film((BLUE, 1), coats=0.2)], ProofKind.GLAZE),
        ("white", [film((BLUE, 1), (WHITE, 4))], ProofKind.TINT),
        ("black", [film((BLUE, 1), (WHITE, 4), coats=0.1)], ProofKind.TINT),
        ("white", [film((BLUE, 1), (RED, 1))], ProofKind.MIXTURE),
        ("white", [film((BLUE, 1), (RED, 1), (WHITE, 3))], ProofKind.MIXTURE),
        ("white", [film((WHITE, 1))], ProofKind.MASSTONE),
    ],
)
def test_what_kind_of_prediction_it_is(ground: str, films: list[Film], kind: ProofKind) -> None:
    assert proof_kind(Layering(paper_ground(ground), tuple(films)), is_white) is kind


def test_a_thin_film_over_a_coloured_ground_is_a_glaze() -> None:
    over = ground_of_colour((60.0, 40.0, 30.0))
    assert proof_kind(Layering(over, (film((BLUE, 1), coats=0.2),)), is_white) is ProofKind.GLAZE


def test_the_hand_is_the_spread_of_films_drawn_at_random() -> None:
    """Closed form against drawing: every coat and part strays by itself, log-normally."""
    layering = Layering(paper_ground("white"), (film((BLUE, 1), (WHITE, 3), coats=0.8),))
    rng = np.random.default_rng(5)
    seen = []
    for _ in range(600):
        slips = rng.standard_normal(3)
        parts = (
            (BLUE, float(np.exp(HAND_PARTS * slips[0]))),
            (WHITE, 3.0 * float(np.exp(HAND_PARTS * slips[1]))),
        )
        slipped = Layering(layering.ground, (Film(parts, 0.8 * float(np.exp(HAND_COATS * slips[2]))),))
        seen.append(predict_look(slipped).lab)
    drawn = np.cov(np.array(seen).T)
    # 600 draws tell a deviation to 3 %, twice that is allowed here.
    assert np.sqrt(np.trace(predict_hand(layering))) == pytest.approx(np.sqrt(np.trace(drawn)), rel=0.06)


def test_a_film_that_hides_hardly_shows_the_hand() -> None:
    thick = Layering(paper_ground("white"), (film((WHITE, 1), coats=5.0),))
    thin = Layering(paper_ground("black"), (film((WHITE, 1), coats=0.2),))
    assert np.trace(predict_hand(thick)) < 0.02 * np.trace(predict_hand(thin))


def test_the_interval_holds_what_it_promises() -> None:
    """Swatches drawn from what is said of optics, hand and reading lie inside 19 times in 20."""
    lab = np.array([50.0, 20.0, -10.0])
    parts = [np.diag(each) for each in ((0.5, 1.0, 0.3), (1.5, 0.1, 0.2), (0.1, 0.1, 0.2))]
    rng = np.random.default_rng(11)
    drawn = rng.multivariate_normal(lab, sum(parts, NONE), size=2000)
    inside = [
        compare_painted(lab, each, optics=parts[0], hand=parts[1], reading=parts[2]).is_within
        for each in drawn
    ]
    # The interval stands for a weighted sum of chi-squares to about a per cent (its docstring); 2000 draws add 1 %.
    assert 0.93 <= np.mean(inside) <= 0.97


def test_nothing_known_to_be_off_promises_nothing() -> None:
    lab = np.array([50.0, 20.0, -10.0])
    assert compare_painted(lab, lab, optics=NONE, hand=NONE, reading=NONE).is_within
    assert not compare_painted(lab, lab + 0.1, optics=NONE, hand=NONE, reading=NONE).is_within


@pytest.mark.parametrize(
    ("promised", "shift", "words"),
    [
        ((50, 0, 0), (0, 0, 0), "as promised"),
        ((50, 0, 0), (1, 0, 0), "a little lighter than promised"),
        ((50, 0, 0), (-6, 0, 0), "much darker than promised"),
        ((50, 0, 0), (0, 3, 0), "redder than promised"),
        ((50, 0, 0), (0, 0, -3), "bluer than promised"),
        ((50, 40, 0), (0, -12, 0), "duller than promised"),
        ((50, 40, 0), (0, 0, 12), "yellower than promised"),
        ((50, 10, 10), (-1.4, -3.5, 0.2), "greener and a little darker than promised"),
    ],
)
def test_how_it_strayed_in_words(promised: tuple[float, ...], shift: tuple[float, ...], words: str) -> None:
    expected = np.array(promised, dtype=float)
    assert say_shift(expected, expected + shift) == words


@given(
    st.tuples(st.floats(1, 99), st.floats(-90, 90), st.floats(-90, 90)),
    st.tuples(st.floats(-30, 30), st.floats(-30, 30), st.floats(-30, 30)),
)
def test_any_shift_has_words(promised: tuple[float, ...], shift: tuple[float, ...]) -> None:
    words = say_shift(np.array(promised), np.array(promised) + shift)
    assert words == "as promised" or words.endswith(" than promised")
    assert ("lighter" in words) + ("darker" in words) < 2
