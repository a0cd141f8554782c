"""Recipes for a wanted colour by every route, the first in a blink, better ones as the search goes on.

Opaque mixtures: all single tubes, pairs and triples of the shelf; then fours. A four pays the price of four tubes,
so once the last recipe that is still wanted scores less than that price, no four can enter the list and none is tried:
the bound is exact up to :data:`NO_GAIN`, since a difference is never below 0. What is left of the price is the
difference that a four must come within. First those that add a tube to the best triples are tried; then all, in blocks,
leaving out those that :mod:`scumble.solve.recipe.bound` shows to miss by more. Whatever enters the list leaves the rest
less room, so the bound draws in from block to block, and often closes. Above :data:`MOST_FOURS` all are tried only when
asked for.

Glazes: all single films of one and of two transparent tubes, all pairs and triples of one-tube films, then every
order of the best; and the best pairs with a second tube in one of the films. Underpaintings: see
:mod:`scumble.solve.recipe.underpaint`. Veils (scumbles): all single films of one and two tubes of which one covers.

On shelves so long that pairs or triples are more than :data:`MOST_GROUPS`, those are tried that add a tube to the best.
"""

from __future__ import annotations

from collections.abc import Generator, Iterator, Sequence
from dataclasses import replace
from itertools import permutations
from math import comb

import numpy as np
from numpy.typing import NDArray

from scumble.colour import reflectance_to_xyz
from scumble.errors import InputError
from scumble.optics.face import Face
from scumble.paint import Binder, Ground, Paint
from scumble.paint.covering import MARK_BOUNDS, opacity
from scumble.paint.pigment import starter_shelf
from scumble.solve.recipe.answer import Answer, Route, Wishes, answers_to, is_family
from scumble.solve.recipe.bound import may_reach
from scumble.solve.recipe.finish import Candidate
from scumble.solve.recipe.groups import every_group, groups_in_blocks
from scumble.solve.recipe.pool import HIDING_AIM, KEPT, NOTICED, Pool
from scumble.solve.recipe.reach import find_helps, not_on_shelf
from scumble.solve.recipe.search import Bounds, Search
from scumble.solve.recipe.target import Target
from scumble.solve.recipe.underpaint import glaze_over, propose_underpaintings

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]

GLAZE_BOUNDS = Bounds(most_ratio=0.90, most_coats=1.0)
VEIL_BOUNDS = Bounds(most_ratio=0.90, most_coats=1.0)
"""Above this contrast ratio a film is no glaze and no veil. *Scumble's own.*"""

MOST_FOURS = 1_000_000
"""Fours that are all tried, those of 71 tubes; of more only when all are asked for."""

MOST_GROUPS = 300_000
"""Pairs, or triples, that are all tried: those of 775 and of 122 tubes."""

MOST_TRIPLE_GLAZES = 40_000
"""Triples of films that are all tried; of more, those that add a film to the best pairs."""

SEEDS = 60
"""Best combinations that larger ones are grown from."""

NO_GAIN = 0.05
"""What nobody sees: less room than this closes the list to larger mixtures [dE00]. *Scumble's own.*"""

WORTH = 2.0
"""Margin above the best difference beyond which a combination is not searched to the end [dE00]."""

FOURS_AT_ONCE = 40_000
"""Fours between one answer and the next."""


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
        self.tried = 0
        self.most_films = 1 if wishes.one_session else wishes.most_films
        self.most_coats = 1.0 if wishes.one_session else wishes.most_coats
        self.pool = Pool(search, wishes)
        each = opacity(search.absorption, search.scattering, index=search.index)
        self.every = np.arange(len(search.tubes))
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
        yield self._answer("opaque triples and pairs of glazes", 0.3, few)
        self._glaze((0, 1, 2))
        self._grow_glazes()
        self._underpaint()
        yield self._answer("three glazes, and underpaintings", 0.4, few)
        left = yield from self._fours()
        self._look_for_helps()
        yield self._answer(left, 1.0, self.wishes.count)

    def _answer(self, stage: str, share: float, count: int) -> Answer:
        return self.pool.answer(stage, share, count, self.tried)

    # The routes

    def _cover(self, number: int) -> None:
        if Route.COVER in self.wishes.routes and number <= self.wishes.most_tubes:
            self._try(Route.COVER, self._groups(Route.COVER, self.every, number), (0,) * number)

    def _glaze(self, film_of: tuple[int, ...]) -> None:
        if Route.GLAZE not in self.wishes.routes or film_of[-1] >= self.most_films:
            return
        most = MOST_TRIPLE_GLAZES if len(film_of) == 3 else MOST_GROUPS
        self._try(Route.GLAZE, self._groups(Route.GLAZE, self.clear, len(film_of), most), film_of)

    def _veil(self, number: int) -> None:
        """Veils lighten; over a ground that is lighter than the wanted colour there is none."""
        if Route.SCUMBLE not in self.wishes.routes or not self.can_veil():
            return
        members = self._groups(Route.SCUMBLE, self.every, number)
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
        whites = [int(place) for place in np.flatnonzero(self.pool.white)]
        below = propose_underpaintings(self.search, whites, most_coats=self.wishes.most_coats)
        clear = [int(place) for place in self.clear]
        if not below or not clear:
            return
        most_films = self.wishes.most_films - 1
        found = glaze_over(self.search, below, clear, GLAZE_BOUNDS, most_films=most_films, keep=KEPT // 2)
        self.tried += len(below) * len(clear)
        candidates = []
        for one in found:
            members, film_of = one.members, one.film_of
            passes = sum(one.coats[i] for i in range(len(members)) if film_of[i] == 0) + film_of[-1]
            rough = one.difference + self.pool.price(members, one.coats, passes - 1)
            candidates.append(Candidate(Route.UNDERPAINT, members, film_of, one.coats, one.difference, rough))
        self.pool.add(Route.UNDERPAINT, candidates)

    def _fours(self) -> Generator[Answer, None, str]:
        """Mixtures of four tubes; says at the end which were looked at."""
        if Route.COVER not in self.wishes.routes or self.wishes.most_tubes < 4:
            return "everything that was asked for"
        if self.pool.room(Route.COVER, 4) <= NO_GAIN:
            return "all mixtures; no mixture of four tubes can enter the list"
        number, few = comb(len(self.every), 4), min(3, self.wishes.count)
        self._try(Route.COVER, self._grown(Route.COVER, self.every, 3), (0, 0, 0, 0))
        likeliest = f"the likeliest of {number} mixtures of four tubes"
        if self.wishes.fours == "likely" or (self.wishes.fours == "fit" and number > MOST_FOURS):
            return likeliest
        yield self._answer(likeliest, 0.45, few)
        looked, solved = 0, 0
        for block in groups_in_blocks(self.every, 4, FOURS_AT_ONCE):
            within = self.pool.room(Route.COVER, 4)
            if within <= NO_GAIN:
                return (
                    f"all {number} mixtures of four tubes; after {looked} of them no other can enter the list"
                )
            standing = block[may_reach(self.search, block, within, most_coats=self.most_coats)]
            self._try(Route.COVER, standing, (0, 0, 0, 0), within=within)
            looked, solved = looked + len(block), solved + len(standing)
            if looked < number:
                said = f"{looked} of {number} mixtures of four tubes"
                yield self._answer(said, 0.45 + 0.54 * looked / number, few)
        return f"all {number} mixtures of four tubes, {number - solved} of them ruled out unsolved"

    def _look_for_helps(self) -> None:
        """Tubes that would help where the shelf misses."""
        for route in (Route.COVER, Route.GLAZE):
            miss = self.pool.nearest(route)
            if not NOTICED < miss < np.inf:
                continue
            best = [one.members for one in sorted(self.pool.kept[route], key=lambda one: one.difference)]
            pair = (0, 0) if route is Route.COVER else (0, 1)
            self.pool.helps[route] = find_helps(
                self.search, self.others, miss, best, self._bounds(route), film_of_pair=pair
            )

    def _grow_glazes(self) -> None:
        """Every order of the best layerings, and a second tube in one film of the best pairs."""
        if Route.GLAZE not in self.wishes.routes or self.most_films < 2:
            return
        for film_of in ((0, 1), (0, 1, 2)):
            best = self.pool.best(Route.GLAZE, film_of, SEEDS)
            orders = {order for members in best for order in permutations(members)} - set(best)
            self._try(Route.GLAZE, _rows(orders, len(film_of)), film_of)
        pairs = self.pool.best(Route.GLAZE, (0, 1), SEEDS // 3)
        below = {(a, c, b) for a, b in pairs for c in self.clear if c not in (a, b)}
        above = {(a, b, c) for a, b in pairs for c in self.clear if c not in (a, b)}
        self._try(Route.GLAZE, _rows(below, 3), (0, 0, 1))
        self._try(Route.GLAZE, _rows(above, 3), (0, 1, 1))

    # Combinations

    def _groups(self, route: Route, tubes: Whole, number: int, most: int = MOST_GROUPS) -> Whole:
        """All groups of a number of tubes; where they are too many, those that add a tube to the best."""
        if number > 1 and comb(len(tubes), number) > most:
            return self._grown(route, tubes, number - 1)
        return every_group(tubes, number)

    def _grown(self, route: Route, tubes: Whole, size: int) -> Whole:
        """The best combinations of a size with each other tube added."""
        best = [one.members for one in self.pool.kept[route] if len(one.members) == size][:SEEDS]
        grown = {tuple(sorted((*one, int(tube)))) for one in best for tube in tubes if tube not in one}
        return _rows(grown, size + 1)

    def _bounds(self, route: Route) -> Bounds:
        if route is Route.COVER:
            return Bounds(HIDING_AIM, 1.0, self.most_coats)
        return GLAZE_BOUNDS if route is Route.GLAZE else VEIL_BOUNDS

    def _try(self, route: Route, members: Whole, film_of: tuple[int, ...], *, within: float = np.inf) -> None:
        """Solve combinations and keep the most promising; what misses by more than ``within`` is not wanted."""
        if len(members) == 0:
            return
        bounds = self._bounds(route)
        solved = self.search.solve(
            members, film_of, bounds, worth=WORTH + min(self.pool.nearest(route), within)
        )
        self.tried += len(members)
        near = np.argsort(solved.difference)[:KEPT]
        solved = solved.take(near[solved.difference[near] < within + WORTH])
        if len(solved.members) == 0:
            return
        again = self.search.solve(solved.members, film_of, bounds, tries=3)
        self.pool.keep(route, self.search.refine(solved.nearer(again), bounds))


def _rows(groups: object, number: int) -> Whole:
    return np.array(sorted(groups), dtype=np.int64).reshape(-1, number)  # type: ignore[call-overload]
