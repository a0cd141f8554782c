"""Layers that come near the colours of a picture's areas, in parts a hand can measure: what a plan chooses from.

Opaque mixtures, glazes over the ground and veils are solved for all areas at once as recipes are; glazes over an
underpainting by :mod:`scumble.solve.recipe.underpaint`. The best of each area are corrected by the full engine, film
over film, and rounded to parts.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cached_property
from itertools import combinations, permutations

import numpy as np
from numpy.typing import NDArray

from scumble.optics.film import film_response
from scumble.optics.response import take_off_face
from scumble.paint.covering import coats_to_hide
from scumble.solve.plan.layers import Layer, Mixture, Role, Stack, depth_of, predict_stacks
from scumble.solve.plan.nearest import CLEAR, HIDING_AIM, Glazed, Nearest, groups_of
from scumble.solve.plan.wanted import LaidIn, Wanted, lie_over, mixture_of
from scumble.solve.recipe.answer import Route
from scumble.solve.recipe.search import Bounds, Search
from scumble.solve.recipe.sketch import FARTHEST, Rough, sketch_misses
from scumble.solve.recipe.underpaint import WHITE_PARTS, Underpainting

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]

TRIPLES = 40
"""Opaque triples solved for each area, the likeliest by the sketch."""

PAIRED = 4
"""Lay-ins of each area over which pairs of glazes are looked at."""

LIKELY = 16
"""Glazes over lay-ins that are solved for each area, the likeliest by the sketch."""

GREY_PARTS = ((1.0, 0.0), (4.0, 1.0), (2.0, 1.0), (1.0, 1.0), (1.0, 2.0), (1.0, 4.0), (1.0, 8.0),
              (0.5, 10.0), (0.3, 12.0), (0.15, 12.0), (0.05, 12.0), (0.0, 1.0))  # fmt: skip
"""Parts of a dark and of white that a grisaille is mixed in, from the dark to the white."""

GREYEST = 3
"""Darks that a grisaille is tried with, those whose steps are the least coloured."""

LIGHTER_BY = 2.0
"""L* by which an area must be lighter than its ground for a scumble."""


class Palette(Wanted):
    """Stacks of films that come near the wanted colours of a picture, worked out as they are asked for."""

    @cached_property
    def _glazed(self) -> dict[Stack, tuple[Stack, ...]]:
        return {}

    # Covered, glazed on the ground, scumbled

    @cached_property
    def covers(self) -> tuple[Stack, ...]:
        """Opaque mixtures near each area's colour."""
        found = Nearest(self, Route.COVER, Bounds(HIDING_AIM, 1.0, self.wishes.most_coats))
        every = np.arange(len(self.search.tubes))
        for number in range(1, self.wishes.most_tubes + 1):
            members = groups_of(combinations(every.tolist(), number), number)
            if number == 3 and len(members) > TRIPLES:
                rough = sketch_misses(self.search, members, self.labs, coats=self.wishes.most_coats)
                best = np.argsort(rough, axis=0, kind="stable")[:TRIPLES]
                found.try_some(members[best.T], (0,) * number)
            else:
                found.try_all(members, (0,) * number)
        return found.round(Role.COVER)

    @cached_property
    def glazes(self) -> tuple[Stack, ...]:
        """Clear films straight on what lies under everything."""
        found = Nearest(self, Route.GLAZE, CLEAR)
        found.try_all(groups_of(combinations(self.clear, 1), 1), (0,))
        found.try_all(groups_of(combinations(self.clear, 2), 2), (0, 0))
        if self.wishes.most_glazes > 1:
            found.try_all(groups_of(permutations(self.clear, 2), 2), (0, 1))
            thirds = ((0, 0, 1), (0, 1, 1), *(((0, 1, 2),) if self.wishes.most_glazes > 2 else ()))
            found.grow(self.clear, film_ofs=thirds)
        return found.round(Role.GLAZE)

    @cached_property
    def veils(self) -> tuple[Stack, ...]:
        """Thin, half-covering films on a ground that is darker than the area."""
        bare = predict_stacks(self.base, [self.below])[0]
        lighter = self.labs[:, 0] > bare[0] + LIGHTER_BY
        found = Nearest(self, Route.SCUMBLE, CLEAR, areas=np.flatnonzero(lighter))
        every = range(len(self.search.tubes))
        for number in (1, 2):
            members = groups_of(combinations(every, number), number)
            found.try_all(members[self.covering[members].any(axis=1)], (0,) * number)
        return found.round(Role.SCUMBLE)

    # Over an underpainting

    @cached_property
    def greys(self) -> tuple[tuple[LaidIn, ...], ...]:
        """Steps from dark to white, one run for each of the darks whose steps are the least coloured."""
        if not self.whites:
            return ()
        white = min(self.whites, key=lambda place: self._hiding[place])
        runs = []
        for dark in range(len(self.search.tubes)):
            if dark not in self.whites:
                parts = [{dark: own, white: pale} for own, pale in GREY_PARTS]
                runs.append(self.lay_in([mixture_of(each) for each in parts]))
        long = [run for run in runs if len(run) > len(GREY_PARTS) // 2]
        return tuple(sorted(long, key=self._greyness)[:GREYEST])

    def _greyness(self, run: Sequence[LaidIn]) -> float:
        """Mean chroma of a run of steps, and how far short of black it begins."""
        labs = _labs_of([each.painting.shown for each in run], self.search)
        return float(np.hypot(labs[:, 1], labs[:, 2]).mean() + 0.4 * labs[:, 0].min())

    @cached_property
    def bodies(self) -> tuple[LaidIn, ...]:
        """Every tube that hides, as it is and with white, to glaze over."""
        mixtures = [mixture_of({tube: 1.0}) for tube in range(len(self.search.tubes))]
        if self.whites:
            white = min(self.whites, key=lambda place: self._hiding[place])
            mixtures += [
                mixture_of({white: parts, tube: 1.0})
                for tube in range(len(self.search.tubes))
                if tube not in self.whites
                for parts in WHITE_PARTS[1:]
            ]
        return self.lay_in(mixtures)

    @cached_property
    def _hiding(self) -> Floats:
        return coats_to_hide(self.search.absorption, self.search.scattering, index=self.search.index)

    def lay_in(self, mixtures: Sequence[Mixture]) -> tuple[LaidIn, ...]:
        """Those mixtures that hide within the coats allowed, in as few whole coats as they take."""
        one = [depth_of(self.search, Layer(each, 1.0, Role.UNDERPAINTING)) for each in mixtures]
        absorption, scattering = np.array([a for a, _ in one]), np.array([s for _, s in one])
        coats = np.ceil(coats_to_hide(absorption, scattering, index=self.search.index) - 0.02)
        fine = np.flatnonzero(coats <= self.wishes.most_coats)
        thick = coats[fine, None]
        film = film_response(absorption[fine] * thick, scattering[fine] * thick, index=self.search.index)
        shown = take_off_face(film.over(self.search.below), self.search.index)
        return tuple(_laid_in(mixtures[int(at)], float(coats[at]), shown[row]) for row, at in enumerate(fine))

    def glaze_over(self, laid: tuple[LaidIn, ...]) -> tuple[Stack, ...]:
        """Glazes over the likeliest of some lay-ins for each area, rounded to parts; remembered."""
        key = tuple(each.layer for each in laid)
        if key not in self._glazed:
            self._glazed[key] = self._glaze_over(laid)
        return self._glazed[key]

    def _glaze_over(self, laid: Sequence[LaidIn]) -> tuple[Stack, ...]:
        if not laid or not self.clear:
            return ()
        singles = groups_of(combinations(self.clear, 1), 1)
        groups, rough = [singles], [self.sketch_glazes(laid, singles)]
        if self.wishes.most_glazes > 1 and len(self.clear) > 1:
            # Pairs of glazes are only looked at over the lay-ins that single ones make the most of.
            pairs = groups_of(combinations(self.clear, 2), 2)
            nearest = np.argsort(rough[0].min(axis=1), axis=0, kind="stable")[:PAIRED]
            over = np.full((len(laid), len(pairs), len(self.labs)), FARTHEST, dtype=np.float32)
            for row in np.unique(nearest):
                over[row] = self.sketch_glazes([laid[int(row)]], pairs)[0]
            groups.append(pairs)
            rough.append(over)
        near = np.concatenate(rough, axis=1)
        likely = np.argsort(near.reshape(-1, len(self.labs)), axis=0, kind="stable")[:LIKELY]
        rows = [np.unravel_index(likely[:, area], near.shape[:2]) for area in range(len(self.labs))]
        solved = Glazed(self, laid)
        for group, first in zip(groups, (0, len(groups[0])), strict=False):
            for area, (painting, place) in enumerate(rows):
                own = (place >= first) & (place < first + len(group))
                for order in permutations(range(group.shape[1])):
                    solved.add(area, painting[own], group[place[own] - first][:, order])
        return solved.round()

    def sketch_glazes(self, laid: Sequence[LaidIn], group: Whole) -> Rough:
        """How near clear films over each lay-in come, roughly, shape (lay-ins, groups, areas) [dE00]."""
        dearer = self.wishes.recipe.per_pass * (group.shape[1] - 1)
        return np.array(
            [
                sketch_misses(lie_over(self.search, each.painting.shown), group, self.labs, coats=0.0)
                + dearer
                for each in laid
            ]
        )

    def greyest(self) -> tuple[LaidIn, ...]:
        """The run of greys over which single glazes come nearest the whole picture; empty where there is none."""
        if not self.clear:
            return max(self.greys, key=len, default=())
        singles = groups_of(combinations(self.clear, 1), 1)
        return min(
            self.greys,
            key=lambda run: float(self.sketch_glazes(run, singles).min(axis=(0, 1)).mean()),
            default=(),
        )


def _labs_of(shown: Sequence[Floats], search: Search) -> Floats:
    """CIELAB of bodies seen from inside the binder, under a face."""
    from scumble.colour import xyz_to_lab
    from scumble.optics.response import bare_face

    weights, whites, *_ = search.view
    seen = bare_face(search.index).over(np.array(shown))
    return xyz_to_lab(seen @ weights[0], whites[0])


def _laid_in(mixture: Mixture, coats: float, shown: Floats) -> LaidIn:
    whole = sum(part for _, part in mixture.parts)
    members = tuple(place for place, _ in mixture.parts)
    own = tuple(coats * part / whole for _, part in mixture.parts)
    return LaidIn(Layer(mixture, coats, Role.UNDERPAINTING), Underpainting(members, own, shown))
