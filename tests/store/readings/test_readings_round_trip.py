"""Whatever card is saved loads equal, to the last digit."""

from __future__ import annotations

from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np
import pytest
from colour_cxf import read_cxf
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.store.cards import same_card

from scumble.errors import InputError
from scumble.paint import CardReadings, Quantity, Reading
from scumble.store.readings.cgats_out import format_readings_cgats
from scumble.store.readings.cxf import format_readings_cxf
from scumble.store.readings.readings_file import load_readings, parse_readings, save_readings_csv
from scumble.tables import BANDS

NAMES = st.text(st.characters(exclude_categories=("C", "Z")), min_size=1, max_size=12).filter(
    lambda name: not name.startswith("#") and name.lower() not in ("bare", "full")
)
PARTS = st.floats(1e-3, 1e3)


@st.composite
def cards(draw: st.DrawFn) -> CardReadings:
    quantity = draw(st.sampled_from(list(Quantity)))
    size, full = (3, 100.0) if quantity is Quantity.XYZ else (BANDS, 1.0)
    names = draw(st.lists(NAMES, min_size=2, max_size=8, unique=True))
    bare = draw(st.integers(1, len(names) - 1))
    rng = np.random.default_rng(draw(st.integers(0, 2**32)))
    readings = []
    for place, area in enumerate(names):
        values = rng.uniform(0.0, 0.8, size) * full
        # The first area is light: a card without one is refused as read on the wrong scale.
        values = values if place else np.full(size, 0.9 * full)
        weight = draw(st.floats(0, 1))
        if place < bare:
            readings.append(Reading(area, "bare", 1.0, 0.0, area, values, weight))
        else:
            film = draw(st.one_of(NAMES, st.just("full")))
            parts = draw(PARTS), draw(st.one_of(PARTS, st.just(0.0)))
            readings.append(
                Reading(area, film, *parts, names[draw(st.integers(0, bare - 1))], values, weight)
            )
    light, observer = draw(st.sampled_from(["D65", "D50", "A", "LED-B3"])), draw(st.sampled_from([2, 10]))
    return CardReadings(tuple(readings), quantity, light, observer, draw(st.floats(1e-4, 1.0)))


@settings(max_examples=120, deadline=None)
@given(cards())
def test_a_saved_card_loads_equal(card: CardReadings) -> None:
    with TemporaryDirectory() as folder:
        path = Path(folder, "card.csv")
        save_readings_csv(card, path)
        assert same_card(load_readings(path).readings, card)


@settings(max_examples=60, deadline=None)
@given(cards())
def test_a_card_as_cgats_loads_equal_or_is_refused(card: CardReadings) -> None:
    try:
        text = format_readings_cgats(card)
    except InputError as error:
        assert any('"' in reading.area + reading.film + reading.ground for reading in card.readings), error
    else:
        assert same_card(parse_readings(text).readings, card)


@settings(max_examples=40, deadline=None)
@given(cards())
def test_a_card_as_cxf_loads_equal(card: CardReadings) -> None:
    content = format_readings_cxf(card)
    assert same_card(parse_readings(content).readings, card)
    # The library's own reading of it, not ours.
    objects = read_cxf(content).resources.object_collection.object_value
    assert [each.name for each in objects] == [reading.area for reading in card.readings]


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"<CxF", "allowed is CxF3"),
        (b"<html></html>", "no resources"),
        (b'<!DOCTYPE x [<!ENTITY a "b">]><CxF>&a;</CxF>', "a document type of its own"),
        (b'<CxF xmlns="http://colorexchangeformat.com/CxF3-core"/>', "no resources"),
    ],
)
def test_what_is_no_card_in_cxf_is_refused(content: bytes, words: str) -> None:
    with pytest.raises(InputError, match=words):
        parse_readings(content)


@settings(max_examples=80, deadline=None)
@given(cards(), st.text(max_size=8))
def test_a_card_of_any_name_loads_equal_or_is_not_saved(card: CardReadings, name: str) -> None:
    first = card.readings[0]
    renamed = Reading(name, first.film, 1.0, 0.0, name, first.values)
    others = [
        Reading(
            r.area,
            r.film,
            r.paint_parts,
            r.white_parts,
            name if r.ground == first.area else r.ground,
            r.values,
        )
        for r in card.readings[1:]
    ]
    odd = CardReadings((renamed, *others), card.quantity, card.light, card.observer, card.noise)
    with TemporaryDirectory() as folder:
        path = Path(folder, "card.csv")
        try:
            save_readings_csv(odd, path)
        except InputError:
            assert not path.exists()
        else:
            assert same_card(load_readings(path).readings, odd)
