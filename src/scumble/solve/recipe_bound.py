"""Which opaque mixtures cannot come near a colour, told without solving them.

A thick film of a mixture reflects, in every band, between what the thick films of its tubes reflect: it depends on
the ratio of absorption to scattering alone, and that ratio lies between theirs. A film that only just hides, with a
contrast ratio of 0.98 in Y, may depart from it, but in Y by no more than the ratio lets through. So ``v . XYZ`` of
every mixture of a set of tubes lies below a sum over the bands for each direction ``v``. Where even that sum does not
reach into the colours within a given difference of the wanted one, no proportions and no thickness will.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from scumble.colour import delta_e_2000, lab_to_xyz, white_point, xyz_to_lab_jacobian
from scumble.optics.film import film_response
from scumble.solve.recipe_search import Search

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]

THICK = 60.0
"""Scattering depth of a film that stands for one without end."""

THROUGH = 0.026
"""Share of Y that may come from below: a contrast ratio of 0.9745, the least that is kept."""

DIRECTIONS = 162
"""Directions tried round the wanted colour."""

ROUND = 1200
"""Colours that stand for the edge of those within a difference."""

REACH = 1.02
"""How much wider that edge is drawn, for what lies between its points."""

PIECE = 40_000
"""Combinations judged at once."""


def may_reach(search: Search, members: Whole, within: float) -> NDArray[np.bool_]:
    """Whether opaque mixtures could come within a difference of the wanted colour.

    Parameters
    ----------
    search : Search
        The tubes, the ground and the wanted colour; it is judged under the first light.
    members : int array, shape (combinations, tubes)
        Places on the shelf.
    within : float [dE00]
        Root mean square over the lights asked for.

    Returns
    -------
    array of bool, shape (combinations,)
        ``False`` is certain, ``True`` is not.
    """
    if within <= 0.0:
        return np.zeros(len(members), dtype=np.bool_)
    # Of several lights the first alone may differ by as much as all of them together.
    lights = len(search.target.lights)
    aims, least = _edge(search, within * np.sqrt(lights))
    weights = search.view[0][0] / 100.0
    up, down = np.clip(aims @ weights.T, 0.0, None), np.clip(aims @ weights.T, None, 0.0)
    spare = _spare(search, np.abs(aims @ weights.T)) + aims @ weights.sum(axis=0) * search.view[4]
    shown = thick_films(search)
    could = np.empty(len(members), dtype=np.bool_)
    for first in range(0, len(members), PIECE):
        part = shown[members[first : first + PIECE]]
        high = part.max(axis=1) @ up.T + part.min(axis=1) @ down.T + spare
        could[first : first + PIECE] = (high >= least).all(axis=1)
    return could


def thick_films(search: Search) -> Floats:
    """What each tube shows as a film so thick that nothing below it shows, shape (tubes, 36) [1]."""
    scale = THICK / np.maximum(search.scattering, 1e-6)
    seen = film_response(search.absorption * scale, search.scattering * scale, index=search.index).over(0.0)
    return np.asarray(seen)


def _edge(search: Search, within: float) -> tuple[Floats, Floats]:
    """Directions in XYZ/100, and the least of each that a colour within the difference can have."""
    target, light = search.target.lab, search.target.lights[0]
    white = white_point(light, search.target.observer)
    rays = _sphere(ROUND)
    low, high = np.zeros(ROUND), np.full(ROUND, 4.0 * within + 1.0)
    for _ in range(12):
        inside = delta_e_2000(np.broadcast_to(target, rays.shape), target + rays * high[:, None]) < within
        high = np.where(inside, 2.0 * high, high)
    for _ in range(30):
        middle = (low + high) / 2.0
        inside = delta_e_2000(np.broadcast_to(target, rays.shape), target + rays * middle[:, None]) < within
        low, high = np.where(inside, middle, low), np.where(inside, high, middle)
    lab = target + rays * (REACH * high[:, None])
    lab[:, 0] = np.clip(lab[:, 0], 0.0, None)
    edge = lab_to_xyz(lab, white) / 100.0
    slopes = xyz_to_lab_jacobian(lab_to_xyz(np.maximum(target, [1.0, -200.0, -200.0]), white), white)
    aims = _sphere(DIRECTIONS) @ slopes
    return aims, (aims @ edge.T).min(axis=1)


def _spare(search: Search, pulls: Floats) -> Floats:
    """The most that light from below can add along each direction, where Y may change by :data:`THROUGH`."""
    luminous = search.view[3][0]
    per_y = pulls / np.maximum(luminous, 1e-9)
    # The chart's white and the ground may differ; what is let through goes with the lighter of them.
    lighter = max(1.0, float(search.below.max()) / float(search.view[3][1]))
    spare = np.zeros(len(pulls))
    for row, order in enumerate(np.argsort(-per_y, axis=1)):
        left = THROUGH * lighter
        for band in order:
            taken = min(luminous[band] * lighter, left)
            spare[row] += taken * per_y[row, band]
            left -= taken
            if left <= 0.0:
                break
    return spare


def _sphere(count: int) -> Floats:
    """Directions spread evenly, by the golden angle."""
    place = np.arange(count) + 0.5
    height = 1.0 - 2.0 * place / count
    turn = np.pi * (1.0 + np.sqrt(5.0)) * place
    flat = np.sqrt(1.0 - height**2)
    return np.stack([height, flat * np.cos(turn), flat * np.sin(turn)], axis=-1)
