"""The loader, and a plausible range for every row of every colour table."""

from __future__ import annotations

from dataclasses import FrozenInstanceError
from itertools import pairwise

import numpy as np
import pytest

from scumble.colour import value_to_luminance, xyz_to_lab
from scumble.colour.renotation import WHITE_C
from scumble.errors import InputError
from scumble.tables import BANDS, WAVELENGTH_NM, load_table
from scumble.tables.table import parse_table

HEADER = """# title: Two lamps
# source: A. Author (1931)
# read from: the paper
# licence: none needed
# units: lamp text; power W
"""

COLOUR_TABLES = (
    "observer_2deg",
    "observer_10deg",
    "light_d65",
    "light_d50",
    "light_a",
    "light_led_b3",
    "munsell_renotation",
    "hue_words",
    "chroma_words",
)


@pytest.mark.parametrize("name", COLOUR_TABLES)
def test_every_table_says_where_it_comes_from(name: str) -> None:
    table = load_table(name)
    assert table.title and table.source and table.read_from and table.licence
    assert set(table.units) == set(table.columns)
    assert len({len(column) for column in table.columns.values()}) == 1
    assert len(table) == len(next(iter(table.columns.values())))


def test_a_table_is_read_once_and_cannot_be_changed() -> None:
    table = load_table("observer_2deg")
    assert load_table("observer_2deg") is table
    with pytest.raises(ValueError, match="read-only"):
        table["x"][0] = 1.0
    with pytest.raises(TypeError, match="does not support item assignment"):
        table.columns["x"] = np.zeros(1)
    with pytest.raises(FrozenInstanceError, match="title"):
        table.title = "another"


def test_stacked_columns_stand_side_by_side() -> None:
    table = parse_table(HEADER.replace("lamp text", "lamp 1") + "lamp,power\n1,40\n2,60\n")
    assert table.stack("power", "lamp").tolist() == [[40.0, 1.0], [60.0, 2.0]]


def test_words_and_numbers_are_told_apart_by_their_unit() -> None:
    table = parse_table(HEADER + 'lamp,power\n"small, old",40\n7,60\n')
    assert table["lamp"].tolist() == ["small, old", "7"]
    assert table["power"].tolist() == [40.0, 60.0]


def test_an_unknown_table_is_answered_with_the_known_ones() -> None:
    with pytest.raises(InputError, match=r"table: saw 'light_moon'; allowed is one of .*light_d65"):
        load_table("light_moon")


def test_a_header_without_its_source_is_refused() -> None:
    text = HEADER.replace("# source: A. Author (1931)\n", "") + "lamp,power\nsmall,40\n"
    with pytest.raises(InputError, match=r"header: saw .*; allowed is a line for each of title, source"):
        parse_table(text)


def test_a_column_without_a_unit_is_refused() -> None:
    with pytest.raises(
        InputError, match="units: saw 'lamp text; power W'; allowed is a unit for each of lamp, hue"
    ):
        parse_table(HEADER + "lamp,hue\nsmall,40\n")


def test_the_bands_of_every_spectrum() -> None:
    assert WAVELENGTH_NM.tolist() == [380.0 + 10.0 * band for band in range(BANDS)]
    assert not WAVELENGTH_NM.flags.writeable


@pytest.mark.parametrize("observer", [2, 10])
def test_observers_are_whole_smooth_and_positive(observer: int) -> None:
    table = load_table(f"observer_{observer}deg")
    assert table["wavelength_nm"].tolist() == list(range(360, 831))
    functions = table.stack("x", "y", "z")
    assert np.all(functions >= 0.0)
    assert functions.max(axis=0).tolist() == pytest.approx([1.1, 1.0, 1.9], abs=0.15)
    # No digit slipped: a step of 1 nm never changes a function by more than a few hundredths,
    # nor breaks the bend of its neighbours.
    assert np.abs(np.diff(functions, axis=0)).max() < 0.1
    assert np.abs(np.diff(functions, n=2, axis=0)).max() < 0.02


@pytest.mark.parametrize(("light", "lowest", "highest"), [("d65", 0, 130), ("d50", 0, 105), ("a", 5, 300)])
def test_daylights_and_tungsten_are_normalised_at_560_nm(light: str, lowest: float, highest: float) -> None:
    table = load_table(f"light_{light}")
    steps = set(np.diff(table["wavelength_nm"]).tolist())
    assert len(steps) == 1 and steps <= {1.0, 5.0}
    assert table["power"][table["wavelength_nm"] == 560].tolist() == pytest.approx([100.0], abs=1e-9)
    assert np.all((table["power"] > lowest) & (table["power"] < highest))
    assert np.abs(np.diff(table["power"])).max() < 15.0


@pytest.mark.parametrize(("light", "printed_step"), [("d65", 0.5e-3), ("d50", 1e-3)])
def test_daylights_are_straight_between_their_10_nm_entries(light: str, printed_step: float) -> None:
    # ISO/CIE 11664-2: the entries between are interpolated linearly, so every one checks its neighbours.
    power = load_table(f"light_{light}")["power"]
    assert np.abs(power[1:-1:2] - (power[:-2:2] + power[2::2]) / 2).max() <= 1.01 * printed_step


def test_illuminant_a_follows_the_formula_that_defines_it() -> None:
    # ISO/CIE 11664-2, equation 1.
    table = load_table("light_a")
    nm = table["wavelength_nm"]
    formula = 100 * (560 / nm) ** 5 * np.expm1(1.435e7 / (2848 * 560)) / np.expm1(1.435e7 / (2848 * nm))
    assert np.abs(table["power"] / formula - 1).max() <= 1e-6


def test_the_led_has_one_blue_and_one_broad_peak() -> None:
    table = load_table("light_led_b3")
    power, wavelength_nm = table["power"], table["wavelength_nm"]
    assert set(np.diff(wavelength_nm).tolist()) == {5.0}
    assert np.all((power >= 0.0) & (power <= 20.0))
    inner = power[1:-1]
    peaks = wavelength_nm[1:-1][(inner > power[:-2]) & (inner >= power[2:]) & (inner > 5.0)]
    assert len(peaks) == 2
    assert 440 <= peaks[0] <= 465
    assert 580 <= peaks[1] <= 620


def test_the_renotation_has_every_hue_at_every_value_without_gaps() -> None:
    table = load_table("munsell_renotation")
    assert np.all((table["x"] > 0) & (table["y"] > 0) & (table["x"] + table["y"] < 1))
    assert set(table["value"].tolist()) == set(range(1, 10))
    assert len(set(table["hue"].tolist())) == 40
    for value in range(1, 10):
        for hue in set(table["hue"].tolist()):
            rows = (table["value"] == value) & (table["hue"] == hue)
            chromas = table["chroma"][rows]
            assert chromas.tolist() == [2.0 * step for step in range(1, len(chromas) + 1)]


def test_the_renotation_runs_in_nearly_even_steps_of_cielab() -> None:
    table = load_table("munsell_renotation")
    x, y = table.stack("x", "y").T
    xyz = np.stack([x / y, np.ones_like(x), (1 - x - y) / y], axis=-1)
    ab = xyz_to_lab(xyz * value_to_luminance(table["value"])[:, None], WHITE_C)[:, 1:]
    spoke = [*zip(table["hue"].tolist(), table["value"].tolist(), strict=True)]
    onward = np.array([here == there for here, there in pairwise(spoke)])
    steps = np.diff(ab, axis=0)
    length = np.linalg.norm(steps, axis=1)[onward]
    bend = np.linalg.norm(np.diff(steps, axis=0), axis=1)[onward[1:] & onward[:-1]]
    # Two steps of chroma are about 10 in CIELAB; a digit that slipped in x or y would stand out.
    assert np.all((length > 6.0) & (length < 19.0))
    assert np.all(bend < 5.5)


def test_hue_words_have_room_and_every_word_has_its_chromas() -> None:
    table, chromas = load_table("hue_words"), load_table("chroma_words")
    assert np.all(table["value_from"] < table["value_to"])
    assert np.all(table["chroma_from"] < table["chroma_to"])
    assert set(table["word"].tolist()) == set(chromas["word"].tolist())


def test_chroma_words_rise() -> None:
    table = load_table("chroma_words")
    bounds = table.stack("neutral_below", "grey_below", "dull_below", "strong_from", "vivid_from")
    assert np.all(bounds[:, :-1] < bounds[:, 1:])
    assert np.all((bounds[:, 0] >= 0.5) & (bounds[:, 1] <= 2.0))
    known = {"pinkish", "reddish", "brownish", "yellowish", "olive", "greenish", "bluish", "purplish"}
    assert set(table["grey_word"].tolist()) <= known
