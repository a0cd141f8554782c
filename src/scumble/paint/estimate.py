"""A number and how sure it is, worked out on every set of optics that the card leaves possible."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from scumble.paint.paint import Optics
from scumble.tables import BANDS

Floats = NDArray[np.float64]

CERTAIN, PROBABLE = 0.95, 0.75
"""Share of the possible optics in which a statement must hold to be said flatly, and with *probably*."""

FARTHEST = 6.0
"""Largest departure of a log spectrum from its most probable course; beyond e^6 nothing would look different."""


@dataclass(frozen=True, slots=True)
class Estimate:
    """A number with its 95 % interval.

    Parameters
    ----------
    value : float
        At the most probable optics.
    low, high : float
        The number lies between them 19 times in 20; both equal ``value`` when the optics are taken as exact.
    """

    value: float
    low: float
    high: float

    @property
    def is_exact(self) -> bool:
        """Whether no uncertainty is known for it."""
        return self.low == self.high


def possible_optics(optics: Optics, normals: Floats) -> tuple[Floats, Floats]:
    """Optics that the covariance leaves possible, the most probable first.

    Parameters
    ----------
    optics : Optics
        With covariance; zeros say that only one set is possible.
    normals : array, shape (draws, 72)
        Standard normal numbers, handed in so that the same question always gets the same answer.

    Returns
    -------
    absorption, scattering : array, shape (1 + draws, 36) [1/coat]
        Of one row only when the optics are taken as exact.
    """
    if len(normals) == 0 or not optics.covariance.any():
        return optics.absorption[None], optics.scattering[None]
    middle = np.log(np.concatenate([optics.absorption, optics.scattering]))
    variance, direction = np.linalg.eigh(optics.covariance)
    spread = direction * np.sqrt(variance.clip(0.0))
    away = np.clip(normals @ spread.T, -FARTHEST, FARTHEST)
    drawn = np.exp(middle + np.vstack([np.zeros(2 * BANDS), away]))
    return drawn[:, :BANDS], drawn[:, BANDS:]


def estimate_of(numbers: ArrayLike) -> Estimate:
    """Sum up a number that was worked out on each of the possible optics.

    Parameters
    ----------
    numbers : array, shape (1 + draws,)
        The most probable optics first; may hold infinity.

    Examples
    --------
    >>> estimate_of([0.5])
    Estimate(value=0.5, low=0.5, high=0.5)
    """
    values = np.asarray(numbers, dtype=np.float64)
    if values.size == 1:
        return Estimate(float(values[0]), float(values[0]), float(values[0]))
    low, high = np.quantile(values[1:], [0.025, 0.975], method="inverted_cdf")
    return Estimate(float(values[0]), min(float(low), float(values[0])), max(float(high), float(values[0])))


def share_of(holds: ArrayLike) -> float:
    """Share of the possible optics in which a statement holds [1].

    Parameters
    ----------
    holds : array of bool, shape (1 + draws,)
        The most probable optics first.

    Examples
    --------
    >>> share_of([True]), share_of([True, True, False, True, True])
    (1.0, 0.75)
    """
    held = np.asarray(holds, dtype=bool)
    return float(held[0] if held.size == 1 else held[1:].mean())
