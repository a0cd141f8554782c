"""Bare areas that several cards read: shared where they are of one print, and only there."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from benchmarks.accuracy.card import paint_card, printed_grounds
from benchmarks.accuracy.population import FAMILIES, white_paint

from scumble.paint import Quantity
from scumble.solve.fit.shared_grounds import share_grounds


def cards_of(count: int, *, seed: int = 2, one_printer: bool = True, quantity: Quantity = Quantity.XYZ):
    rng = np.random.default_rng(seed)
    white, paint = white_paint(rng), FAMILIES["edges and bands"](rng)
    grounds = printed_grounds(rng) if one_printer else None
    return [paint_card(paint, white, rng, grounds=grounds, quantity=quantity) for _ in range(count)], grounds


@pytest.mark.parametrize("quantity", list(Quantity))
def test_cards_of_one_printer_share_every_ground(quantity):
    cards, _ = cards_of(5, quantity=quantity)
    shared, names = share_grounds(cards)
    assert set(names) == set(cards[0].bare())
    for name in names:
        read = np.array([card.bare()[name].values for card in cards])
        for card in shared:
            assert card.bare()[name].weight == 5.0
            np.testing.assert_allclose(card.bare()[name].values, read.mean(axis=0), rtol=0.01)


def test_the_mean_is_nearer_to_the_truth():
    from scumble.colour import spectral_weights

    alone, together = [], []
    for seed in range(12):
        cards, grounds = cards_of(6, seed=seed)
        shared, names = share_grounds(cards)
        for name in names:
            true = grounds[name] @ spectral_weights("D65", 2)
            alone.append(np.mean((cards[0].bare()[name].values / true - 1.0) ** 2))
            together.append(np.mean((shared[0].bare()[name].values / true - 1.0) ** 2))
    # Noise of six readings: a sixth of the variance.
    assert np.mean(together) == pytest.approx(np.mean(alone) / 6.0, rel=0.4)


def test_cards_of_different_printers_share_nothing_or_little():
    cards, _ = cards_of(4, one_printer=False)
    _, names = share_grounds(cards)
    assert not set(names) & {"yellow", "red", "cyan", "magenta"}


def test_painted_areas_are_left_alone():
    cards, _ = cards_of(3)
    shared, _ = share_grounds(cards)
    for before, after in zip(cards, shared, strict=True):
        assert before.painted() == after.painted() or all(
            one is other for one, other in zip(before.painted(), after.painted(), strict=True)
        )


def test_of_different_lights_or_conditions_nothing_is_shared():
    cards, _ = cards_of(2)
    for other in (replace(cards[1], light="D50"), replace(cards[1], condition="M1")):
        assert share_grounds([cards[0], other])[1] == ()
    assert share_grounds(cards[:1]) == (tuple(cards[:1]), ())
    assert share_grounds([]) == ((), ())


def test_an_area_that_is_left_out_or_blind_is_not_shared():
    cards, _ = cards_of(3)
    spoilt = tuple(
        replace(reading, weight=0.0)
        if reading.area == "yellow"
        else replace(reading, blind=((1.0, 0.0, 0.0),))
        if reading.area == "red"
        else reading
        for reading in cards[0].readings
    )
    shared, _ = share_grounds([replace(cards[0], readings=spoilt), *cards[1:]])
    assert shared[0].bare()["yellow"].weight == 0.0
    assert shared[0].bare()["red"].blind
    assert shared[1].bare()["yellow"].weight == 2.0
