"""Stacks that arise when areas borrow each other's layers: what lets one mixture serve a whole picture."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import permutations

import numpy as np
from numpy.typing import NDArray

from scumble.colour import delta_e_2000, xyz_to_lab
from scumble.optics.film import film_response
from scumble.optics.response import Response, take_off_face
from scumble.solve.plan.layers import Layer, Role, Stack, depth_of
from scumble.solve.recipe.search import Search

Floats = NDArray[np.float64]

MOST_COATS = 3
"""Coats of a borrowed glaze that are tried."""

KEPT = 40
"""Borrowed stacks that are worked out exactly for each area, the nearest by the quick model."""


def share_layers(
    search: Search,
    labs: Floats,
    below: Stack,
    chosen: Sequence[Stack],
    best: Sequence[Stack],
    *,
    most_glazes: int,
) -> list[Stack]:
    """Every glaze over every lay-in of a picture, those near some area's colour.

    Parameters
    ----------
    search : Search
        Tubes, ground and face.
    labs : array, shape (areas, 3)
        Wanted, CIELAB.
    below : Stack
        What lies under everything.
    chosen, best : sequence of Stack
        Stacks chosen so far, whose glazes are also laid two by two, and others worth borrowing from.
    most_glazes : int
        Glazes one over the other.
    """
    own = list(dict.fromkeys([*chosen, *best]))
    lows = list(
        dict.fromkeys(tuple(each for each in stack if each.role is Role.UNDERPAINTING) for stack in own)
    )
    tops = _tops(own, chosen, most_glazes)
    if not tops:
        return []
    films = list(dict.fromkeys(layer for top in tops for layer in top))
    depths = [depth_of(search, layer) for layer in films]
    response = film_response(
        np.array([a for a, _ in depths]), np.array([s for _, s in depths]), index=search.index
    )
    place = {layer: at for at, layer in enumerate(films)}
    stacks, misses = [], []
    for low in lows:
        fine = [top for top in tops if not (low and top[0].role is Role.SCUMBLE)]
        shown = _lay(search, search.below, (*below, *low))
        seen = _quick_labs(search, shown, response, [[place[each] for each in top] for top in fine])
        misses.append(delta_e_2000(seen[:, None], np.broadcast_to(labs, (len(seen), *labs.shape))))
        stacks += [(*below, *low, *top) for top in fine]
    near = np.argsort(np.concatenate(misses), axis=0, kind="stable")[:KEPT]
    return [stacks[int(row)] for row in np.unique(near)]


def _tops(own: Sequence[Stack], chosen: Sequence[Stack], most_glazes: int) -> list[Stack]:
    """Glazes to lay: those of all stacks as they are, each film alone in some coats, and pairs of chosen ones."""
    over = [upper_layers(stack) for stack in own]
    tops = [films for films in over if films]
    for layer in dict.fromkeys(layer for films in over for layer in films):
        tops += [(replace(layer, coats=float(coats)),) for coats in range(1, MOST_COATS + 1)]
    if most_glazes > 1:
        ones = dict.fromkeys(layer for stack in chosen for layer in upper_layers(stack))
        clear = [layer for layer in ones if layer.role is Role.GLAZE]
        tops += list(permutations(clear, 2))
    return list(dict.fromkeys(tops))


def upper_layers(stack: Stack) -> Stack:
    """Glazes and scumbles of a stack."""
    return tuple(layer for layer in stack if layer.role in (Role.GLAZE, Role.SCUMBLE))


def _lay(search: Search, shown: Floats, layers: Iterable[Layer]) -> Floats:
    """What layers show to a film that lies on them, each taken for a diffuse ground of the next, shape (36,) [1]."""
    for layer in layers:
        film = film_response(*depth_of(search, layer), index=search.index)
        shown = take_off_face(film.over(shown), search.index)
    return shown


def _quick_labs(search: Search, shown: Floats, response: Response, tops: Sequence[Sequence[int]]) -> Floats:
    """Colours of films over one lay-in, each film taken for a diffuse ground of the next, shape (tops, 3)."""
    below = np.broadcast_to(shown, (len(tops), 36)).copy()
    seen = below.copy()
    sizes = np.array([len(top) for top in tops])
    for film in range(int(sizes.max())):
        rows = np.flatnonzero(sizes > film)
        own = np.array([tops[int(row)][film] for row in rows])
        laid = Response(
            response.reflected[own], response.inward[own], response.outward[own], response.returned[own]
        )
        seen[rows] = laid.over(below[rows])
        below[rows] = take_off_face(seen[rows], search.index)
    weights, whites, _, _, added = search.view
    return xyz_to_lab((seen + added) @ weights[0], whites[0])
