"""A picture reduced to the few colour areas that a painter would really mix: near in colour, and whole on the canvas.

Colours are grouped by k-means in CIELAB from a seeded start; then every point takes the group that its own colour and
its neighbours together speak for, and what is smaller than a brush's touch goes to what lies around it.

*Source:* Arthur & Vassilvitskii, Proc. 18th SODA, 1027 (2007), for the start; Besag, J. R. Stat. Soc. B 48, 259 (1986),
iterated conditional modes, for the neighbours.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from scumble.errors import InputError

Floats = NDArray[np.float64]
Places = NDArray[np.intp]

MOST_AREAS = 40
"""Colour areas of a plan; nobody keeps more mixtures apart on a palette. *Scumble's own.*"""

SAMPLE = 12_000
"""Points that groups are found from."""

ROUNDS = 30
"""Of k-means."""

SWEEPS = 5
"""Of neighbours over the whole picture."""

HOLD = 9.0
"""Squared CIELAB distance that one more neighbour of the same group outweighs."""

LEAST_SHARE = 4e-4
"""Share of the picture below which a patch is smaller than a brush's touch. *Scumble's own.*"""

ALIKE = 1.0
"""CIELAB distance up to which two groups are one."""


@dataclass(frozen=True, slots=True)
class Division:
    """A picture in colour areas.

    Parameters
    ----------
    labs : array, shape (areas, 3)
        CIELAB (D65, 2 degrees) of each, the lightest first.
    places : array of int, shape (height, width)
        Area of each point.
    """

    labs: Floats
    places: Places

    @property
    def shares(self) -> Floats:
        """Share of the picture that each area takes, shape (areas,) [1]."""
        return np.bincount(self.places.ravel(), minlength=len(self.labs)) / self.places.size


def divide_picture(labs: Floats, count: int, rng: np.random.Generator) -> Division:
    """Divide a picture into colour areas.

    Parameters
    ----------
    labs : array, shape (height, width, 3)
        CIELAB of its points.
    count : int
        Areas at most; fewer where it has fewer colours.
    rng : Generator
        Seeded by whoever asks; the same seed gives the same areas.

    Raises
    ------
    InputError
        If the count is out of range.

    Examples
    --------
    >>> from numpy.random import PCG64, Generator
    >>> halves = np.zeros((8, 12, 3)) + [40.0, 0.0, 0.0]
    >>> halves[:, 6:] = [80.0, 10.0, 20.0]
    >>> found = divide_picture(halves, 5, Generator(PCG64(0)))
    >>> found.labs.tolist(), found.shares.tolist()
    ([[80.0, 10.0, 20.0], [40.0, 0.0, 0.0]], [0.5, 0.5])
    """
    if not 1 <= count <= MOST_AREAS:
        raise InputError("areas", count, f"1 to {MOST_AREAS}")
    height, width, _ = labs.shape
    flat = labs.reshape(-1, 3)
    sample = flat if len(flat) <= SAMPLE else flat[rng.choice(len(flat), SAMPLE, replace=False)]
    middles = _settle(sample, _begin(sample, count, rng))
    places = _nearest(flat, middles).reshape(height, width)
    for _ in range(SWEEPS):
        places = _sweep(labs, middles, places)
        middles = _middles(flat, places.ravel(), middles)
    places = _absorb(places, max(2, round(LEAST_SHARE * places.size)))
    return _in_order(flat, places)


def _begin(sample: Floats, count: int, rng: np.random.Generator) -> Floats:
    """First middles, each drawn the likelier the farther it lies from those before it."""
    middles = sample[[int(rng.integers(len(sample)))]]
    away = ((sample - middles[0]) ** 2).sum(axis=1)
    while len(middles) < count and away.max() > ALIKE**2:
        drawn = int(rng.choice(len(sample), p=away / away.sum()))
        middles = np.vstack([middles, sample[drawn]])
        away = np.minimum(away, ((sample - middles[-1]) ** 2).sum(axis=1))
    return middles


def _settle(sample: Floats, middles: Floats) -> Floats:
    for _ in range(ROUNDS):
        moved = _middles(sample, _nearest(sample, middles), middles)
        if np.allclose(moved, middles, atol=0.05):
            return moved
        middles = moved
    return middles


def _middles(flat: Floats, own: Places, before: Floats) -> Floats:
    """Mean colour of each group; an empty one stays where it was."""
    sizes = np.bincount(own, minlength=len(before))
    sums = np.stack([np.bincount(own, flat[:, axis], len(before)) for axis in range(3)], axis=1)
    return np.where(sizes[:, None] > 0, sums / np.maximum(sizes, 1)[:, None], before)


def _distances(flat: Floats, middles: Floats) -> Floats:
    """Squared CIELAB distance of every point to every group, shape (points, groups)."""
    return np.asarray((flat**2).sum(axis=1)[:, None] - 2.0 * flat @ middles.T + (middles**2).sum(axis=1))


def _nearest(flat: Floats, middles: Floats) -> Places:
    return np.asarray(np.argmin(_distances(flat, middles), axis=1))


def _sweep(labs: Floats, middles: Floats, places: Places) -> Places:
    """Let every point take the group that its colour and its eight neighbours speak for."""
    height, width, _ = labs.shape
    cost = _distances(labs.reshape(-1, 3), middles).reshape(height, width, -1)
    edged = np.pad(places, 1, mode="edge")
    rows, columns = np.indices(places.shape)
    for down in range(3):
        for across in range(3):
            if (down, across) != (1, 1):
                beside = edged[down : down + height, across : across + width]
                cost[rows, columns, beside] -= HOLD
    return np.asarray(cost.argmin(axis=2))


def _absorb(places: Places, least: int) -> Places:
    """Give every patch smaller than so many points to what lies nearest around it."""
    small = np.zeros(places.shape, dtype=np.bool_)
    for group in np.unique(places):
        patches, _ = ndimage.label(places == group)
        small |= (np.bincount(patches.ravel()) < least)[patches] & (places == group)
    if small.all() or not small.any():
        return places
    near = ndimage.distance_transform_edt(small, return_distances=False, return_indices=True)
    return np.asarray(places[tuple(near)])


def _in_order(flat: Floats, places: Places) -> Division:
    """Groups that are left, the lightest first, each with the mean colour of its points."""
    kept, own = np.unique(places, return_inverse=True)
    middles = _middles(flat, own.ravel(), np.zeros((len(kept), 3)))
    order = np.argsort(-middles[:, 0], kind="stable")
    rank = np.empty(len(order), dtype=np.intp)
    rank[order] = np.arange(len(order))
    return Division(middles[order], rank[own.reshape(places.shape)])
