"""Blunders and flaws of a hurried hand: what they change on a card, and that the reader notices them."""

import numpy as np
import pytest
from benchmarks.reading.cards import Case, Shot
from benchmarks.reading.score import score_photograph
from demo.blunder import BLUNDERS, blunder
from demo.conditions import draw_conditions, draw_session
from demo.flaw import FLAWS, flaw
from demo.painting import lay_card
from demo.paints import TUBES
from demo.repaint import window_of
from demo.sheet import fetch_sheet
from demo.snapshot import page_of, shown_colours, true_colours

TUBE = {tube.key.removeprefix("classroom-"): tube for tube in TUBES}
OTHER = TUBE["deep-blue"]


@pytest.fixture(scope="module")
def card():
    return lay_card(fetch_sheet("full", px_per_mm=6.0), TUBE["red"], np.random.default_rng(4))


@pytest.fixture(scope="module")
def before(card):
    return card.seen_by(np.eye(36)[:, [8, 16, 28]])


def changed(card, before, spoilt):
    """Areas in which most or a corner of the picture is another one."""
    after, scale, names = spoilt.seen_by(np.eye(36)[:, [8, 16, 28]]), card.sheet.px_per_mm, set()
    for area in card.sheet.card_map["areas"]:
        x, y, width, height = area["box_mm"]
        box = (
            slice(round((y + 4) * scale), round((y + height - 4) * scale)),
            slice(round((x + 4) * scale), round((x + width - 4) * scale)),
        )
        if float(np.abs(before[box] - after[box]).mean()) > 1e-4:
            names.add(area["area"])
    return names


@pytest.mark.parametrize("kind", BLUNDERS)
def test_a_blunder_changes_its_areas_and_no_others(card, before, kind):
    bad, names = blunder(card, kind, np.random.default_rng(2), tube=TUBE["red"], other=OTHER)
    assert changed(card, before, bad) == set(names)


@pytest.mark.parametrize("kind", FLAWS)
def test_a_flaw_changes_its_area_and_no_other(card, before, kind):
    bad = flaw(card, kind, "thin1-yellow", np.random.default_rng(2))
    assert changed(card, before, bad) - {"thin2-yellow"} == {"thin1-yellow"}


def test_unknown_blunders_and_flaws_are_refused(card):
    with pytest.raises(ValueError, match="none of another tube"):
        blunder(card, "upside down", np.random.default_rng(2), tube=TUBE["red"], other=OTHER)
    with pytest.raises(ValueError, match="none of drip in"):
        flaw(card, "upside down", "full-white", np.random.default_rng(2))


def test_uneven_films_keep_their_mean_thickness(card):
    for kind in ("ridges", "half thick"):
        bad = flaw(card, kind, "thin1-white", np.random.default_rng(5))
        uneven, even = (_inner_thickness(each, "thin1-white") for each in (bad, card))
        assert uneven.mean() == pytest.approx(even.mean(), rel=0.05)
        assert uneven.std() > 1.5 * even.std()


def _inner_thickness(card, name):
    layer = next(each.layer for each in card.strokes if name in each.layer.area_thickness)
    rows, columns = window_of(card, layer, name)
    rim = round(4 * card.sheet.px_per_mm)
    return layer.thickness[rows.start + rim : rows.stop - rim, columns.start + rim : columns.stop - rim]


def read_of(bad, meant, cases):
    session = draw_session("scan", np.random.default_rng(1))
    conditions = draw_conditions(session, page_of(bad), np.random.default_rng(1))
    score, _ = score_photograph(Shot("red", bad, conditions, 1, meant, cases))
    assert not score.refusal
    return score


@pytest.mark.parametrize("kind", ["another tube", "forgotten", "swapped"])
def test_the_reader_leaves_out_what_a_blunder_spoilt(card, kind):
    bad, names = blunder(card, kind, np.random.default_rng(3), tube=TUBE["red"], other=OTHER)
    score = read_of(bad, card, (Case(kind, names),))
    assert {each.area for each in score.hand} == set(names)
    assert all(
        each.outcome in ("left out", "no harm") and (each.named or each.effect < 2.5) for each in score.hand
    )
    others = [area for area in score.areas if area.area not in names]
    assert all(area.believed for area in others)


def test_the_reader_repairs_what_a_drip_spoilt(card):
    bad = flaw(card, "drip in", "thin2-white", np.random.default_rng(3))
    (one,) = read_of(bad, card, (Case("drip in", ("thin2-white",)),)).hand
    assert one.outcome == "repaired"
    assert "left out of the average" in one.sentence
    # As far off as it is where nothing dripped: the camera errs there too, and that is not the drip's.
    (clean,) = (area for area in read_of(card, card, ()).areas if area.area == "thin2-white")
    assert abs(one.off - clean.off) < 0.5 * one.effect


def test_truth_has_no_blunder(card):
    bad, names = blunder(card, "another tube", np.random.default_rng(3), tube=TUBE["red"], other=OTHER)
    np.testing.assert_allclose(true_colours(bad)[names[0]], true_colours(card)[names[0]])
    shown = shown_colours(bad)
    assert np.abs(shown[names[0]] - true_colours(card)[names[0]]).max() > 1.0
