"""Samples of instruments placed on a card: by name, by what a person says, and never in silence."""

from __future__ import annotations

from pathlib import Path

import colour_cxf
import numpy as np
import pytest
from colour_cxf import cxf3
from hypothesis import given, settings
from hypothesis import strategies as st

from scumble.card.sheet.geometry import LAYOUTS, card_geometry
from scumble.card.sheet.words import caption
from scumble.errors import InputError
from scumble.jobs.cards.card_file import how_measured
from scumble.jobs.cards.instrument_card import SampleRequest, load_instrument_card
from scumble.jobs.cards.map_samples import given_by_name, likeliest_layout, map_samples, spellings
from scumble.paint import Quantity
from scumble.store.readings.samples import parse_samples

RNG = np.random.default_rng(5)
QUICK = [area.name for area in card_geometry("quick").areas]
SPECTRA = {name: RNG.uniform(0.05, 0.9, 36) for name in QUICK}
BANDS = [f"{nm} nm" for nm in range(380, 740, 10)]


def table(names: dict[str, str], *, above: str = "", percent: bool = False) -> bytes:
    """A handheld's table: its own name for each area."""
    lines = [above, ";".join(["No.", "Name", "Date", *BANDS])]
    for number, (name, area) in enumerate(names.items(), start=1):
        values = SPECTRA[area] * (100 if percent else 1)
        lines.append(
            ";".join([str(number), name, "2026-03-01", *(f"{v:.4f}".replace(".", ",") for v in values)])
        )
    return "\n".join(lines).encode()


@pytest.mark.parametrize("layout", LAYOUTS)
def test_every_area_is_known_by_its_name_and_by_its_caption(layout):
    areas = card_geometry(layout).areas
    for names, how in (
        ([area.name for area in areas], "name"),
        ([caption(area.film, area.ground).upper() for area in areas], "words"),
    ):
        found = map_samples(names, layout=layout)
        assert [match.area for match in found.matches] == [area.name for area in areas]
        assert {match.how for match in found.matches} == {how}
        assert not found.left_over and not found.missing
        assert likeliest_layout(names) == layout


@pytest.mark.parametrize("layout", LAYOUTS)
def test_no_spelling_means_two_areas(layout):
    owner: dict[str, str] = {}
    for area, names in spellings(layout).items():
        for name in names:
            assert owner.setdefault(name.replace(" ", ""), area) == area


def test_a_slip_of_the_pen_is_placed_and_said():
    found = map_samples(["whte", "black", "yellow", "fulll on whit", "full on black"], layout="quick")
    assert [(match.area, match.how) for match in found.matches][3] == ("full-white", "close")
    assert "Sample fulll on whit was taken for area full-white, the closest name." in found.sentences


def test_a_doubtful_name_is_left_over():
    found = map_samples(["thin on", "swatch", "", "17"], layout="full")
    assert found.matches == ()
    assert len(found.left_over) == 4
    assert "Left out: thin on, swatch" in " ".join(found.sentences)


def test_a_slip_never_takes_an_area_that_another_is_called_by():
    found = map_samples(["full-white", "full-whit"], layout="quick")
    assert [match.sample for match in found.matches] == [0]


def test_what_a_person_says_goes_before_names():
    names = ["full-white", "full-black", "white"]
    given_areas = given_by_name(["full-white=full-black", "2=full-white", "white="], names)
    found = map_samples(names, layout="quick", given=given_areas)
    assert found.places == {0: "full-black", 1: "full-white"}
    assert found.left_over == ((2, "white"),)


@pytest.mark.parametrize(
    ("said", "words"),
    [
        (["full-white"], "map: saw 'full-white'; allowed is SAMPLE=AREA"),
        (["S9=white"], "map: saw 'S9'; allowed is S1, S2"),
        (["twice=white"], "use its number in the file"),
    ],
)
def test_what_a_person_says_is_checked(said, words):
    names = ["twice", "twice"] if "twice" in said[0] else ["S1", "S2"]
    with pytest.raises(InputError, match=words):
        given_by_name(said, names)


def test_areas_a_person_names_must_be_on_the_card():
    with pytest.raises(InputError, match="area: saw 'full-green'; allowed is white, black"):
        map_samples(["S1"], layout="quick", given={0: "full-green"})


def test_a_handheld_table_becomes_a_card(tmp_path: Path):
    file = tmp_path / "handheld.csv"
    above = "Instrument;mine\nCondition;M2\nBacking;black backing"
    file.write_bytes(table({caption_of(area): area for area in QUICK}, above=above, percent=True))
    card = load_instrument_card(file)
    readings = card.readings
    assert (readings.condition, readings.backing, readings.quantity) == ("M2", "black", Quantity.REFLECTANCE)
    assert how_measured(readings) == ("Measured under M2 (ultraviolet cut off), over a black backing.",)
    for reading in readings.readings:
        np.testing.assert_allclose(reading.values, SPECTRA[reading.area], atol=6e-7)
    assert card.doubts[0] == "9 samples were placed on the quick card, 9 by their words."
    assert any("taken as percent" in doubt for doubt in card.doubts)


def caption_of(area: str) -> str:
    found = card_geometry("quick").area(area)
    return caption(found.film, found.ground)


def test_repeats_are_averaged_and_said(tmp_path: Path):
    file = tmp_path / "repeats.csv"
    file.write_bytes(
        table({area: area for area in QUICK} | {"full-white 2": "full-black", "full-white (3)": "white"})
    )
    card = load_instrument_card(file)
    mean = (SPECTRA["full-white"] + SPECTRA["full-black"] + SPECTRA["white"]) / 3
    found = next(reading for reading in card.readings.readings if reading.area == "full-white")
    np.testing.assert_allclose(found.values, mean, atol=2e-4)
    assert "Area full-white: mean of 3 samples." in card.doubts


def test_samples_without_telling_names_are_refused_with_what_to_do(tmp_path: Path):
    file = tmp_path / "numbered.csv"
    file.write_bytes(table({f"S{n}": area for n, area in enumerate(QUICK)}))
    with pytest.raises(InputError, match=r"samples: saw '9 samples: S0, S1.*--map SAMPLE=AREA"):
        load_instrument_card(file)
    ordered = load_instrument_card(file, SampleRequest(layout="quick", in_order=True))
    assert [reading.area for reading in ordered.readings.readings] == QUICK
    assert "9 as given" in ordered.doubts[0]
    with pytest.raises(
        InputError, match="samples: saw '9'; allowed is 22, one for each area of the full card"
    ):
        load_instrument_card(file, SampleRequest(layout="full", in_order=True))


def test_a_painted_area_needs_its_ground(tmp_path: Path):
    file = tmp_path / "groundless.csv"
    file.write_bytes(table({area: area for area in QUICK if area != "yellow"}))
    with pytest.raises(
        InputError, match="samples: saw 'nothing on bare yellow'; allowed is each bare ground"
    ):
        load_instrument_card(file)


CGATS_LAB = """CGATS.17
ORIGINATOR "an instrument"
MEASUREMENT_SOURCE "MeasurementCondition=M1 Illumination=D50 ObserverAngle=2"
SAMPLE_BACKING "white"
BEGIN_DATA_FORMAT
SAMPLE_ID SAMPLE_NAME LAB_L LAB_A LAB_B
END_DATA_FORMAT
BEGIN_DATA
1 "paper" 94.0 0.1 -1.2
2 "bare black" 20.0 0.3 0.4
3 "full on white" 41.2 10.5 -30.1
4 "full on black" 38.2 9.5 -28.1
END_DATA
"""


def test_lab_in_cgats_becomes_xyz(tmp_path: Path):
    import colour

    file = tmp_path / "lab.txt"
    file.write_text(CGATS_LAB)
    card = load_instrument_card(file)
    assert (card.readings.light, card.readings.observer) == ("D50", 2)
    assert (card.readings.condition, card.readings.backing) == ("M1", "white")
    found = next(reading for reading in card.readings.readings if reading.area == "full-white")
    white = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D50"]
    expected = 100 * colour.Lab_to_XYZ([41.2, 10.5, -30.1], white)
    np.testing.assert_allclose(found.values, expected, rtol=2e-3)


def cxf(names: dict[str, str], conditions: tuple[str, ...] = ("M1",)) -> bytes:
    """A file as another program writes it: no tags, a specification for each condition."""
    lamps = {each.value[:2]: each for each in cxf3.EdeviceIlluminationType}
    objects = [
        cxf3.Object(
            color_values=cxf3.ColorValues(
                choice=[
                    cxf3.ReflectanceSpectrum(
                        value=(SPECTRA[area] * (1 if name == "M1" else 0.9)).tolist(),
                        start_wl=380,
                        color_specification=name,
                    )
                    for name in conditions
                ]
            ),
            object_type="Sample",
            name=each,
            id=f"c{number}",
        )
        for number, (each, area) in enumerate(names.items())
    ]
    specifications = [
        cxf3.ColorSpecification(
            id=name,
            measurement_spec=cxf3.MeasurementSpec(
                measurement_type=cxf3.MeasurementType(cxf3.EspectrumType.SPECTRUM_REFLECTANCE),
                wavelength_range=cxf3.WavelengthRange(380, 10),
                backing="black",
                device=cxf3.Device(device_illumination=cxf3.DeviceIllumination(lamps[name])),
            ),
        )
        for name in conditions
    ]
    resources = cxf3.Resources(
        object_collection=cxf3.ObjectCollection(object_value=objects),
        color_specification_collection=cxf3.ColorSpecificationCollection(specifications),
    )
    return colour_cxf.write_cxf(
        cxf3.CxF(file_information=cxf3.FileInformation(creator="x"), resources=resources)
    )


def test_cxf_of_another_program_becomes_a_card(tmp_path: Path):
    file = tmp_path / "other.cxf"
    file.write_bytes(cxf({area: area for area in QUICK}, ("M0", "M1")))
    card = load_instrument_card(file)
    assert (card.readings.condition, card.readings.backing) == ("M0", "black")
    assert "The file holds readings under M0, M1; M0 was used." in card.doubts
    chosen = load_instrument_card(file, SampleRequest(condition="M1")).readings
    assert chosen.condition == "M1"
    for reading in chosen.readings:
        np.testing.assert_allclose(reading.values, SPECTRA[reading.area], rtol=1e-12)
    with pytest.raises(InputError, match="condition: saw 'M3'; allowed is what the file holds: M0, M1"):
        load_instrument_card(file, SampleRequest(condition="M3"))


def test_a_file_that_says_what_lies_where_is_read_as_before(tmp_path: Path):
    from scumble.store.readings.cxf import format_readings_cxf
    from scumble.store.readings.readings_file import load_readings

    file = tmp_path / "own.cxf"
    first = tmp_path / "first.csv"
    first.write_bytes(table({area: area for area in QUICK}))
    file.write_bytes(format_readings_cxf(load_instrument_card(first).readings))
    assert load_instrument_card(file).doubts == load_readings(file).doubts == ()


def test_a_card_of_nobodys_printing_is_read_by_its_own_names(tmp_path: Path):
    file = tmp_path / "free.txt"
    file.write_text(
        CGATS_LAB.replace("full on white", "wash-linen")
        .replace("full on black", "thick-linen")
        .replace("bare black", "bare-black")
        .replace("paper", "linen")
    )
    card = load_instrument_card(file)
    assert {reading.film for reading in card.readings.painted()} == {"wash", "thick"}


@settings(max_examples=200, deadline=None)
@given(st.binary(max_size=600))
def test_any_bytes_are_samples_or_a_sentence(content):
    try:
        samples = parse_samples(content)
    except InputError as error:
        assert len(str(error)) < 700
    else:
        assert len(samples.names) == len(samples.raw.rows) >= 1


@settings(max_examples=100, deadline=None)
@given(st.lists(st.text(max_size=20), max_size=30), st.sampled_from(LAYOUTS))
def test_any_names_are_mapped_once_or_left_over(names, layout):
    found = map_samples(names, layout=layout)
    assert sorted([match.sample for match in found.matches] + [at for at, _ in found.left_over]) == list(
        range(len(names))
    )
    assert set(found.places.values()).isdisjoint(found.missing)
