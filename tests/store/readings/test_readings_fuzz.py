"""Whatever stands in a readings file, nothing but an error that a person can read comes out."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from tests.store.cards import XYZ_CARD, spectral_card

from scumble.errors import InputError
from scumble.store.readings.readings_file import parse_readings
from scumble.tables import WAVELENGTH_NM

SPECTRAL_CARD = spectral_card([f"R{nm:.0f}" for nm in WAVELENGTH_NM])
CELL = st.one_of(
    st.sampled_from(
        ["white", "full", "bare", "1", "0", "-1", "1e9", "1e308", "nan", "R380", "X", "Y", "Z", '"', "#"]
    ),
    st.text(max_size=6),
    st.floats().map(repr),
)


def _spoil(text: str, place: int, cell: str) -> str:
    cells = text.split(",")
    cells[place % len(cells)] = cell
    return ",".join(cells)


@settings(max_examples=150, deadline=None)
@given(
    st.sampled_from([XYZ_CARD, SPECTRAL_CARD]), st.lists(st.tuples(st.integers(0, 10_000), CELL), max_size=6)
)
@example(XYZ_CARD, [(3, "")])
def test_a_spoilt_card_raises_nothing_but_input_errors(text: str, spoils: list[tuple[int, str]]) -> None:
    for place, cell in spoils:
        text = _spoil(text, place, cell)
    try:
        card = parse_readings(text).readings
    except InputError as error:
        assert str(error)
    else:
        assert card.bare() and card.painted()
        assert all(reading.ground in card.bare() for reading in card.readings)
        assert all(np.isfinite(reading.values).all() for reading in card.readings)


@settings(max_examples=150, deadline=None)
@given(st.one_of(st.binary(max_size=400), st.text(max_size=400).map(str.encode)))
def test_noise_raises_nothing_but_input_errors(content: bytes) -> None:
    with pytest.raises(InputError):
        parse_readings(content)


@settings(max_examples=100, deadline=None)
@given(
    st.binary(max_size=30), st.integers(0, 300), st.sampled_from(["utf-8", "utf-8-sig", "utf-16", "latin-1"])
)
def test_a_card_with_foreign_bytes_raises_nothing_but_input_errors(
    foreign: bytes, at: int, encoding: str
) -> None:
    content = XYZ_CARD.encode(encoding)
    try:
        parse_readings(content[:at] + foreign + content[at + len(foreign) :])
    except InputError as error:
        assert str(error)
