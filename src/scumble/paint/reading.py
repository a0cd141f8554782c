"""What was read from a sample card: one value per area, and what lies there."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from scumble.paint.camera_doubt import CameraDoubt

BARE = "bare"
"""The film name of an unpainted ground."""


CONDITIONS = {
    "M0": "lamp light with an unknown share of ultraviolet",
    "M1": "daylight, ultraviolet included",
    "M2": "ultraviolet cut off",
    "M3": "ultraviolet cut off, through crossed polarisers",
}
"""Measurement conditions and what they mean. *Source:* ISO 13655:2017, 4.2 (from memory)."""


Direction = tuple[float, float, float]

LOST_SHARE = 0.1
"""Standard deviation of a lost channel whose size was not written down, as a share of the largest of X, Y and
Z: what strong colours miss in sRGB (`scumble.card.light.beyond_space`), the shift that was not made included."""


class Quantity(StrEnum):
    """What a reading's numbers are."""

    XYZ = "xyz"
    REFLECTANCE = "reflectance"


@dataclass(frozen=True, slots=True)
class Reading:
    """One area of a card.

    Parameters
    ----------
    area : str
        Name of the area, unique on its card.
    film : str
        ``bare`` or the name of the stroke; areas of one stroke share one unknown thickness, ``full`` is 1 coat.
    paint_parts, white_parts : float
        Parts by volume of the paint and of white in the stroke (1, 0 when unmixed).
    ground : str
        Name of the bare area that shows what lies under the film (its own name when bare).
    values : array, shape (3,) or (36,)
        XYZ with the perfect diffuser at Y = 100, or reflectance 0-1.
    weight : float
        Trust in this area, 0 (left out) to 1.
    blind : tuple of three floats each
        Directions in XYZ about which the reading says little, each as long as one standard deviation: a camera's
        channel that lay at the end of its scale.
    """

    area: str
    film: str
    paint_parts: float
    white_parts: float
    ground: str
    values: NDArray[np.float64]
    weight: float = 1.0
    blind: tuple[tuple[float, float, float], ...] = ()

    @property
    def is_bare(self) -> bool:
        """Whether nothing was painted here."""
        return self.film == BARE


@dataclass(frozen=True, slots=True)
class CardReadings:
    """All readings of one card, in one quantity, under one light and observer.

    Parameters
    ----------
    readings : tuple of Reading
        At least one bare area and one painted one.
    quantity : Quantity
        What the numbers are.
    light : str
        ``D65``, ``D50``, ``A`` or ``LED-B3``; matters for XYZ only.
    observer : int
        2 or 10 degrees; matters for XYZ only.
    noise : float
        Expected relative scatter of one reading [1]; the fit re-estimates it.
    camera : CameraDoubt, optional
        What all readings share because a camera took them; ``None`` for an instrument. Matters for XYZ only.
    condition : str
        Measurement condition of the instrument, one of :data:`CONDITIONS`; empty where none is known.
    backing : str
        What lay under the card while it was measured: ``white``, ``black``, or in other words; empty if not known.
    serial : str
        Of the printed card; empty if not known.
    """

    readings: tuple[Reading, ...]
    quantity: Quantity
    light: str = "D65"
    observer: int = 2
    noise: float = 0.01
    camera: CameraDoubt | None = None
    condition: str = ""
    backing: str = ""
    serial: str = ""

    def bare(self) -> dict[str, Reading]:
        """Bare areas by name."""
        return {reading.area: reading for reading in self.readings if reading.is_bare}

    def painted(self) -> tuple[Reading, ...]:
        """Painted areas in order."""
        return tuple(reading for reading in self.readings if not reading.is_bare)


def sized_directions(blind: Iterable[Direction], values: NDArray[np.float64]) -> tuple[Direction, ...]:
    """Directions a reading is blind in with a sound length, where an older reader wrote down the bare direction.

    Parameters
    ----------
    blind : iterable of three floats each
        In XYZ. A length of exactly 1 says nothing but the direction.
    values : array, shape (3,)
        XYZ of the reading.

    Examples
    --------
    >>> sized_directions([(0.0, 0.6, 0.8), (0.1, 0.2, 2.0)], np.array([20.0, 30.0, 60.0]))
    ((0.0, 3.6, 4.8), (0.1, 0.2, 2.0))
    """
    size = LOST_SHARE * float(np.max(values))
    return tuple(_sized(direction, size) for direction in blind)


def _sized(direction: Direction, size: float) -> Direction:
    x, y, z = direction
    if abs(float(np.linalg.norm(direction)) - 1.0) > 1e-6:
        return x, y, z
    return round(x * size, 9), round(y * size, 9), round(z * size, 9)
