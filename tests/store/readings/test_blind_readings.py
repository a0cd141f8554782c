"""A reading that is blind in some direction, kept on the shelf and sent in files."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from scumble.paint import CardReadings, Optics, Paint, Provenance, Quantity, Reading
from scumble.store.readings.cgats import parse_readings_cgats
from scumble.store.readings.cgats_out import format_readings_cgats
from scumble.store.readings.csv_text import format_readings_csv, parse_readings_csv
from scumble.store.readings.cxf import format_readings_cxf, parse_readings_cxf
from scumble.store.readings.same import BLIND_TRUST
from scumble.store.shelf import open_shelf

CARD = CardReadings(
    (
        Reading("white", "bare", 1.0, 0.0, "white", np.array([80.0, 84.0, 90.0])),
        Reading(
            "full-white",
            "full",
            1.0,
            0.0,
            "white",
            np.array([4.0, 3.0, 20.0]),
            0.8,
            blind=((0.4, 0.2, 0.02),),
        ),
    ),
    Quantity.XYZ,
)


def test_the_shelf_keeps_the_directions(tmp_path: Path) -> None:
    paint = Paint("blue", "Blue", Optics(np.ones(36), np.ones(36)), Provenance.CARD)
    with open_shelf(tmp_path / "shelf.sqlite") as shelf:
        shelf.save_paint(paint, readings=CARD)
        kept = shelf.load_readings("blue")
    assert kept is not None
    assert [reading.blind for reading in kept.readings] == [(), ((0.4, 0.2, 0.02),)]


@pytest.mark.parametrize(
    ("write", "read"),
    [
        (format_readings_csv, parse_readings_csv),
        (format_readings_cgats, parse_readings_cgats),
        (format_readings_cxf, parse_readings_cxf),
    ],
)
def test_a_table_of_numbers_trusts_the_area_less(write, read) -> None:  # type: ignore[no-untyped-def]
    again = read(write(CARD)).readings
    assert again.readings[1].weight == pytest.approx(0.8 * BLIND_TRUST)
    assert again.readings[1].blind == ()
    assert replace(again.readings[0], values=CARD.readings[0].values) == CARD.readings[0]


def test_a_direction_of_an_older_reader_gets_a_sound_length(tmp_path: Path) -> None:
    """It wrote lengths of exactly 1, which would now claim that a lost blue channel is known within Z of 1."""
    paint = Paint("blue", "Blue", Optics(np.ones(36), np.ones(36)), Provenance.CARD)
    old = replace(CARD.readings[1], values=np.array([40.0, 30.0, 20.0]), blind=((0.0, 0.6, 0.8),))
    with open_shelf(tmp_path / "shelf.sqlite") as shelf:
        shelf.save_paint(paint, readings=replace(CARD, readings=(CARD.readings[0], old)))
        kept = shelf.load_readings("blue")
    assert kept is not None
    assert kept.readings[1].blind == ((0.0, 2.4, 3.2),)
