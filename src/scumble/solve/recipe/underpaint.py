"""A better underpainting for a glaze: what to lay first, opaque, so that one clear film over it reaches a colour.

Underpaintings are measurable from the start: a covering tube as it is, or with a white in a few proportions, in as
many whole coats as hide the ground. Every clear tube is tried over every one of them, pairs of clear films over the
best. A glaze is found by the quick model and corrected by the full engine, as all layerings are.
"""

from __future__ import annotations

from collections.abc import Sequence
from copy import copy
from dataclasses import dataclass
from itertools import permutations

import numpy as np
from numpy.typing import NDArray

from scumble.optics.film import film_response
from scumble.optics.response import take_off_face
from scumble.paint.covering import coats_to_hide
from scumble.solve.recipe.search import LEAST_COATS, Bounds, Search, Solved

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]

WHITE_PARTS = (0.0, 1.0, 3.0, 8.0, 20.0)
"""Parts of white to one of a tube that are tried below a glaze."""

BEST = 10
"""Underpaintings over which pairs of glazes are tried too."""

ROUNDS = 3
"""Corrections by the full engine."""


@dataclass(frozen=True, slots=True)
class Underpainting:
    """One opaque film to glaze over.

    Parameters
    ----------
    members : tuple of int
        Places on the shelf.
    coats : tuple of float [coat]
        Of each, together a whole number of coats.
    shown : array, shape (36,) [1]
        Its reflectance as the next film lies on it.
    """

    members: tuple[int, ...]
    coats: tuple[float, ...]
    shown: Floats


@dataclass(frozen=True, slots=True)
class Glazed:
    """A glaze over an underpainting, solved.

    Parameters
    ----------
    members, film_of : tuple of int
        Underpainting first.
    coats : tuple of float [coat]
        Of each.
    difference : float [dE00]
        By the full engine.
    """

    members: tuple[int, ...]
    film_of: tuple[int, ...]
    coats: tuple[float, ...]
    difference: float


def propose_underpaintings(
    search: Search, whites: Sequence[int], *, most_coats: float
) -> tuple[Underpainting, ...]:
    """Opaque films that hide the ground within the coats allowed.

    Parameters
    ----------
    search : Search
        The tubes and the ground.
    whites : sequence of int
        Places of the whites; the one that hides best is stirred in.
    most_coats : float [coat]
        That they may take.
    """
    mixtures: list[tuple[tuple[int, ...], tuple[float, ...]]] = [
        ((tube,), (1.0,)) for tube in range(len(search.tubes))
    ]
    hiding = coats_to_hide(search.absorption, search.scattering, index=search.index)
    if len(whites):
        white = min(whites, key=lambda place: float(hiding[place]))
        mixtures += [
            ((white, tube), (parts / (1.0 + parts), 1.0 / (1.0 + parts)))
            for tube in range(len(search.tubes))
            if tube not in whites
            for parts in WHITE_PARTS[1:]
        ]
    own = np.zeros((len(mixtures), len(search.tubes)))
    for row, (members, shares) in enumerate(mixtures):
        own[row, list(members)] = shares
    absorption, scattering = own @ search.absorption, own @ search.scattering
    coats = np.ceil(coats_to_hide(absorption, scattering, index=search.index) - 0.02)
    fine = coats <= most_coats
    thick = np.where(fine, coats, 1.0)[:, None]
    seen = film_response(absorption * thick, scattering * thick, index=search.index).over(search.below)
    below = take_off_face(seen, search.index)
    return tuple(
        Underpainting(members, tuple(float(coats[row]) * share for share in shares), below[row])
        for row, (members, shares) in enumerate(mixtures)
        if fine[row]
    )


def glaze_over(
    search: Search,
    paintings: Sequence[Underpainting],
    clear: Sequence[int],
    bounds: Bounds,
    *,
    most_films: int,
    keep: int,
) -> list[Glazed]:
    """The best glazes over each underpainting.

    Parameters
    ----------
    search : Search
        The tubes and the wanted colour.
    paintings : sequence of Underpainting
        What may lie below.
    clear : sequence of int
        Places of the tubes that make a glaze.
    bounds : Bounds
        What a glaze keeps to.
    most_films : int
        Glazes one over the other.
    keep : int
        How many to give back, nearest first.
    """
    singles = np.array(clear, dtype=np.int64)[:, None]
    tried = [(each, _solve_over(search, each, singles, bounds)) for each in paintings]
    tried.sort(key=lambda one: float(one[1].difference.min(initial=np.inf)))
    if most_films > 1 and len(clear) > 1:
        pairs = np.array(list(permutations(clear, 2)), dtype=np.int64)
        tried += [(each, _solve_over(search, each, pairs, bounds)) for each, _ in tried[:BEST]]
    near = sorted(
        ((float(d), at, row) for at, (_, s) in enumerate(tried) for row, d in enumerate(s.difference)),
    )[:keep]
    found = [correct_glaze(search, tried[at][0], tried[at][1], row, bounds) for _, at, row in near]
    return sorted(found, key=lambda one: one.difference)


def _over(search: Search, painting: Underpainting) -> Search:
    """The same search over an underpainting in place of the ground."""
    other = copy(search)
    other.below = painting.shown
    # What was worked out for the old ground must not be remembered for the new one.
    table, absorption, scattering, _, face, faint = search.scene
    other.__dict__["scene"] = (table, absorption, scattering, painting.shown, face, faint)
    return other


def _solve_over(search: Search, painting: Underpainting, members: Whole, bounds: Bounds) -> Solved:
    return _over(search, painting).solve(members, tuple(range(members.shape[1])), bounds, worth=12.0)


def correct_glaze(
    search: Search, painting: Underpainting, solved: Solved, row: int, bounds: Bounds
) -> Glazed:
    """Take out what the quick model of several films was wrong by, for one row of what was solved."""
    quick, over = solved.take(np.array([row])), _over(search, painting)
    below = np.array(painting.coats)
    places = list(painting.members)
    first = (below @ search.absorption[places])[None], (below @ search.scattering[places])[None]
    best_coats, best = quick.coats[0], np.inf
    for _ in range(ROUNDS):
        labs = search.predict_labs([first, *search.depths(quick)])
        difference = float(search.differences(labs)[0])
        if difference < best:
            best_coats, best = quick.coats[0], difference
        moved = search.target.labs + (over.quick_labs(quick) - labs)
        start = np.log(np.maximum(quick.coats, LEAST_COATS))[:, None, :]
        quick = over.solve(quick.members, quick.film_of, bounds, starts=start, labs=moved)
    glazes = tuple(int(tube) for tube in quick.members[0])
    film_of = (0,) * len(places) + tuple(1 + film for film in quick.film_of)
    coats = (*painting.coats, *(float(each) for each in best_coats))
    return Glazed((*painting.members, *glazes), film_of, coats, best)
