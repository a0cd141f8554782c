"""Observers, lights, white points, weights and CIELAB against CIE 15:2018, ASTM E308 and ISO 17321-1."""

from __future__ import annotations

import warnings
from pathlib import Path

import numpy as np
import pytest

from scumble.colour import delta_e_2000, reflectance_to_xyz, spectral_weights, white_point, xyz_to_lab
from scumble.colour.spectrum import fold_ends, full_weights
from scumble.tables import WAVELENGTH_NM, load_table
from scumble.tables.table import parse_table

with warnings.catch_warnings(), np.printoptions():  # it sets numpy's print options for everyone
    warnings.simplefilter("ignore")  # and warns about its optional parts
    import colour

HERE = Path(__file__).parent
LIGHTS = ("D65", "D50", "A")


def read(name: str):
    return parse_table((HERE / name).read_text(encoding="utf-8"))


# CIE 015:2018 Colorimetry, 4th edition; read from colour-science 0.4.7, illuminants/tristimulus_values.py.
CIE_15_WHITES = {
    ("A", 2): (109.85, 100.0, 35.58),
    ("D50", 2): (96.42, 100.0, 82.51),
    ("D65", 2): (95.04, 100.0, 108.88),
    ("A", 10): (111.14, 100.0, 35.20),
    ("D50", 10): (96.72, 100.0, 81.43),
    ("D65", 10): (94.81, 100.0, 107.32),
}

# ASTM E308-01, as quoted by the Python package colormath 3.0.0, colormath/color_constants.py.
E308_WHITES = {
    ("A", 2): (109.850, 100.0, 35.585),
    ("D50", 2): (96.422, 100.0, 82.521),
    ("D65", 2): (95.047, 100.0, 108.883),
}

# ISO/CIE 11664-1, printed digits; read from colour-science 0.4.7, colorimetry/datasets/cmfs.py.
MATCHING = {
    2: {
        400: (0.01431, 0.000396, 0.06785),
        450: (0.3362, 0.038, 1.77211),
        555: (0.5120501, 1.0, 0.00575),
        600: (1.0622, 0.631, 0.0008),
        700: (0.0113592, 0.004102, 0.0),
    },
    10: {
        400: (0.0191097, 0.0020044, 0.0860109),
        450: (0.370702, 0.089456, 1.9948),
        555: (0.616053, 0.99911, 0.001091),
        600: (1.12399, 0.658341, 0.0),
        700: (0.0095769, 0.0037177, 0.0),
    },
}

# Sums over 360-830 nm in steps of 1 nm, printed digits of the same tables.
MATCHING_SUMS = {2: (106.86547, 106.85692, 106.89225), 10: (116.64852, 116.66188, 116.67398)}

# CIE 15:2004 tables, ISO 11664-2; read from colour-science 0.4.7, illuminants/sds.py.
POWER = {
    "A": {400: 14.708, 450: 33.0859, 500: 59.8611, 560: 100.0, 600: 129.043, 650: 165.028, 700: 198.261},
    "D50": {400: 49.308, 450: 87.247, 500: 95.724, 560: 100.0, 600: 97.688, 650: 95.667, 700: 91.604},
    "D65": {400: 82.7549, 450: 117.008, 500: 109.354, 560: 100.0, 600: 90.0062, 650: 80.0268, 700: 71.6091},
}


@pytest.mark.parametrize("observer", MATCHING)
def test_observers_at_spot_wavelengths(observer: int) -> None:
    table = load_table(f"observer_{observer}deg")
    for wavelength_nm, expected in MATCHING[observer].items():
        row = table.stack("x", "y", "z")[table["wavelength_nm"] == wavelength_nm][0]
        assert row.tolist() == pytest.approx(expected, abs=0.5e-7)


@pytest.mark.parametrize("observer", MATCHING_SUMS)
def test_observers_sum_as_published(observer: int) -> None:
    sums = load_table(f"observer_{observer}deg").stack("x", "y", "z").sum(axis=0)
    assert sums.tolist() == pytest.approx(MATCHING_SUMS[observer], abs=0.5e-5)


@pytest.mark.parametrize("light", POWER)
def test_lights_at_spot_wavelengths(light: str) -> None:
    table = load_table(f"light_{light.lower()}")
    for wavelength_nm, expected in POWER[light].items():
        power = table["power"][table["wavelength_nm"] == wavelength_nm][0]
        # Illuminant A is kept to 7 digits of its formula, printed here to 6.
        assert power == pytest.approx(expected, rel=0.5e-5)


def test_led_b3_is_the_table_of_its_carrier() -> None:
    table = load_table("light_led_b3")
    carrier = colour.SDS_ILLUMINANTS["LED-B3"]
    assert table["wavelength_nm"].tolist() == carrier.wavelengths.tolist()
    assert table["power"].tolist() == pytest.approx(carrier.values.tolist(), abs=1e-12)


def test_led_b3_has_the_chromaticity_of_cie_15() -> None:
    # CIE 015:2018, printed to 4 decimals, as carried by colour-science 0.4.7, chromaticity_coordinates.py.
    printed = colour.CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["LED-B3"]
    table, observer = load_table("light_led_b3"), load_table("observer_2deg")
    every_5_nm = np.isin(observer["wavelength_nm"], table["wavelength_nm"])
    total = table["power"] @ observer.stack("x", "y", "z")[every_5_nm]
    assert (total[:2] / total.sum()).tolist() == pytest.approx(list(printed), abs=0.5e-4)
    # Straight lines between the 5 nm entries move it a little.
    white = white_point("LED-B3", 2)
    assert (white[:2] / white.sum()).tolist() == pytest.approx(list(printed), abs=2e-4)


@pytest.mark.parametrize(("light", "observer"), CIE_15_WHITES)
def test_white_points_of_cie_15(light: str, observer: int) -> None:
    # The two standards differ from each other by up to 0.012 and the 5 nm sums of CIE 15 by 0.015 from 1 nm sums.
    expected = CIE_15_WHITES[light, observer]
    assert white_point(light, observer).tolist() == pytest.approx(expected, abs=0.02)


@pytest.mark.parametrize(("light", "observer"), E308_WHITES)
def test_white_points_of_astm_e308(light: str, observer: int) -> None:
    expected = E308_WHITES[light, observer]
    assert white_point(light, observer).tolist() == pytest.approx(expected, abs=0.01)


def test_weights_of_astm_e308_to_their_printed_digits() -> None:
    printed = read("e308_weights_a_10deg.csv").stack("x", "y", "z")
    assert np.abs(full_weights("A", 10) - printed).max() <= 0.5e-3


def test_folded_weights_of_astm_e308_to_their_printed_digits() -> None:
    printed = fold_ends(read("e308_weights_a_10deg.csv").stack("x", "y", "z"))
    # An end adds up ten printed numbers.
    tolerance = np.full((36, 1), 0.5e-3)
    tolerance[[0, -1]] = 10 * 0.5e-3
    assert np.all(np.abs(spectral_weights("A", 10) - printed) <= tolerance)


@pytest.mark.parametrize("observer", [2, 10])
@pytest.mark.parametrize("light", LIGHTS)
def test_weights_against_the_e2022_function_of_colour_science(light: str, observer: int) -> None:
    names = {2: "CIE 1931 2 Degree Standard Observer", 10: "CIE 1964 10 Degree Standard Observer"}
    matching = colour.MSDS_CMFS[names[observer]]
    power = (
        colour.sd_CIE_standard_illuminant_A(matching.shape)
        if light == "A"
        else colour.SDS_ILLUMINANTS[light]
        .copy()
        .align(matching.shape, interpolator=colour.LinearInterpolator)
    )
    reference = colour.colorimetry.tristimulus_weighting_factors_ASTME2022(
        matching, power, colour.SpectralShape(360, 830, 10)
    )
    assert np.abs(full_weights(light, observer) - reference).max() < 2e-6


@pytest.mark.parametrize("case", [("D50", 2, "d50_2"), ("D65", 10, "d65_10"), ("D65", 2, "d65_2")])
def test_iso_17321_patches_within_a_tenth_of_a_difference(case: tuple[str, int, str]) -> None:
    light, observer, suffix = case
    table = read("iso17321_patch_lab.csv")
    expected = table.stack(f"l_{suffix}", f"a_{suffix}", f"b_{suffix}")
    spectra = colour.SDS_COLOURCHECKERS["ISO 17321-1"]
    reflectance = np.array(
        [[spectra[patch][nm] for nm in WAVELENGTH_NM] for patch in table["patch"].tolist()]
    )
    xyz = reflectance_to_xyz(reflectance, light=light, observer=observer)
    lab = xyz_to_lab(xyz, white_point(light, observer))
    # 10 nm over 380-730 nm against 1 nm over 380-780 nm; E308 and 1 nm handling differ by up to 0.1 in Lab.
    assert delta_e_2000(lab, expected).max() < 0.1
