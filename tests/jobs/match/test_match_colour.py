"""Matching as a person asks for it: every way to write a colour, the answer's words, and bad requests."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from scumble.colour import lch_to_lab
from scumble.errors import InputError
from scumble.jobs.match.match_colour import (
    MatchRequest,
    match_colour,
    match_steps,
    match_with,
    parse_wishes,
    say_film,
    say_match,
)
from scumble.jobs.match.target import parse_target
from scumble.paint import Film, Paint
from scumble.paint.pigment import starter_shelf
from scumble.solve.recipe.answer import Route
from scumble.store.shelf import open_shelf

KEYS = {paint.key: paint for paint in starter_shelf()}
TUBES = tuple(
    KEYS[key]
    for key in ("titanium-white", "cadmium-red", "ultramarine-blue", "nickel-azo-yellow", "bone-black")
)


@pytest.fixture(scope="module")
def shelf(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("match") / "shelf.sqlite"
    with open_shelf(path) as opened:
        opened.save_paints(TUBES)
    return path


def find_paint(name: str) -> Paint:
    return KEYS[name]


def match(colour: str, **changes: Any) -> dict[str, Any]:
    *_, answer = match_with(MatchRequest(colour, **changes), TUBES)
    return answer


# sRGB white is D65 by definition (IEC 61966-2-1); the mid grey #777777 is L* 50.03 (its luminance is 0.1845).
@pytest.mark.parametrize(
    ("text", "lab"),
    [
        ("60 20 30", [60, 20, 30]),
        ("Lab: 60, 20, -30", [60, 20, -30]),
        ("lab(60; 20; 30)", [60, 20, 30]),
        ("LCH 60 36 56", lch_to_lab([60, 36, 56]).tolist()),
        ("xyz 95.047 100 108.883", [100, 0, 0]),
        ("#ffffff", [100, 0, 0]),
        ("#777", [50.03, 0, 0]),
        ("reflectance " + " ".join(["0.5"] * 36), [76.07, 0, 0]),
        (",".join(["0.5"] * 36), [76.07, 0, 0]),
    ],
)
def test_colours_as_they_are_written(text: str, lab: list[float]) -> None:
    assert parse_target(text, find_paint).lab == pytest.approx(lab, abs=0.02)


def test_paints_and_layerings_are_colours_too() -> None:
    masstone = parse_target("masstone phthalo-blue-green-shade", find_paint)
    undertone = parse_target("undertone phthalo-blue-green-shade", find_paint, lights=("D65", "A"))
    assert np.hypot(*undertone.lab[1:]) > np.hypot(*masstone.lab[1:])
    assert undertone.labs.shape == (2, 3)
    layering = {"ground": {"paper": "white"}, "films": [{"parts": {"cadmium-red": 1}, "coats": 8}]}
    film = parse_target(json.dumps(layering), find_paint)
    assert film.lab == pytest.approx(parse_target("masstone cadmium-red", find_paint).lab, abs=0.3)


BAD_COLOURS = [
    ("", "colour: saw ''; allowed is Lab"),
    ("greenish", "allowed is Lab"),
    ("lab 60 20", "There are 2 numbers"),
    ("lab 60 20 x", "allowed is Lab"),
    ("lab 160 20 30", "a lightness from 0 to 100"),
    ("lch 60 -3 30", "a chroma of 0 or more"),
    ("xyz 20 -1 20", "X, Y and Z of 0 or more"),
    ("#12345", "six hexadecimal digits"),
    (" ".join(["0.5"] * 35), "saw '35 numbers'; allowed is 36"),
    ("reflectance " + " ".join(["50"] * 36), "reflectances from 0 to 1"),
    ("masstone velvet", "paint: saw 'velvet'"),
    ('{"ground": {"paper": "white"', "a layering as JSON"),
    ('{"ground": {"paper": "white"}, "film": []}', r"colour\.film.*spelling"),
]


@pytest.mark.parametrize(("text", "message"), BAD_COLOURS)
def test_a_bad_colour_is_named(text: str, message: str) -> None:
    with pytest.raises(InputError, match=message):
        match(text)


BAD_REQUESTS = [
    ({"ground": "velvet"}, "paper: saw 'velvet'"),
    ({"ground": {}}, "exactly one of paper, lab, reflectance"),
    ({"face": "velvet"}, "face: saw 'velvet'; allowed is gloss"),
    ({"binder": "tempera"}, "binder: saw 'tempera'; allowed is acrylic, oil, gum"),
    ({"lights": ("D93",)}, "light: saw 'D93'"),
    ({"observer": 5}, "observer: saw '5'"),
]


@pytest.mark.parametrize(("changes", "message"), BAD_REQUESTS)
def test_a_bad_request_is_named(changes: dict[str, Any], message: str) -> None:
    with pytest.raises(InputError, match=message):
        match("lab 60 20 30", **changes)


def test_a_bare_colour_is_guessed_under_further_lights_and_that_is_said() -> None:
    answer = match("lab 60 20 30", lights=("D65", "A"))
    assert "Only its colour under D65 is known. For A the smoothest surface" in answer["target"]["guessed"]
    assert answer["target"]["guessed"] in say_match(answer)
    recipe = answer["routes"]["cover"]["recipes"][0]
    # Root mean square over D65, where nothing is guessed, and A, where paints are off by up to 3.2.
    assert recipe["within_de00"] == pytest.approx(
        np.hypot(recipe["look"]["interval_de00"], 3.2 / np.sqrt(2.0)), abs=0.01
    )
    assert match("lab 60 20 30")["target"]["guessed"] == ""
    assert match("#b4783c", lights=("D65", "A"))["target"]["guessed"]
    with pytest.raises(
        InputError, match=r"light: saw 'D65, A'; allowed is one light for this colour.*more vivid"
    ):
        match("lab 60 120 120", lights=("D65", "A"))
    with pytest.raises(InputError, match="D65 and 2 degrees for a screen colour, other lights after D65"):
        match("#b4783c", lights=("A", "D65"))


def test_bad_wishes_are_named() -> None:
    with pytest.raises(InputError, match="route: saw 'spray'; allowed is cover, glaze, underpaint, scumble"):
        parse_wishes(["spray"])
    with pytest.raises(InputError, match="most_parts: saw '2'"):
        parse_wishes(most_parts=2)
    with pytest.raises(InputError, match="exclude: saw 'glitter'"):
        match("lab 60 20 30", wishes=parse_wishes([], ["glitter"]))
    assert parse_wishes(["glaze", "glaze"]).routes == (Route.GLAZE,)


def test_the_answer_is_plain_data(shelf: Path) -> None:
    told: list[tuple[str, float]] = []
    answer = match_colour(
        MatchRequest("lab 45 40 20"), shelf, progress=lambda words, share: told.append((words, share))
    )
    assert json.loads(json.dumps(answer)) == answer
    assert list(answer["routes"]) == ["cover", "glaze", "underpaint", "scumble"]
    first = answer["routes"]["cover"]["recipes"][0]
    assert len(first["look"]["reflectance"]) == 36
    assert first["look"]["interval_de00"] > 0
    assert [share for _, share in told][-1] == 1.0
    assert len(told) >= 3
    assert next(match_steps(MatchRequest("lab 45 40 20"), shelf))["share"] < 1.0


def test_words_for_people() -> None:
    lines = say_match(match("lab 45 40 20"))
    text = "\n".join(lines)
    assert lines[0].startswith("L* 45.0 a* 40.0 b* 20.0: a ")
    assert "Cover it" in text
    assert "Titanium white" in text
    assert "Scumble it\n  No recipe by this route." in text
    assert "Holds cadmium" in text
    assert "safety data sheet" in text
    assert "argued, not measured" in text


def test_a_film_in_words() -> None:
    red, white = KEYS["cadmium-red"], KEYS["titanium-white"]
    assert say_film(Film(((red, 1.0),), 2.0)) == "Cadmium red as it is, 2 coats"
    assert say_film(Film(((white, 3.0), (red, 0.05)), 1.0, medium_parts=1.0)) == (
        "3 parts Titanium white, a pinch Cadmium red, 1 part medium; 1 coat"
    )


def test_an_empty_shelf_is_named(tmp_path: Path) -> None:
    with open_shelf(tmp_path / "shelf.sqlite"):
        pass
    with pytest.raises(InputError, match="shelf: saw 'no paints'"):
        match_colour(MatchRequest("lab 60 20 30"), tmp_path / "shelf.sqlite")


def test_what_was_found_before_an_interruption_is_said(shelf: Path) -> None:
    """Ctrl-C after the second answer: the best so far, and that it is no more than that."""
    told: list[str] = []

    def stop_at_pairs(words: str, _share: float) -> None:
        told.append(words)
        if len(told) == 2:
            raise KeyboardInterrupt

    answer = match_colour(MatchRequest("lab 60 20 30"), shelf, progress=stop_at_pairs)
    assert answer["share"] < 1.0 and answer["routes"]["cover"]["recipes"]
    assert "single tubes and pairs - cover dE00" in told[1]
    assert "Stopped after single tubes and pairs: these are the best so far." in say_match(answer)
