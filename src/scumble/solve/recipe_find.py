"""Recipes for a wanted colour by every route, the first in a blink, better ones as the search goes on.

Opaque mixtures: all single tubes, pairs and triples of the shelf; then fours. A four pays the price of four tubes,
so once the worst recipe still wanted scores less than that price, no four can enter the list and none is tried:
the bound is exact, since a difference is never below 0. What is left of the price is the difference that a four must
come within, and those that :mod:`scumble.solve.recipe_bound` shows to miss by more are ruled out. The rest is tried
where they are few (:data:`MOST_FOURS`) or all are asked for, otherwise those that add a tube to the best triples.

Glazes: all single films of one and of two transparent tubes, all pairs and triples of one-tube films, then every
order of the best; and the best pairs with a second tube in one of the films. Underpaintings: see
:mod:`scumble.solve.recipe_underpaint`. Veils (scumbles): all single films of one and two tubes of which one covers.
"""

from __future__ import annotations

from collections.abc import Generator, Iterator, Sequence
from dataclasses import replace
from itertools import combinations, permutations
from math import comb

import numpy as np
from numpy.typing import NDArray

from scumble.colour import reflectance_to_xyz
from scumble.errors import InputError
from scumble.optics.face import Face
from scumble.paint import Binder, Ground, Paint
from scumble.paint.covering import MARK_BOUNDS, contrast_ratio, opacity
from scumble.paint.pigment import starter_shelf
from scumble.solve.recipe import Answer, Help, Recipe, Route, Shortfall, Wishes, answers_to, is_family
from scumble.solve.recipe_bound import may_reach
from scumble.solve.recipe_finish import Candidate, finish_recipe
from scumble.solve.recipe_reach import find_helps, not_on_shelf
from scumble.solve.recipe_search import Bounds, Search, Solved
from scumble.solve.recipe_target import Target
from scumble.solve.recipe_underpaint import glaze_over, propose_underpaintings
from scumble.solve.recipe_words import say_shortfall

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]

GLAZE_BOUNDS = Bounds(most_ratio=0.90, most_coats=1.0)
VEIL_BOUNDS = Bounds(most_ratio=0.90, most_coats=1.0)
"""Above this contrast ratio a film is no glaze and no veil. *Scumble's own.*"""

HIDING_AIM = 0.9805
"""A little above the 0.98 at which a film counts as hiding, so that what is found keeps to it."""

MOST_FOURS = 102_000
"""Fours that are all tried, those of 41 tubes (three seconds of one core); of more only when all are asked for."""

FAR = 40.0
"""What a four may miss by where the list is not full yet [dE00]."""

MOST_TRIPLE_GLAZES = 40_000
"""Triples of films that are all tried; of more, those that add a film to the best pairs."""

KEPT = 100
"""Candidates kept of each route."""

SEEDS = 60
"""Best combinations that larger ones are grown from."""

WORTH = 2.0
"""Margin above the best difference beyond which a combination is not searched to the end [dE00]."""

NEGLIGIBLE = 2e-3
"""Depth below which a paint does nothing in a film."""

NEGLIGIBLE_SHARE = 1e-3
"""Share of a mixture's strength below which a paint does nothing in it."""

SPARE = 4
"""Candidates finished beyond those wanted, since rounding may change their order."""

FOURS_AT_ONCE = 25_000
"""Fours between one answer and the next."""

ALIKE = 0.5
"""Share in common of what colours two recipes, from which they are one idea."""

NOTICED = 1.0
"""dE00 from which the nearest colour counts as a miss."""


def find_recipes(
    target: Target,
    shelf: Sequence[Paint],
    ground: Ground,
    wishes: Wishes | None = None,
    *,
    face: Face = Face.GLOSS,
    binder: Binder | None = None,
) -> Iterator[Answer]:
    """Look for recipes, telling what has been found at every stage.

    Parameters
    ----------
    target : Target
        The wanted colour.
    shelf : sequence of Paint
        Tubes at hand.
    ground : Ground
        What lies there already.
    wishes : Wishes, optional
        Routes, limits, prices, exclusions.
    face : Face
        State of the finished face.
    binder : Binder, optional
        Tubes of which binder to use; the one with most tubes by default.

    Yields
    ------
    Answer
        Each at least as good as the one before; the last has a share of 1.

    Raises
    ------
    InputError
        If there is no tube to use.
    """
    asked = wishes or Wishes()
    tubes = usable_tubes(shelf, asked, binder)
    return _Hunt(
        Search(target, tubes, ground, face), asked, not_on_shelf(shelf, _known(tubes[0].binder))
    ).run()


def _known(binder: Binder) -> tuple[Paint, ...]:
    """Every kind of tube that is known, in a binder."""
    return tuple(replace(paint, binder=binder) for paint in starter_shelf())


def usable_tubes(shelf: Sequence[Paint], wishes: Wishes, binder: Binder | None = None) -> tuple[Paint, ...]:
    """Tubes of one binder that the wishes allow.

    Raises
    ------
    InputError
        If none is left, or an exclusion names nothing on the shelf.
    """
    if not shelf:
        raise InputError("shelf", "no paints", "at least one paint", "Read a sample card first.")
    for word in sorted(wishes.excluded):
        if not is_family(word) and not any(answers_to(paint, word) for paint in shelf):
            allowed = (
                "a short name, a Colour Index name or a word of a label on the shelf, or a caution family"
            )
            raise InputError("exclude", word, allowed)
    allowed_tubes = [paint for paint in shelf if wishes.allow(paint)]
    binders = [paint.binder for paint in allowed_tubes]
    if not binders:
        reasons = ", ".join(dict.fromkeys((*sorted(wishes.excluded), *wishes.barred.values())))
        hint = "Every tube of the shelf is left out; allow one again."
        raise InputError("exclude", reasons, "words that leave at least one paint", hint)
    chosen = binder or max(Binder, key=binders.count)
    tubes = tuple(paint for paint in allowed_tubes if paint.binder is chosen)
    if not tubes:
        raise InputError("binder", chosen.value, ", ".join(sorted({one.value for one in binders})))
    return tubes


class _Hunt:
    """The state of one search."""

    def __init__(self, search: Search, wishes: Wishes, others: Sequence[Paint] = ()) -> None:
        self.search = search
        self.wishes = wishes
        self.others = tuple(paint for paint in others if wishes.allow(paint))
        self.helps: dict[Route, tuple[Help, ...]] = {}
        self.tried = 0
        self.most_films = 1 if wishes.one_session else wishes.most_films
        self.most_coats = 1.0 if wishes.one_session else wishes.most_coats
        self.kept: dict[Route, list[Candidate]] = {route: [] for route in wishes.routes}
        self.finished: dict[object, Recipe] = {}
        self.white = np.array(
            [all(p.startswith("PW") for p in paint.pigments or ("?",)) for paint in search.tubes]
        )
        each = opacity(search.absorption, search.scattering, index=search.index)
        self.clear = np.flatnonzero(each < MARK_BOUNDS[1])
        self.covering = each >= MARK_BOUNDS[1]

    def run(self) -> Iterator[Answer]:
        """Every stage in turn."""
        few = min(3, self.wishes.count)
        for number in (1, 2):
            self._cover(number)
            self._glaze((0,) * number)
            self._veil(number)
            if number == 1:
                yield self._answer("single tubes", 0.02, 1)
        yield self._answer("single tubes and pairs", 0.1, few)
        self._glaze((0, 1))
        self._cover(3)
        yield self._answer("opaque triples and pairs of glazes", 0.5, few)
        self._glaze((0, 1, 2))
        self._grow_glazes()
        self._underpaint()
        yield self._answer("three glazes, and underpaintings", 0.7, few)
        left = yield from self._fours()
        self._look_for_helps()
        yield self._answer(left, 1.0, self.wishes.count)

    # The routes

    def _cover(self, number: int) -> None:
        if Route.COVER in self.wishes.routes and number <= self.wishes.most_tubes:
            self._try(Route.COVER, _all_of(np.arange(len(self.search.tubes)), number), (0,) * number)

    def _glaze(self, film_of: tuple[int, ...]) -> None:
        if Route.GLAZE not in self.wishes.routes or film_of[-1] >= self.most_films:
            return
        members = _all_of(self.clear, len(film_of))
        if len(members) > MOST_TRIPLE_GLAZES:
            members = self._grown(Route.GLAZE, self.clear, len(film_of) - 1)
        self._try(Route.GLAZE, members, film_of)

    def _veil(self, number: int) -> None:
        """Veils lighten; over a ground that is lighter than the wanted colour there is none."""
        if Route.SCUMBLE not in self.wishes.routes or not self.can_veil():
            return
        members = _all_of(np.arange(len(self.search.tubes)), number)
        self._try(Route.SCUMBLE, members[self.covering[members].any(axis=1)], (0,) * number)

    def can_veil(self) -> bool:
        """Whether the ground is darker than the wanted colour."""
        light, observer = self.search.target.lights[0], self.search.target.observer
        bare = reflectance_to_xyz(self.search.ground.reflectance, light=light, observer=observer)
        return bool(bare[1] < self.search.target.xyz[1])

    def _underpaint(self) -> None:
        """Glazes over an opaque film of their own."""
        if (
            Route.UNDERPAINT not in self.wishes.routes
            or self.wishes.one_session
            or self.wishes.most_films < 2
        ):
            return
        whites = [int(place) for place in np.flatnonzero(self.white)]
        below = propose_underpaintings(self.search, whites, most_coats=self.wishes.most_coats)
        clear = [int(place) for place in self.clear]
        if not below or not clear:
            return
        found = glaze_over(
            self.search, below, clear, GLAZE_BOUNDS, most_films=self.wishes.most_films - 1, keep=KEPT // 2
        )
        self.tried += len(below) * len(clear)
        for one in found:
            members, film_of = one.members, one.film_of
            passes = sum(one.coats[i] for i in range(len(members)) if film_of[i] == 0) + film_of[-1]
            price = self._price(members, one.coats, passes - 1)
            self.kept[Route.UNDERPAINT].append(
                Candidate(
                    Route.UNDERPAINT, members, film_of, one.coats, one.difference, one.difference + price
                )
            )
        self.kept[Route.UNDERPAINT].sort(key=lambda one: one.rough)

    def _fours(self) -> Generator[Answer, None, str]:
        """Mixtures of four tubes; says at the end which were looked at."""
        if Route.COVER not in self.wishes.routes or self.wishes.most_tubes < 4:
            return "everything that was asked for"
        within = self._room_for_fours()
        if within <= 0.0:
            return "all mixtures; no mixture of four tubes can enter the list"
        count = len(self.search.tubes)
        every, number = np.arange(count), comb(count, 4)
        if number > MOST_FOURS and self.wishes.fours != "all":
            self._try(Route.COVER, self._grown(Route.COVER, every, 3), (0, 0, 0, 0))
            return f"the likeliest of {number} mixtures of four tubes"
        members = _all_of(every, 4)
        members = members[may_reach(self.search, members, within)]
        for first in range(0, len(members), FOURS_AT_ONCE):
            self._try(Route.COVER, members[first : first + FOURS_AT_ONCE], (0, 0, 0, 0))
            done = min(first + FOURS_AT_ONCE, len(members))
            if done < len(members):
                said = f"{done} of {len(members)} mixtures of four tubes"
                yield self._answer(said, 0.7 + 0.29 * done / len(members), min(3, self.wishes.count))
        return f"all {number} mixtures of four tubes, {number - len(members)} of them ruled out unsolved"

    def _room_for_fours(self) -> float:
        """What a four must come within to enter the list [dE00]."""
        chosen = self._choose(Route.COVER, self.wishes.count)
        if len(chosen) < self.wishes.count:
            return (chosen[-1].rough if chosen else 0.0) + FAR
        return chosen[-1].rough - 3.0 * self.wishes.per_tube

    def _look_for_helps(self) -> None:
        """Tubes that would help where the shelf misses."""
        for route in (Route.COVER, Route.GLAZE):
            kept = self.kept.get(route, [])
            miss = min((one.difference for one in kept), default=np.inf)
            if not NOTICED < miss < np.inf:
                continue
            best = [one.members for one in sorted(kept, key=lambda one: one.difference)]
            pair = (0, 0) if route is Route.COVER else (0, 1)
            self.helps[route] = find_helps(
                self.search, self.others, miss, best, self._bounds(route), film_of_pair=pair
            )

    def _grow_glazes(self) -> None:
        """Every order of the best layerings, and a second tube in one film of the best pairs."""
        if Route.GLAZE not in self.wishes.routes or self.most_films < 2:
            return
        for film_of in ((0, 1), (0, 1, 2)):
            best = [one.members for one in self.kept[Route.GLAZE] if one.film_of == film_of][:SEEDS]
            orders = {order for members in best for order in permutations(members)} - set(best)
            self._try(Route.GLAZE, _rows(orders, len(film_of)), film_of)
        pairs = [one.members for one in self.kept[Route.GLAZE] if one.film_of == (0, 1)][: SEEDS // 3]
        below = {(a, c, b) for a, b in pairs for c in self.clear if c not in (a, b)}
        above = {(a, b, c) for a, b in pairs for c in self.clear if c not in (a, b)}
        self._try(Route.GLAZE, _rows(below, 3), (0, 0, 1))
        self._try(Route.GLAZE, _rows(above, 3), (0, 1, 1))

    def _grown(self, route: Route, tubes: NDArray[np.intp], size: int) -> Whole:
        """The best combinations of a size with each other tube added."""
        best = [one.members for one in self.kept[route] if len(one.members) == size][:SEEDS]
        grown = {tuple(sorted((*one, int(tube)))) for one in best for tube in tubes if tube not in one}
        return _rows(grown, size + 1)

    # Candidates

    def _bounds(self, route: Route) -> Bounds:
        if route is Route.COVER:
            return Bounds(HIDING_AIM, 1.0, self.most_coats)
        return GLAZE_BOUNDS if route is Route.GLAZE else VEIL_BOUNDS

    def _try(self, route: Route, members: Whole, film_of: tuple[int, ...]) -> None:
        """Solve combinations and keep the most promising."""
        if len(members) == 0:
            return
        bounds = self._bounds(route)
        best = min((one.difference for one in self.kept[route]), default=np.inf)
        solved = self.search.solve(members, film_of, bounds, worth=best + WORTH)
        self.tried += len(members)
        near = np.argsort(solved.difference)[:KEPT]
        solved = solved.take(near)
        again = self.search.solve(solved.members, film_of, bounds, tries=3)
        solved = self.search.refine(solved.nearer(again), bounds)
        self._keep(route, solved)

    def _keep(self, route: Route, solved: Solved) -> None:
        useful = self._useful(route, solved)
        depths = self.search.depths(solved)
        if route is Route.COVER:
            useful &= contrast_ratio(*depths[0], 1.0, index=self.search.index) > HIDING_AIM - 0.006
        films = max(solved.film_of)
        for row in np.flatnonzero(useful):
            members = tuple(int(tube) for tube in solved.members[row])
            difference = float(solved.difference[row])
            coats = tuple(float(amount) for amount in solved.coats[row])
            price = self._price(members, coats, films)
            self.kept[route].append(
                Candidate(route, members, solved.film_of, coats, difference, difference + price)
            )
        self.kept[route].sort(key=lambda one: one.rough)
        del self.kept[route][5 * KEPT :]

    def _price(self, members: tuple[int, ...], coats: tuple[float, ...], dryings: float) -> float:
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

    # Answers

    def _choose(self, route: Route, count: int) -> list[Candidate]:
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

    def _answer(self, stage: str, share: float, count: int) -> Answer:
        recipes: list[Recipe] = []
        shortfalls: dict[Route, Shortfall] = {}
        for route in self.wishes.routes:
            kept = self.kept[route]
            nearest = min((one.difference for one in kept), default=np.inf)
            found = [self._finish(one) for one in self._choose(route, count + SPARE * (share == 1.0))]
            recipes += sorted(found, key=lambda recipe: recipe.score)[:count]
            if found and nearest > NOTICED:
                closest = min(kept, key=lambda one: one.difference)
                lab = self._lab(closest)
                helps = self.helps.get(route, ())
                shortfalls[route] = say_shortfall(self.search.target.lab, lab, nearest, helps)
        return Answer(tuple(recipes), shortfalls, stage, share, self.tried)

    def _lab(self, one: Candidate) -> Floats:
        solved = Solved(
            np.array([one.members]), one.film_of, np.array([one.coats]), np.array([one.difference])
        )
        return np.asarray(self.search.predict_labs(self.search.depths(solved))[0, 0])

    def _finish(self, one: Candidate) -> Recipe:
        if one not in self.finished:
            self.finished[one] = finish_recipe(self.search, one, self.wishes)
        return self.finished[one]


def _all_of(tubes: NDArray[np.intp], number: int) -> Whole:
    return _rows(combinations(tubes.tolist(), number), number)


def _rows(groups: object, number: int) -> Whole:
    return np.array(sorted(groups), dtype=np.int64).reshape(-1, number)  # type: ignore[call-overload]
