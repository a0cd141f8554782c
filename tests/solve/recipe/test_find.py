"""Recipes beyond one film: underpaintings, bounds on fours, tubes that would help, what an answer says of itself."""

from __future__ import annotations

import warnings
from dataclasses import replace

import numpy as np
import pytest

from scumble.colour import LIGHTS, delta_e_2000
from scumble.errors import InputError
from scumble.optics.face import Face
from scumble.paint import Film, Layering, Paint, paper_ground, predict_look, predict_reflectance
from scumble.paint.covering import contrast_ratio
from scumble.paint.pigment import starter_shelf
from scumble.solve.recipe.answer import Answer, Route, Wishes
from scumble.solve.recipe.find import find_recipes, usable_tubes
from scumble.solve.recipe.search import Bounds
from scumble.solve.recipe.target import target_of_lab, target_of_reflectance

SHELF = starter_shelf()
KEYS = {paint.key: paint for paint in SHELF}
WHITE = paper_ground("white")
COVER = Bounds(0.9805, 1.0, 4.0)


def pick(*keys: str) -> tuple[Paint, ...]:
    return tuple(KEYS[key] for key in keys)


SMALL = pick(
    "titanium-white", "cadmium-yellow", "pyrrole-red", "quinacridone-magenta", "ultramarine-blue",
    "phthalo-green-blue-shade", "burnt-sienna", "bone-black",
)  # fmt: skip


def last(*args: object, **options: object) -> Answer:
    *_, end = find_recipes(*args, **options)  # type: ignore[arg-type]
    return end


def test_an_underpainting_hides_and_its_glaze_does_not() -> None:
    wishes = Wishes(routes=(Route.UNDERPAINT,))
    answer = last(target_of_lab([45, 45, 30]), SHELF[::2], paper_ground("grey"), wishes)
    assert answer.recipes
    for recipe in answer.recipes:
        below, *glazes = recipe.layering.films
        assert contrast_ratio(below.absorption, below.scattering, 1.0) >= 0.97
        assert all(contrast_ratio(film.absorption, film.scattering, 1.0) <= 0.93 for film in glazes)
        assert len(glazes) >= 1
        look = predict_look(recipe.layering)
        assert recipe.difference == pytest.approx(float(delta_e_2000([45, 45, 30], look.lab)), abs=1e-3)


def test_an_underpainting_opens_what_a_dark_ground_closes() -> None:
    """A light, vivid yellow cannot be glazed over black, but over a white laid first it can."""
    wishes = Wishes(routes=(Route.GLAZE, Route.UNDERPAINT))
    tubes = pick("titanium-white", "nickel-azo-yellow", "quinacridone-rose", "phthalo-blue-red-shade")
    answer = last(target_of_lab([82, 5, 75]), tubes, paper_ground("black"), wishes)
    glaze, better = answer.shortfalls[Route.GLAZE], answer.of_route(Route.UNDERPAINT)[0]
    assert glaze.difference > 20.0
    assert better.exact_difference < 3.0


def test_one_session_lays_nothing_over_a_film_that_must_dry() -> None:
    answer = last(target_of_lab([50, 20, 25]), SMALL, WHITE, Wishes(one_session=True))
    assert answer.recipes
    assert all(recipe.dryings == 0 and len(recipe.layering.films) == 1 for recipe in answer.recipes)


def test_waits_and_wet_shift_are_priced() -> None:
    target = target_of_lab([50, 20, 25])
    free = last(target, SMALL, WHITE, Wishes(routes=(Route.GLAZE,)))
    dear = last(target, SMALL, WHITE, Wishes(routes=(Route.GLAZE,), per_drying=20.0))
    assert dear.recipes[0].dryings == 0
    shifted = last(target, SMALL, WHITE, Wishes(routes=(Route.GLAZE,), per_wet_shift=5.0))
    assert shifted.recipes[0].wet_shift <= free.recipes[0].wet_shift + 1e-9
    recipe = free.recipes[0]
    wet = predict_look(replace(recipe.layering, face=Face.GLOSS, wet=True))
    assert recipe.wet_shift == pytest.approx(float(delta_e_2000(recipe.look.lab, wet.lab)), abs=1e-9)


def test_out_of_reach_names_the_tube_that_would_reach() -> None:
    """Without any violet or magenta a vivid violet is out of reach; the tube it is the masstone tint of is named."""
    tubes = pick("titanium-white", "cadmium-yellow", "pyrrole-red", "burnt-sienna", "bone-black")
    film = Film(((KEYS["dioxazine-violet"], 1.0), (KEYS["titanium-white"], 6.0)), 4.0)
    target = target_of_reflectance(predict_reflectance(Layering(WHITE, (film,))))
    shortfall = last(target, tubes, WHITE, Wishes(routes=(Route.COVER,))).shortfalls[Route.COVER]
    assert shortfall.difference > 10.0
    assert "dioxazine-violet" in {each.key for each in shortfall.helps}
    assert min(each.difference for each in shortfall.helps) < 1.0
    assert "A tube of" in shortfall.words


def test_no_excluded_tube_is_offered_as_help() -> None:
    tubes = pick("titanium-white", "pyrrole-red", "bone-black")
    wishes = Wishes(routes=(Route.COVER,), excluded=frozenset({"cadmium"}))
    shortfall = last(target_of_lab([80, 5, 80]), tubes, WHITE, wishes).shortfalls[Route.COVER]
    assert shortfall.helps
    assert not any("cadmium" in each.key for each in shortfall.helps)


def test_caution_families_can_be_excluded_and_bars_are_said() -> None:
    left = usable_tubes(SHELF, Wishes(excluded=frozenset({"cadmium", "cobalt", "mercury"})))
    assert not any("PR108" in paint.pigments or "PB28" in paint.pigments for paint in left)
    barred = {paint.key: "nobody has rated it by ASTM D4303" for paint in SMALL}
    with pytest.raises(
        InputError, match=r"nobody has rated it by ASTM D4303.*leave at least one paint.*allow one"
    ):
        usable_tubes(SMALL, Wishes(barred=barred))
    with pytest.raises(InputError, match="fours: saw 'some'; allowed is fit, all, likely"):
        Wishes(fours="some")


def test_slips_are_the_things_that_show() -> None:
    """Counted anew by hand: each part, the medium and each thickness a tenth larger."""
    recipe = last(target_of_lab([40, 35, -20]), SMALL, WHITE, Wishes(routes=(Route.GLAZE,))).recipes[0]
    seen = 0
    for place, film in enumerate(recipe.layering.films):
        trials = [replace(film, coats=film.coats * 1.1)]
        things = len(film.parts) + (film.medium_parts > 0)
        if things > 1:
            for at, (paint, part) in enumerate(film.parts):
                parts = (*film.parts[:at], (paint, 1.1 * part), *film.parts[at + 1 :])
                trials.append(replace(film, parts=parts))
        if film.medium_parts and len(film.parts) > 1:
            trials.append(replace(film, medium_parts=1.1 * film.medium_parts))
        for trial in trials:
            films = (*recipe.layering.films[:place], trial, *recipe.layering.films[place + 1 :])
            look = predict_look(replace(recipe.layering, films=films))
            seen += delta_e_2000(recipe.look.lab, look.lab) > 1.0
    assert recipe.slips == seen
    assert recipe.mixings == sum(
        len(film.parts) + (film.medium_parts > 0) > 1 for film in recipe.layering.films
    )


def test_metamerism_and_inconstancy_agree_with_colour_science() -> None:
    """colour-science integrates the same 10 nm spectra by ASTM E308 and adapts by its own Bradford."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        import colour
    # Known: a surface and its metamer; unknown: one colour as the eye adapts.
    film = Film(((KEYS["titanium-white"], 3.0), (KEYS["burnt-sienna"], 1.0)), 4.0)
    spectrum = predict_reflectance(Layering(WHITE, (film,)))
    tubes = pick("titanium-white", "cadmium-yellow", "pyrrole-red", "phthalo-green-blue-shade", "bone-black")
    known = last(target_of_reflectance(spectrum), tubes, WHITE, Wishes(routes=(Route.COVER,))).recipes[0]
    lab = predict_look(known.layering).lab
    unknown = last(target_of_lab(lab), tubes, WHITE, Wishes(routes=(Route.COVER,))).recipes[0]
    observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]

    def see(reflectance: np.ndarray, light: str) -> tuple[np.ndarray, np.ndarray]:
        shape = colour.SpectralShape(380, 730, 10)
        sd = colour.SpectralDistribution(reflectance, shape.range())
        white = colour.SpectralDistribution(np.ones(36), shape.range())
        illuminant = colour.SDS_ILLUMINANTS[light]
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            kwargs = {"cmfs": observer, "illuminant": illuminant, "method": "Integration"}
            shown = colour.SpectralShape(380, 730, 1)
            full, blank = (
                each.copy().interpolate(shown, interpolator=colour.SpragueInterpolator)
                for each in (sd, white)
            )
            return colour.sd_to_XYZ(full, **kwargs), colour.sd_to_XYZ(blank, **kwargs)

    def to_lab(xyz: np.ndarray, white: np.ndarray) -> np.ndarray:
        return np.asarray(colour.XYZ_to_Lab(xyz / white[1], colour.XYZ_to_xy(white)))

    assert set(known.other_lights) == set(LIGHTS) - {"D65"}
    for light, ours in known.other_lights.items():
        wanted, white = see(spectrum, light)
        got, _ = see(known.look.reflectance, light)
        theirs = colour.delta_E(to_lab(wanted, white), to_lab(got, white), method="CIE 2000")
        assert ours == pytest.approx(theirs, abs=0.05)
    _, day = see(unknown.look.reflectance, "D65")
    for light, ours in unknown.other_lights.items():
        got, white = see(unknown.look.reflectance, light)
        adapted = colour.chromatic_adaptation(got, white, day, method="Von Kries", transform="Bradford")
        first, _ = see(unknown.look.reflectance, "D65")
        theirs = colour.delta_E(to_lab(first, day), to_lab(adapted, day), method="CIE 2000")
        assert ours == pytest.approx(theirs, abs=0.05)
