"""A painting in passes: its areas, its sittings, and what is stirred for them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from scumble.paint import Binder, Ground, Layering, Look, Paint
from scumble.solve.plan.layers import Mixture, Role, Stack
from scumble.solve.plan.wishes import Manner

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class PlannedArea:
    """One colour area as a plan paints it.

    Parameters
    ----------
    number : int
        Counted from 1, the lightest first.
    lab : array, shape (3,)
        Wanted, CIELAB.
    share : float [1]
        Of the picture.
    stack : Stack
        Its layers, the lowest first; empty where the ground is left showing.
    layering : Layering
        The same as films on the ground.
    look : Look
        What it will look like when all is done.
    difference : float [dE00]
        To the wanted colour.
    nearest : float [dE00]
        The least difference that any layers tried in this manner have.
    unevenness : float [dE00]
        Largest change when one layer comes out a fifth thicker or thinner.
    shortfall : str
        How it misses, where it does, and whether dearer layers would not.
    """

    number: int
    lab: Floats
    share: float
    stack: Stack
    layering: Layering
    look: Look
    difference: float
    nearest: float
    unevenness: float
    shortfall: str

    @property
    def interval(self) -> float:
        """Distance within which the true colour lies 19 times in 20 [dE00]."""
        return self.look.interval_de00


@dataclass(frozen=True, slots=True)
class Brushed:
    """One mixture in one pass.

    Parameters
    ----------
    letter : str
        What the mixture goes by; the same in every pass.
    mixture : Mixture
        What is stirred.
    role : Role
        What for.
    areas : tuple of (int, float)
        Numbers of the areas it is brushed on, and how many coats.
    """

    letter: str
    mixture: Mixture
    role: Role
    areas: tuple[tuple[int, float], ...]

    @property
    def most_coats(self) -> float:
        """Coats where it takes most."""
        return max(coats for _, coats in self.areas)


@dataclass(frozen=True, slots=True)
class PlannedPass:
    """One sitting.

    Parameters
    ----------
    name : str
        ``imprimatura``, ``lay-in``, ``glaze 1`` and so on.
    brushed : tuple of Brushed
        In the order in which they are laid.
    labs : array, shape (areas, 3)
        What every area looks like afterwards, CIELAB.
    unevenness : float [dE00]
        Largest change of any finished area when a layer of this pass comes out a fifth thicker or thinner.
    """

    name: str
    brushed: tuple[Brushed, ...]
    labs: Floats
    unevenness: float


@dataclass(frozen=True, slots=True)
class Plan:
    """A painting in passes.

    Parameters
    ----------
    manner : Manner
        In which it is painted.
    tubes : tuple of Paint
        That places in mixtures count in.
    ground : Ground
        What it is painted on.
    areas : tuple of PlannedArea
        The lightest first.
    passes : tuple of PlannedPass
        In order.
    tried : int
        Stacks it was chosen from.
    """

    manner: Manner
    tubes: tuple[Paint, ...]
    ground: Ground
    areas: tuple[PlannedArea, ...]
    passes: tuple[PlannedPass, ...]
    tried: int

    @property
    def binder(self) -> Binder:
        """Of all its paints."""
        return self.tubes[0].binder

    @property
    def mixtures(self) -> tuple[tuple[str, Mixture], ...]:
        """Each once, by letter."""
        return tuple({each.letter: each.mixture for one in self.passes for each in one.brushed}.items())

    @property
    def used(self) -> tuple[Paint, ...]:
        """Tubes it takes, in the shelf's order."""
        places = sorted({place for _, mixture in self.mixtures for place, _ in mixture.parts})
        return tuple(self.tubes[place] for place in places)
