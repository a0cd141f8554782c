"""Two paints compared: who leads, how firmly, and when nothing can be told."""

from __future__ import annotations

import re

import pytest

from scumble.jobs.draws import standard_draws
from scumble.paint.behaviour import Behaviour, predict_behaviour
from scumble.paint.comparing import Pair, compare_behaviour
from scumble.paint.estimate import Estimate
from scumble.paint.pigment import starter_shelf

SHELF = {paint.key: paint for paint in starter_shelf()}
WHITE = SHELF["titanium-white"]


def behaviour(key: str, *, sure: bool = False) -> Behaviour:
    return predict_behaviour(SHELF[key], white=WHITE, normals=None if sure else standard_draws()[:, ::4])


@pytest.fixture(scope="module")
def earth_and_phthalo() -> tuple[str, ...]:
    pair = Pair("Red", "Blue", behaviour("red-oxide"), behaviour("phthalo-blue-green-shade"))
    return tuple(sentence.claim for sentence in compare_behaviour(pair))


def test_an_opaque_earth_beside_a_phthalo(earth_and_phthalo: tuple[str, ...]) -> None:
    """Common practice, no source: iron oxides cover, phthalocyanines glaze and are strong tinters."""
    assert "Red covers better" in earth_and_phthalo
    assert "Blue is the more transparent" in earth_and_phthalo
    assert "Red stands out more over black" in earth_and_phthalo
    assert "Their masstones differ clearly" in earth_and_phthalo


def test_a_paint_beside_itself_is_alike_in_everything() -> None:
    own = behaviour("cobalt-blue")
    claims = [sentence.claim for sentence in compare_behaviour(Pair("One", "Two", own, own))]
    assert claims == [
        "They cover about as well",
        "They are about as transparent",
        "Their masstones can hardly be told apart",
        "Their undertones can hardly be told apart",
        "Thinning does about the same to both",
        "Over black they stand out about as much",
        "In white they are about as strong",
    ]


def test_swapping_the_two_swaps_the_names_only() -> None:
    first, second = behaviour("cadmium-red", sure=True), behaviour("ultramarine-blue", sure=True)
    one = compare_behaviour(Pair("A", "B", first, second))
    two = compare_behaviour(Pair("B", "A", second, first))
    assert [each.claim for each in one] == [each.claim for each in two]
    assert not any("probably" in each.claim or "Can't" in each.claim for each in one)


def test_a_white_has_no_strength_in_white() -> None:
    pair = Pair("White", "Red", predict_behaviour(WHITE, white=WHITE), behaviour("cadmium-red", sure=True))
    assert "strength" not in [sentence.topic for sentence in compare_behaviour(pair)]


def test_numbers_are_shown_with_what_they_are() -> None:
    pair = Pair("A", "B", behaviour("cadmium-red", sure=True), behaviour("ultramarine-blue", sure=True))
    said = {sentence.topic: sentence.number for sentence in compare_behaviour(pair)}
    assert re.fullmatch(r"contrast ratio \d\.\d\d and \d\.\d\d", said["cover"])
    assert said["strength"].endswith("parts of white to a pastel")
    assert said["masstones"].startswith("dE00 ")


def test_intervals_decide_how_firmly_it_is_said() -> None:
    from scumble.paint.comparing import _firmly

    far, near = Estimate(0.9, 0.88, 0.92), Estimate(0.5, 0.4, 0.6)
    assert _firmly("A", "covers better", far, near) == "A covers better"
    assert _firmly("A", "covers better", Estimate(0.7, 0.55, 0.8), near) == "A probably covers better"
    assert (
        _firmly("A", "covers better", Estimate(0.55, 0.3, 0.8), near) == "Can't tell whether A covers better"
    )
