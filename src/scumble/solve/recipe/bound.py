"""Which opaque mixtures cannot come near a colour, told without solving them.

Take all mixtures of a few tubes, in any proportions and in any thickness that hides. In every band:

1. An endless film shows what the ratio of its absorption to its scattering makes of it, the less the larger the ratio.
   The ratio of a mixture is a mean of those of its tubes, weighted by their scattering; so it lies between them, and
   what the mixture shows lies between what its tubes show.
2. A film that only just hides shows more or less than an endless one by what comes from below, at most as far as the
   ground itself is. What comes from below the film is the less the deeper it absorbs and scatters. Hiding asks that
   over the chart's white no more than :data:`THROUGH` of the film's Y comes from below; even with as much absorption
   and scattering as any tube has that asks for some thickness, and at that thickness even with as little as any tube
   has no more than so much comes through.
3. The colours within a difference of the wanted one lie in an ellipsoid in XYZ, for several lights in all their XYZ
   together. Where a plane parts it from every spectrum that 1 and 2 leave, no proportions and no thickness reach.

Where no plane is found, the proportions are halved along the edge on which the mixtures differ most, and both halves
are asked anew with the mixture half way as a tube of its own, a few times (:data:`HALVINGS`). What still stands is
solved. The ellipsoid is drawn round points of its edge in :data:`RAYS` directions, and :data:`SPARE` larger. That a
film lies between ground and endless film is met to 0.007 only; 0.01 is allowed
(:data:`scumble.solve.recipe.bound_kernel.BEYOND`).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from scumble.colour import delta_e_2000, delta_e_2000_metric, lab_to_xyz, xyz_to_lab_jacobian
from scumble.optics.film import film_response
from scumble.optics.response import take_off_face
from scumble.solve.recipe.bound_kernel import may_reach_many
from scumble.solve.recipe.search import Search, on_every_core

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]

THROUGH = 1.0 / 0.9745 - 1.0
"""Y from below the film beside that of the film itself: a contrast ratio of 0.9745, the least that is kept."""

COATS_OVER = 1.05
"""How much thicker than asked a film may come out, since the search holds thickness by a price."""

HALVINGS = 4
"""Mixtures half way that are looked at before a combination is left standing."""

RAYS = 1200
"""Directions in which the edge of the colours within a difference is looked for."""

SPARE = 1.02
"""How much wider the edge is drawn, for what lies between the directions."""

SHELLS = (0.25, 0.5, 0.75, 1.0)
"""Parts of the difference at which the ellipsoid must hold what is within."""

FIRST_DEPTH, STEP_DEPTH, DEPTHS = 1e-4, 0.05, 322
"""Depths of the table of what shines through: none, then from the first on by a log step."""


@dataclass(frozen=True, slots=True)
class Aim:
    """Colours within a difference, as the bound sees them.

    Parameters
    ----------
    pulls : array, shape (3 lights, 36)
        Carry a spectrum to coordinates in which all those colours lie in the unit ball.
    start : array, shape (3 lights,)
        Where no light at all lies there.
    """

    pulls: Floats
    start: Floats


def may_reach(
    search: Search, members: Whole, within: float, *, most_coats: float = 4.0, halvings: int = HALVINGS
) -> NDArray[np.bool_]:
    """Whether opaque mixtures could come within a difference of the wanted colour.

    Parameters
    ----------
    search : Search
        The tubes, the ground and the wanted colour.
    members : int array, shape (combinations, tubes)
        Places on the shelf.
    within : float [dE00]
        Root mean square over the lights asked for.
    most_coats : float [coat]
        Thickest film.
    halvings : int
        Mixtures half way that are looked at; with more the bound is closer and takes longer.

    Returns
    -------
    array of bool, shape (combinations,)
        ``False`` is certain, ``True`` is not.
    """
    could = np.zeros(len(members), dtype=np.bool_)
    if within <= 0.0:
        return could
    aim = aim_at(search, within)
    table = veil_table(search.index, search.view[3][1])
    luminous = search.view[3][0]
    bare = np.asarray(film_response(0.0, 0.0, index=search.index).over(search.below))
    tubes = search.absorption, search.scattering, search.strength
    veil = table, float(np.log(FIRST_DEPTH)), STEP_DEPTH, THROUGH, _lift(search)
    eye = aim.pulls, aim.start, np.linalg.norm(aim.pulls, axis=0), luminous, bare
    members = np.ascontiguousarray(members, dtype=np.int64)
    thick = search.thick

    def work(part: slice) -> None:
        may_reach_many(tubes, thick, veil, eye, COATS_OVER * most_coats, members[part], halvings, could[part])

    on_every_core(work, len(members))
    return could


@lru_cache(maxsize=8)
def veil_table(index: float, white: float) -> Floats:
    """What comes from below a film over white, by its absorption and its scattering, shape (depths, depths) [1].

    It falls along both axes, which the bound rests on.
    """
    steps = np.exp(np.log(FIRST_DEPTH) + STEP_DEPTH * np.arange(DEPTHS))
    depths = np.concatenate([[0.0], steps])
    film = film_response(depths[:, None], depths[None, :], index=index)
    through = np.maximum(np.asarray(film.over(white)) - np.asarray(film.over(0.0)), 0.0)
    # Whatever is deeper than the table counts as the last row, which must not be more than it lets through.
    through[-1, :], through[:, -1] = 0.0, 0.0
    return through


def aim_at(search: Search, within: float) -> Aim:
    """The ellipsoid round the wanted colour under all its lights."""
    target, (weights, whites, _, _, added) = search.target, search.view
    lights = len(target.lights)
    pulls, start = [], []
    for lab, weight, white in zip(target.labs, weights / 100.0, whites, strict=True):
        turn = _ball(lab, white, within, np.sqrt(lights)) / np.sqrt(lights)
        pulls.append(turn @ weight.T)
        start.append(turn @ (weight.sum(axis=0) * added - lab_to_xyz(lab, white) / 100.0))
    return Aim(np.ascontiguousarray(np.concatenate(pulls)), np.concatenate(start))


def _ball(lab: Floats, white: Floats, within: float, over: float) -> Floats:
    """What turns XYZ/100 beside the wanted colour into differences of at most their dE00 over ``within``.

    That holds up to ``over`` times ``within``, as far as one of several lights may be off where the others are not.
    """
    rays = _sphere(RAYS)
    safe = np.maximum(lab, [1.0, -200.0, -200.0])
    slopes = 100.0 * xyz_to_lab_jacobian(lab_to_xyz(safe, white), white)
    turn = np.linalg.cholesky(delta_e_2000_metric(safe)).T @ slopes / within
    middle, longest = lab_to_xyz(lab, white), 0.0
    for shell in SHELLS:
        edge = lab + rays * (SPARE * _radii(lab, rays, shell * over * within)[:, None])
        away = (lab_to_xyz(edge, white) - middle) / 100.0 @ turn.T
        longest = max(longest, float(np.linalg.norm(away, axis=1).max()) / (shell * over))
    return np.asarray(turn / longest)


def _radii(lab: Floats, rays: Floats, within: float) -> Floats:
    """How far along each ray the difference stays below a bound."""
    low, high = np.zeros(len(rays)), np.full(len(rays), 4.0 * within + 1.0)
    same = np.broadcast_to(lab, rays.shape)
    for _ in range(12):
        high = np.where(delta_e_2000(same, lab + rays * high[:, None]) < within, 2.0 * high, high)
    for _ in range(30):
        middle = (low + high) / 2.0
        inside = delta_e_2000(same, lab + rays * middle[:, None]) < within
        low, high = np.where(inside, middle, low), np.where(inside, high, middle)
    return high


def _lift(search: Search) -> float:
    """How much more than over the chart can come through over the ground, or over a film of its own without end.

    What comes through over reflectance g is ``t o g / (1 - r g)``; beside that over the chart's white w it grows with
    ``r``, the film's own reflectance from below, which no film has larger than the most that lies below or is endless.
    """
    white = float(search.view[3][1])
    most = max(
        float(np.max(take_off_face(search.thick.max(), search.index))), float(search.below.max()), white
    )
    return (most / white) * (1.0 - most * white) / (1.0 - most * most)


def _sphere(count: int) -> Floats:
    """Directions spread evenly, by the golden angle."""
    place = np.arange(count) + 0.5
    height = 1.0 - 2.0 * place / count
    turn = np.pi * (1.0 + np.sqrt(5.0)) * place
    flat = np.sqrt(1.0 - height**2)
    return np.stack([height, flat * np.cos(turn), flat * np.sin(turn)], axis=-1)
