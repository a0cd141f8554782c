"""Recipes: hidden ones found again, against brute force, within the wishes, and honest when out of reach."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import numpy as np
import pytest

from scumble.colour import delta_e_2000, delta_e_2000_metric
from scumble.errors import InputError
from scumble.paint import (
    Binder,
    Film,
    Ground,
    Layering,
    Paint,
    paper_ground,
    predict_look,
    predict_reflectance,
)
from scumble.paint.covering import contrast_ratio
from scumble.paint.pigment import starter_shelf
from scumble.solve.recipe.answer import Answer, Route, Wishes
from scumble.solve.recipe.colour_distance import fill_metric, squared_difference
from scumble.solve.recipe.find import find_recipes, usable_tubes
from scumble.solve.recipe.search import Bounds, Search
from scumble.solve.recipe.target import target_of_lab, target_of_reflectance
from scumble.solve.recipe.words import say_shortfall

SHELF = starter_shelf()
KEYS = {paint.key: paint for paint in SHELF}
WHITE = paper_ground("white")
HIDDEN = 60

COLOUR_ALONE = Wishes(per_tube=0.0, per_pass=0.0, per_unevenness=0.0)
"""Without prices, so that the nearest colour comes first."""


def pick(*keys: str) -> tuple[Paint, ...]:
    return tuple(KEYS[key] for key in keys)


SMALL = pick(
    "titanium-white", "cadmium-yellow", "pyrrole-red", "quinacridone-magenta", "ultramarine-blue",
    "phthalo-green-blue-shade", "burnt-sienna", "bone-black",
)  # fmt: skip


EARTHS = pick(
    "titanium-white", "unbleached-titanium", "yellow-ochre", "raw-sienna", "burnt-sienna", "red-ochre", "red-oxide",
)  # fmt: skip


def last(*args: object, **options: object) -> Answer:
    *_, end = find_recipes(*args, **options)  # type: ignore[arg-type]
    return end


def test_the_compiled_difference_is_the_house_s() -> None:
    rng = np.random.default_rng(1)
    first = rng.uniform([0, -100, -100], [100, 100, 100], (500, 3))
    second = np.vstack(
        [rng.uniform([0, -100, -100], [100, 100, 100], (250, 3)), first[250:] + rng.normal(0, 2, (250, 3))]
    )
    ours = np.sqrt([squared_difference(*a, *b) for a, b in zip(first, second, strict=True)])
    assert ours == pytest.approx(delta_e_2000(first, second), abs=1e-9)
    metric = np.empty((3, 3))
    for lab in [*first, np.array([50.0, 0.0, 0.0])]:
        fill_metric(*lab, metric)
        assert metric == pytest.approx(delta_e_2000_metric(lab), rel=1e-9, abs=1e-12)


@pytest.mark.parametrize("number", [2, 3, 4])
def test_hidden_opaque_recipes_are_found_again(number: int) -> None:
    """Colour within dE00 0.3 for each of 20; the hidden tubes, solved alone, reach it too."""
    rng = np.random.default_rng(number)
    tubes, wishes = SHELF[::5], replace(COLOUR_ALONE, routes=(Route.COVER,), count=3)
    whole = Search(target_of_lab([50, 0, 0]), tubes, WHITE)
    nearest, own = [], []
    while len(nearest) < HIDDEN // 3:
        members = np.sort(rng.choice(len(tubes), number, replace=False))
        share = rng.dirichlet(np.ones(number)) / whole.strength[members]
        coats = share / share.sum() * rng.uniform(0.5, 4.0)
        depths = coats @ whole.absorption[members], coats @ whole.scattering[members]
        if contrast_ratio(*depths, 1.0) < 0.985:
            continue
        target = target_of_lab(whole.predict_labs([depths])[0])
        answer = last(target, tubes, WHITE, wishes)
        nearest.append(min(recipe.exact_difference for recipe in answer.recipes))
        again = Search(target, tubes, WHITE).solve(
            members[None], (0,) * number, Bounds(0.98, 1.0, 4.0), tries=4
        )
        own.append(again.difference[0])
    assert max(nearest) <= 0.3
    assert np.mean(np.array(own) <= 0.3) >= 0.95


def test_hidden_glazes_are_found_again() -> None:
    """Two glazes over cream, their colour by the full engine."""
    rng = np.random.default_rng(5)
    ground = paper_ground("cream")
    clear = pick(
        "nickel-azo-yellow",
        "quinacridone-rose",
        "phthalo-blue-red-shade",
        "viridian",
        "transparent-red-oxide",
    )
    for _ in range(6):
        below, above = rng.choice(len(clear), 2, replace=False)
        films = tuple(Film(((clear[each], 1.0),), float(rng.uniform(0.02, 0.15))) for each in (below, above))
        target = target_of_reflectance(predict_reflectance(Layering(ground, films)))
        answer = last(target, clear, ground, replace(COLOUR_ALONE, routes=(Route.GLAZE,)))
        assert min(recipe.exact_difference for recipe in answer.recipes) <= 0.3


def test_brute_force_finds_nothing_better() -> None:
    """All pairs of a small shelf on a fine grid of proportions and coats, where they come within dE00 10."""
    search = Search(target_of_lab([60, 20, 30]), EARTHS, WHITE)
    pairs = np.array(list(combinations(range(len(EARTHS)), 2)))
    found = search.solve(pairs, (0, 0), Bounds(0.98, 1.0, 4.0), tries=4).difference
    share = 1.0 / (1.0 + np.exp(np.linspace(-9, 9, 181)))
    total = np.geomspace(0.02, 4.0, 40)
    compared = 0
    for pair, ours in zip(pairs, found, strict=True):
        coats = np.stack([share, 1.0 - share], axis=-1)[:, None, :] * total[:, None]
        depths = coats @ search.absorption[pair], coats @ search.scattering[pair]
        differences = search.differences(search.predict_labs([depths]))
        hides = contrast_ratio(*depths, 1.0) >= 0.98
        if hides.any() and differences[hides].min() < 10.0:
            compared += 1
            assert ours <= differences[hides].min() + 0.02
    assert compared >= 5


def test_fours_are_left_out_only_when_they_cannot_enter() -> None:
    """The stated bound: with a price on tubes, trying every four changes no list that was closed without them."""
    for lab in ([60, 20, 30], [40, -20, -10], [70, 5, 50]):
        target = target_of_lab(lab)
        wishes = Wishes(routes=(Route.COVER,), count=1, per_tube=1.0)
        answer = last(target, SMALL, WHITE, wishes)
        search = Search(target, SMALL, WHITE)
        fours = np.array(list(combinations(range(len(SMALL)), 4)))
        best = search.solve(fours, (0, 0, 0, 0), Bounds(0.98, 1.0, 4.0), tries=3).difference.min()
        recipe = min(answer.recipes, key=lambda one: one.exact_difference + 1.0 * (len(one.tubes) - 1))
        assert recipe.exact_difference + 1.0 * (len(recipe.tubes) - 1) <= best + 3.0 + 0.05


def test_what_a_recipe_says_is_what_its_layering_shows() -> None:
    target = target_of_lab([55, -10, 25])
    for recipe in last(target, SMALL, paper_ground("grey")).recipes:
        look = predict_look(recipe.layering)
        assert recipe.difference == pytest.approx(float(delta_e_2000(target.lab, look.lab)), abs=1e-3)
        thick = replace(
            recipe.layering, films=(*recipe.layering.films[:-1], _thicker(recipe.layering.films[-1]))
        )
        assert delta_e_2000(predict_look(thick).lab, look.lab) <= recipe.unevenness + 1e-9
        assert recipe.passes == round(sum(film.coats for film in recipe.layering.films))
        assert set(recipe.other_lights) == {"D50", "A", "LED-B3"}


def _thicker(film: Film) -> Film:
    return replace(film, coats=film.coats * 1.2)


def test_covers_hide_and_glazes_do_not() -> None:
    answer = last(target_of_lab([45, 20, 25]), SHELF[::4], paper_ground("toned"))
    covers, glazes = answer.of_route(Route.COVER), answer.of_route(Route.GLAZE)
    assert covers and glazes
    for recipe in covers:
        (film,) = recipe.layering.films
        assert contrast_ratio(film.absorption, film.scattering, 1.0) >= 0.97
    for recipe in glazes:
        if len(recipe.layering.films) == 1:
            (film,) = recipe.layering.films
            assert contrast_ratio(film.absorption, film.scattering, 1.0) <= 0.93


def test_scumbles_lighten_a_dark_ground_and_there_are_none_on_a_light_one() -> None:
    wishes = Wishes(routes=(Route.SCUMBLE,))
    dark = last(target_of_lab([55, -2, -12]), SMALL, paper_ground("black"), wishes)
    assert dark.recipes and dark.recipes[0].exact_difference < 6.0
    assert last(target_of_lab([55, -2, -12]), SMALL, WHITE, wishes).recipes == ()


def test_answers_only_get_better_and_end_whole() -> None:
    answers = list(find_recipes(target_of_lab([35, 30, -25]), SMALL, WHITE))
    best = [min(recipe.exact_difference for recipe in each.of_route(Route.COVER)) for each in answers]
    assert best[-1] <= best[0] + 1e-9
    assert [each.share for each in answers] == sorted(each.share for each in answers)
    assert answers[-1].share == 1.0


def test_recipes_are_distinct() -> None:
    recipes = last(target_of_lab([60, 20, 30]), SHELF[::3], WHITE, Wishes(routes=(Route.COVER,))).recipes
    coloured = [
        frozenset(p.key for p in recipe.tubes if not p.pigments[0].startswith("PW")) for recipe in recipes
    ]
    assert len(recipes) == 5
    assert len(set(coloured)) == len(coloured)


def test_wishes_are_kept() -> None:
    target = target_of_lab([60, 20, 30])
    assert all(
        len(recipe.tubes) <= 2 and recipe.route is Route.COVER
        for recipe in last(target, SMALL, WHITE, Wishes(routes=(Route.COVER,), most_tubes=2)).recipes
    )
    without = last(target, SMALL, WHITE, Wishes(excluded=frozenset({"PW6", "cadmium", "burnt-sienna"})))
    used = {paint.key for recipe in without.recipes for paint in recipe.tubes}
    assert not used & {"titanium-white", "cadmium-yellow", "burnt-sienna"}
    dear = Wishes(routes=(Route.COVER,), per_cost=50.0, costs={"burnt-sienna": 1.0}, count=1)
    assert all(
        paint.key != "burnt-sienna"
        for paint in last(target, SMALL, WHITE, replace(dear, count=3)).recipes[0].tubes
    )


def test_several_lights_are_weighed_together() -> None:
    hidden = Film(((KEYS["titanium-white"], 3.0), (KEYS["burnt-sienna"], 1.0)), 4.0)
    spectrum = predict_reflectance(Layering(WHITE, (hidden,)))
    target = target_of_reflectance(spectrum, lights=("D65", "A"))
    best = last(target, SMALL, WHITE, Wishes(routes=(Route.COVER,))).recipes[0]
    assert {paint.key for paint in best.tubes} == {"titanium-white", "burnt-sienna"}
    assert set(best.other_lights) == {"D50", "LED-B3"}
    assert max(best.other_lights.values()) < 1.0


def test_out_of_reach_is_said_with_its_direction() -> None:
    vivid = last(target_of_lab([50, 80, -60]), SMALL, WHITE).shortfalls[Route.COVER]
    assert vivid.difference > 3.0
    assert "too dull" in vivid.words
    dark = pick("bone-black", "burnt-sienna")
    pale = last(target_of_lab([80, 10, 15]), dark, WHITE, Wishes(routes=(Route.COVER,))).shortfalls[
        Route.COVER
    ]
    assert "too dark" in pale.words


@pytest.mark.parametrize(
    ("nearest", "said"),
    [((60, 20, 20), "too light"), ((40, 20, 20), "too dark"), ((50, 30, 30), "too vivid"),
     ((50, 28, 5), "too bluish"), ((50, 5, 28), "too greenish")],
)  # fmt: skip
def test_directions(nearest: tuple[float, float, float], said: str) -> None:
    assert said in say_shortfall(np.array([50.0, 20.0, 20.0]), np.array(nearest, dtype=float), 5.0).words


def test_bad_wishes_and_shelves_are_named() -> None:
    with pytest.raises(InputError, match=r"shelf: saw 'no paints'.*Read a sample card first"):
        next(find_recipes(target_of_lab([50, 0, 0]), (), WHITE))
    with pytest.raises(InputError, match="exclude: saw 'PX9'; allowed is a short name"):
        usable_tubes(SMALL, Wishes(excluded=frozenset({"PX9"})))
    everything = frozenset(paint.key for paint in SMALL)
    with pytest.raises(InputError, match="words that leave at least one paint"):
        usable_tubes(SMALL, Wishes(excluded=everything))
    with pytest.raises(InputError, match="binder: saw 'oil'; allowed is acrylic"):
        usable_tubes(SMALL, Wishes(), Binder.OIL)
    with pytest.raises(InputError, match="most_tubes: saw '5'; allowed is a number from 1 to 4"):
        Wishes(most_tubes=5)
    with pytest.raises(InputError, match=r"cost of x: saw '-1.0'"):
        Wishes(costs={"x": -1.0})
    with pytest.raises(InputError, match="routes: saw 'none'"):
        Wishes(routes=())


@pytest.mark.parametrize(
    ("lab", "said"),
    [([120, 0, 0], "a lightness from 0 to 100"), ([50, 300, 0], "from -200 to 200"), ([50, 0], "three numbers"),
     ([float("nan"), 0, 0], "three numbers")],
)  # fmt: skip
def test_impossible_colours_are_named(lab: list[float], said: str) -> None:
    with pytest.raises(InputError, match=said):
        target_of_lab(lab)


def test_bad_spectra_are_named() -> None:
    with pytest.raises(InputError, match="saw '35 numbers'; allowed is 36"):
        target_of_reflectance([0.5] * 35)
    with pytest.raises(InputError, match="reflectances from 0 to 1"):
        target_of_reflectance([50.0] * 36)
    with pytest.raises(InputError, match="light: saw 'D93'"):
        target_of_reflectance([0.5] * 36, lights=("D93",))


def test_one_tube_and_a_glossy_ground_are_enough() -> None:
    ground = Ground(WHITE.reflectance * 0.5, label="half")
    answer = last(target_of_lab([50, 0, 0]), pick("bone-black"), ground)
    assert {paint.key for recipe in answer.recipes for paint in recipe.tubes} == {"bone-black"}
