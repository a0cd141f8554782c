"""Behaviour in sentences: each has its number, and says no more than is known."""

from __future__ import annotations

import re
from dataclasses import replace

import numpy as np
import pytest

from scumble.paint.behaviour import Behaviour, predict_behaviour
from scumble.paint.covering import Mark
from scumble.paint.estimate import Estimate
from scumble.paint.pigment import starter_shelf
from scumble.paint.words import Sentence, describe_behaviour, hedge

SHELF = {paint.key: paint for paint in starter_shelf()}
NORMALS = np.random.default_rng(3).standard_normal((2, 60, 72))


def behaviour_of(key: str) -> Behaviour:
    return predict_behaviour(SHELF[key], white=SHELF["titanium-white"], normals=NORMALS)


def said_of(behaviour: Behaviour, topic: str) -> Sentence:
    return next(sentence for sentence in describe_behaviour(behaviour) if sentence.topic == topic)


def exactly(value: float) -> Estimate:
    return Estimate(value, value, value)


@pytest.mark.parametrize("key", SHELF)
def test_every_sentence_has_a_claim_a_number_and_its_meaning(key: str) -> None:
    sentences = describe_behaviour(behaviour_of(key))
    assert len(sentences) >= 5
    for sentence in sentences:
        assert sentence.claim[0].isupper() and not sentence.claim.endswith(".")
        assert any(letter.isdigit() for letter in sentence.number)
        assert sentence.meaning.endswith(".")
        assert not re.search(r"\bnan\b|\binf\b|-0\b(?!\.)", sentence.number)
        assert str(sentence) == f"{sentence.claim}: {sentence.number}."


def test_one_coat_that_covers_says_so_with_its_contrast_ratio() -> None:
    ochre = replace(
        behaviour_of("yellow-ochre"), contrast_ratio=Estimate(0.99, 0.98, 1.0), one_coat_share=1.0
    )
    assert str(said_of(ochre, "cover")) == "Covers in one coat: contrast ratio 0.99 (0.98 to 1.00)."


@pytest.mark.parametrize(
    ("share", "claim"),
    [
        (0.97, "Covers in one coat"),
        (0.8, "Probably covers in one coat"),
        (0.55, "Can't tell whether it covers in one coat"),
    ],
)
def test_what_is_not_sure_is_not_said_flatly(share: float, claim: str) -> None:
    shaky = replace(
        behaviour_of("yellow-ochre"), contrast_ratio=Estimate(0.981, 0.95, 0.99), one_coat_share=share
    )
    assert said_of(shaky, "cover").claim == claim
    assert hedge("covers in one coat", share) == claim


def test_a_film_that_may_or_may_not_ever_hide_has_an_open_end() -> None:
    slow = replace(
        behaviour_of("diarylide-yellow"),
        contrast_ratio=exactly(0.4),
        one_coat_share=0.0,
        coats_to_hide=Estimate(6.3, 5.1, np.inf),
    )
    assert said_of(slow, "cover").claim == "Probably takes about six and a half coats to cover"
    assert "6.3 coats (5.1 to more than 8)" in said_of(slow, "cover").number
    never = replace(slow, coats_to_hide=exactly(np.inf))
    assert said_of(never, "cover").claim == "Never covers in a film one can work"
    assert said_of(never, "cover").number.endswith("8 coats do not hide")


def test_between_two_marks_both_are_named() -> None:
    between = replace(
        behaviour_of("yellow-ochre"),
        opacity=Estimate(0.79, 0.7, 0.9),
        mark=Mark.SEMI_OPAQUE,
        mark_share=0.6,
    )
    assert said_of(between, "transparency").claim == "Can't tell whether it is semi-opaque or opaque"
    probable = replace(between, mark_share=0.9)
    assert said_of(probable, "transparency").claim == "Probably semi-opaque"


def test_a_hue_that_does_not_turn_is_not_spoken_of() -> None:
    topics = {sentence.topic for sentence in describe_behaviour(behaviour_of("cadmium-yellow"))}
    assert "hue" not in topics
    turning = said_of(behaviour_of("nickel-azo-yellow"), "hue")
    assert turning.claim == "Turns towards green, cooler as it thins"


def test_over_black_a_transparent_colour_vanishes_and_an_opaque_one_stands_out() -> None:
    assert (
        said_of(behaviour_of("phthalo-blue-red-shade"), "over black").claim == "All but vanishes over black"
    )
    assert said_of(behaviour_of("yellow-ochre"), "over black").claim.startswith("Stands out over black")


def test_without_a_white_nothing_is_said_of_tints() -> None:
    alone = describe_behaviour(predict_behaviour(SHELF["yellow-ochre"]))
    assert {"with white", "strength"}.isdisjoint(sentence.topic for sentence in alone)
