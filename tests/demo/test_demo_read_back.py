"""Six small photographs from end to end: painted and photographed by the simulator, read by Scumble."""

import io
from dataclasses import replace

import numpy as np
import pytest
from benchmarks.reading.cards import Shot
from benchmarks.reading.score import score_photograph
from demo.conditions import Conditions, Glare, Mishaps, draw_conditions, draw_session, spoil
from demo.painting import lay_card
from demo.paints import TUBES
from demo.sheet import fetch_sheet
from demo.snapshot import page_of
from PIL import Image

SMALL = (1200, 1600)


@pytest.fixture(scope="module")
def earth_card():
    sheet = fetch_sheet("quick", px_per_mm=6.0)
    earth = next(tube for tube in TUBES if tube.key == "classroom-warm-earth")
    return lay_card(sheet, earth, np.random.default_rng(12))


def conditions_for(card, route, number) -> Conditions:
    rng = np.random.default_rng(number)
    session = draw_session(route, rng)
    if route != "scan":
        session = replace(
            session, size_px=SMALL, sensor="reference", blend=(("D65", 1.0),), contrast=0.0, saturation=1.0
        )
    drawn = draw_conditions(session, page_of(card), rng)
    return replace(drawn, mishaps=Mishaps(0, "", 0, 20.0), falling=replace(drawn.falling, glare=None))


def read(card, conditions):
    score, _ = score_photograph(Shot("earth", card, conditions, 5, card))
    return score


@pytest.mark.parametrize(("route", "number"), [("phone", 1), ("profile", 2), ("scan", 4)])
def test_an_honest_photograph_is_placed_and_read(earth_card, route, number):
    conditions = conditions_for(earth_card, route, number)
    if route == "scan":
        conditions = replace(conditions, session=replace(conditions.session, dpi=150))
    score = read(earth_card, conditions)
    assert not score.refusal
    assert score.misplaced_mm < 0.5
    believed = [area.off for area in score.areas if area.believed and area.film != "bare"]
    # The limit for a phone without a target: 3 dE00 on average.
    assert len(believed) >= 4 and np.mean(believed) < 3.0


def test_a_blurred_photograph_is_refused(earth_card):
    acceptable = conditions_for(earth_card, "phone", 1)
    blurred = spoil(acceptable, "blurred", (0.0, 0.0, 1.0), np.random.default_rng(1))
    assert read(earth_card, blurred).outcome == "refused"


def test_a_card_half_outside_is_never_wrongly_believed(earth_card):
    acceptable = conditions_for(earth_card, "phone", 1)
    cut = spoil(acceptable, "cut off", (0.0, 0.0, 1.0), np.random.default_rng(2))
    assert read(earth_card, cut).outcome in ("refused", "excluded")


def test_glare_over_an_area_is_noticed(earth_card):
    acceptable = conditions_for(earth_card, "profile", 2)
    x, y, width, height = next(
        area["box_mm"] for area in earth_card.sheet.card_map["areas"] if area["area"] == "thin1-black"
    )
    glare = Glare(1.0, (x + width / 2, y + height / 2), 0.7 * width)
    score = read(earth_card, replace(acceptable, falling=replace(acceptable.falling, glare=glare)))
    area = next(area for area in score.areas if area.area == "thin1-black")
    assert area.glare > 20
    assert not area.believed and "glare" in area.faults


def test_the_photographs_are_small_and_open(earth_card):
    from demo.snapshot import photograph

    taken = photograph(earth_card, conditions_for(earth_card, "phone", 1), 5)
    with Image.open(io.BytesIO(taken.file)) as picture:
        assert picture.size == SMALL
