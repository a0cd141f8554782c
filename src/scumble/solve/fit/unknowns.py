"""Everything about a card that is not known, as one vector of standard-normal numbers."""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from scumble.paint.reading import CardReadings, Quantity, Reading
from scumble.solve.fit.prior import Prior, ground_prior

Floats = NDArray[np.float64]

FULL = "full"
"""The stroke that is one coat by definition."""

JITTER = 0.05
"""Relative deviation of the thickness at one area from that of its stroke."""

TINT_RATIO = 0.10
"""Relative deviation of the ratio of white to paint from what was meant to be mixed."""

STROKE_SPREAD = 0.3
"""Log deviation of a stroke's thickness from what the instructions ask for."""

UNKNOWN_SPREAD = 0.8
"""The same where the stroke's name says nothing about its thickness."""

GROUND_RANK = {Quantity.XYZ: 14, Quantity.REFLECTANCE: 26}
"""Smoothest directions kept of a ground's spectrum, fewer when only its colour was read."""


@dataclass(frozen=True, slots=True)
class Unknowns:
    """Where each unknown of a card stands in the vector.

    Parameters
    ----------
    bare, painted : tuple of Reading
        The areas with some weight.
    thin : tuple of str
        Strokes whose thickness is unknown, all but ``full``.
    tints : tuple of str
        Strokes with white in them.
    ground : Prior
        Prior of each ground's logit reflectance.
    sizes : tuple of int
        Unknowns of the optics, the grounds, the strokes, the tint ratios, the areas, the white and the camera.
    """

    bare: tuple[Reading, ...]
    painted: tuple[Reading, ...]
    thin: tuple[str, ...]
    tints: tuple[str, ...]
    ground: Prior
    sizes: tuple[int, int, int, int, int, int, int]

    @property
    def count(self) -> int:
        """Length of the vector."""
        return sum(self.sizes)

    def split(self, x: Floats) -> list[Floats]:
        """Views of the seven parts of a vector or of the last axis of a Jacobian."""
        return np.split(x, np.cumsum(self.sizes)[:-1], axis=-1)

    def log_thickness(self, strokes: Floats, areas: Floats) -> tuple[Floats, Floats]:
        """Log coats at each painted area, and the deviation by which each stroke's unknown moves it."""
        expected = [expected_log_coats(reading) for reading in self.painted]
        centre, spread = np.array(expected).T
        column = self.stroke_column()
        own = np.where(column >= 0, np.append(strokes, 0.0)[column] * spread, 0.0)
        return centre + own + JITTER * areas, spread

    def stroke_column(self) -> NDArray[np.int_]:
        """For each painted area the place of its stroke among the thin ones; -1 for full strength."""
        places = {film: place for place, film in enumerate(self.thin)}
        return np.array([places.get(reading.film, -1) for reading in self.painted], dtype=np.int_)

    def tint_column(self) -> NDArray[np.int_]:
        """For each painted area the place of its stroke among the tints; -1 where there is no white."""
        places = {film: place for place, film in enumerate(self.tints)}
        return np.array([places.get(reading.film, -1) for reading in self.painted], dtype=np.int_)

    def ground_column(self) -> NDArray[np.int_]:
        """For each painted area the place of its ground among the bare areas."""
        places = {reading.area: place for place, reading in enumerate(self.bare)}
        return np.array([places[reading.ground] for reading in self.painted], dtype=np.int_)


def expected_log_coats(reading: Reading) -> tuple[float, float]:
    """Expected log thickness of a stroke and its deviation, from its name.

    ``full`` is exactly one coat; ``thin1`` is asked for at 0.3 coat and each further number at a third of the
    one before; a tint is brushed on like a full film.
    """
    if reading.film == FULL:
        return 0.0, 0.0
    numbered = re.fullmatch(r"thin[ _-]?(\d?)", reading.film.lower())
    if numbered:
        return np.log(0.3) - (int(numbered[1] or 1) - 1) * np.log(3.0), STROKE_SPREAD
    if reading.white_parts > 0:
        return np.log(0.9), STROKE_SPREAD
    return np.log(0.5), UNKNOWN_SPREAD


def card_unknowns(card: CardReadings, *, optics: int, white: int, camera: int = 0) -> Unknowns:
    """Lay out the unknowns of a card.

    Parameters
    ----------
    card : CardReadings
        Areas of weight 0 are left out, and with them any ground nothing lies on.
    optics, white, camera : int
        Number of unknowns of the paint's optics, of the white's, and of what a camera does to all areas.
    """
    painted = tuple(reading for reading in card.painted() if reading.weight > 0)
    used = {reading.ground for reading in painted}
    bare = tuple(reading for reading in card.bare().values() if reading.area in used)
    films = tuple(dict.fromkeys(reading.film for reading in painted))
    with_white = {reading.film for reading in painted if reading.white_parts > 0}
    thin = tuple(film for film in films if film != FULL)
    tints = tuple(film for film in films if film in with_white)
    ground = ground_prior(GROUND_RANK[card.quantity])
    sizes = (optics, len(bare) * ground.factor.shape[1], len(thin), len(tints), len(painted), white, camera)
    return Unknowns(bare, painted, thin, tints, ground, sizes)
