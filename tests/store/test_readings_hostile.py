"""Readings files that cannot be a card: each is refused in a sentence, or read with a stated doubt."""

from __future__ import annotations

import os
import time
from pathlib import Path

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from tests.store.cards import XYZ_CARD, spectral_card

from scumble.errors import InputError
from scumble.store.readings_csv import parse_readings_csv
from scumble.store.readings_file import load_readings, parse_readings
from scumble.tables import WAVELENGTH_NM

BANDS = [f"R{nm:.0f}" for nm in WAVELENGTH_NM]
SPECTRAL_CARD = spectral_card(BANDS)
FULL_WHITE = "full-white,full,1,0,white,12.0,9.0,5.0"


def changed(row: str, text: str = XYZ_CARD) -> str:
    assert FULL_WHITE in text
    return text.replace(FULL_WHITE, row)


@pytest.mark.parametrize("missing", ["area", "film", "paint_parts", "white_parts", "ground"])
def test_a_missing_column_is_named(missing: str) -> None:
    with pytest.raises(InputError, match=rf"columns: saw '.*'; allowed is area, film, .*\. Add {missing}\."):
        parse_readings_csv(XYZ_CARD.replace(missing, "other"))


def test_missing_readings_are_named() -> None:
    with pytest.raises(InputError, match=r"columns: saw 'X, Y'; allowed is all of X, Y and Z"):
        parse_readings_csv(XYZ_CARD.replace(",Z", ",other"))
    with pytest.raises(
        InputError, match=r"allowed is X, Y, Z or R380 to R730 beside the names. Add the readings"
    ):
        parse_readings_csv("area,film,paint_parts,white_parts,ground\nwhite,bare,1,0,\na,full,1,0,white\n")


@pytest.mark.parametrize(
    ("columns", "words"),
    [
        (
            [f"R{nm}" for nm in range(420, 731, 10)],
            "saw '420 to 730 nm'; allowed is a spectrum from 400 or below",
        ),
        ([f"R{nm}" for nm in range(380, 691, 10)], "saw '380 to 690 nm'"),
        (
            [f"R{nm}" for nm in range(380, 741, 40)],
            "saw 'nothing between 380 and 420 nm'; allowed is steps of 20",
        ),
        ([*BANDS, "nm500"], "saw '500 nm twice'; allowed is each wavelength once"),
        (["R550"], "saw '550 to 550 nm'"),
    ],
)
def test_spectra_with_holes_are_refused(columns: list[str], words: str) -> None:
    with pytest.raises(InputError, match=words):
        parse_readings_csv(spectral_card(columns))


def test_a_column_twice_is_refused() -> None:
    with pytest.raises(InputError, match=r"columns: saw 'film 2 times'; allowed is each column once"):
        parse_readings_csv(XYZ_CARD.replace("film,paint_parts", "film,Film"))
    with pytest.raises(InputError, match=r"columns: saw 'X and XYZ_X'"):
        parse_readings_csv(XYZ_CARD.replace("X,Y,Z", "X,xyz_x,Z"))
    with pytest.raises(InputError, match=r"columns: saw 'y 2 times'"):
        parse_readings_csv(XYZ_CARD.replace("X,Y,Z", "Y,Y,Z"))


@pytest.mark.parametrize(
    "cell",
    [
        "NaN",
        "nan",
        "inf",
        "-Infinity",
        "1_000",
        "85%",
        "0x10",
        "twelve",
        "1.2.3",
        "1 000",
        "--5",
        "١٢",
        "1e",
        "",
        "1e12",
    ],
)
def test_what_is_no_number_is_refused_with_its_place(cell: str) -> None:
    with pytest.raises(InputError, match=r"line 6, column X: saw '.*'; allowed is a number") as caught:
        parse_readings_csv(changed(f"full-white,full,1,0,white,{cell},9,5"))
    assert caught.value.given == (cell or "an empty cell")


def test_a_thousands_separator_is_refused() -> None:
    text = XYZ_CARD.replace(",", ";").replace("12.0", "1.012,0")
    with pytest.raises(InputError, match=r"line 6, column X: saw '1\.012,0'"):
        parse_readings_csv(text)


def test_negative_readings_are_refused_and_an_instruments_zero_error_is_doubted() -> None:
    with pytest.raises(
        InputError, match=r"line 6, column Z: saw '-5'; allowed is 0 to 100. Nothing reflects less"
    ):
        parse_readings_csv(changed("full-white,full,1,0,white,12,9,-5"))
    with pytest.raises(InputError, match=r"line 4, column R380: saw '-0.08'; allowed is 0 to 1"):
        parse_readings_csv(
            SPECTRAL_CARD.replace("white,0.080000", "white,-0.08").replace("white,0.042105", "white,-0.08")
        )
    file = parse_readings_csv(changed("full-white,full,1,0,white,12,9,-0.4"))
    assert file.doubts == ("Readings slightly below zero were taken as zero (line 6).",)
    assert file.readings.painted()[0].values.tolist() == [12.0, 9.0, 0.0]


def test_the_wrong_scale_is_refused() -> None:
    with pytest.raises(
        InputError, match=r"saw 'up to 90'; allowed is 0 to 1. If these are 0-100, .*scale: percent"
    ):
        parse_readings_csv(spectral_card(BANDS, level=100))
    text = "area,film,paint_parts,white_parts,ground,X,Y,Z\nwhite,bare,1,0,,.85,.9,.97\na,full,1,0,white,.12,.09,.05\n"
    with pytest.raises(InputError, match=r"saw 'nothing above 0.9'; allowed is 0 to 100.* If these are 0-1"):
        parse_readings_csv(text)
    with pytest.raises(InputError, match=r"saw 'nothing above 0.9'; allowed is 0 to 100"):
        parse_readings_csv("# scale: percent\n" + SPECTRAL_CARD)
    with pytest.raises(InputError, match=r"saw 'up to 90000'; allowed is 0 to 100"):
        parse_readings_csv(XYZ_CARD.replace(".0,", "000,").replace(".0\n", "000\n"))
    with pytest.raises(InputError, match=r"scale: saw 'permille'; allowed is percent or fraction"):
        parse_readings_csv("# scale: permille\n" + SPECTRAL_CARD)


def test_one_absurd_number_is_found() -> None:
    with pytest.raises(InputError, match=r"line 6, column Y: saw '900'; .* No surface reflects that much"):
        parse_readings_csv(changed("full-white,full,1,0,white,12,900,5"))
    with pytest.raises(InputError, match=r"line 2, column R380: saw '8'; allowed is 0 to 1"):
        parse_readings_csv(SPECTRAL_CARD.replace("white,0.800000", "white,8", 1))


def test_brighter_than_white_is_doubted_and_the_light_asked_for() -> None:
    # Z 97 is more than the perfect diffuser's 82.5 under D50: the file was computed for D65.
    file = parse_readings_csv(XYZ_CARD.replace("D65", "D50"))
    assert any("(line 4): it fluoresces or shines. Is D50 the light" in doubt for doubt in file.doubts)
    file = parse_readings_csv(spectral_card(BANDS, level=1.3))
    assert file.doubts == ("Brighter than a perfect white (line 2): it fluoresces or shines.",)


def test_nothing_and_sameness_are_noticed() -> None:
    file = parse_readings_csv(changed("full-white,full,1,0,white,0,0,0"))
    assert file.doubts == ("Nothing at all came back (line 6): was the area really measured?",)
    rows = "".join(f"a{n},{'bare' if n == 0 else 'full'},1,0,a0,50,50,50\n" for n in range(4))
    with pytest.raises(InputError, match=r"readings: saw 'every area alike'.*Are the rows copies"):
        parse_readings_csv("area,film,paint_parts,white_parts,ground,X,Y,Z\n" + rows)


def test_an_area_twice_is_refused() -> None:
    with pytest.raises(
        InputError, match=r"line 7, column area: saw 'full-white'; .* It stands in line 6 too"
    ):
        parse_readings_csv(XYZ_CARD.replace("full-black,", "full-white,"))


def test_a_card_needs_a_bare_and_a_painted_area() -> None:
    head = "area,film,paint_parts,white_parts,ground,X,Y,Z\n"
    with pytest.raises(
        InputError, match=r"rows: saw '1 painted, no bare area'.*Read the unpainted ground too"
    ):
        parse_readings_csv(head + "a,full,1,0,white,12,9,5\n")
    with pytest.raises(
        InputError, match=r"rows: saw '1 bare, no painted area'; allowed is at least one painted"
    ):
        parse_readings_csv(head + "white,bare,1,0,,85,90,97\n")
    with pytest.raises(InputError, match=r"rows: saw 'none'; allowed is a row for each area"):
        parse_readings_csv(head)


def test_grounds_must_be_bare_areas() -> None:
    with pytest.raises(
        InputError, match=r"line 6, column ground: saw 'wood'; allowed is a bare area .*: white, black"
    ):
        parse_readings_csv(changed("full-white,full,1,0,wood,12,9,5"))
    with pytest.raises(
        InputError, match=r"line 6, column ground: saw 'an empty cell'; allowed is white, black"
    ):
        parse_readings_csv(changed("full-white,full,1,0,,12,9,5"))
    text = (
        changed("full-white,full,1,0,paper,12,9,5")
        .replace("0,white,85", "0,paper,85")
        .replace("0,black,3", "0,paper,3")
    )
    with pytest.raises(InputError, match=r"saw 'paper'.*It could be any of white, black; name the area"):
        parse_readings_csv(text)


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("# illuminant: F11", "illuminant: saw 'F11'; allowed is D65, D50, A, LED-B3"),
        ("# illuminant: D655", "illuminant: saw 'D655'"),
        ("# observer: 4", "observer: saw '4'; allowed is 2 or 10. Give it in degrees"),
        ("# observer: 20", "observer: saw '20'"),
        ("# noise: 3", "noise: saw '3'; allowed is a relative scatter"),
        ("# noise: loud", "header, column noise: saw 'loud'"),
        (
            "# illuminant: D65\n# illuminant: A",
            "line 2, light: saw 'A'; allowed is what was said before: D65",
        ),
    ],
)
def test_unknown_conditions_are_refused(line: str, words: str) -> None:
    with pytest.raises(InputError, match=words):
        parse_readings_csv(line + "\n" + XYZ_CARD.split("\n", 2)[2])


@pytest.mark.parametrize(
    ("paint", "white", "words"),
    [
        ("0", "4", "column paint_parts: saw '0'; allowed is a number above 0. On the white's own card"),
        ("-1", "4", "column paint_parts: saw '-1'; allowed is 0 or more parts"),
        ("1", "-4", "column white_parts: saw '-4'"),
        ("1", "nan", "column white_parts: saw 'nan'"),
        ("one", "4", "column paint_parts: saw 'one'"),
        ("1", "2e6", "column white_parts: saw '2e6'; allowed is 0 or more parts, at most a million"),
        ("1e-9", "4", "column paint_parts: saw '1e-9'"),
    ],
)
def test_impossible_parts_are_refused(paint: str, white: str, words: str) -> None:
    with pytest.raises(InputError, match=r"line 6, " + words):
        parse_readings_csv(changed(f"full-white,full,{paint},{white},white,12,9,5"))


@pytest.mark.parametrize("weight", ["-0.1", "1.5", "much"])
def test_impossible_weights_are_refused(weight: str) -> None:
    text = "area,film,paint_parts,white_parts,ground,weight,X,Y,Z\nwhite,bare,1,0,,1,85,90,97\n"
    with pytest.raises(InputError, match=f"line 3, column weight: saw '{weight}'; allowed is 0 to 1"):
        parse_readings_csv(text + f"a,full,1,0,white,{weight},12,9,5\n")


@pytest.mark.parametrize("name", ["", "x" * 81, '"#a"', '"a\x85b"'])
def test_impossible_names_are_refused(name: str) -> None:
    with pytest.raises(InputError, match=r"line 6, column film: .*; allowed is a name of 1 to 80 characters"):
        parse_readings_csv(changed(f"full-white,{name},1,0,white,12,9,5"))


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ("full-white,full,1,0,white,12,9", "line 6: saw '7 cells'; allowed is 8, as in the row of names"),
        ("full-white,full,1,0,white,12,0,9,0,5,0", "line 6: saw '11 cells'; .* A decimal comma needs ;"),
        ('full-white,full,1,0,white,12,9,"5', "line 6: saw .*; allowed is cells with closed quotation marks"),
    ],
)
def test_rows_of_the_wrong_length_are_refused(row: str, words: str) -> None:
    with pytest.raises(InputError, match=words):
        parse_readings_csv(changed(row))


def test_strokes_that_contradict_themselves_are_doubted() -> None:
    file = parse_readings_csv(XYZ_CARD.replace("tint4,", "thin1,"))
    assert file.doubts == (
        "One stroke has one mixture and one thickness, but the parts differ within thin1.",
    )
    file = parse_readings_csv(XYZ_CARD.replace("tint4,", "Thin1,").replace("1,4,", "1,0,"))
    assert file.doubts == ("Strokes that differ in capitals only were taken as different: thin1, Thin1.",)
    file = parse_readings_csv(XYZ_CARD.replace("full,", "stroke,"))
    assert file.doubts == ("No stroke is named 'full', so how thick one coat is had to be guessed.",)


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "readings file: saw 'an empty file'"),
        (b" \r\n\n", "saw 'an empty file'"),
        (b"\xff\xfe", "saw 'an empty file'"),
        (b"# illuminant: D65\n", "columns: saw 'none'"),
        (b"PK\x03\x04rest", "saw 'a spreadsheet or zip archive'; .* Save the sheet as CSV"),
        (b"\x89PNG\r\n\x1a\n", "saw 'a PNG picture'; .* Hand it in as the photograph"),
        (b"\xff\xd8\xff\xe0", "saw 'a JPEG picture'"),
        (b"%PDF-1.7", "saw 'a PDF'"),
        (b"\x7fELF\x02\x01\x01\x00\x00", "saw 'bytes that are no text'"),
        ("area,film".encode("utf-16-le"), "saw 'bytes that are no text'; .* UTF-16 with its mark"),
        (b"\xff\xfea\x00b", "saw 'broken UTF-16-LE text'; .* breaks off at byte 2"),
        (b"\xef\xbb\xbfarea,\xff", "saw 'broken UTF-8 text'"),
        (b"area,film\x01\n", r"saw 'the character U\+0001 in line 1'; .* looks like a binary file"),
    ],
)
def test_files_that_are_no_text_are_refused(content: bytes, words: str) -> None:
    with pytest.raises(InputError, match=words):
        parse_readings(content)


def test_a_large_file_is_refused_unread(tmp_path: Path) -> None:
    path = tmp_path / "large.csv"
    with path.open("wb") as file:
        file.truncate(50_000_000)
    start = time.perf_counter()
    with pytest.raises(InputError, match=r"large\.csv: saw '50 MB'; allowed is at most 8 MB"):
        load_readings(path)
    assert time.perf_counter() - start < 0.1
    with pytest.raises(InputError, match=r"saw '9 MB'"):
        parse_readings(b"a" * 9_000_000)


@pytest.mark.parametrize("kind", ["csv", "cgats"])
def test_a_hundred_thousand_rows_are_refused_soon(kind: str) -> None:
    rows = "".join(f"a{n},full,1,0,white,12,9,5\n" for n in range(100_000))
    text = "area,film,paint_parts,white_parts,ground,X,Y,Z\n" + rows
    if kind == "cgats":
        head = (
            "CGATS.17\nBEGIN_DATA_FORMAT\nSAMPLE_ID FILM PAINT_PARTS WHITE_PARTS GROUND XYZ_X XYZ_Y XYZ_Z\n"
        )
        text = head + "END_DATA_FORMAT\nBEGIN_DATA\n" + rows.replace(",", " ") + "END_DATA\n"
    start = time.perf_counter()
    with pytest.raises(
        InputError, match=r"rows: saw .*; allowed is at most 1000, one for each area of one card"
    ):
        parse_readings(text)
    assert time.perf_counter() - start < 2.0


@pytest.mark.parametrize(
    "text", ["a," * 3_900_000, "\n" * 7_900_000, "area,film\n" * 700_000, '"' * 7_900_000]
)
def test_the_largest_files_are_refused_soon(text: str) -> None:
    start = time.perf_counter()
    with pytest.raises(InputError):
        parse_readings(text.encode())
    assert time.perf_counter() - start < 5.0


def test_files_that_cannot_be_opened_are_named(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"none\.csv: saw 'no such file'.*Check the name and the folder"):
        load_readings(tmp_path / "none.csv")
    with pytest.raises(InputError, match=r"saw 'a folder'"):
        load_readings(tmp_path)
    os.mkfifo(tmp_path / "pipe.csv")
    with pytest.raises(InputError, match=r"pipe\.csv: saw 'something that is not an ordinary file'"):
        load_readings(tmp_path / "pipe.csv")
    with pytest.raises(InputError, match=r"saw 'a file that cannot be read'"):
        load_readings("bad\0name.csv")
    with pytest.raises(InputError, match=r"saw 'a file that cannot be read'.*File name too long"):
        load_readings("x" * 400)


def test_a_file_that_may_not_be_read_is_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "locked.csv"
    path.write_text(XYZ_CARD)

    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "open", refuse)
    with pytest.raises(InputError, match=r"locked\.csv: saw 'a file that may not be read'"):
        load_readings(path)


def test_an_error_names_the_file(tmp_path: Path) -> None:
    path = tmp_path / "blue.csv"
    path.write_text(changed("full-white,full,1,0,white,NaN,9,5"))
    with pytest.raises(InputError, match=r"blue\.csv, line 6, column X: saw 'NaN'"):
        load_readings(path)


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
