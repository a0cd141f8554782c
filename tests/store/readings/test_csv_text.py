"""What a readings file in CSV may look like, and what it then means."""

from __future__ import annotations

import codecs
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from tests.store.cards import XYZ_CARD, same_card, small_card, spectral_card

from scumble.errors import InputError, StoreError
from scumble.paint import Quantity
from scumble.store.readings.csv_text import format_readings_csv, parse_readings_csv
from scumble.store.readings.readings_file import load_readings, save_readings_csv
from scumble.tables import WAVELENGTH_NM

BANDS = [f"R{nm:.0f}" for nm in WAVELENGTH_NM]


def test_a_plain_card_is_read_without_doubt() -> None:
    file = parse_readings_csv(XYZ_CARD)
    assert file.doubts == ()
    card = file.readings
    assert (card.quantity, card.light, card.observer, card.noise) == (Quantity.XYZ, "D65", 2, 0.01)
    assert list(card.bare()) == ["white", "black"]
    tint = card.painted()[-1]
    assert (tint.area, tint.film, tint.paint_parts, tint.white_parts, tint.ground) == (
        "tint4-white",
        "tint4",
        1.0,
        4.0,
        "white",
    )
    assert tint.values.tolist() == [55.0, 50.0, 52.0]


@pytest.mark.parametrize(
    "header",
    [
        "# illuminant: A\n# observer: 10\n",
        "#illuminant=a\n#OBSERVER=10\n",
        "illuminant: A\nobserver: 10\n",
        "Illuminant A\nObserver 10\n",
        "# Illuminant: CIE A, Observer: 10 deg\n",
        "# illuminant,A,,,\n# observer,10,,,\n",
        "sep=,\n# illuminant: A\n# observer: 10\n",
        '"# illuminant: A",,\n"# observer: 10°",,\n',
        "## light = A\n## observer = 1964\n",
        "\n\n  # illuminant :  A  \n# Written on a Monday; observer and light are below.\n# observer:10 degrees\n",
    ],
)
def test_header_lines_are_understood_in_every_spelling(header: str) -> None:
    card = XYZ_CARD.split("\n", 2)[2]
    file = parse_readings_csv(header + card)
    assert (file.readings.light, file.readings.observer) == ("A", 10)


@pytest.mark.parametrize(
    ("said", "light"), [("d50", "D50"), ("LED-B3", "LED-B3"), ("led b3", "LED-B3"), ("Illuminant D65", "D65")]
)
def test_lights_are_understood_in_every_spelling(said: str, light: str) -> None:
    assert parse_readings_csv(XYZ_CARD.replace("D65", said)).readings.light == light


def test_a_header_that_says_nothing_leaves_a_doubt_for_colours_but_not_for_spectra() -> None:
    file = parse_readings_csv(XYZ_CARD.split("\n", 2)[2])
    assert (file.readings.light, file.readings.observer) == ("D65", 2)
    assert any("illuminant; D65 was assumed" in doubt for doubt in file.doubts)
    assert any("observer; 2 degrees was assumed" in doubt for doubt in file.doubts)
    assert parse_readings_csv(spectral_card(BANDS)).doubts == ()


def test_columns_come_in_any_order_and_capitals() -> None:
    text = "Z , ground,Y,WHITE PARTS,Paint-Parts,X, Film ,AREA\n97,,90,,,85,Bare,white\n5,white,9,0,1,12,FULL,f\n"
    card = parse_readings_csv(text).readings
    assert card.bare()["white"].values.tolist() == [85.0, 90.0, 97.0]
    assert (card.painted()[0].film, card.painted()[0].values.tolist()) == ("full", [12.0, 9.0, 5.0])


@pytest.mark.parametrize("delimiter", [";", "\t"])
def test_a_decimal_comma_goes_with_semicolons_and_tabs(delimiter: str) -> None:
    head, *body = XYZ_CARD.splitlines()[2:]
    rows = [row.replace(",", delimiter).replace(".", ",") for row in body]
    card = parse_readings_csv(
        "\n".join(["# illuminant: D65", "# observer: 2", head.replace(",", delimiter), *rows])
    )
    assert same_card(card.readings, parse_readings_csv(XYZ_CARD).readings)


@pytest.mark.parametrize(
    ("encoding", "mark"),
    [
        ("utf-8", b""),
        ("utf-8-sig", b""),
        ("utf-16-le", codecs.BOM_UTF16_LE),
        ("utf-16-be", codecs.BOM_UTF16_BE),
    ],
)
@pytest.mark.parametrize("line_end", ["\n", "\r\n", "\r"])
def test_encodings_and_line_ends(encoding: str, mark: bytes, line_end: str) -> None:
    text = XYZ_CARD.replace("thin1-white,", "dünn-weiß,").replace("\n", line_end)
    file = parse_readings_csv(mark + text.encode(encoding))
    assert file.doubts == ()
    assert file.readings.painted()[2].area == "dünn-weiß"


def test_latin_1_is_read_with_a_doubt() -> None:
    file = parse_readings_csv(XYZ_CARD.replace("thin1-white,", "dünn-weiß,").encode("latin-1"))
    assert file.readings.painted()[2].area == "dünn-weiß"
    assert file.doubts == ("The file is not UTF-8; letters beyond plain English were read as Latin-1.",)


def test_blank_parts_mean_paint_alone_and_spreadsheet_padding_is_no_content() -> None:
    text = XYZ_CARD.replace("thin1,1,0,", "thin1,,,").replace("\n", ",,\n") + ",,,,\n;;\n\n"
    reading = parse_readings_csv(text).readings.painted()[2]
    assert (reading.paint_parts, reading.white_parts) == (1.0, 0.0)


def test_columns_nobody_knows_are_named() -> None:
    text = XYZ_CARD.replace("Z\n", "Z,remark\n").replace("0\n", "0,fine\n").replace(".5\n", ".5,x\n")
    text = text.replace("4.4\n", "4.4,\n")
    assert parse_readings_csv(text).doubts == ("Columns that were not used: remark.",)


@pytest.mark.parametrize(
    ("bare", "ground"),
    [
        ("white,bare,1,0,", "white"),
        ("white,bare,1,0,white", "White"),
        ("sheet,bare,1,0,white", "white"),
        ("sheet,bare,1,0,White", "white"),
        ("bare-white,bare,1,0,", "white"),
        ("bare white,bare,1,0,white", "bare white"),
    ],
)
def test_a_ground_is_found_by_its_area_or_its_label(bare: str, ground: str) -> None:
    text = f"area,film,paint_parts,white_parts,ground,X,Y,Z\n{bare},85,90,97\nblack,bare,1,0,,4,4,4\n"
    card = parse_readings_csv(text + f"a,full,1,0,{ground},12,9,5\n").readings
    area = bare.split(",")[0]
    assert card.painted()[0].ground == area
    assert card.bare()[area].ground == area


def test_an_empty_ground_means_the_only_bare_area() -> None:
    text = "area,film,paint_parts,white_parts,ground,X,Y,Z\nwhite,bare,1,0,,85,90,97\na,full,1,0,,12,9,5\n"
    assert parse_readings_csv(text).readings.painted()[0].ground == "white"


@pytest.mark.parametrize(
    "named", ["R{:.0f}", "r_{:.0f}", "{:.0f}", "{:.0f} nm", "nm{:.0f}", "SPECTRAL_NM{:.0f}"]
)
def test_spectral_columns_are_understood_in_every_spelling(named: str) -> None:
    file = parse_readings_csv(spectral_card([named.format(nm) for nm in WAVELENGTH_NM]))
    assert file.doubts == ()
    assert file.readings.quantity is Quantity.REFLECTANCE
    # The ramp of the card, to its six printed digits.
    assert np.abs(file.readings.readings[0].values - np.linspace(0.8, 0.9, 36)).max() < 1e-6


@pytest.mark.parametrize("step", [1, 2, 5, 10])
def test_a_finer_or_wider_grid_keeps_the_points_it_shares(step: int) -> None:
    grid = np.arange(360, 781, step)
    text = spectral_card([f"R{nm}" for nm in grid])
    file = parse_readings_csv(text)
    assert file.doubts == ()
    expected = np.interp(WAVELENGTH_NM, grid, np.linspace(0.8, 0.9, grid.size))
    # A straight ramp is drawn straight; what remains is its six printed digits.
    assert np.abs(file.readings.readings[0].values - expected).max() < 2e-6


def test_resampling_follows_a_smooth_curve_and_never_overshoots() -> None:
    grid = np.arange(380.0, 731.0, 3.5)
    edge = 0.05 + 0.8 / (1 + np.exp(-(grid - 560) / 8))
    head = "area,film,paint_parts,white_parts,ground," + ",".join(f"R{nm:g}" for nm in grid)
    row = ",".join(map(repr, edge.tolist()))
    flat = ",".join(["0.9"] * grid.size)
    text = f"{head}\nwhite,bare,1,0,,{flat}\na,full,1,0,white,{row}\n"
    read = parse_readings_csv(text).readings.painted()[0].values
    true = 0.05 + 0.8 / (1 + np.exp(-(WAVELENGTH_NM - 560) / 8))
    # The last 3.5 nm step ends at 730: nothing is held. A cubic over 3.5 nm on an edge 8 nm wide errs by its
    # fourth-order remainder, well below an instrument's repeatability of 0.001.
    assert np.abs(read - true).max() < 1e-3
    assert read.min() >= edge.min() and read.max() <= edge.max()


def test_ends_that_are_missing_are_held_with_a_doubt() -> None:
    file = parse_readings_csv(spectral_card([f"R{nm}" for nm in range(400, 701, 10)]))
    assert file.doubts == (
        "Nothing was read at 380, 390, 710, 720, 730 nm; the outermost reading was held there.",
    )
    values = file.readings.readings[0].values
    assert values[0] == values[1] == values[2] == 0.8
    assert values[-1] == values[-4] == 0.9


def test_a_band_that_is_missing_is_drawn_with_a_doubt() -> None:
    file = parse_readings_csv(spectral_card([name for name in BANDS if name != "R450"]))
    assert file.doubts == ("Nothing was read at 450 nm; it was drawn between its neighbours.",)


def test_percent_may_be_declared() -> None:
    plain = parse_readings_csv(spectral_card(BANDS))
    percent = parse_readings_csv("# scale: percent\n" + spectral_card(BANDS, level=100))
    for one, other in zip(plain.readings.readings, percent.readings.readings, strict=True):
        # Six printed digits of 0-1 against six of 0-100.
        assert np.abs(one.values - other.values).max() < 1e-6


def test_a_fraction_may_be_declared_for_colours() -> None:
    text = "# scale: 0-1\narea,film,paint_parts,white_parts,ground,X,Y,Z\n"
    text += "white,bare,1,0,,.85,.9,.97\na,full,1,0,white,.12,.09,.05\n"
    assert parse_readings_csv(text).readings.painted()[0].values.tolist() == [12.0, 9.0, 5.0]


def test_spectra_go_before_colours() -> None:
    text = spectral_card(BANDS).replace("ground,", "ground,X,Y,Z,")
    text = text.replace(",white,", ",white,80,85,90,").replace(",black,", ",black,3,4,5,")
    file = parse_readings_csv(text)
    assert file.readings.quantity is Quantity.REFLECTANCE
    assert file.doubts == ("The file holds XYZ and spectra; the spectra were used.",)


def test_a_weight_says_how_far_an_area_is_trusted() -> None:
    text = "area,film,paint_parts,white_parts,ground,weight,X,Y,Z\nwhite,bare,1,0,,,85,90,97\n"
    card = parse_readings_csv(text + "a,full,1,0,white,0.25,12,9,5\n").readings
    assert [reading.weight for reading in card.readings] == [1.0, 0.25]


@pytest.mark.parametrize("quantity", list(Quantity))
def test_a_saved_card_loads_equal(tmp_path: Path, quantity: Quantity) -> None:
    card = small_card(quantity)
    path = tmp_path / "card.csv"
    save_readings_csv(card, path)
    assert same_card(load_readings(path).readings, card)
    assert [entry.name for entry in tmp_path.iterdir()] == ["card.csv"]


def test_a_card_that_could_not_be_read_back_is_not_saved(tmp_path: Path) -> None:
    path = tmp_path / "card.csv"
    path.write_text("older")
    card = small_card()
    with pytest.raises(InputError, match="no painted area"):
        save_readings_csv(type(card)(card.readings[:1], card.quantity), path)
    assert path.read_text() == "older"


def test_names_and_numbers_that_would_change_are_not_saved() -> None:
    card = small_card()
    bare, full = card.readings
    for other, words in (
        (
            replace(full, film="full "),
            "area full-white, film: saw 'full '; allowed is what reads back the same",
        ),
        (replace(full, values=np.array([-0.1, 2.0, 3.0])), "area full-white, values: saw"),
    ):
        with pytest.raises(InputError, match=words):
            format_readings_csv(replace(card, readings=(bare, other)))


def test_a_folder_that_is_not_there_is_said(tmp_path: Path) -> None:
    with pytest.raises(StoreError, match=r"card\.csv cannot be written: No such file or directory"):
        save_readings_csv(small_card(), tmp_path / "nowhere" / "card.csv")


def test_the_written_form_is_plain() -> None:
    assert format_readings_csv(small_card()).splitlines() == [
        "# illuminant: A",
        "# observer: 10",
        "# noise: 0.02",
        "area,film,paint_parts,white_parts,ground,weight,X,Y,Z",
        "white,bare,1,0,white,1,90,90,90",
        "full-white,full,1,0,white,0.5,10,20,30",
    ]
