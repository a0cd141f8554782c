"""Which tube that is not on the shelf would bring a colour within reach."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from scumble.paint import Paint
from scumble.solve.recipe.answer import Help
from scumble.solve.recipe.search import Bounds, Search

Whole = NDArray[np.int64]

BETTER = 0.25
"""Share of the miss that a tube must take away to be worth naming."""

MOST = 3
"""Tubes named."""

GROWN = 12
"""Best opaque mixtures of the shelf to which a new tube is added."""


def find_helps(
    search: Search,
    others: Sequence[Paint],
    miss: float,
    best: Sequence[tuple[int, ...]],
    bounds: Bounds,
    *,
    film_of_pair: tuple[int, int] = (0, 0),
) -> tuple[Help, ...]:
    """Tubes that would come nearer, each alone, with one tube of the shelf, or in one of its best mixtures.

    Parameters
    ----------
    search : Search
        The wanted colour, the ground and the shelf's tubes.
    others : sequence of Paint
        Tubes that are not on the shelf, of the same binder.
    miss : float [dE00]
        Of the shelf's nearest.
    best : sequence of tuple of int
        The shelf's best combinations in one film, places of their tubes.
    bounds : Bounds
        What the route keeps to.
    film_of_pair : (int, int)
        ``(0, 0)`` stirs the new tube into a tube of the shelf, ``(0, 1)`` lays one over the other.

    Returns
    -------
    tuple of Help
        The most helpful first, of each Colour Index name once.
    """
    if not others:
        return ()
    wider = Search(search.target, (*search.tubes, *others), search.ground, search.face)
    own, nearest = len(search.tubes), np.full(len(others), np.inf)
    layers: list[tuple[Whole, tuple[int, ...]]] = []
    new = np.arange(own, own + len(others))
    layers.append((new[:, None], (0,)))
    pairs = np.array([(old, tube) for tube in new for old in range(own)], dtype=np.int64)
    layers.append((pairs, film_of_pair))
    if film_of_pair == (0, 0):
        grown = [(*mixture, int(tube)) for tube in new for mixture in best[:GROWN] if 2 <= len(mixture) <= 3]
        for size in (3, 4):
            rows = [row for row in grown if len(row) == size]
            if rows:
                layers.append((np.array(rows, dtype=np.int64), (0,) * size))
    else:
        layers.append((pairs[:, ::-1].copy(), film_of_pair))
    for members, film_of in layers:
        solved = wider.refine(wider.solve(members, film_of, bounds, worth=miss), bounds)
        np.minimum.at(nearest, members.max(axis=1) - own, solved.difference)
    return _named(others, nearest, miss)


def _named(others: Sequence[Paint], nearest: NDArray[np.float64], miss: float) -> tuple[Help, ...]:
    named: dict[tuple[str, ...], Help] = {}
    for place in np.argsort(nearest, kind="stable"):
        if nearest[place] > (1.0 - BETTER) * miss:
            break
        paint = others[int(place)]
        named.setdefault(paint.pigments, Help(paint.key, paint.label, paint.pigments, float(nearest[place])))
    return tuple(named.values())[:MOST]


def not_on_shelf(shelf: Sequence[Paint], known: Sequence[Paint]) -> tuple[Paint, ...]:
    """Known kinds of tube of which the shelf has neither the pigments nor the name, in the shelf's binder's place."""
    held = {frozenset(paint.pigments) for paint in shelf}
    keys = {paint.key for paint in shelf}
    return tuple(paint for paint in known if frozenset(paint.pigments) not in held and paint.key not in keys)
