"""The same card as CGATS.17 text, in the spellings that instruments write."""

from __future__ import annotations

import re
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.store.cards import XYZ_CARD, same_card

from scumble.errors import InputError
from scumble.paint import Quantity
from scumble.store.readings.cgats import parse_readings_cgats
from scumble.store.readings.csv_text import parse_readings_csv
from scumble.store.readings.readings_file import load_readings, parse_readings
from scumble.tables import WAVELENGTH_NM

NAMED = """CGATS.17
ORIGINATOR "a person"
ILLUMINANT "D65"
OBSERVER "2"
NUMBER_OF_FIELDS 5
BEGIN_DATA_FORMAT
SAMPLE_ID SAMPLE_NAME XYZ_X XYZ_Y XYZ_Z
END_DATA_FORMAT
NUMBER_OF_SETS 6
BEGIN_DATA
1 white 85.0 90.0 97.0
2 black 3.9 4.1 4.4
3 full-white 12.0 9.0 5.0
4 full-black 11.0 8.0 4.5
5 thin1-white 30.0 25.0 20.0
6 tint4-white 55.0 50.0 52.0
END_DATA
"""

OWN_FIELDS = """CGATS.17
KEYWORD "ILLUMINANT"
ILLUMINANT "D65"
OBSERVER "2"
BEGIN_DATA_FORMAT
SAMPLE_NAME FILM PAINT_PARTS WHITE_PARTS GROUND XYZ_X XYZ_Y XYZ_Z
END_DATA_FORMAT
BEGIN_DATA
white bare 1 0 white 85.0 90.0 97.0
black bare 1 0 black 3.9 4.1 4.4
full-white full 1 0 white 12.0 9.0 5.0
full-black full 1 0 black 11.0 8.0 4.5
thin1-white thin1 1 0 white 30.0 25.0 20.0
tint4-white tint4 1 4 white 55.0 50.0 52.0
END_DATA
"""


def spectral(field: str, *, level: float = 1.0, header: str = "") -> str:
    fields = " ".join(field.format(f"{nm:.0f}") for nm in WAVELENGTH_NM)
    white, paint = (
        " ".join(f"{value * level:.4f}" for value in np.linspace(0.8, end, 36)) for end in (0.9, 0.1)
    )
    return (
        f"CGATS.17\n{header}BEGIN_DATA_FORMAT\nSAMPLE_ID {fields}\nEND_DATA_FORMAT\n"
        f"BEGIN_DATA\nwhite {white}\nfull-white {paint}\nEND_DATA\n"
    )


@pytest.mark.parametrize("text", [NAMED, OWN_FIELDS, NAMED.replace(" ", "\t"), NAMED.replace("\n", "\r\n")])
def test_it_holds_what_the_csv_holds(text: str) -> None:
    file = parse_readings_cgats(text)
    assert file.doubts == ()
    assert same_card(file.readings, parse_readings_csv(XYZ_CARD).readings)


@pytest.mark.parametrize(
    "field", ["SPECTRAL_NM{}", "SPECTRAL_NM_{}", "nm{}", "R_{}", "SPECTRAL_{}", "SPEC_{}", "{}"]
)
def test_spectral_fields_are_understood_in_every_spelling(field: str) -> None:
    file = parse_readings_cgats(spectral(field))
    assert file.doubts == ()
    assert file.readings.quantity is Quantity.REFLECTANCE
    # Four printed digits.
    assert np.abs(file.readings.readings[0].values - np.linspace(0.8, 0.9, 36)).max() < 1e-4


@pytest.mark.parametrize(
    ("field", "header"),
    [("SPECTRAL_PCT{}", ""), ("nm{}", 'SCALE "percent"\n'), ("SPEC_{}", 'SPECTRAL_NORM "100.0"\n')],
)
def test_percent_may_be_declared(field: str, header: str) -> None:
    file = parse_readings_cgats(spectral(field, level=100, header=header))
    assert np.abs(file.readings.readings[0].values - np.linspace(0.8, 0.9, 36)).max() < 1e-4


def test_percent_that_is_not_declared_is_refused() -> None:
    with pytest.raises(InputError, match="saw 'up to 90'; allowed is 0 to 1"):
        parse_readings_cgats(spectral("nm{}", level=100))


@pytest.mark.parametrize(
    "conditions",
    [
        'ILLUMINATION_NAME "A"\nOBSERVER_ANGLE "10"\n',
        'WEIGHTING_FUNCTION "ILLUMINANT, A"\nOBSERVER "10 degree"\n',
        'MEASUREMENT_SOURCE "Illumination=A ObserverAngle=10 Filter=no"\n',
    ],
)
def test_conditions_are_understood_in_every_spelling(conditions: str) -> None:
    text = NAMED.replace('ILLUMINANT "D65"\nOBSERVER "2"\n', conditions).replace("97.0", "37.0")
    card = parse_readings_cgats(text).readings
    assert (card.light, card.observer) == ("A", 10)


def test_conditions_that_are_missing_are_those_of_graphic_arts_with_a_doubt() -> None:
    text = NAMED.replace('ILLUMINANT "D65"\nOBSERVER "2"\n', "").replace("97.0", "74.0")
    file = parse_readings_cgats(text)
    assert (file.readings.light, file.readings.observer) == ("D50", 2)
    assert file.doubts == (
        "The file does not name its illuminant; D50 was assumed.",
        "The file does not name its observer; 2 degrees was assumed.",
    )


@pytest.mark.parametrize(
    ("name", "film", "white_parts", "ground"),
    [
        ("thin2-white", "thin2", 0.0, "white"),
        ("Full_White", "full", 0.0, "white"),
        ("tint19 white", "tint19", 19.0, "white"),
        ("Tint_2.5-white".replace("_", ""), "Tint2.5", 2.5, "white"),
        ("glaze/white", "glaze", 0.0, "white"),
    ],
)
def test_names_carry_what_lies_there(name: str, film: str, white_parts: float, ground: str) -> None:
    text = NAMED.replace("5 thin1-white", f'5 "{name}"')
    reading = parse_readings_cgats(text).readings.painted()[2]
    assert (reading.area, reading.film, reading.white_parts, reading.ground) == (
        name,
        film,
        white_parts,
        ground,
    )


def test_bare_areas_may_say_that_they_are() -> None:
    card = parse_readings_cgats(NAMED.replace("1 white", "1 bare-white")).readings
    assert list(card.bare()) == ["bare-white", "black"]
    assert card.painted()[0].ground == "bare-white"


def test_blanks_in_names_are_kept_between_tabs() -> None:
    text = (
        NAMED.replace(" ", "\t")
        .replace("5\tthin1-white", "5\tthin1 white")
        .replace("1\twhite", "1\tthe sheet")
    )
    text = text.replace("the sheet", "bare white").replace("white\t3", "white\t3")
    assert "bare white" in parse_readings_cgats(text).readings.bare()


def test_a_field_may_say_how_far_an_area_is_trusted() -> None:
    text = OWN_FIELDS.replace("GROUND XYZ_X", "GROUND WEIGHT XYZ_X").replace(" white 5", " white 0.5 5")
    text = re.sub(r"(white|black) (\d+\.\d) (\d+\.\d) (\d+\.\d)$", r"\1 1 \2 \3 \4", text, flags=re.MULTILINE)
    text = text.replace("tint4 1 4 white 0.5 1", "tint4 1 4 white 0.5")
    readings = parse_readings_cgats(text).readings.readings
    assert [reading.weight for reading in readings] == [1.0, 1.0, 1.0, 1.0, 1.0, 0.5]


def test_comments_and_quotation_marks() -> None:
    text = NAMED.replace("1 white", '# a comment\n1 "white"').replace("97.0", "97.0 # the paper")
    assert parse_readings_cgats(text).doubts == ()
    with pytest.raises(InputError, match=r"line 11: saw .*; allowed is words with closed quotation marks"):
        parse_readings_cgats(NAMED.replace("1 white", '1 "white'))


def test_a_file_that_is_cut_off_is_doubted() -> None:
    file = parse_readings_cgats(NAMED.replace("6 tint4-white 55.0 50.0 52.0\nEND_DATA\n", ""))
    assert file.doubts == ("The file announces 6 samples and holds 5: is it whole?",)
    file = parse_readings_cgats(OWN_FIELDS.replace("END_DATA\n", ""))
    assert file.doubts == ("The file stops before END_DATA: is it whole?",)


def test_only_the_first_of_several_tables_is_read() -> None:
    second = NAMED[NAMED.index("BEGIN_DATA_FORMAT") :].replace("85.0", "80.0")
    file = parse_readings_cgats(NAMED + second)
    assert file.doubts == ("The file holds 2 tables; the first was read.",)
    assert file.readings.readings[0].values[0] == 85.0


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("CGATS.17\n", "no table with rows"),
        (NAMED.replace("BEGIN_DATA_FORMAT", "").replace("END_DATA_FORMAT", ""), "no table with rows"),
        (
            NAMED.replace("SAMPLE_ID SAMPLE_NAME", "A B"),
            "fields: saw 'A, B, .*'; allowed is SAMPLE_NAME, SAMPLE_ID",
        ),
        (
            NAMED.replace("XYZ_X XYZ_Y XYZ_Z", "RGB_R RGB_G RGB_B"),
            r"allowed is X, Y, Z, or L\*, a\*, b\*, or R380 to R730",
        ),
        (NAMED.replace(" 97.0", ""), "line 11: saw '4 cells'; allowed is 5, one for each field"),
        (NAMED.replace("97.0", "NaN"), "line 11, column XYZ_Z: saw 'NaN'; allowed is a number"),
        (NAMED.replace("2 black", "2 white"), "line 12, column area: saw 'white'.*stands in line 11 too"),
        (NAMED.replace('"D65"', '"F2"'), "illuminant: saw 'F2'; allowed is D65, D50, A, LED-B3"),
        (
            NAMED.replace('ILLUMINANT "D65"', 'ILLUMINANT "D65"\nLIGHT "A"'),
            "line 4, light: saw 'A'; .* before: D65",
        ),
        (NAMED.replace("5 thin1-white", "5 thin1-wood"), "line 15, column ground: saw 'wood'"),
        (NAMED.replace("1 white", "1 full-x").replace("2 black", "2 full-y"), "6 painted, no bare area"),
    ],
)
def test_faults_are_named(text: str, words: str) -> None:
    with pytest.raises(InputError, match=words):
        parse_readings_cgats(text)


def test_the_kind_of_a_file_is_found_out(tmp_path: Path) -> None:
    for name, text in (("a.csv", NAMED), ("b.txt", XYZ_CARD), ("c", NAMED.removeprefix("CGATS.17\n"))):
        path = tmp_path / name
        path.write_text(text)
        assert same_card(load_readings(path).readings, parse_readings_csv(XYZ_CARD).readings)


@settings(max_examples=150, deadline=None)
@given(
    st.sampled_from([NAMED, OWN_FIELDS]),
    st.integers(0, 600),
    st.integers(0, 80),
    st.one_of(
        st.text(max_size=20), st.sampled_from(["\nBEGIN_DATA\n", "\nEND_DATA\n", "BEGIN_DATA_FORMAT\n", '"'])
    ),
)
def test_a_spoilt_file_raises_nothing_but_input_errors(text: str, at: int, cut: int, foreign: str) -> None:
    try:
        card = parse_readings(text[:at] + foreign + text[at + cut :]).readings
    except InputError as error:
        assert str(error)
    else:
        assert card.bare() and card.painted()
