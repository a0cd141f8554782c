"""Several photographs of one card: weights, shared doubt, and disagreement named."""

from dataclasses import replace

import numpy as np
import pytest
from tests.card.photographs import Shot, jpeg, paint, photograph

from scumble.card.combine import combine_photographs, combined_bounds
from scumble.card.read import read_photograph
from scumble.errors import CardError


@pytest.fixture(scope="module")
def seen():
    card = paint("quick", seed=4)
    return [
        read_photograph(jpeg(photograph(card, Shot(turn_degree=turn), seed=turn + 20)[0]))
        for turn in (2, 9, -7)
    ]


def changed(card, area, **changes):
    """The same photograph with one area's reading changed."""
    areas = tuple(
        replace(each, reading=replace(each.reading, **changes)) if each.reading.area == area else each
        for each in card.areas
    )
    return replace(card, areas=areas)


def test_alike_photographs_make_one_between_them(seen):
    whole = combine_photographs(["a", "b", "c"], seen)
    assert whole.remarks == ()
    assert sum(whole.shares) == pytest.approx(1.0)
    for number, reading in enumerate(whole.readings.readings):
        each = np.array([card.areas[number].reading.values for card in seen])
        assert np.all(reading.values >= each.min(axis=0) - 1e-9)
        assert np.all(reading.values <= each.max(axis=0) + 1e-9)


def test_noise_falls_and_shared_doubt_does_not(seen):
    whole = combine_photographs(["a", "b", "c"], seen).readings
    assert whole.noise < min(card.readings.noise for card in seen)
    assert whole.noise > 0.5 * min(card.readings.noise for card in seen)
    doubts = [card.readings.camera.sensor for card in seen]
    assert min(doubts) - 1e-9 <= whole.camera.sensor <= max(doubts) + 1e-9
    assert len(combined_bounds(combine_photographs(["a", "b", "c"], seen))) == len(whole.readings)


def test_the_odd_one_out_is_left_out_and_named(seen):
    far = changed(seen[1], "full-white", values=np.array([5.0, 60.0, 5.0]))
    whole = combine_photographs(["a.jpg", "b.jpg", "c.jpg"], [seen[0], far, seen[2]])
    assert whole.remarks == ("b.jpg is left out of area full-white: it differs from the others there.",)
    area = next(reading for reading in whole.readings.readings if reading.area == "full-white")
    expected = [
        next(r.values for r in card.readings.readings if r.area == "full-white")
        for card in (seen[0], seen[2])
    ]
    np.testing.assert_allclose(area.values, np.mean(expected, axis=0), rtol=0.1)


def test_two_that_disagree_count_half(seen):
    far = changed(seen[1], "full-white", values=np.array([5.0, 60.0, 5.0]))
    whole = combine_photographs(["a.jpg", "b.jpg"], [seen[0], far])
    assert whole.remarks == ("a.jpg and b.jpg disagree on area full-white; it counts half.",)
    weights = {reading.area: reading.weight for reading in whole.readings.readings}
    assert weights["full-white"] <= 0.5


def test_an_area_nobody_saw_has_no_weight(seen):
    blank = [changed(card, "full-white", weight=0.0) for card in seen]
    whole = combine_photographs(["a", "b", "c"], blank)
    assert next(r.weight for r in whole.readings.readings if r.area == "full-white") == 0.0


def test_cards_of_two_kinds_are_refused(seen):
    with pytest.raises(CardError, match=r"a quick card and b\.jpg a full card"):
        combine_photographs(["a.jpg", "b.jpg"], [seen[0], replace(seen[1], layout="full")])
    serials = [
        replace(card, readings=replace(card.readings, serial=name))
        for card, name in zip(seen, "PQR", strict=True)
    ]
    with pytest.raises(CardError, match="show two cards: their serials are P and Q"):
        combine_photographs(["a.jpg", "b.jpg", "c.jpg"], serials)
