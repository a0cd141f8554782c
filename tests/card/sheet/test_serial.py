"""Serials: every slip of the pen is found, and a splashed code is still read."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from scumble.card.sheet.geometry import LAYOUTS
from scumble.card.sheet.serial import (
    _ALL,
    ALPHABET,
    MODULES,
    SERIALS,
    CardCode,
    _check_character,
    code_cells,
    code_of_text,
    known_serial,
    new_serial,
    read_code,
    spelled,
)
from scumble.errors import InputError

numbers = st.integers(0, SERIALS - 1)


def test_the_check_character_is_that_of_the_standard():
    """The worked example of ISO/IEC 7064 MOD 37,36 in the GRid standard (IFPI 2006, annex): ...-M, from memory."""
    assert _check_character("A12425GABC1234002") == "M"


@given(numbers)
def test_a_serial_is_known_however_it_is_typed(number):
    serial = new_serial(number)
    for typed in (serial, serial.lower(), spelled(serial), f" {serial[:2]} {serial[2:]} "):
        assert known_serial(typed) == serial
    assert known_serial(serial.replace("0", "O").replace("1", "l")) == serial


@given(numbers, st.integers(0, 7), st.sampled_from(_ALL))
def test_one_wrong_character_is_found(number, place, character):
    serial = new_serial(number)
    wrong = serial[:place] + character + serial[place + 1 :]
    if wrong.translate(str.maketrans("ILO", "110")) != serial:
        with pytest.raises(InputError, match="serial: saw"):
            known_serial(wrong)


@given(numbers)
def test_serials_hold_nothing_that_is_mistaken(number):
    assert not set(new_serial(number)) & set("ILO")


@pytest.mark.parametrize("text", ["", "123", "03NQK8NGX", "SC", "03NQ K8N?", "ÄÖÜßÄÖÜß"])
def test_what_is_no_serial_is_said(text):
    with pytest.raises(InputError, match="allowed is the eight characters printed under the card's code"):
        known_serial(text)


def drawn(code: CardCode, pixels: int = 5) -> np.ndarray:
    cells = np.pad(np.array(code_cells(code)), 4)
    return np.where(np.kron(cells, np.ones((pixels, pixels), bool)), 0, 255).astype(np.uint8)


@pytest.mark.parametrize("layout", LAYOUTS)
def test_a_code_is_read_back(layout):
    for number in (0, 31, SERIALS - 1):
        code = CardCode(layout, new_serial(number))
        assert len(code_cells(code)) == MODULES
        for turns in range(4):
            assert read_code(np.rot90(drawn(code), turns)) == code


def test_a_splashed_code_is_still_read():
    code = CardCode("full", new_serial(77))
    picture = drawn(code)
    picture[12 * 5 : 17 * 5, 14 * 5 : 19 * 5] = 128
    assert read_code(picture) == code


def test_other_codes_are_passed_over():
    import segno

    other = segno.make_qr("https://example.org/card")
    cells = np.pad(np.array([[bool(module) for module in row] for row in other.matrix]), 4)
    picture = np.where(np.kron(cells, np.ones((5, 5), bool)), 0, 255).astype(np.uint8)
    assert read_code(picture) is None
    both = np.hstack(
        [
            np.pad(picture, ((0, 300 - len(picture)), (0, 0)), constant_values=255),
            np.pad(drawn(CardCode("quick", new_serial(5))), ((0, 155), (0, 0)), constant_values=255),
        ]
    )
    assert read_code(both) == CardCode("quick", new_serial(5))
    assert read_code(np.full((40, 40), 255, np.uint8)) is None


@given(st.text(max_size=24))
def test_any_text_is_a_code_or_none(text):
    found = code_of_text(text)
    assert found is None or found.text.startswith("SC-")


def test_the_alphabet_leaves_out_what_is_mistaken():
    assert not set(ALPHABET) & set("ILOU") and len(ALPHABET) == 32
    assert all(first < second for first, second in pairwise(ALPHABET))
