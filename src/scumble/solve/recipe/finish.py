"""From solved amounts to a recipe: measurable parts, the predicted look, and how the recipe behaves."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import product

import numpy as np
from numpy.typing import NDArray

from scumble.colour import (
    LIGHTS,
    adapt_xyz,
    delta_e_2000,
    reflectance_to_xyz,
    white_point,
    xyz_to_lab,
)
from scumble.paint import Face, Film, Layering, Look, predict_look, predict_reflectance
from scumble.paint.covering import HIDING_RATIO, contrast_ratio
from scumble.solve.recipe.answer import Recipe, Route, Wishes
from scumble.solve.recipe.rounding import PER_PART, parts_to_try
from scumble.solve.recipe.search import Search
from scumble.solve.recipe.words import say_why

Floats = NDArray[np.float64]

UNEVEN = 0.2
"""Share by which a film may come out thicker or thinner than meant. *Scumble's own.*"""

SLIP, SHOWS = 0.1, 1.0
"""Share by which a hand errs in measuring a part, and the dE00 from which that shows. *Scumble's own.*"""

SLACK = 0.15
"""Coats that a film may be thicker than whole coats before one more is laid."""

PER_COAT = 0.05
"""dE00 that one coat more must gain."""

MOST_TRIED = {1: 100_000, 2: 24, 3: 10}
"""Mixtures tried for each film, by the number of films."""

SHORT_OF_HIDING = 200.0
"""dE00 that a contrast ratio too low by 1 counts for when parts are chosen."""


@dataclass(frozen=True, slots=True)
class Candidate:
    """One solved combination.

    Parameters
    ----------
    route : Route
        What it was solved for.
    members, film_of : tuple of int
        Places on the shelf, and the film each lies in.
    coats : tuple of float [coat]
        Amount of each.
    difference : float [dE00]
        Before rounding.
    rough : float [dE00]
        Difference and the prices known without rounding; candidates are finished in its order.
    """

    route: Route
    members: tuple[int, ...]
    film_of: tuple[int, ...]
    coats: tuple[float, ...]
    difference: float
    rough: float

    @property
    def name(self) -> tuple[Route, tuple[int, ...], tuple[int, ...]]:
        """What tells it from every other."""
        return self.route, self.members, self.film_of

    def of_film(self, film: int) -> tuple[list[int], Floats]:
        """Places and coats of the paints of one film."""
        own = [i for i, place in enumerate(self.film_of) if place == film]
        return [self.members[i] for i in own], np.array([self.coats[i] for i in own])

    @property
    def films(self) -> int:
        """Number of films."""
        return self.film_of[-1] + 1


@dataclass(frozen=True, slots=True)
class Trials:
    """Ways to lay one film in measurable parts: one row each."""

    parts: Floats
    medium: Floats
    coats: Floats

    @property
    def amounts(self) -> Floats:
        """Coats of each paint, shape (trials, paints)."""
        whole = self.parts.sum(axis=1) + self.medium
        return np.asarray(self.coats[:, None] * self.parts / whole[:, None])

    @property
    def price(self) -> Floats:
        """dE00 that small parts and few coats are worth."""
        return np.asarray(PER_PART * (np.ceil(self.parts).sum(axis=1) + self.medium) + PER_COAT * self.coats)


def finish_recipe(search: Search, candidate: Candidate, wishes: Wishes) -> Recipe:
    """Round a solved combination to measurable parts and say everything about it."""
    films, difference = _round(search, candidate, wishes)
    layering = Layering(search.ground, films, search.face)
    first = search.target.lights[0]
    look = predict_look(layering, light=first, observer=search.target.observer)
    lights = _other_lights(search, look)
    unevenness = _unevenness(search, layering, look)
    passes = round(sum(film.coats for film in films))
    cost = _cost(films, wishes)
    wet_shift = _wet_shift(search, layering, look)
    tubes = len(set(candidate.members))
    prices = (
        wishes.per_tube * (tubes - 1)
        + wishes.per_pass * (passes - 1)
        + wishes.per_unevenness * unevenness
        + wishes.per_cost * cost
        + wishes.per_drying * (passes - 1)
        + wishes.per_wet_shift * wet_shift
    )
    return Recipe(
        route=candidate.route,
        layering=layering,
        look=look,
        difference=difference,
        exact_difference=candidate.difference,
        exact_coats=tuple(tuple(candidate.of_film(film)[1].tolist()) for film in range(candidate.films)),
        other_lights=lights,
        unevenness=unevenness,
        passes=passes,
        dryings=passes - 1,
        wet_shift=wet_shift,
        mixings=sum(len(film.parts) + (film.medium_parts > 0.0) > 1 for film in films),
        slips=_slips(search, layering, look),
        cost=cost,
        score=difference + prices,
        why=say_why(difference, tubes, passes, unevenness, lights),
    )


def _round(search: Search, candidate: Candidate, wishes: Wishes) -> tuple[tuple[Film, ...], float]:
    """The films in measurable parts that come nearest, and how near."""
    trials = [film_trials(candidate, film, wishes) for film in range(candidate.films)]
    most = MOST_TRIED[candidate.films]
    grid = np.array(list(product(*(range(min(len(trial.coats), most)) for trial in trials))))
    depths, price = [], np.zeros(len(grid))
    for film, trial in enumerate(trials):
        places, _ = candidate.of_film(film)
        amounts = trial.amounts[grid[:, film]]
        depths.append((amounts @ search.absorption[places], amounts @ search.scattering[places]))
        price += trial.price[grid[:, film]]
    found = search.differences(search.predict_labs(depths))
    if candidate.route is Route.COVER:
        ratio = contrast_ratio(*depths[0], 1.0, index=search.index)
        price += SHORT_OF_HIDING * np.maximum(HIDING_RATIO - ratio, 0.0)
    best = int(np.argmin(found + price))
    films = []
    for film, trial in enumerate(trials):
        places, _ = candidate.of_film(film)
        row = grid[best, film]
        parts = tuple(
            (search.tubes[place], float(part)) for place, part in zip(places, trial.parts[row], strict=True)
        )
        films.append(Film(parts, float(trial.coats[row]), medium_parts=float(trial.medium[row])))
    return tuple(films), float(found[best])


def film_trials(candidate: Candidate, film: int, wishes: Wishes) -> Trials:
    """Ways to lay one film of a solved combination in measurable parts."""
    _, coats = candidate.of_film(film)
    whole = max(1.0, float(np.ceil(coats.sum() - SLACK)))
    if candidate.route is Route.COVER:
        parts = parts_to_try(coats, most_parts=wishes.most_parts)
        each = [whole, whole + 1.0] if whole + 1.0 <= wishes.most_coats else [whole]
        return Trials(
            np.repeat(parts, len(each), axis=0), np.zeros(len(parts) * len(each)), np.tile(each, len(parts))
        )
    clear = max(whole - coats.sum(), 0.0)
    if clear < 0.04 * whole:
        parts = parts_to_try(coats, most_parts=wishes.most_parts)
        return Trials(parts, np.zeros(len(parts)), np.full(len(parts), whole))
    both = parts_to_try(np.append(coats, clear), most_parts=2 * wishes.most_parts)
    both = both[both[:, :-1].sum(axis=1) <= wishes.most_parts]
    return Trials(both[:, :-1], both[:, -1], np.full(len(both), whole))


def _other_lights(search: Search, look: Look) -> dict[str, float]:
    """Differences under the lights that were not asked for."""
    target, observer = search.target, search.target.observer
    first = white_point(target.lights[0], observer)
    moved = {}
    for light in LIGHTS:
        if light in target.lights:
            continue
        white = white_point(light, observer)
        xyz = reflectance_to_xyz(look.reflectance, light=light, observer=observer)
        if target.reflectance is not None:
            wanted = reflectance_to_xyz(target.reflectance, light=light, observer=observer)
            moved[light] = float(delta_e_2000(xyz_to_lab(wanted, white), xyz_to_lab(xyz, white)))
        else:
            moved[light] = float(delta_e_2000(look.lab, xyz_to_lab(adapt_xyz(xyz, white, first), first)))
    return moved


def _unevenness(search: Search, layering: Layering, look: Look) -> float:
    """Largest change of colour when one film comes out thicker or thinner than meant."""
    return max(
        _change(search, layering, look, place, replace(film, coats=film.coats * factor))
        for place, film in enumerate(layering.films)
        for factor in (1.0 - UNEVEN, 1.0 + UNEVEN)
    )


def _slips(search: Search, layering: Layering, look: Look) -> int:
    """How many of the things measured or laid show when they come out a little more."""
    seen = 0
    for place, film in enumerate(layering.films):
        others = [replace(film, coats=film.coats * (1.0 + SLIP))]
        stirred = len(film.parts) + (film.medium_parts > 0.0)
        for at in range(len(film.parts) if stirred > 1 else 0):
            parts = list(film.parts)
            parts[at] = parts[at][0], parts[at][1] * (1.0 + SLIP)
            others.append(replace(film, parts=tuple(parts)))
        if film.medium_parts and len(film.parts) > 1:
            others.append(replace(film, medium_parts=film.medium_parts * (1.0 + SLIP)))
        seen += sum(_change(search, layering, look, place, other) > SHOWS for other in others)
    return seen


def _change(search: Search, layering: Layering, look: Look, place: int, film: Film) -> float:
    """Change of colour when one film is another."""
    films = list(layering.films)
    films[place] = film
    return _away(search, look, replace(layering, films=tuple(films)))


def _wet_shift(search: Search, layering: Layering, look: Look) -> float:
    """Change of colour of the last film from wet to dry."""
    return _away(search, look, replace(layering, face=Face.GLOSS, wet=True))


def _away(search: Search, look: Look, layering: Layering) -> float:
    light, observer = search.target.lights[0], search.target.observer
    shown = predict_reflectance(layering)
    lab = xyz_to_lab(reflectance_to_xyz(shown, light=light, observer=observer), white_point(light, observer))
    return float(delta_e_2000(look.lab, lab))


def _cost(films: tuple[Film, ...], wishes: Wishes) -> float:
    return float(
        sum(
            film.coats * share * wishes.costs.get(paint.key, 0.0)
            for film in films
            for share, (paint, _) in zip(film.fractions, film.parts, strict=True)
        )
    )
