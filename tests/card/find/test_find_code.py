"""The serial of a photographed card, read through tilt, blur and splashes, and none where there is none."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from tests.card.photographs import PX_PER_MM, jpeg, paint, photograph

from scumble.card.read import read_photograph


@pytest.mark.parametrize("layout", ["full", "quick", "white"])
def test_the_serial_of_a_photographed_card_is_read(layout):
    taken, _ = photograph(paint(layout, seed=2))
    assert read_photograph(jpeg(taken)).readings.serial == "03NQK8NG"


def test_a_covered_code_is_none_and_holds_up_nothing():
    card = paint("quick", seed=2)
    x, y, width, height = card.card_map["code_mm"]
    light = card.light.copy()
    rows = slice(round(y * PX_PER_MM), round((y + 0.6 * height) * PX_PER_MM))
    light[rows, round(x * PX_PER_MM) : round((x + width) * PX_PER_MM)] = 0.3
    taken, _ = photograph(dataclasses.replace(card, light=light))
    read = read_photograph(jpeg(taken))
    assert read.readings.serial == ""
    assert len(read.areas) == 9


def test_cards_of_the_first_edition_have_no_serial():
    from pathlib import Path

    demo = Path(__file__).parents[3] / "demo" / "cards" / "classroom-red.jpg"
    read = read_photograph(demo)
    assert (read.readings.serial == "") == read.layout.endswith("-1")
    assert np.isfinite(read.px_per_mm)
