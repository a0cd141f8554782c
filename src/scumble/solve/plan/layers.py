"""What a plan is made of: mixtures, layers brushed of them, and stacks of layers that areas carry."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from scumble.colour import xyz_to_lab
from scumble.paint import Film, Paint
from scumble.solve.recipe.search import Search

Floats = NDArray[np.float64]

LABS_AT_ONCE = 2000
"""Stacks worked out in one go, so that memory stays small."""


class Role(StrEnum):
    """What a layer is for."""

    IMPRIMATURA = "imprimatura"
    UNDERPAINTING = "underpainting"
    COVER = "cover"
    SCUMBLE = "scumble"
    GLAZE = "glaze"

    @property
    def is_opaque(self) -> bool:
        """Whether it belongs to the lay-in, which hides the ground."""
        return self in (Role.UNDERPAINTING, Role.COVER)


@dataclass(frozen=True, slots=True)
class Mixture:
    """What is stirred together once.

    Parameters
    ----------
    parts : tuple of (int, float)
        Places of tubes on the shelf, in its order, and their parts.
    medium : float
        Parts of clear medium; it stays in the film.
    thinner : float
        Parts of water or solvent; it leaves.
    """

    parts: tuple[tuple[int, float], ...]
    medium: float = 0.0
    thinner: float = 0.0


@dataclass(frozen=True, slots=True)
class Layer:
    """So many coats of a mixture, and what for."""

    mixture: Mixture
    coats: float
    role: Role

    def film(self, tubes: Sequence[Paint]) -> Film:
        """The layer as a film of paint."""
        parts = tuple((tubes[place], part) for place, part in self.mixture.parts)
        return Film(parts, self.coats, self.mixture.medium, self.mixture.thinner)


Stack = tuple[Layer, ...]
"""Layers of one area, the lowest first; empty where the ground is left bare."""


def depth_of(search: Search, layer: Layer, factor: float = 1.0) -> tuple[Floats, Floats]:
    """Absorption and scattering depth of a layer, so many times as thick, each of shape (36,) [1]."""
    mixture = layer.mixture
    whole = sum(part for _, part in mixture.parts) + mixture.medium + mixture.thinner
    places = [place for place, _ in mixture.parts]
    shares = np.array([part for _, part in mixture.parts]) * (factor * layer.coats / whole)
    return shares @ search.absorption[places], shares @ search.scattering[places]


def predict_stacks(
    search: Search, stacks: Sequence[Stack], *, uneven: tuple[int, float] | None = None
) -> Floats:
    """Colours of stacks by the full engine, film over film, shape (stacks, 3) [CIELAB].

    Parameters
    ----------
    search : Search
        Tubes, ground, light and face; its wanted colour does not matter.
    stacks : sequence of Stack
        Empty ones show the bare ground.
    uneven : (int, float), optional
        Which layer of each stack, from the lowest, is so many times as thick as meant; stacks without it stay.
    """
    labs = np.empty((len(stacks), 3))
    sizes = np.array([len(stack) for stack in stacks], dtype=np.int64)
    for size in np.unique(sizes):
        own = np.flatnonzero(sizes == size)
        if size == 0:
            labs[own] = ground_lab(search)
            continue
        for first in range(0, len(own), LABS_AT_ONCE):
            part = own[first : first + LABS_AT_ONCE]
            labs[part] = _labs(search, [stacks[int(row)] for row in part], int(size), uneven)
    return labs


def _labs(search: Search, stacks: Sequence[Stack], size: int, uneven: tuple[int, float] | None) -> Floats:
    films = []
    for place in range(size):
        factor = uneven[1] if uneven is not None and uneven[0] == place else 1.0
        depths = [depth_of(search, stack[place], factor) for stack in stacks]
        films.append((np.array([a for a, _ in depths]), np.array([s for _, s in depths])))
    return np.asarray(search.predict_labs(films)[:, 0])


def ground_lab(search: Search) -> Floats:
    """CIELAB of the bare ground, shape (3,)."""
    weights, whites, *_ = search.view
    return xyz_to_lab(search.ground.reflectance @ weights[0], whites[0])
