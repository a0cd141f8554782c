"""Stand-ins: twins found at once, strength told, uses that differ, what will differ said and true."""

from __future__ import annotations

import json
from dataclasses import replace
from decimal import Decimal

import numpy as np
import pytest

from scumble.colour import delta_e_2000
from scumble.errors import InputError
from scumble.jobs.match.substitute import SubstituteRequest, find_substitutes, say_substitutes
from scumble.paint import Film, Layering, Optics, Paint, predict_look
from scumble.paint.ground import Ground, GroundFace
from scumble.paint.pigment import starter_shelf
from scumble.solve.substitute import PANEL, WEIGHTS, StandInWishes, Use, find_stand_ins, panel_labs
from scumble.store.tube_facts import Lightfastness, LightScale, TubeFacts

SHELF = starter_shelf()
KEYS = {paint.key: paint for paint in SHELF}
WHITE = KEYS["titanium-white"]
SOME = SHELF[::3]


def strengthened(paint: Paint, factor: float, key: str = "twin") -> Paint:
    optics = Optics(paint.optics.absorption * factor, paint.optics.scattering * factor)
    return replace(paint, key=key, label=key.title(), optics=optics)


def test_a_panel_film_is_what_a_layering_shows() -> None:
    """Against the layering of the paint room, over the chart's white and black."""
    paint = KEYS["burnt-sienna"]
    labs = panel_labs(
        paint.optics.absorption[None], paint.optics.scattering[None], WHITE, np.ones((1, 2)), 1.5
    )[0]
    grounds = {
        "white": Ground(np.full(36, 0.80), GroundFace.GLOSS),
        "black": Ground(np.zeros(36), GroundFace.GLOSS),
    }
    for film, lab in zip(PANEL, labs, strict=True):
        parts = ((paint, 1.0), (WHITE, film.white_parts)) if film.white_parts else ((paint, 1.0),)
        look = predict_look(Layering(grounds[film.over], (Film(parts, film.coats),)))
        assert lab == pytest.approx(look.lab, abs=1e-6)


def test_every_use_weighs_to_one() -> None:
    assert all(sum(WEIGHTS[use]) == pytest.approx(1.0) and len(WEIGHTS[use]) == len(PANEL) for use in Use)


@pytest.mark.parametrize("use", list(Use))
def test_a_twin_is_found_and_is_no_different(use: Use) -> None:
    paint = KEYS["ultramarine-blue"]
    best, *_ = find_stand_ins(paint, (*SOME, strengthened(paint, 1.0)), WHITE, StandInWishes(use))
    assert [part.key for part, _ in best.parts] == ["twin"]
    assert best.difference == pytest.approx(0.0, abs=1e-6)
    assert best.thin_strength == pytest.approx(1.0)


@pytest.mark.parametrize("factor", [0.5, 2.0])
def test_a_weaker_or_stronger_twin_is_told_by_how_much(factor: float) -> None:
    paint = KEYS["phthalo-green-blue-shade"]
    wishes = StandInWishes(Use.GLAZING, blends=False)
    best, *_ = find_stand_ins(paint, (*SOME, strengthened(paint, factor)), WHITE, wishes)
    assert [part.key for part, _ in best.parts] == ["twin"]
    assert best.thin_strength == pytest.approx(1.0 / factor, rel=0.13)
    tints, *_ = find_stand_ins(
        paint, (*SOME, strengthened(paint, factor)), WHITE, StandInWishes(Use.TINTS, blends=False)
    )
    assert tints.tint_strength == pytest.approx(1.0 / factor, rel=0.13)


def test_a_blend_is_unmixed() -> None:
    """A tube that is 3:1 of two others is found as that."""
    one, two = KEYS["quinacridone-magenta"], KEYS["pyrrole-red"]
    optics = Optics(
        0.75 * one.optics.absorption + 0.25 * two.optics.absorption,
        0.75 * one.optics.scattering + 0.25 * two.optics.scattering,
    )
    mixed = replace(one, key="mixed", label="Mixed", optics=optics)
    best, *_ = find_stand_ins(mixed, (*SOME, one, two), WHITE)
    assert {part.key: amount for part, amount in best.parts} == {
        "quinacridone-magenta": 3.0,
        "pyrrole-red": 1.0,
    }
    assert best.difference < 0.1


def test_each_use_comes_nearest_in_its_own_films() -> None:
    """Over ten tubes: the stand-in for covering is nearer over black, that for glazing in thin films, and so on."""
    own = {Use.COVERING: [0, 1, 2], Use.GLAZING: [3, 4, 5], Use.TINTS: [6, 7, 8]}
    missed = {(use, films): 0.0 for use in own for films in own}
    for paint in SHELF[8::6]:
        for use in own:
            best, *_ = find_stand_ins(paint, SHELF, WHITE, StandInWishes(use, blends=False))
            for films, places in own.items():
                missed[use, films] += float(np.mean(np.array(best.films)[places] ** 2))
    for films in own:
        assert missed[films, films] == min(missed[use, films] for use in own)


def test_what_is_said_is_what_the_panel_shows() -> None:
    answer = find_substitutes(SubstituteRequest("Cadmium red", exclude=("cadmium",), count=3), SHELF, {})
    assert answer.key == "cadmium-red" and len(answer.found) == 3
    for each in answer.found:
        assert all("cadmium" not in key for key in each.parts)
        assert not any("cadmium" in caution for caution in each.cautions)
        for film in each.films:
            assert bool(film.words) == (film.difference >= 2.5)
        whole = np.sqrt(np.array([film.difference for film in each.films]) ** 2 @ np.array(WEIGHTS[Use.ALL]))
        assert each.difference == pytest.approx(whole, abs=0.02)
    first = answer.found[0]
    paints = tuple((KEYS[key], part) for key, part in first.parts.items())
    black = Ground(np.zeros(36), GroundFace.GLOSS)
    old, new = (
        predict_look(Layering(black, (Film(parts, 1.0),))).lab
        for parts in (((KEYS["cadmium-red"], 1.0),), paints)
    )
    assert first.films[2].difference == pytest.approx(float(delta_e_2000(old, new)), abs=0.01)
    said = "\n".join(say_substitutes(answer))
    assert "In place of Cadmium red, for all uses:" in said
    assert "It covers worse" in said
    assert json.loads(json.dumps(answer.as_data()))["key"] == "cadmium-red"


def test_price_and_rating_count() -> None:
    paint = KEYS["ultramarine-blue"]
    cheap, dear = strengthened(paint, 1.02, "cheap"), strengthened(paint, 1.0, "dear")
    facts = {
        "ultramarine-blue": TubeFacts(price=Decimal("8.00"), currency="EUR", size_ml=40.0),
        "cheap": TubeFacts(price=Decimal("4.00"), currency="EUR", size_ml=40.0),
        "dear": TubeFacts(
            price=Decimal("16.00"), currency="EUR", size_ml=40.0,
            lightfastness=(Lightfastness(LightScale.ASTM, "I", "the label"),),
        ),
    }  # fmt: skip
    tubes = (paint, cheap, dear, WHITE)

    def first(**changes: object) -> str:
        request = SubstituteRequest("ultramarine-blue", blends=False, **changes)  # type: ignore[arg-type]
        return next(iter(find_substitutes(request, tubes, facts).found[0].parts))

    assert first() == "dear"
    assert first(per_price=2.0) == "cheap"
    assert first(per_price=2.0, lightfastness="ASTM II") == "dear"
    answer = find_substitutes(SubstituteRequest("ultramarine-blue", blends=False), tubes, facts)
    assert "As much of it costs 200% of the old tube." in answer.found[0].differs
    assert answer.found[0].lasting == "ASTM I"


def test_what_cannot_be_used_is_named() -> None:
    with pytest.raises(InputError, match="paint: saw 'mauve'"):
        find_substitutes(SubstituteRequest("mauve"), SHELF, {})
    with pytest.raises(InputError, match="use: saw 'frying'; allowed is glazing, covering, tints, all"):
        SubstituteRequest("x", use="frying")
    with pytest.raises(InputError, match="white: saw 'none'"):
        find_substitutes(SubstituteRequest("bone-black"), (KEYS["bone-black"],), {})
    with pytest.raises(InputError, match=r"the tube itself.*allow one again"):
        find_substitutes(SubstituteRequest("titanium-white"), (WHITE,), {})
