"""The nearest combinations of tubes for each area of a picture, while they are looked for, and rounded to parts."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from scumble.paint.covering import contrast_ratio
from scumble.solve.plan.layers import Role, Stack
from scumble.solve.plan.wanted import LaidIn, Wanted, lie_over
from scumble.solve.recipe.answer import Route
from scumble.solve.recipe.finish import Candidate
from scumble.solve.recipe.search import Bounds, Solved
from scumble.solve.recipe.underpaint import correct_glaze

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]

HIDING_AIM = 0.9805
"""A little above the contrast ratio of 0.98 at which a film counts as hiding, as in recipes."""

CLEAR = Bounds(most_ratio=0.90, most_coats=1.0)
"""What a glaze and a veil keep to, as in recipes."""

NEGLIGIBLE, NEGLIGIBLE_SHARE = 2e-3, 1e-3
"""Depth, and share of an opaque mixture's strength, below which a paint does nothing."""

WORTH = 12.0
"""Difference beyond which a combination is not searched to the end [dE00]."""

NEAR_ENOUGH = 0.5
"""Difference within which no third tube is looked for [dE00]."""

KEPT = 5
"""Combinations of each kind that are searched again for each area."""

ROUNDED = 3
"""Of those, how many are rounded to parts."""


class Nearest:
    """The nearest combinations of one kind for each area, while they are looked for."""

    def __init__(
        self, wanted: Wanted, route: Route, bounds: Bounds, *, areas: NDArray[np.intp] | None = None
    ) -> None:
        self.wanted = wanted
        self.route = route
        self.bounds = bounds
        self.areas = np.arange(len(wanted.labs)) if areas is None else areas
        self.kept: dict[int, list[Candidate]] = {int(area): [] for area in self.areas}

    def try_all(self, members: Whole, film_of: tuple[int, ...]) -> None:
        """Solve every combination for every area."""
        self.try_some(np.broadcast_to(members, (len(self.wanted.labs), *members.shape)), film_of)

    def try_some(self, members: Whole, film_of: tuple[int, ...]) -> None:
        """Solve combinations of shape (areas, combinations, paints), each for its area."""
        count = members.shape[1]
        if count == 0 or len(self.areas) == 0:
            return
        rows = np.ascontiguousarray(members[self.areas].reshape(-1, members.shape[2]))
        labs = np.repeat(self.wanted.labs[self.areas], count, axis=0)[:, None, :]
        solved = self.wanted.search.solve(rows, film_of, self.bounds, worth=WORTH, labs=labs)
        for number, area in enumerate(self.areas):
            own = slice(number * count, (number + 1) * count)
            near = np.argsort(solved.difference[own], kind="stable")[:KEPT] + own.start
            self._keep(int(area), solved.take(near))

    def grow(self, tubes: Sequence[int], *, film_ofs: Sequence[tuple[int, ...]]) -> None:
        """Put each other clear tube into the best pairs of films, where none comes near yet: below, between, above."""
        for area, kept in self.kept.items():
            if min((one.difference for one in kept), default=np.inf) <= NEAR_ENOUGH:
                continue
            pairs = [one.members for one in kept if one.film_of == (0, 1)]
            grown = {
                (*pair[:at], tube, *pair[at:])
                for pair in pairs
                for tube in tubes
                if tube not in pair
                for at in (0, 1, 2)
            }
            own = self.wanted.wanting(area)
            for film_of in film_ofs if grown else ():
                solved = own.solve(groups_of(grown, 3), film_of, self.bounds, worth=WORTH)
                near = np.argsort(solved.difference, kind="stable")[:KEPT]
                self._keep(area, solved.take(near))

    def _keep(self, area: int, solved: Solved) -> None:
        own = self.wanted.wanting(area)
        again = own.solve(solved.members, solved.film_of, self.bounds, tries=3)
        solved = own.refine(solved.nearer(again), self.bounds)
        effect = solved.coats * own.strength[solved.members]
        if self.route is Route.COVER:
            useful = (effect > NEGLIGIBLE_SHARE * effect.sum(axis=1, keepdims=True)).all(axis=1)
            useful &= contrast_ratio(*own.depths(solved)[0], 1.0, index=own.index) > HIDING_AIM - 0.006
        else:
            useful = (effect > NEGLIGIBLE).all(axis=1)
        wishes = self.wanted.wishes.recipe
        for row in np.flatnonzero(useful):
            members = tuple(solved.members[row].tolist())
            price = wishes.per_tube * (len(members) - 1) + wishes.per_pass * solved.film_of[-1]
            difference = float(solved.difference[row])
            coats = tuple(solved.coats[row].tolist())
            self.kept[area].append(
                Candidate(self.route, members, solved.film_of, coats, difference, difference + price)
            )

    def round(self, role: Role) -> tuple[Stack, ...]:
        """The best of each area in measurable parts, each stack once."""
        stacks: dict[Stack, None] = {}
        for area, kept in self.kept.items():
            own = self.wanted.wanting(area)
            for one in sorted(kept, key=lambda each: each.rough)[:ROUNDED]:
                for stack in self.wanted.round(own, one, role):
                    stacks[stack] = None
        return tuple(stacks)


class Glazed:
    """Glazes over lay-ins, gathered so that those over one lay-in are solved for all areas at once."""

    def __init__(self, wanted: Wanted, laid: Sequence[LaidIn]) -> None:
        self.wanted = wanted
        self.laid = laid
        self.asked: dict[tuple[int, int], list[tuple[int, Whole]]] = {}

    def add(self, area: int, paintings: NDArray[np.intp], members: Whole) -> None:
        """Films of an area, each over its lay-in."""
        for painting, own in zip(paintings.tolist(), members, strict=True):
            self.asked.setdefault((painting, len(own)), []).append((area, own))

    def round(self) -> tuple[Stack, ...]:
        """Solve all, and round the best of each area to parts."""
        wanted = self.wanted
        best: dict[int, list[tuple[float, int, Solved]]] = {}
        for (painting, number), asked in self.asked.items():
            over = lie_over(wanted.search, self.laid[painting].painting.shown)
            members = np.array([own for _, own in asked], dtype=np.int64)
            labs = wanted.labs[[area for area, _ in asked]][:, None, :]
            solved = over.solve(members, tuple(range(number)), CLEAR, worth=WORTH, labs=labs)
            dearer = wanted.wishes.recipe.per_pass * (number - 1)
            for row, (area, _) in enumerate(asked):
                rough = float(solved.difference[row]) + dearer
                best.setdefault(area, []).append((rough, painting, solved.take(np.array([row]))))
        stacks: dict[Stack, None] = {}
        for area, found in best.items():
            own = wanted.wanting(area)
            for _, painting, solved in sorted(found, key=lambda each: each[0])[:ROUNDED]:
                under = self.laid[painting]
                one = correct_glaze(own, under.painting, solved, 0, CLEAR)
                count = len(under.painting.members)
                candidate = Candidate(
                    Route.GLAZE,
                    one.members[count:],
                    tuple(film - 1 for film in one.film_of[count:]),
                    one.coats[count:],
                    one.difference,
                    one.difference,
                )
                for stack in wanted.round(own, candidate, Role.GLAZE, (under.layer,)):
                    stacks[stack] = None
        return tuple(stacks)


def groups_of(groups: object, number: int) -> Whole:
    """Combinations of so many tubes as rows, in the shelf's order."""
    return np.array(sorted(groups), dtype=np.int64).reshape(-1, number)  # type: ignore[call-overload]
