"""Hue, value and chroma against the Munsell renotation and the CIE 13.3 test colours.

Newhall S M, Nickerson D, Judd D B (1943) Final report of the O.S.A. subcommittee on the spacing of the Munsell
colors, J. Opt. Soc. Am. 33, 385-418; ASTM D1535; CIE 13.3-1995. Read from colour-science 0.4.7,
colour/notation/datasets/munsell/real.py.
"""

from __future__ import annotations

import numpy as np
import pytest

from scumble.colour import (
    adapt_xyz,
    luminance_to_value,
    munsell_notation,
    value_to_luminance,
    white_point,
    xyz_to_munsell,
)
from scumble.colour.renotation import WHITE_C

# Hue, value, chroma and chromaticity under illuminant C, 2 degrees, printed to 4 decimals.
RENOTATION = [
    ("5R", 4, 14, 0.5734, 0.3057),
    ("5Y", 8, 12, 0.4562, 0.4788),
    ("5G", 5, 8, 0.2511, 0.4107),
    ("5PB", 4, 12, 0.1773, 0.1659),
    ("5P", 4, 10, 0.2814, 0.1967),
    ("10YR", 6, 8, 0.4570, 0.4249),
    ("5BG", 6, 8, 0.2236, 0.3311),
    ("2.5YR", 5, 12, 0.5482, 0.3909),
    ("7.5R", 6, 4, 0.3692, 0.3291),
]

# ASTM D1535, perfect diffuser = 100.
VALUE_TO_Y = [
    (1, 1.17993),
    (2, 3.04812),
    (3, 6.39118),
    (4, 11.70075),
    (5, 19.27184),
    (6, 29.30115),
    (7, 41.98539),
    (8, 57.61963),
    (9, 76.69559),
    (10, 100.0),
]

# CIE 13.3-1995 test-colour samples under illuminant C: xyY, and hue, value, chroma by the inverse renotation of
# colour-science 0.4.7, printed to one decimal. It finds none for sample 8, whose nominal notation is 10P 6/8.
TEST_COLOURS = [
    ("TCS01", 0.3748, 0.3309, 29.93, 7.8, 6.1, 4.3),
    ("TCS02", 0.3847, 0.3953, 28.92, 24.0, 6.0, 4.2),
    ("TCS03", 0.3734, 0.4641, 30.35, 34.4, 6.1, 7.0),
    ("TCS04", 0.2870, 0.4003, 29.24, 42.6, 6.0, 6.3),
    ("TCS05", 0.2580, 0.3062, 30.69, 60.7, 6.1, 4.0),
    ("TCS06", 0.2413, 0.2435, 29.71, 74.8, 6.0, 7.3),
    ("TCS07", 0.2840, 0.2414, 29.47, 83.6, 6.0, 7.7),
    ("TCS08", 0.3251, 0.2625, 31.51, 90.0, 6.0, 8.0),
    ("TCS09", 0.5672, 0.3064, 11.46, 5.0, 4.0, 13.5),
    ("TCS10", 0.4380, 0.4621, 59.07, 25.2, 8.1, 10.2),
    ("TCS11", 0.2543, 0.4097, 20.05, 44.8, 5.1, 7.9),
    ("TCS12", 0.1549, 0.1506, 6.43, 73.2, 3.0, 10.8),
    ("TCS13", 0.3720, 0.3526, 57.31, 15.0, 8.0, 4.2),
    ("TCS14", 0.3532, 0.4318, 11.67, 35.2, 4.0, 4.1),
]


def under_d65(x: float, y: float, luminance: float) -> np.ndarray:
    xyz = np.array([x / y, 1.0, (1 - x - y) / y]) * luminance
    return adapt_xyz(xyz, WHITE_C, white_point("D65", 2))


@pytest.mark.parametrize("row", RENOTATION, ids=lambda row: f"{row[0]} {row[1]}/{row[2]}")
def test_renotation_rows_read_back_as_their_own_notation(row: tuple[str, int, int, float, float]) -> None:
    hue, value, chroma, x, y = row
    munsell = xyz_to_munsell(under_d65(x, y, float(value_to_luminance(value))))
    assert munsell_notation(munsell) == f"{hue} {value:.1f}/{chroma:.1f}"


@pytest.mark.parametrize(("value", "luminance"), VALUE_TO_Y)
def test_value_scale_of_astm_d1535(value: int, luminance: float) -> None:
    assert value_to_luminance(value) == pytest.approx(luminance, abs=0.6e-5)
    assert luminance_to_value(luminance) == pytest.approx(value, abs=1e-5)


@pytest.mark.parametrize("row", TEST_COLOURS, ids=lambda row: row[0])
def test_cie_test_colours(row: tuple[str, float, float, float, float, float, float]) -> None:
    name, x, y, luminance, hue, value, chroma = row
    found = xyz_to_munsell(under_d65(x, y, luminance))
    # Interpolations between entries 2.5 of hue and 2 of chroma apart differ by up to 0.1; a nominal notation by more.
    loose = 0.5 if name == "TCS08" else 0.16
    assert abs((found[0] - hue + 50) % 100 - 50) < loose
    assert found[1] == pytest.approx(value, abs=max(0.06, loose if name == "TCS08" else 0))
    assert found[2] == pytest.approx(chroma, abs=loose)
