"""Recipes at random, hidden behind their colour, and whether a search finds them or their equals again."""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from scumble.paint import Film, Ground, Layering, Paint, predict_reflectance
from scumble.paint.covering import MARK_BOUNDS, contrast_ratio, opacity
from scumble.solve.recipe.answer import Recipe, Route, Wishes
from scumble.solve.recipe.find import find_recipes
from scumble.solve.recipe.search import Search
from scumble.solve.recipe.target import Target, target_of_lab, target_of_reflectance

NEAR = 0.3
"""dE00 within which a hidden colour counts as found."""

COVERS, GLAZES = 200, 100
"""Hidden recipes of each kind in the full score."""


@dataclass(frozen=True, slots=True)
class Hidden:
    """A recipe and its colour.

    Parameters
    ----------
    route : Route
        Cover or glaze.
    keys : frozenset of str
        Tubes in it.
    films : int
        Films it takes.
    target : Target
        Its colour.
    """

    route: Route
    keys: frozenset[str]
    films: int
    target: Target


@dataclass(frozen=True, slots=True)
class Found:
    """What a search made of a hidden recipe.

    Parameters
    ----------
    exact : float [dE00]
        Of the nearest recipe in the list, before rounding.
    is_original, is_equal : bool
        Whether the list holds the same tubes within :data:`NEAR`; whether it holds these or others within it that
        take no more tubes and no more films.
    loss : float [dE00]
        What measurable parts cost the first recipe.
    rounded : float [dE00]
        Difference of the first recipe in measurable parts.
    parts : float
        Most parts of paint in a film of it.
    first_s, all_s : float [s]
        Until the first answer and the last.
    """

    exact: float
    is_original: bool
    is_equal: bool
    loss: float
    rounded: float
    parts: float
    first_s: float
    all_s: float


def hide_cover(rng: np.random.Generator, search: Search, number: int) -> Hidden:
    """An opaque mixture that hides within 4 coats."""
    while True:
        members = np.sort(rng.choice(len(search.tubes), number, replace=False))
        share = rng.dirichlet(np.ones(number)) / search.strength[members]
        coats = share / share.sum() * rng.uniform(0.5, 4.0)
        absorption, scattering = coats @ search.absorption[members], coats @ search.scattering[members]
        if contrast_ratio(absorption, scattering, 1.0) > 0.985:
            lab = search.predict_labs([(absorption, scattering)])[0]
            keys = frozenset(search.tubes[place].key for place in members)
            return Hidden(Route.COVER, keys, 1, target_of_lab(lab))


def hide_glaze(rng: np.random.Generator, search: Search, number: int) -> Hidden:
    """One to three clear films over the ground."""
    clear = np.flatnonzero(opacity(search.absorption, search.scattering, index=search.index) < MARK_BOUNDS[1])
    while True:
        members = rng.choice(clear, number, replace=False)
        coats = np.exp(rng.uniform(np.log(0.05), np.log(1.5), number)) / search.strength[members]
        films = [
            (each * search.absorption[place], each * search.scattering[place])
            for each, place in zip(coats, members, strict=True)
        ]
        if max(coats) <= 0.9 and all(contrast_ratio(*film, 1.0) < 0.85 for film in films):
            paints = [search.tubes[place] for place in members]
            laid = tuple(
                Film(((paint, 1.0),), float(each)) for paint, each in zip(paints, coats, strict=True)
            )
            seen = predict_reflectance(Layering(search.ground, laid))
            lab = target_of_reflectance(seen).lab
            return Hidden(Route.GLAZE, frozenset(paint.key for paint in paints), number, target_of_lab(lab))


def hide_recipes(
    rng: np.random.Generator, tubes: Sequence[Paint], ground: Ground, *, covers: int, glazes: int
) -> list[Hidden]:
    """Covers of 2 to 4 tubes and glazes of 1 to 3 films, in turn."""
    search = Search(target_of_lab([50, 0, 0]), tubes, ground)
    hidden = [hide_cover(rng, search, 2 + number % 3) for number in range(covers)]
    return hidden + [hide_glaze(rng, search, 1 + number % 3) for number in range(glazes)]


def look_for(hidden: Hidden, tubes: Sequence[Paint], ground: Ground) -> Found:
    """Search for a hidden colour by its route, with the usual wishes but ten answers and no price on comfort."""
    wishes = Wishes(routes=(hidden.route,), count=10, per_tube=0.05, per_pass=0.02, per_unevenness=0.0)
    start, first = time.perf_counter(), 0.0
    for answer in find_recipes(hidden.target, tubes, ground, wishes):  # noqa: B007
        first = first or time.perf_counter() - start
    whole = time.perf_counter() - start
    near = [recipe for recipe in answer.recipes if recipe.exact_difference <= NEAR]
    best = min(answer.recipes, key=lambda recipe: recipe.difference)
    return Found(
        min(recipe.exact_difference for recipe in answer.recipes),
        any(_keys(recipe) == hidden.keys for recipe in near),
        any(
            _keys(recipe) == hidden.keys
            or (len(recipe.tubes) <= len(hidden.keys) and len(recipe.layering.films) <= hidden.films)
            for recipe in near
        ),
        best.rounding_loss,
        best.difference,
        max(sum(part for _, part in film.parts) for film in best.layering.films),
        first,
        whole,
    )


def _keys(recipe: Recipe) -> frozenset[str]:
    return frozenset(paint.key for paint in recipe.tubes)
