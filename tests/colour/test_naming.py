"""Plain names: the words the charts give, in Scumble's own order."""

from __future__ import annotations

import re

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from scumble.colour import munsell_to_xyz, name_colour, srgb_to_xyz, white_point
from scumble.colour.naming import munsell_name
from scumble.colour.renotation import hue_number

# Kelly & Judd (1976), NBS Special Publication 440, color name charts, pages 16-31: one block each. Beside it
# stands what the chart calls it; the words of lightness and strength are Scumble's own.
BLOCKS = [
    ("5R", 4.5, 14, "a mid, vivid red"),  # vivid red
    ("3R", 7.5, 5, "a light pink"),  # moderate pink
    ("8R", 5.5, 14, "a mid, vivid reddish orange"),  # vivid reddish orange
    ("10R", 3.5, 5, "a dark reddish brown"),  # moderate reddish brown
    ("5YR", 6.0, 12, "a mid, strong orange"),  # strong orange
    ("5YR", 3.5, 4, "a dark brown"),  # moderate brown
    ("10YR", 7.0, 12, "a light, strong orange yellow"),  # strong orange yellow
    ("10YR", 3.0, 4, "a dark yellowish brown"),  # dark yellowish brown
    ("5Y", 8.5, 12, "a very light, vivid yellow"),  # vivid yellow
    ("5Y", 3.5, 5, "a dark olive"),  # moderate olive
    ("10Y", 8.2, 9, "a light, strong greenish yellow"),  # brilliant greenish yellow
    ("3GY", 6.0, 9, "a mid, strong yellow green"),  # strong yellow green
    ("5GY", 3.0, 5, "a dark olive green"),  # moderate olive green
    ("1G", 5.5, 9, "a mid, strong yellowish green"),  # strong yellowish green
    ("5G", 4.5, 9, "a mid, strong green"),  # strong green
    ("5BG", 4.5, 9, "a mid, strong bluish green"),  # strong bluish green
    ("5B", 4.5, 9, "a mid, strong greenish blue"),  # strong greenish blue
    ("2PB", 2.0, 12, "a very dark, strong blue"),  # vivid blue below value 3, bound of the middle values here
    ("8PB", 4.0, 12, "a dark, strong purplish blue"),  # strong purplish blue
    ("1P", 2.0, 4, "a very dark, dull violet"),  # dark violet
    ("5P", 4.5, 11, "a mid, strong purple"),  # strong purple
    ("1RP", 4.5, 11, "a mid, strong reddish purple"),  # strong reddish purple
    ("5RP", 7.0, 10, "a light, strong purplish pink"),  # strong purplish pink
    ("5RP", 4.5, 12, "a mid, strong purplish red"),  # strong purplish red
    ("5R", 7.5, 1.0, "a light pinkish grey"),  # pinkish gray
    ("10YR", 3.5, 1.0, "a dark brownish grey"),  # brownish gray
    ("5G", 8.8, 1.0, "a greenish white"),  # greenish white
    ("5PB", 1.5, 0.8, "a bluish black"),  # bluish black
    ("5R", 7.5, 0.3, "a light grey"),  # light gray
    ("5B", 5.5, 0.3, "a mid grey"),  # medium gray
    ("5P", 3.5, 0.3, "a dark grey"),  # dark gray
    ("5R", 1.5, 0.3, "black"),
    ("5R", 9.5, 0.3, "white"),
]

WORDS = re.compile(
    r"^(white|black"
    r"|a (light|mid|dark) grey"
    r"|a ((light|mid|dark) )?\w+ish (grey|white|black)"
    r"|a ((light|mid|dark) )?olive (grey|white|black)"
    r"|a (very dark|dark|mid|light|very light)(, (dull|pale|strong|vivid))? [a-z]+( [a-z]+)?)$"
)


@pytest.mark.parametrize("block", BLOCKS, ids=lambda block: f"{block[0]} {block[1]}/{block[2]}")
def test_blocks_of_the_charts(block: tuple[str, float, float, str]) -> None:
    hue, value, chroma, name = block
    assert munsell_name(hue_number(hue), value, chroma) == name


@given(st.floats(0, 99.999), st.floats(0, 10), st.floats(0, 40))
def test_every_notation_has_a_name_of_the_agreed_form(hue: float, value: float, chroma: float) -> None:
    assert WORDS.match(munsell_name(hue, value, chroma))


@given(st.tuples(*[st.floats(0, 1)] * 3).map(np.array))
def test_every_screen_colour_has_a_name(rgb: np.ndarray) -> None:
    assert WORDS.match(name_colour(srgb_to_xyz(rgb)))


def test_a_chip_is_named_by_its_colour_under_any_light() -> None:
    for light in ("D65", "D50", "A"):
        xyz = munsell_to_xyz([41.0, 5.5, 9.0], light=light, observer=10)
        assert name_colour(xyz, light=light, observer=10) == "a mid, strong yellowish green"


@pytest.mark.parametrize("light", ["D65", "A", "LED-B3"])
def test_the_diffuser_is_white_and_nothing_is_black(light: str) -> None:
    assert name_colour(white_point(light, 2), light=light) == "white"
    assert name_colour(np.zeros(3), light=light) == "black"
