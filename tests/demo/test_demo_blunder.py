"""Blunders of a hurried hand: what they change on a card, and that the reader notices them."""

import numpy as np
import pytest
from benchmarks.reading.cards import Shot
from benchmarks.reading.score import score_photograph
from demo.blunder import BLUNDERS, blunder
from demo.conditions import draw_conditions, draw_session
from demo.painting import lay_card
from demo.paints import TUBES
from demo.sheet import fetch_sheet
from demo.snapshot import page_of, true_colours


@pytest.fixture(scope="module")
def cards():
    sheet = fetch_sheet("full", px_per_mm=6.0)
    tubes = {tube.key: tube for tube in TUBES}
    return [
        lay_card(sheet, tubes[key], np.random.default_rng(4))
        for key in ("classroom-red", "classroom-deep-blue")
    ]


@pytest.mark.parametrize("kind", BLUNDERS)
def test_a_blunder_changes_its_areas_and_no_others(cards, kind):
    good, other = cards
    bad, names = blunder(good, kind, np.random.default_rng(2), other=other)
    weights = np.eye(36)[:, [8, 16, 28]]
    scale = good.sheet.px_per_mm
    before, after = good.seen_by(weights), bad.seen_by(weights)
    for area in good.sheet.card_map["areas"]:
        x, y, width, height = area["box_mm"]
        box = (
            slice(round((y + 4) * scale), round((y + height - 4) * scale)),
            slice(round((x + 4) * scale), round((x + width - 4) * scale)),
        )
        moved = float(np.abs(before[box] - after[box]).mean())
        assert (moved > 0.003) == (area["area"] in names), area["area"]


def test_an_unknown_blunder_is_refused(cards):
    with pytest.raises(ValueError, match="none of another tube"):
        blunder(cards[0], "upside down", np.random.default_rng(2))


@pytest.mark.parametrize(("kind", "word"), [("another tube", "disagrees"), ("forgotten", "unpainted")])
def test_the_reader_notices(cards, kind, word):
    good, other = cards
    bad, names = blunder(good, kind, np.random.default_rng(3), other=other)
    session = draw_session("scan", np.random.default_rng(1))
    conditions = draw_conditions(session, page_of(bad), np.random.default_rng(1))
    score, _ = score_photograph(Shot("red", bad, conditions, 1, names))
    assert not score.refusal
    noticed = [area for area in score.areas if area.area in names]
    assert noticed
    assert all(word in area.faults for area in noticed)


def test_truth_has_no_blunder(cards):
    bad, names = blunder(cards[0], "another tube", np.random.default_rng(3), other=cards[1])
    np.testing.assert_allclose(true_colours(bad)[names[0]], true_colours(cards[0])[names[0]])
