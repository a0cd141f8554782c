"""Readings files that cannot be a card: each is refused in a sentence, or read with a stated doubt."""

from __future__ import annotations

import pytest
from tests.store.cards import XYZ_CARD, spectral_card

from scumble.errors import InputError
from scumble.store.readings.csv_text import parse_readings_csv
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
        InputError,
        match=r"allowed is X, Y, Z, or L\*, a\*, b\*, or R380 to R730 beside the names. Add the readings",
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
    # A black's card: most of its rows stay below 2 even in percent.
    black = spectral_card(BANDS, level=100) + "".join(
        f"thin{n}-black,thin{n},1,0,black," + ",".join(["0.8"] * 36) + "\n" for n in range(5)
    )
    with pytest.raises(InputError, match=r"If these are 0-100"):
        parse_readings_csv(black)
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
