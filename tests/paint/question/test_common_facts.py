"""What any painter would answer about generic pigments: *common practice, no source*.

The starter shelf's spectra were argued with such facts in mind; this shows that the questions read them as painters do.
"""

from __future__ import annotations

import pytest
from tests.paint.question.trays import tray_of

from scumble.paint.question.ask import ask_question
from scumble.paint.question.question import Kind


def answer(kind: Kind, key: str, *others: str, **options: object) -> str:
    """Words of the right answer, optics taken as exact so that nothing is left open."""
    question = ask_question(kind, tray_of(key, *others, sure=True, **options))  # type: ignore[arg-type]
    assert question is not None
    return question.choices[question.right].words


@pytest.mark.parametrize("key", ["ultramarine-blue", "alizarin-crimson", "viridian", "quinacridone-rose"])
def test_clear_colours_leave_the_bar(key: str) -> None:
    assert answer(Kind.COVER, key) == "No, it still shows"
    assert answer(Kind.TRANSPARENCY, key) in ("transparent", "semi-transparent")


@pytest.mark.parametrize("key", ["chromium-oxide-green", "red-oxide", "mars-black"])
def test_oxides_cover(key: str) -> None:
    assert answer(Kind.COVER, key) == "Yes, it is covered"
    assert answer(Kind.COATS, key) == "One coat"
    assert answer(Kind.TRANSPARENCY, key) == "opaque"


def test_zinc_white_covers_less_than_titanium_white() -> None:
    assert answer(Kind.COVERS_BETTER, "zinc-white", "titanium-white", white=None) == "Titanium white"


@pytest.mark.parametrize("key", ["phthalo-blue-green-shade", "dioxazine-violet", "quinacridone-magenta"])
def test_dark_clear_colours_brighten_thinned_and_with_white(key: str) -> None:
    assert answer(Kind.THINNING, key) == "It brightens"
    assert answer(Kind.WITH_WHITE, key) == "Brighter"


@pytest.mark.parametrize("key", ["cadmium-yellow", "cadmium-red"])
def test_cadmiums_only_go_pastel(key: str) -> None:
    assert answer(Kind.WITH_WHITE, key) in ("Only lighter", "Duller")


@pytest.mark.parametrize("weak", ["ultramarine-blue", "cobalt-blue", "cerulean-blue", "viridian"])
def test_phthalocyanine_pulls_more_white(weak: str) -> None:
    assert answer(Kind.PULLS_WHITE, weak, "phthalo-blue-green-shade") == "Phthalo blue, green shade"


def test_blue_over_yellow_turns_it_green() -> None:
    for seed in range(40):
        question = ask_question(Kind.OVER_GROUND, tray_of("phthalo-blue-green-shade", seed=seed, sure=True))
        if question is not None and question.laid is not None and question.laid.ground == "yellow":
            assert "green" in question.choices[question.right].words
            return
    raise AssertionError("yellow never came up")


def test_blue_and_yellow_mix_to_green() -> None:
    assert "green" in answer(Kind.MIXING, "phthalo-blue-green-shade", "arylide-yellow-light", level=3)


def test_a_blue_glaze_cools_a_warm_ground_and_darkens_a_pale_one() -> None:
    for seed in range(6):
        question = ask_question(Kind.WARMER, tray_of("ultramarine-blue", seed=seed, sure=True))
        if question is not None and question.laid is not None and question.laid.ground in ("red", "yellow"):
            assert question.choices[question.right].words == "Cooler"
        darker = ask_question(Kind.LIGHTER, tray_of("ultramarine-blue", seed=seed, sure=True))
        if darker is not None and darker.laid is not None and darker.laid.ground == "yellow":
            assert darker.choices[darker.right].words == "Darker"


def test_a_white_veils_black() -> None:
    """A scumble: thin white over black is lighter than black."""
    for seed in range(12):
        question = ask_question(Kind.LIGHTER, tray_of("titanium-white", seed=seed, sure=True, white=None))
        if question is not None and question.laid is not None and question.laid.ground == "black":
            assert question.choices[question.right].words == "Lighter"
            return
    raise AssertionError("black never came up")


@pytest.mark.parametrize("key", ["quinacridone-magenta", "transparent-red-oxide", "nickel-azo-yellow"])
def test_clear_colours_are_brighter_glazed_than_with_white(key: str) -> None:
    assert answer(Kind.TWO_WAYS, key) == "Glazed, thin over white"
