"""The invented tubes behave as their kinds do at the easel; all facts here are common practice, no source."""

from functools import cache

import numpy as np
import pytest
from demo.colorimetry import lab, xyz
from demo.inks import GROUNDS
from demo.light import film_response
from demo.paints import TUBES, WAVELENGTH_NM

TUBE = {tube.key.removeprefix("classroom-"): tube for tube in TUBES}


def seen(name, coats=1.0, ground="white", white_parts=0.0):
    return response(name, coats, white_parts).over(GROUNDS[ground])


@cache
def response(name, coats, white_parts):
    tube, white = TUBE[name], TUBE["white"]
    share = 1 / (1 + white_parts)
    absorption = share * tube.absorption() + (1 - share) * white.absorption()
    scattering = share * tube.scattering() + (1 - share) * white.scattering()
    return film_response(absorption * coats, scattering * coats)


def chroma(colour):
    return float(np.hypot(colour[1], colour[2]))


def contrast_ratio(name):
    return xyz(seen(name, ground="black"))[1] / xyz(seen(name))[1]


@pytest.mark.parametrize("tube", TUBES, ids=lambda tube: tube.key)
def test_every_spectrum_is_plausible(tube):
    absorption, scattering = tube.absorption(), tube.scattering()
    assert absorption.shape == scattering.shape == WAVELENGTH_NM.shape
    assert absorption.min() > 0.004 and absorption.max() < 40
    assert scattering.min() > 0.2 and scattering.max() < 30


@pytest.mark.parametrize("name", ["white", "warm-earth", "opaque-yellow", "dull-green", "red"])
def test_opaque_tubes_cover(name):
    assert contrast_ratio(name) > 0.94


@pytest.mark.parametrize("name", ["clear-yellow", "magenta"])
def test_transparent_tubes_do_not_cover(name):
    assert contrast_ratio(name) < 0.4


@pytest.mark.parametrize("name", ["clear-yellow", "magenta", "deep-blue", "violet"])
def test_a_transparent_film_all_but_vanishes_over_black(name):
    bare = lab(GROUNDS["black"])[0]
    assert lab(seen(name, 0.1, "black"))[0] < bare


def test_an_opaque_earth_stands_out_over_black():
    assert lab(seen("warm-earth", 0.3, "black"))[0] > 2 * lab(GROUNDS["black"])[0]


def test_clear_yellow_is_darker_than_the_earth_at_masstone_and_brighter_thinned():
    yellow, earth = lab(seen("clear-yellow")), lab(seen("warm-earth"))
    assert yellow[0] < earth[0] - 8
    thin_yellow, thin_earth = lab(seen("clear-yellow", 0.1)), lab(seen("warm-earth", 0.1))
    assert thin_yellow[0] > thin_earth[0]
    assert chroma(thin_yellow) > chroma(thin_earth)


@pytest.mark.parametrize("name", ["deep-blue", "violet"])
def test_strong_transparent_colours_gain_chroma_first_with_white(name):
    assert chroma(lab(seen(name, white_parts=2))) > chroma(lab(seen(name)))


@pytest.mark.parametrize("name", ["warm-earth", "opaque-yellow", "red"])
def test_opaque_colours_only_go_pastel_with_white(name):
    steps = [chroma(lab(seen(name, white_parts=parts))) for parts in (0, 2, 9)]
    assert steps == sorted(steps, reverse=True)


def test_a_blue_glaze_over_yellow_is_green_and_over_red_near_black():
    green, dark = lab(seen("deep-blue", 0.1, "yellow")), lab(seen("deep-blue", 0.3, "red"))
    assert green[1] < -25
    assert dark[0] < 15
