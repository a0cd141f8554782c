"""The card for the white is known by its areas, whoever read it."""

from __future__ import annotations

import numpy as np
import pytest

from scumble.card.sheet.geometry import card_geometry
from scumble.jobs.cards.kind import is_white_card
from scumble.paint import CardReadings, Quantity, Reading


def card(layout: str, *left_out: str) -> CardReadings:
    areas = [area for area in card_geometry(layout).areas if area.name not in left_out]
    readings = (
        Reading(area.name, area.film, area.paint_parts, area.white_parts, area.ground, np.full(3, 20.0))
        for area in areas
    )
    return CardReadings(tuple(readings), Quantity.XYZ)


@pytest.mark.parametrize(("layout", "white"), [("white", True), ("full", False), ("quick", False)])
def test_printed_cards(layout: str, white: bool) -> None:
    assert is_white_card(card(layout)) is white


def test_some_of_its_areas_are_enough_and_others_are_too_much() -> None:
    assert is_white_card(card("white", "full-red", "thin2-white"))
    mixed = card("white").readings + card("full").readings[-1:]
    assert not is_white_card(CardReadings(mixed, Quantity.XYZ))
