"""What is wanted of each area of a picture, from which tubes and over what, and films rounded to parts for it."""

from __future__ import annotations

from copy import copy
from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import NDArray

from scumble.colour import delta_e_2000
from scumble.optics.film import film_response
from scumble.optics.response import take_off_face
from scumble.paint.covering import HIDING_RATIO, MARK_BOUNDS, contrast_ratio, opacity
from scumble.solve.plan.layers import Layer, Mixture, Role, Stack, depth_of
from scumble.solve.plan.wishes import PlanWishes
from scumble.solve.recipe.finish import SHORT_OF_HIDING, Candidate, film_trials
from scumble.solve.recipe.search import Search
from scumble.solve.recipe.target import target_of_lab
from scumble.solve.recipe.underpaint import Underpainting

Floats = NDArray[np.float64]

MOST_TRIED = {1: 100_000, 2: 10, 3: 5}
"""Mixtures tried for each glaze when parts are chosen, by the number of glazes."""


@dataclass(frozen=True, slots=True)
class LaidIn:
    """An opaque mixture as a lay-in: it hides what lies below it.

    Parameters
    ----------
    layer : Layer
        In whole coats.
    painting : Underpainting
        The same as glazes are solved over.
    """

    layer: Layer
    painting: Underpainting


class Wanted:
    """The wanted colours of a picture, the tubes and the ground, and how near parts that a hand can measure come.

    Parameters
    ----------
    search : Search
        Tubes, ground and face.
    labs : array, shape (areas, 3)
        Wanted, CIELAB.
    wishes : PlanWishes
        Limits.
    below : Stack
        What lies under everything, such as an imprimatura.
    """

    def __init__(self, search: Search, labs: Floats, wishes: PlanWishes, below: Stack = ()) -> None:
        self.base = search
        self.labs = labs
        self.wishes = wishes
        self.below = below
        self.search = lie_over(search, _shown(search, below)) if below else search
        # Worked out once, so that the searches of all areas share them.
        _ = self.search.scene, self.search.view, self.search.strength
        each = opacity(search.absorption, search.scattering, index=search.index)
        self.clear = [int(place) for place in np.flatnonzero(each < MARK_BOUNDS[1])]
        self.covering = each >= MARK_BOUNDS[1]
        self.whites = [
            place
            for place, paint in enumerate(search.tubes)
            if paint.pigments and all(name.upper().startswith("PW") for name in paint.pigments)
        ]

    def wanting(self, area: int) -> Search:
        """The search of one area's colour."""
        own = copy(self.search)
        own.target = target_of_lab(self.labs[area])
        return own

    def round(self, own: Search, candidate: Candidate, role: Role, under: Stack = ()) -> list[Stack]:
        """The stack in measurable parts that comes nearest one area's colour; none where it does nothing."""
        trials = [film_trials(candidate, film, self.wishes.recipe) for film in range(candidate.films)]
        most = MOST_TRIED[candidate.films]
        grid = list(product(*(range(min(len(trial.coats), most)) for trial in trials)))
        rows = np.array(grid)
        price = np.zeros(len(grid))
        below = [*self.below, *under]
        depths = [tuple(np.broadcast_to(d, (len(grid), 36)) for d in depth_of(own, each)) for each in below]
        for film, trial in enumerate(trials):
            places, _ = candidate.of_film(film)
            amounts = trial.amounts[rows[:, film]]
            depths.append((amounts @ own.absorption[places], amounts @ own.scattering[places]))
            price += trial.price[rows[:, film]]
        labs = self.base.predict_labs([(a, s) for a, s in depths])[:, 0]
        miss = delta_e_2000(np.broadcast_to(own.target.lab, labs.shape), labs)
        if role is Role.COVER:
            ratio = contrast_ratio(depths[-1][0], depths[-1][1], 1.0, index=own.index)
            price += SHORT_OF_HIDING * np.maximum(HIDING_RATIO - ratio, 0.0)
        best = grid[int(np.argmin(miss + price))]
        layers = []
        for film, (trial, row) in enumerate(zip(trials, best, strict=True)):
            places, _ = candidate.of_film(film)
            parts = dict(zip(places, trial.parts[row].tolist(), strict=True))
            layers.append(Layer(mixture_of(parts, float(trial.medium[row])), float(trial.coats[row]), role))
        return [(*self.below, *under, *layers)]


def lie_over(search: Search, shown: Floats) -> Search:
    """The same search over something else in place of the ground, shape (36,) [1] as a film lies on it."""
    other = copy(search)
    other.below = shown
    table, absorption, scattering, _, face, faint = search.scene
    other.__dict__["scene"] = (table, absorption, scattering, shown, face, faint)
    return other


def _shown(search: Search, below: Stack) -> Floats:
    """What layers on the ground look like to a film that lies on them, shape (36,) [1]."""
    shown = search.below
    for layer in below:
        film = film_response(*depth_of(search, layer), index=search.index)
        shown = take_off_face(film.over(shown), search.index)
    return shown


def mixture_of(parts: dict[int, float], medium: float = 0.0) -> Mixture:
    """Parts by place on the shelf as a mixture; what has no part is left out."""
    return Mixture(tuple(sorted((place, part) for place, part in parts.items() if part > 0.0)), medium)
