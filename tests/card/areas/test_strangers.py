"""Areas that the others do not lead to expect: another paint or thickness, swapped boxes; and none on a good card."""

from dataclasses import replace

import numpy as np
import pytest
from demo.inks import GROUNDS
from demo.paints import TUBES

from scumble.card.areas.strangers import find_strangers
from scumble.card.sheet.geometry import card_geometry
from scumble.colour import spectral_weights
from scumble.optics.film import film_response
from scumble.paint.camera_doubt import CameraDoubt
from scumble.paint.reading import Reading

TUBE = {tube.key.removeprefix("classroom-"): tube for tube in TUBES}
COATS = {"full": 1.0, "thin1": 0.27, "thin2": 0.12, "tint1": 1.1, "tint4": 0.9, "tint19": 1.0}
CAMERA = CameraDoubt(sensor=0.45, tone=0.02, chroma=0.02, paper=0.025, tint=0.012, veil=0.002)
NOISE = 0.015
AREAS = card_geometry("full").areas


def reading(area, tube, *, coats=None, film=None):
    """What a perfect camera reads of an area; the film in it may be another than it should be."""
    film = film or area.film
    if area.is_bare:
        spectrum = GROUNDS[area.ground]
    else:
        parts = float(film.removeprefix("tint")) if film.startswith("tint") else 0.0
        depths = [
            (getattr(TUBE[tube], part)() + parts * getattr(TUBE["white"], part)()) / (1 + parts)
            for part in ("absorption", "scattering")
        ]
        laid = COATS[film] if coats is None else coats
        spectrum = film_response(*(laid * depth for depth in depths)).over(GROUNDS[area.ground])
    values = spectrum @ spectral_weights("D65", 2)
    return Reading(area.name, area.film, area.paint_parts, area.white_parts, area.ground, values)


def card(tube, *, seed=1, **spoilt):
    rng = np.random.default_rng(seed)
    read = [spoilt.get(area.name.replace("-", "_"), reading(area, tube)) for area in AREAS]
    noisy = [replace(each, values=each.values * (1 + 0.01 * rng.standard_normal(3))) for each in read]
    return find_strangers(noisy, NOISE, CAMERA)


def area(name):
    return next(each for each in AREAS if each.name == name)


@pytest.mark.parametrize("tube", ["red", "magenta", "black", "white", "dull-green"])
def test_nothing_is_strange_on_a_good_card(tube):
    assert card(tube) == {}


def test_another_tube_in_a_box_is_left_out_and_nothing_else_is():
    found = card("red", thin1_cyan=reading(area("thin1-cyan"), "dull-green"))
    assert [*found] == ["thin1-cyan"]
    assert found["thin1-cyan"].trust == 0.0
    assert found["thin1-cyan"].kind == "disagrees"
    assert "the other areas lead to expect" in found["thin1-cyan"].sentence


def test_a_second_coat_is_called_thicker():
    found = card("magenta", thin1_white=reading(area("thin1-white"), "magenta", coats=0.6))
    assert {name: fault.kind for name, fault in found.items()} == {"thin1-white": "thickness"}
    assert "2" in found["thin1-white"].sentence.split(" times")[0]
    assert "a second coat?" in found["thin1-white"].sentence


def test_two_boxes_swapped_are_both_named():
    found = card(
        "dull-green",
        thin1_black=reading(area("thin1-black"), "dull-green", film="tint1"),
        tint1_white=reading(area("tint1-white"), "dull-green", film="thin1"),
    )
    assert {name: fault.kind for name, fault in found.items()} == {
        "thin1-black": "swapped",
        "tint1-white": "swapped",
    }


def test_a_box_that_was_passed_over_looks_unpainted():
    bare = replace(reading(area("thin1-magenta"), "red"), values=reading(area("magenta"), "red").values)
    found = card("red", thin1_magenta=bare)
    assert {name: fault.kind for name, fault in found.items()} == {"thin1-magenta": "unpainted"}


def test_a_whole_stroke_of_dirty_paint_is_left_out():
    spoilt = {
        f"full_{ground}": reading(area(f"full-{ground}"), "warm-earth", coats=1.0)
        for ground in ("white", "black")
    }
    found = card("opaque-yellow", **spoilt)
    assert set(found) == {"full-white", "full-black"}


def test_what_cannot_be_seen_is_not_said():
    """A second coat of a film that hides already."""
    assert card("dull-green", full_white=reading(area("full-white"), "dull-green", coats=2.0)) == {}


def test_a_card_of_few_areas_is_not_asked():
    few = [reading(each, "red") for each in AREAS if each.is_bare or each.film == "full"]
    assert find_strangers(few, NOISE, CAMERA) == {}
