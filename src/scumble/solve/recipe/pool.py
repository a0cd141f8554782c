"""What a search has found so far: the candidates of each route, which of them are alike, and how they are told."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from scumble.paint.covering import contrast_ratio
from scumble.solve.recipe.answer import Answer, Help, Recipe, Route, Shortfall, Wishes
from scumble.solve.recipe.finish import Candidate, finish_recipe
from scumble.solve.recipe.search import Search, Solved
from scumble.solve.recipe.words import say_shortfall

Floats = NDArray[np.float64]

HIDING_AIM = 0.9805
"""A little above the 0.98 at which a film counts as hiding, so that what is found keeps to it."""

SHORT_OF_AIM = 0.006
"""How far below it what is found may lie."""

KEPT = 100
"""Candidates kept of each route at a time; five times as many in all."""

NEGLIGIBLE = 2e-3
"""Depth below which a paint does nothing in a film."""

NEGLIGIBLE_SHARE = 1e-3
"""Share of a mixture's strength below which a paint does nothing in it."""

SPARE = 4
"""Candidates finished beyond those wanted, since rounding may change their order."""

OVERTAKEN = 0.5
"""dE00 behind the last recipe wanted from which a candidate does not come forward by rounding. *Scumble's own.*"""

FAR = 40.0
"""What a recipe may miss by where the list is not full yet [dE00]."""

ALIKE = 0.5
"""Share in common of what colours two recipes, from which they are one idea."""

NOTICED = 1.0
"""dE00 from which the nearest colour counts as a miss."""


class Pool:
    """Candidates of every route.

    Parameters
    ----------
    search : Search
        What was solved.
    wishes : Wishes
        Prices, and how many recipes are wanted.
    """

    def __init__(self, search: Search, wishes: Wishes) -> None:
        self.search = search
        self.wishes = wishes
        self.kept: dict[Route, list[Candidate]] = {route: [] for route in wishes.routes}
        self.helps: dict[Route, tuple[Help, ...]] = {}
        self.finished: dict[object, Recipe] = {}
        self.white = np.array(
            [all(p.startswith("PW") for p in paint.pigments or ("?",)) for paint in search.tubes]
        )

    def keep(self, route: Route, solved: Solved) -> None:
        """Put in solved combinations of which every tube does something."""
        useful = self._useful(route, solved)
        depths = self.search.depths(solved)
        if route is Route.COVER:
            ratio = contrast_ratio(*depths[0], 1.0, index=self.search.index)
            useful &= ratio > HIDING_AIM - SHORT_OF_AIM
        films = max(solved.film_of)
        found = []
        for row in np.flatnonzero(useful):
            members = tuple(int(tube) for tube in solved.members[row])
            coats = tuple(float(amount) for amount in solved.coats[row])
            difference = float(solved.difference[row])
            rough = difference + self.price(members, coats, films)
            found.append(Candidate(route, members, solved.film_of, coats, difference, rough))
        self.add(route, found)

    def add(self, route: Route, found: Sequence[Candidate]) -> None:
        """Put in candidates, each combination once; the dearest go when there are too many."""
        cheapest: dict[object, Candidate] = {}
        for one in sorted([*self.kept[route], *found], key=lambda one: one.rough):
            cheapest.setdefault(one.name, one)
        self.kept[route] = list(cheapest.values())[: 5 * KEPT]

    def room(self, route: Route, tubes: int) -> float:
        """What a recipe of so many tubes must come within to be among those that are finished [dE00].

        A difference is never below 0, and so many tubes cost what they cost. Whatever stands so far behind the last one
        wanted that rounding to parts will hardly bring it forward is not waited for (:data:`OVERTAKEN`).
        """
        chosen = self.choose(route, self.wishes.count + SPARE)
        if len(chosen) < self.wishes.count:
            return (chosen[-1].rough if chosen else 0.0) + FAR
        last = min(chosen[-1].rough, chosen[self.wishes.count - 1].rough + OVERTAKEN)
        return last - (tubes - 1) * self.wishes.per_tube

    def price(self, members: tuple[int, ...], coats: tuple[float, ...], dryings: float) -> float:
        """What is known of a recipe's price before it is rounded [dE00]."""
        asked = self.wishes
        cost = sum(
            asked.costs.get(self.search.tubes[tube].key, 0.0) * amount
            for tube, amount in zip(members, coats, strict=True)
        )
        per_film = asked.per_pass + asked.per_drying
        return asked.per_tube * (len(set(members)) - 1) + per_film * dryings + asked.per_cost * cost

    def _useful(self, route: Route, solved: Solved) -> NDArray[np.bool_]:
        """Whether every tube of a combination does something."""
        effect = solved.coats * self.search.strength[solved.members]
        if route is Route.COVER:
            return np.asarray((effect > NEGLIGIBLE_SHARE * effect.sum(axis=1, keepdims=True)).all(axis=1))
        return np.asarray((effect > NEGLIGIBLE).all(axis=1))

    def nearest(self, route: Route) -> float:
        """Least difference of a route [dE00]; infinite where there is none."""
        return min((one.difference for one in self.kept.get(route, ())), default=np.inf)

    def best(self, route: Route, film_of: tuple[int, ...], count: int) -> list[tuple[int, ...]]:
        """Tubes of the best layerings of a kind."""
        return [one.members for one in self.kept[route] if one.film_of == film_of][:count]

    def choose(self, route: Route, count: int) -> list[Candidate]:
        """The best candidates of which no two are alike."""
        chosen: list[Candidate] = []
        for one in self.kept[route]:
            if len(chosen) == count:
                break
            if not any(self._alike(one, other) for other in chosen):
                chosen.append(one)
        return chosen

    def _alike(self, one: Candidate, other: Candidate) -> bool:
        mine, theirs = self._colouring(one), self._colouring(other)
        tubes = mine.keys() | theirs.keys()
        shared = sum(min(mine.get(tube, 0.0), theirs.get(tube, 0.0)) for tube in tubes)
        return shared >= ALIKE * sum(max(mine.get(tube, 0.0), theirs.get(tube, 0.0)) for tube in tubes)

    def _colouring(self, one: Candidate) -> dict[int, float]:
        """Share of each tube in what colours a recipe; whites count where there is nothing else."""
        effect: dict[int, float] = {}
        for tube, coats in zip(one.members, one.coats, strict=True):
            effect[tube] = effect.get(tube, 0.0) + coats * float(self.search.strength[tube])
        coloured = {tube: depth for tube, depth in effect.items() if not self.white[tube]} or effect
        return {tube: depth / sum(coloured.values()) for tube, depth in coloured.items()}

    def answer(self, stage: str, share: float, count: int, tried: int) -> Answer:
        """Where the search stands: so many of the best of each route, finished."""
        recipes: list[Recipe] = []
        shortfalls: dict[Route, Shortfall] = {}
        for route in self.wishes.routes:
            kept = self.kept[route]
            nearest = self.nearest(route)
            found = [self._finish(one) for one in self.choose(route, count + SPARE * (share == 1.0))]
            recipes += sorted(found, key=lambda recipe: recipe.score)[:count]
            if found and nearest > NOTICED:
                closest = min(kept, key=lambda one: one.difference)
                lab = self._lab(closest)
                helps = self.helps.get(route, ())
                shortfalls[route] = say_shortfall(self.search.target.lab, lab, nearest, helps)
        return Answer(tuple(recipes), shortfalls, stage, share, tried)

    def _lab(self, one: Candidate) -> Floats:
        solved = Solved(
            np.array([one.members]), one.film_of, np.array([one.coats]), np.array([one.difference])
        )
        return np.asarray(self.search.predict_labs(self.search.depths(solved))[0, 0])

    def _finish(self, one: Candidate) -> Recipe:
        if one not in self.finished:
            self.finished[one] = finish_recipe(self.search, one, self.wishes)
        return self.finished[one]
