"""Combinations of tubes over one ground, solved in bulk on every core."""

from __future__ import annotations

import os
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from functools import cached_property
from itertools import product

import numpy as np
from numpy.typing import NDArray

from scumble.colour import delta_e_2000, spectral_weights, white_point, xyz_to_lab
from scumble.optics.face import SHARE_SCATTERED, Face
from scumble.optics.film import film_response, film_table
from scumble.optics.fresnel import mirror_reflectance
from scumble.optics.response import bare_face, take_off_face
from scumble.optics.stack import stack_response
from scumble.paint import Ground, Paint
from scumble.paint.covering import coats_to_hide
from scumble.solve.recipe.kernel import solve_many
from scumble.solve.recipe.target import Target
from scumble.solve.recipe.thick import start_thick, thick_table

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]

CHUNK = 256
"""Combinations a core takes at a time."""

CORRECTIONS = 4
"""Times that the wanted colour is moved by what the quick model of several films was wrong."""

FAINT = 3e-4
"""Depth of a film that shows nowhere [1]."""

LEAST_COATS = 1e-12
"""Amount that stands for none where a logarithm is taken [coat]."""

THIN_MAY_GAIN = 4.0
"""How much nearer a film that only just hides may come than an endless one, where more is not worth a search [dE00]."""

SPREAD = 2.2
"""Step of the starting points, in log amount."""


@dataclass(frozen=True, slots=True)
class Bounds:
    """What a film must keep to.

    Parameters
    ----------
    least_ratio, most_ratio : float [1]
        Contrast ratio of a single film.
    most_coats : float [coat]
        Thickest film.
    """

    least_ratio: float = 0.0
    most_ratio: float = 1.0
    most_coats: float = 8.0


@dataclass(frozen=True, slots=True)
class Solved:
    """Solved combinations.

    Parameters
    ----------
    members : int array, shape (combinations, paints)
        Places on the shelf.
    film_of : tuple of int
        Film that each of them lies in, lowest first.
    coats : array, shape (combinations, paints) [coat]
        Amount of each paint.
    difference : array, shape (combinations,) [dE00]
        Root mean square over the lights.
    """

    members: Whole
    film_of: tuple[int, ...]
    coats: Floats
    difference: Floats

    def take(self, places: NDArray[np.intp]) -> Solved:
        """The same for some of the combinations, in the order given."""
        return Solved(self.members[places], self.film_of, self.coats[places], self.difference[places])

    def nearer(self, other: Solved) -> Solved:
        """Of each combination the nearer of two answers."""
        better = other.difference < self.difference
        return Solved(
            self.members,
            self.film_of,
            np.where(better[:, None], other.coats, self.coats),
            np.where(better, other.difference, self.difference),
        )


class Search:
    """One wanted colour, one ground and the tubes at hand.

    Parameters
    ----------
    target : Target
        What is wanted.
    tubes : sequence of Paint
        Of one binder.
    ground : Ground
        What lies there already.
    face : Face
        State of the finished face.
    """

    def __init__(
        self, target: Target, tubes: Sequence[Paint], ground: Ground, face: Face = Face.GLOSS
    ) -> None:
        self.target = target
        self.tubes = tuple(tubes)
        self.ground = ground
        self.face = face
        self.index = self.tubes[0].binder.refractive_index
        self.absorption = np.array([paint.optics.absorption for paint in self.tubes])
        self.scattering = np.array([paint.optics.scattering for paint in self.tubes])
        self.below = np.array(ground.under_film(self.index))

    @cached_property
    def scene(self) -> tuple[Floats, Floats, Floats, Floats, Floats, Floats]:
        """What the kernel needs to know of paints and ground."""
        bare = bare_face(self.index)
        face = np.array([float(bare.inward) * float(bare.outward), float(bare.returned)])
        return (
            film_table(self.index),
            self.absorption,
            self.scattering,
            self.below,
            face,
            FAINT / self.strength,
        )

    @cached_property
    def view(self) -> tuple[Floats, Floats, Floats, tuple[Floats, float], float]:
        """What the kernel needs to know of lights and eyes."""
        lights, observer = self.target.lights, self.target.observer
        weights = np.ascontiguousarray([spectral_weights(light, observer) for light in lights])
        whites = np.array([white_point(light, observer) for light in lights])
        shares = np.full(len(lights), 1.0 / len(lights))
        luminous = np.ascontiguousarray(spectral_weights("D65", 2)[:, 1]) / 100.0
        chart = luminous, float(take_off_face(0.80, self.index))
        added = SHARE_SCATTERED[self.face] * float(mirror_reflectance(self.index))
        return weights, whites, shares, chart, added

    @cached_property
    def thick(self) -> Floats:
        """What endless films show, see :func:`scumble.solve.recipe.thick.thick_table`."""
        return thick_table(self.index)

    @cached_property
    def strength(self) -> Floats:
        """How much of each paint makes a difference, shape (tubes,) [1/coat]."""
        return np.asarray(self.absorption.max(axis=1) + 0.15 * self.scattering.mean(axis=1))

    def solve(
        self,
        members: Whole,
        film_of: tuple[int, ...],
        bounds: Bounds,
        *,
        tries: int = 1,
        worth: float = np.inf,
        starts: Floats | None = None,
        labs: Floats | None = None,
    ) -> Solved:
        """Amounts that come nearest the wanted colour, for every combination.

        Parameters
        ----------
        members : int array, shape (combinations, paints)
            Places on the shelf.
        film_of : tuple of int
            Film that each paint lies in, lowest first.
        bounds : Bounds
            What films must keep to.
        tries : int
            From how many starts to search; beyond 1 the search is also taken up again where it ended.
        worth : float [dE00]
            Beyond this the search ends on the smooth metric, which is quicker.
        starts : array, shape (combinations, starts, paints), optional
            Log coats to start from.
        labs : array, shape (combinations, lights, 3), optional
            Colour wanted of each, where it differs.
        """
        same = np.broadcast_to(self.target.labs, (len(members), *self.target.labs.shape))
        wanted = np.array(same if labs is None else labs)
        if starts is None and tries == 1 and bounds.least_ratio > 0.0:
            return self._solve_from_thick(members, film_of, bounds, worth, wanted)
        begin = self._starts(members, film_of, bounds) if starts is None else starts
        solved = self._descend(members, film_of, bounds, begin, wanted, tries, worth)
        if tries == 1:
            return solved
        # Where a film is as thick as it may be the search walks along a sharp bend; a fresh start takes it on. Where it
        # is thicker than hiding asks for, what shines through a thinner one may come nearer: that is a valley apart.
        ends = [solved.coats, *self._thinner(solved, bounds)]
        for end in ends:
            again = np.log(np.maximum(end, LEAST_COATS))[:, None, :]
            fresh = self.solve(members, film_of, bounds, worth=worth, starts=again, labs=labs)
            solved = solved.nearer(fresh)
        return solved

    def _descend(
        self,
        members: Whole,
        film_of: tuple[int, ...],
        bounds: Bounds,
        starts: Floats,
        wanted: Floats,
        tries: int,
        worth: float,
    ) -> Solved:
        """Search from the most promising starts, on every core."""
        begin = np.log(np.exp(starts) + (FAINT / self.strength)[members][:, None, :])
        amounts, squared = np.empty((len(members), len(film_of))), np.empty(len(members))
        rules = bounds.least_ratio, bounds.most_ratio, float(np.log(bounds.most_coats))
        films, rounds = np.array(film_of, dtype=np.int64), min(tries, begin.shape[1])
        _ = self.scene, self.view

        def work(part: slice) -> None:
            given = members[part], films, begin[part], wanted[part], rounds, float(worth)
            solve_many(self.scene, self.view, rules, *given, amounts[part], squared[part])

        on_every_core(work, len(members))
        return Solved(members, film_of, amounts, np.sqrt(squared))

    def _solve_from_thick(
        self, members: Whole, film_of: tuple[int, ...], bounds: Bounds, worth: float, wanted: Floats
    ) -> Solved:
        """Opaque mixtures: proportions of an endless film first; what is near is searched to the end from there."""
        starts = self._starts(members, film_of, bounds)
        amounts, squared = np.empty((len(members), len(film_of))), np.empty(len(members))
        table, view = self.thick, self.view

        def work(part: slice) -> None:
            given = members[part], starts[part], wanted[part]
            start_thick(table, self.absorption, self.scattering, view, *given, amounts[part], squared[part])

        on_every_core(work, len(members))
        amounts += np.log(0.5 * bounds.most_coats) - np.log(np.exp(amounts).sum(axis=1, keepdims=True))
        quick = Solved(members, film_of, np.exp(amounts), np.sqrt(squared))
        near = np.flatnonzero(quick.difference < worth + THIN_MAY_GAIN)
        found = self._descend(members[near], film_of, bounds, amounts[near][:, None], wanted[near], 1, worth)
        # Where an endless film is near and a film of these coats is not, the way between them leads over a ridge.
        astray = np.flatnonzero((found.difference > worth) & (quick.difference[near] <= worth))
        if len(astray):
            there = near[astray]
            again = self._descend(members[there], film_of, bounds, starts[there], wanted[there], 1, worth)
            better = found.take(astray).nearer(again)
            found.coats[astray], found.difference[astray] = better.coats, better.difference
        quick.coats[near], quick.difference[near] = found.coats, found.difference
        return quick

    def _thinner(self, solved: Solved, bounds: Bounds) -> list[Floats]:
        """The same mixtures as thin as still hides, and twice that; none where nothing must hide."""
        if bounds.least_ratio <= 0.0 or len(solved.members) == 0:
            return []
        least = coats_to_hide(*self.depths(solved)[0], index=self.index)
        thin = np.where(np.isfinite(least), np.maximum(least, 1e-3), 1.0)[:, None] * solved.coats
        return [1.02 * thin, 2.0 * thin]

    def _starts(self, members: Whole, film_of: tuple[int, ...], bounds: Bounds) -> Floats:
        """Log coats to start from, equal strengths and strengths apart, shape (combinations, starts, paints)."""
        k = len(film_of)
        weak = -np.log(self.strength[members])
        if bounds.least_ratio > 0.0:
            shares = weak[:, None, :] + _ladder(k)
            total = np.log(np.sum(np.exp(shares), axis=-1, keepdims=True))
            return np.ascontiguousarray(shares - total + np.log(0.5 * bounds.most_coats))
        levels = (-2.5, -0.5, 1.2) if k < 3 else (-2.0, 0.3)
        grid = np.array(list(product(levels, repeat=k)))
        return np.ascontiguousarray(weak[:, None, :] + grid)

    def predict_labs(self, films: Sequence[tuple[Floats, Floats]]) -> Floats:
        """CIELAB under each light of stacks of films by the full engine.

        Parameters
        ----------
        films : sequence of (absorption, scattering), each of shape (..., 36)
            Depths of each film, lowest first.

        Returns
        -------
        array, shape (..., lights, 3)
        """
        absorption = np.stack([a for a, _ in films[::-1]], axis=-2)
        scattering = np.stack([s for _, s in films[::-1]], axis=-2)
        if len(films) == 1:
            response = film_response(absorption[..., 0, :], scattering[..., 0, :], index=self.index)
        else:
            response = stack_response(absorption, scattering, index=self.index)
        seen = response.over(self.below)
        weights, whites, _, _, added = self.view
        xyz = np.einsum("...b,lbc->...lc", seen + added, weights)
        return xyz_to_lab(xyz, whites)

    def depths(self, solved: Solved) -> list[tuple[Floats, Floats]]:
        """Absorption and scattering depth of each film, lowest first."""
        films = []
        for film in range(max(solved.film_of) + 1):
            own = [i for i, place in enumerate(solved.film_of) if place == film]
            coats, paints = solved.coats[:, own], solved.members[:, own]
            films.append(
                (
                    np.einsum("ck,ckb->cb", coats, self.absorption[paints]),
                    np.einsum("ck,ckb->cb", coats, self.scattering[paints]),
                )
            )
        return films

    def differences(self, labs: Floats) -> Floats:
        """Root mean square over the lights of dE00 to the target, of colours of shape (..., lights, 3)."""
        each = delta_e_2000(np.broadcast_to(self.target.labs, labs.shape), labs)
        return np.asarray(np.sqrt(np.mean(each**2, axis=-1)))

    def refine(self, solved: Solved, bounds: Bounds) -> Solved:
        """Correct layerings of several films by the full engine.

        The quick model takes each film for a diffuse ground of the next. What it is wrong by hardly changes from
        one film thickness to a near one, so the wanted colour is moved by it and the search repeated.
        """
        if max(solved.film_of) == 0 or len(solved.members) == 0:
            return solved
        best, quick = solved, solved
        best_labs = self.predict_labs(self.depths(solved))
        best = Solved(solved.members, solved.film_of, solved.coats, self.differences(best_labs))
        labs = best_labs
        for _ in range(CORRECTIONS):
            moved = self.target.labs + (self.quick_labs(quick) - labs)
            start = np.log(np.maximum(quick.coats, LEAST_COATS))[:, None, :]
            quick = self.solve(quick.members, quick.film_of, bounds, starts=start, labs=moved)
            labs = self.predict_labs(self.depths(quick))
            found = self.differences(labs)
            best = best.nearer(Solved(quick.members, quick.film_of, quick.coats, found))
        return best

    def quick_labs(self, solved: Solved) -> Floats:
        """CIELAB as the kernel sees layerings: each film a diffuse ground of the next."""
        below = self.below
        for absorption, scattering in self.depths(solved):
            seen = film_response(absorption, scattering, index=self.index).over(below)
            below = take_off_face(seen, self.index)
        weights, whites, _, _, added = self.view
        return xyz_to_lab(np.einsum("...b,lbc->...lc", seen + added, weights), whites)


def on_every_core(work: Callable[[slice], None], count: int) -> None:
    """Do work on so many rows, some at a time; what is interrupted leaves the rest undone."""
    parts = [slice(first, first + CHUNK) for first in range(0, count, CHUNK)]
    if len(parts) <= 1:
        for part in parts:
            work(part)
        return
    cores = ThreadPoolExecutor(os.cpu_count())
    try:
        list(cores.map(work, parts))
    finally:
        cores.shutdown(cancel_futures=True)


def _ladder(k: int) -> Floats:
    """Log strengths to start a mixture from: all equal, and each in turn much weaker or stronger."""
    rows = [np.zeros(k)]
    for i in range(k if k > 1 else 0):
        for away in (-SPREAD, SPREAD) if k > 2 else (-2 * SPREAD, -SPREAD, SPREAD, 2 * SPREAD)[i::2]:
            row = np.zeros(k)
            row[i] = away
            rows.append(row)
    return np.array(rows)
