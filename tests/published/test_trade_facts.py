"""What every painter knows about the pigments of the starter shelf: *common practice, no source*.

The shelf's spectra were argued with these facts in mind, so this is no independent proof of them; it shows that one
set of spectra in one model agrees with all of them at once, and keeps it so. Bounds are in CIELAB (D65, 2 degrees)
and are our reading of the painter's words.
"""

from __future__ import annotations

from itertools import pairwise
from typing import NamedTuple

import numpy as np
import pytest
from scipy.stats import spearmanr

from scumble.colour import lab_to_lch, reflectance_to_xyz
from scumble.paint import Film, Ground, Layering, Paint, paper_ground, predict_look, predict_reflectance
from scumble.paint.behaviour import predict_behaviour
from scumble.paint.grains import Grains
from scumble.paint.paint import Optics, Provenance
from scumble.paint.pigment import starter_shelf
from scumble.paint.thinning import Course
from scumble.tables import load_table

SHELF = {paint.key: paint for paint in starter_shelf()}
PRACTICE = load_table("starter_practice")
WHITE, BLACK = paper_ground("white"), paper_ground("black")
TITANIUM = SHELF["titanium-white"]

CLASSES = ("transparent", "semi-transparent", "semi-opaque", "opaque")

WASH, THIN = 0.05, 0.25
"""A wash and a thin film [coat]."""

UNDERTONE_HUES = {
    "rose": (340, 15),
    "red": (15, 48),
    "orange": (45, 80),
    "reddish yellow": (72, 93),
    "yellow": (82, 102),
    "greenish yellow": (94, 113),
    "yellowish green": (110, 138),
    "green": (132, 162),
    "bluish green": (155, 195),
    "turquoise": (190, 228),
    "greenish blue": (220, 256),
    "blue": (252, 290),
    "violet": (292, 325),
    "magenta": (322, 346),
}
"""CIELAB hue angles from and to [degree] that go by a painter's word. Our own; they overlap, as words do."""


class Colour(NamedTuple):
    """Lightness, chroma and hue angle."""

    lightness: float
    chroma: float
    hue: float


def colour(ground: Ground, *films: tuple[str | Paint, float], white_parts: float = 0.0) -> Colour:
    """Colour of films from the ground up, each with its coats; white goes into the last one."""
    made = [Film(((_paint(name), 1.0),), coats) for name, coats in films]
    if white_parts:
        name, coats = films[-1]
        made[-1] = Film(((_paint(name), 1.0), (TITANIUM, white_parts)), coats)
    return Colour(*lab_to_lch(predict_look(Layering(ground, tuple(made))).lab))


def _paint(name: str | Paint) -> Paint:
    return SHELF[name] if isinstance(name, str) else name


def practice(column: str) -> dict[str, str]:
    return dict(zip(PRACTICE["key"].tolist(), PRACTICE[column].tolist(), strict=True))


def keys_where(column: str, value: str) -> list[str]:
    return [key for key, said in practice(column).items() if said == value]


def turn(start: float, end: float) -> float:
    """Signed change of hue angle [degree]."""
    return (end - start + 180.0) % 360.0 - 180.0


def ratio(paint: Paint, coats: float = 1.0) -> float:
    """Contrast ratio over black and white paper."""
    over = [
        predict_reflectance(Layering(ground, (Film(((paint, 1.0),), coats),))) for ground in (BLACK, WHITE)
    ]
    return float(np.divide(*reflectance_to_xyz(np.array(over))[:, 1]))


# ---- opacity


def test_opacity_of_every_pigment_ranks_as_painters_rank_it() -> None:
    behaviour = [predict_behaviour(paint) for paint in SHELF.values()]
    said = [CLASSES.index(practice("opacity")[key]) for key in SHELF]
    # Four classes make ties, so that even a perfect order gives 0.96 to 0.97 and not 1.
    assert spearmanr([each.opacity.value for each in behaviour], said).statistic >= 0.9
    assert spearmanr([each.contrast_ratio.value for each in behaviour], said).statistic >= 0.9


def test_the_mark_of_every_pigment_is_the_one_that_labels_carry() -> None:
    marks = {key: predict_behaviour(paint).mark.value for key, paint in SHELF.items()}
    assert marks == {key: practice("opacity")[key] for key in SHELF}


def test_titanium_white_nearly_hides_in_one_coat_and_zinc_white_does_not() -> None:
    assert 0.93 <= ratio(TITANIUM) <= 0.97
    assert ratio(SHELF["zinc-white"]) < 0.75


@pytest.mark.parametrize(
    "key",
    [key for key in SHELF if key.startswith("cadmium")]
    + ["yellow-ochre", "red-ochre", "yellow-oxide", "red-oxide", "violet-oxide", "chromium-oxide-green"]
    + ["mars-black", "lamp-black"],
)
def test_cadmiums_opaque_earths_and_oxides_hide_in_one_coat(key: str) -> None:
    assert ratio(SHELF[key]) >= 0.97


@pytest.mark.parametrize("key", keys_where("opacity", "transparent"))
def test_a_transparent_colour_all_but_vanishes_over_black(key: str) -> None:
    bare = predict_look(Layering(BLACK)).lab[0]
    over_black, over_white = colour(BLACK, (key, THIN)), colour(WHITE, (key, THIN))
    # It shows no more than the black paper itself did, and what little it shows is far from what white makes of it.
    assert over_black.lightness < bare
    assert over_black.lightness < 0.5 * over_white.lightness


@pytest.mark.parametrize("key", ["yellow-ochre", "red-ochre", "yellow-oxide"])
def test_an_opaque_earth_stands_out_bright_over_black(key: str) -> None:
    bare = predict_look(Layering(BLACK)).lab[0]
    masstone = colour(WHITE, (key, 1.0)).lightness
    assert colour(BLACK, (key, THIN)).lightness > max(bare + 12, 0.85 * masstone)


# ---- masstone, undertone, thinning


def test_nickel_azo_yellow_is_darker_than_ochre_at_masstone_and_brighter_and_cleaner_thinned() -> None:
    nickel, ochre = (colour(WHITE, (key, 1.0)) for key in ("nickel-azo-yellow", "yellow-ochre"))
    assert nickel.lightness < ochre.lightness - 10
    for coats in (WASH, 0.1):
        thin_nickel, thin_ochre = (
            colour(WHITE, (key, coats)) for key in ("nickel-azo-yellow", "yellow-ochre")
        )
        assert thin_nickel.lightness > thin_ochre.lightness
        assert thin_nickel.chroma > 1.4 * thin_ochre.chroma


def test_the_temperature_of_nickel_azo_yellow_shifts_from_warm_to_greenish() -> None:
    masstone, wash = colour(WHITE, ("nickel-azo-yellow", 1.0)), colour(WHITE, ("nickel-azo-yellow", WASH))
    assert masstone.hue < 82 and wash.hue > 95
    assert predict_behaviour(SHELF["nickel-azo-yellow"]).thinning.course is Course.BRIGHTENS


@pytest.mark.parametrize("key", ["yellow-ochre", "chromium-oxide-green"])
def test_ochre_and_chromium_oxide_green_only_get_lighter(key: str) -> None:
    masstone, wash = colour(WHITE, (key, 1.0)), colour(WHITE, (key, 0.03))
    assert wash.lightness > masstone.lightness + 15
    assert wash.chroma < masstone.chroma
    assert abs(turn(masstone.hue, wash.hue)) < 15
    assert predict_behaviour(SHELF[key]).thinning.course is Course.LIGHTENS


def test_the_green_gets_slightly_duller() -> None:
    masstone, wash = (
        colour(WHITE, ("chromium-oxide-green", 1.0)),
        colour(WHITE, ("chromium-oxide-green", 0.03)),
    )
    assert 0.6 < wash.chroma / masstone.chroma < 0.95


@pytest.mark.parametrize("key", list(SHELF))
def test_the_undertone_has_the_hue_that_painters_name(key: str) -> None:
    word = practice("undertone")[key]
    wash = colour(WHITE, (key, WASH))
    if word == "neutral":
        assert wash.chroma < 14
        return
    low, high = UNDERTONE_HUES[word]
    assert (wash.hue - low) % 360 <= (high - low) % 360, f"{wash.hue:.0f} is not {word}"


@pytest.mark.parametrize(
    "key",
    [
        "dioxazine-violet",
        "prussian-blue",
        "indanthrone-blue",
        "phthalo-blue-red-shade",
        "phthalo-green-blue-shade",
        "perylene-green-black",
        "mars-black",
        "lamp-black",
        "bone-black",
    ],
)
def test_the_darkest_masstones_are_nearly_black(key: str) -> None:
    assert colour(WHITE, (key, 1.0)).lightness < 13


def test_reds_keep_their_order_from_orange_to_crimson() -> None:
    hues = [
        colour(WHITE, (key, 1.0)).hue
        for key in ("cadmium-orange", "pyrrole-orange", "cadmium-red", "cadmium-red-deep")
    ]
    assert hues == sorted(hues, reverse=True)
    roses = [
        turn(0, colour(WHITE, (key, WASH)).hue)
        for key in (
            "pyrrole-red",
            "perylene-maroon",
            "quinacridone-rose",
            "quinacridone-magenta",
            "quinacridone-violet",
        )
    ]
    assert roses == sorted(roses, reverse=True)


def test_the_shades_of_phthalocyanine_stand_in_order() -> None:
    keys = ("blue-red-shade", "blue-green-shade", "turquoise", "green-blue-shade", "green-yellow-shade")
    hues = [colour(WHITE, (f"phthalo-{key}", 1.0), white_parts=9.0).hue for key in keys]
    assert hues == sorted(hues, reverse=True)


def test_ultramarine_is_more_violet_than_cobalt_and_cobalt_than_cerulean() -> None:
    keys = ("ultramarine-violet", "ultramarine-blue", "cobalt-blue", "cerulean-blue", "cobalt-turquoise")
    for white_parts in (0.0, 4.0):
        hues = [colour(WHITE, (key, 1.0), white_parts=white_parts).hue for key in keys]
        # At masstone the two ultramarines may stand as close as dark colours do.
        assert hues[1:] == sorted(hues[1:], reverse=True)
    assert hues == sorted(hues, reverse=True)


def test_roasting_turns_sienna_and_umber_redder() -> None:
    for earth in ("sienna", "umber"):
        raw, burnt = (colour(WHITE, (f"{state}-{earth}", THIN)) for state in ("raw", "burnt"))
        assert turn(burnt.hue, raw.hue) > 10


# ---- with white


@pytest.mark.parametrize("key", keys_where("with_white", "gains chroma first"))
def test_a_strong_transparent_colour_gains_chroma_from_white_before_it_goes_pastel(key: str) -> None:
    tinting = predict_behaviour(SHELF[key], white=TITANIUM).tinting
    assert tinting is not None
    assert tinting.chroma_gain.value > 5
    assert tinting.peak_parts.value >= 0.05


@pytest.mark.parametrize("key", keys_where("with_white", "only goes pastel"))
def test_an_opaque_or_weak_colour_only_goes_pastel(key: str) -> None:
    ladder = [colour(WHITE, (key, 2.0), white_parts=parts) for parts in (0.0, 0.5, 1.0, 2.0, 4.0, 9.0)]
    # It pales from the first; a dull earth may hold its little chroma for a step.
    assert all(after.lightness > before.lightness for before, after in pairwise(ladder))
    assert all(after.chroma < before.chroma + 1.0 for before, after in pairwise(ladder))


def test_strong_transparent_colours_stay_intense_where_opaque_ones_of_their_hue_pale() -> None:
    rivals = [
        ("phthalo-blue-green-shade", "cerulean-blue"),
        ("phthalo-green-yellow-shade", "chromium-oxide-green"),
        ("quinacridone-magenta", "cobalt-violet"),
        ("dioxazine-violet", "manganese-violet"),
        ("transparent-yellow-oxide", "yellow-ochre"),
    ]
    for strong, opaque in rivals:
        tints = [colour(WHITE, (key, 1.0), white_parts=9.0) for key in (strong, opaque)]
        assert tints[0].chroma > 1.15 * tints[1].chroma, strong


def test_tinting_strength_of_the_strong_and_of_the_weak() -> None:
    strong = (
        "dioxazine-violet",
        "phthalo-blue-red-shade",
        "phthalo-green-blue-shade",
        "lamp-black",
        "prussian-blue",
    )
    weak = (
        "green-earth",
        "cobalt-violet",
        "manganese-violet",
        "ultramarine-violet",
        "raw-sienna",
        "viridian",
    )
    assert min(map(_strength, strong)) > 1.5 * max(map(_strength, weak))


def test_organic_reds_and_phthalo_blue_tint_more_strongly_than_cadmiums() -> None:
    cadmiums = [_strength(key) for key in SHELF if key.startswith("cadmium")]
    assert min(_strength("pyrrole-red"), _strength("naphthol-red")) > 1.2 * max(cadmiums)
    assert _strength("phthalo-blue-red-shade") > max(cadmiums)


@pytest.mark.parametrize(
    ("stronger", "weaker", "times"),
    [
        ("phthalo-blue-red-shade", "ultramarine-blue", 3.0),
        ("phthalo-green-blue-shade", "viridian", 3.0),
        ("red-oxide", "red-ochre", 2.0),
        ("yellow-oxide", "yellow-ochre", 1.3),
        ("lamp-black", "bone-black", 3.0),
        ("diarylide-yellow", "arylide-yellow-light", 1.5),
        ("cadmium-yellow", "nickel-titanate-yellow", 5.0),
    ],
)
def test_of_two_near_in_hue_the_one_that_painters_call_stronger(
    stronger: str, weaker: str, times: float
) -> None:
    assert _strength(stronger) > times * _strength(weaker)


def _strength(key: str) -> float:
    """Parts of white that one part pulls down to a pastel."""
    tinting = predict_behaviour(SHELF[key], white=TITANIUM).tinting
    assert tinting is not None
    return tinting.strength_parts.value


def test_lamp_black_tints_cool_beside_the_warmer_bone_and_mars() -> None:
    tint = {
        key: predict_look(Layering(WHITE, (Film(((SHELF[key], 1.0), (TITANIUM, 4.0)), 1.0),))).lab[2]
        for key in ("lamp-black", "bone-black", "mars-black")
    }
    assert tint["lamp-black"] < tint["bone-black"]
    assert tint["lamp-black"] < tint["mars-black"]


# ---- glazes


@pytest.mark.parametrize("glaze", ["phthalo-blue-green-shade", "phthalo-blue-red-shade"])
@pytest.mark.parametrize("yellow", ["cadmium-lemon", "cadmium-yellow", "arylide-yellow-medium"])
def test_a_phthalo_glaze_over_yellow_gives_green(glaze: str, yellow: str) -> None:
    over = colour(WHITE, (yellow, 1.0), (glaze, 0.08))
    assert 115 < over.hue < 175
    assert over.chroma > 35


@pytest.mark.parametrize("glaze", ["phthalo-blue-green-shade", "phthalo-green-blue-shade"])
@pytest.mark.parametrize("red", ["cadmium-red", "pyrrole-red", "naphthol-red"])
def test_a_phthalo_glaze_over_red_gives_near_black(glaze: str, red: str) -> None:
    over = colour(WHITE, (red, 1.0), (glaze, 0.12))
    assert over.lightness < 9
    assert over.chroma < 20


@pytest.mark.parametrize("yellow", ["cadmium-lemon", "cadmium-yellow", "arylide-yellow-medium"])
def test_a_dioxazine_glaze_over_yellow_gives_ochres_and_umbers(yellow: str) -> None:
    ochre = colour(WHITE, (yellow, 1.0), ("dioxazine-violet", 0.02))
    umber = colour(WHITE, (yellow, 1.0), ("dioxazine-violet", 0.06))
    bare = colour(WHITE, (yellow, 1.0))
    assert 65 < ochre.hue < 92 and 40 < ochre.lightness < 60
    assert 35 < umber.hue < 75 and 12 < umber.lightness < 35
    assert bare.chroma > ochre.chroma > umber.chroma


@pytest.mark.parametrize("red", ["pyrrole-red", "naphthol-red"])
def test_a_dioxazine_glaze_over_red_gives_a_warm_purple(red: str) -> None:
    over, bare = colour(WHITE, (red, 1.0), ("dioxazine-violet", 0.2)), colour(WHITE, (red, 1.0))
    assert turn(bare.hue, over.hue) < -30  # towards violet
    assert over.hue > 320 or over.hue < 5  # and no farther than a red purple
    assert over.lightness < 20 and over.chroma > 20


@pytest.mark.parametrize("coats", [0.2, 0.3])
def test_magenta_with_a_yellow_glaze_gives_orange(coats: float) -> None:
    over = colour(WHITE, ("quinacridone-magenta", 0.2), ("arylide-yellow-medium", coats))
    assert 45 < over.hue < 70
    assert over.chroma > 60


# ---- particle size, by Mie theory and published optical constants


def _of_size(material: str, diameter_um: float, pigment_um: float) -> Paint:
    absorption, scattering = Grains(material, diameter_um, 1.4, pigment_um, 0.6, 0.0, 0.0).depths
    return Paint("grade", "Grade", Optics(absorption + 1e-3, scattering + 1e-6), Provenance.ILLUSTRATIVE)


def test_coarse_rust_covers_and_the_same_rust_ground_fine_is_transparent() -> None:
    """The optical half of *large particles cover and look matte*; the model has no link from size to gloss."""
    fine, coarse = (_of_size("hematite", size, 0.5) for size in (0.03, 0.25))
    assert ratio(fine) < 0.2
    assert ratio(coarse) > 0.95
    masstone_fine, masstone_coarse = (colour(WHITE, (grade, 1.0)) for grade in (fine, coarse))
    wash = colour(WHITE, (fine, 0.2))
    assert wash.chroma > masstone_coarse.chroma  # the fine grade glows when thin
    assert colour(BLACK, (fine, 1.0)).lightness < 0.5 * masstone_fine.lightness


def test_rutile_much_finer_than_the_waves_is_nearly_clear() -> None:
    fine, coarse = (_of_size("rutile", size, 3.0) for size in (0.03, 0.24))
    assert ratio(fine) < 0.25
    assert ratio(coarse) > 0.9


def test_coarser_rust_is_more_violet() -> None:
    hues = [colour(WHITE, (key, 1.0)).hue for key in ("transparent-red-oxide", "red-oxide", "violet-oxide")]
    assert hues[2] < hues[1] - 8
    tint = [
        colour(WHITE, (key, 1.0), white_parts=4.0).hue
        for key in ("transparent-red-oxide", "red-oxide", "violet-oxide")
    ]
    assert turn(tint[1], tint[2]) < -15 and turn(tint[0], tint[1]) < -15


# ---- a painter would know them


@pytest.mark.parametrize(
    ("key", "lightness", "chroma", "hue"),
    [
        ("titanium-white", (90, 97), (0, 4), (60, 200)),
        ("cadmium-yellow", (70, 85), (80, 120), (78, 92)),
        ("cadmium-red", (35, 50), (65, 100), (35, 50)),
        ("yellow-ochre", (50, 66), (35, 55), (70, 82)),
        ("raw-sienna", (32, 50), (30, 60), (65, 82)),
        ("burnt-sienna", (18, 35), (25, 55), (38, 60)),
        ("raw-umber", (10, 28), (5, 20), (60, 95)),
        ("burnt-umber", (8, 26), (10, 30), (40, 65)),
        ("red-oxide", (24, 40), (30, 55), (35, 52)),
        ("chromium-oxide-green", (35, 50), (15, 32), (125, 150)),
        ("ultramarine-blue", (2, 25), (40, 80), (290, 315)),
        ("cobalt-blue", (18, 40), (45, 72), (270, 300)),
        ("quinacridone-magenta", (15, 40), (45, 75), (345, 20)),
        ("unbleached-titanium", (75, 90), (5, 20), (70, 95)),
    ],
)
def test_masstones_look_as_painters_know_them(key, lightness, chroma, hue) -> None:
    seen = colour(WHITE, (key, 1.0))
    assert lightness[0] <= seen.lightness <= lightness[1]
    assert chroma[0] <= seen.chroma <= chroma[1]
    assert (seen.hue - hue[0]) % 360 <= (hue[1] - hue[0]) % 360
