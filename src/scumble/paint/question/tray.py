"""What a question is made from: a tube with its possible optics, its white, a few other tubes, and grounds."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from scumble.optics.film import film_response
from scumble.paint.covering import coats_to_hide, contrast_ratio, opacity
from scumble.paint.drawdown import lab_of, over_black, over_white
from scumble.paint.estimate import possible_optics
from scumble.paint.ground import Ground
from scumble.paint.paint import Paint
from scumble.paint.thinning import MASSTONE_COATS, Thinning, predict_thinning

Floats = NDArray[np.float64]

LEVELS = (1, 2, 3)
"""How near the truth the wrong answers may come, from far to near."""


@dataclass(frozen=True)
class Tube:
    """A paint with all optics that its covariance leaves possible, the most probable first.

    Parameters
    ----------
    paint : Paint
        The tube.
    absorption, scattering : array, shape (1 + draws, 36) [1/coat]
        Possible optics.
    """

    paint: Paint
    absorption: Floats
    scattering: Floats

    @property
    def own(self) -> tuple[Floats, Floats]:
        """Absorption and scattering."""
        return self.absorption, self.scattering

    @property
    def index(self) -> float:
        """Refractive index of its binder [1]."""
        return self.paint.binder.refractive_index

    @cached_property
    def ratio(self) -> Floats:
        """Contrast ratio of one coat, shape (1 + draws,)."""
        return contrast_ratio(*self.own, MASSTONE_COATS, index=self.index)

    @cached_property
    def opacity(self) -> Floats:
        """Contrast ratio of half a coat, shape (1 + draws,)."""
        return opacity(*self.own, index=self.index)

    @cached_property
    def hiding_coats(self) -> Floats:
        """Coats to hide, shape (1 + draws,) [coat]."""
        return coats_to_hide(*self.own, index=self.index)

    @cached_property
    def thinning(self) -> Thinning:
        """From masstone to undertone."""
        return predict_thinning(*self.own, index=self.index)

    @cached_property
    def undertone(self) -> Floats:
        """CIELAB of its undertone at the most probable optics, shape (3,)."""
        return predict_thinning(self.absorption[:1], self.scattering[:1], index=self.index).undertone

    def film_lab(self, coats: float, *, black: bool = False) -> Floats:
        """CIELAB of a film over the chart's white or its black, shape (1 + draws, 3)."""
        laid = over_black if black else over_white
        return lab_of(laid(self.absorption * coats, self.scattering * coats, index=self.index))

    def over(self, ground: Ground, coats: float) -> Floats:
        """Reflectance of a film over a ground, shape (1 + draws, 36)."""
        film = film_response(self.absorption * coats, self.scattering * coats, index=self.index)
        return film.over(ground.under_film(self.index))


def open_tube(paint: Paint, normals: Floats) -> Tube:
    """A tube with its possible optics.

    Parameters
    ----------
    paint : Paint
        With covariance.
    normals : array, shape (draws, 72)
        Standard normal numbers; other ones for each tube of a question, lest two be wrong alike.
    """
    return Tube(paint, *_every(possible_optics(paint.optics, normals), 1 + len(normals)))


def _every(optics: tuple[Floats, Floats], count: int) -> tuple[Floats, Floats]:
    """Optics taken as exact, said as often as the others are drawn."""
    absorption, scattering = (np.broadcast_to(each, (count, each.shape[1])) for each in optics)
    return absorption, scattering


@dataclass(frozen=True)
class Tray:
    """What lies ready for one question.

    Parameters
    ----------
    tube : Tube
        The one asked about.
    white : Tube or None
        What it is tinted with; none for a white itself.
    others : tuple of Tube
        Tubes of the same binder that it may be set beside, never itself.
    grounds : mapping of str to Ground
        By name.
    level : int
        One of :data:`LEVELS`.
    rng : Generator
        Decides what is left open: order, grounds, amounts.
    """

    tube: Tube
    white: Tube | None
    others: tuple[Tube, ...]
    grounds: Mapping[str, Ground]
    level: int
    rng: np.random.Generator

    @property
    def label(self) -> str:
        """What the tube is called."""
        return self.tube.paint.label
