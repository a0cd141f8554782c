"""Veiling light: what the lens and the air lay over the whole picture, as far as the card's dark places can tell.

It cannot be seen by itself. The printed black shows its own light and the veil's; the darkest place anywhere bounds
both. What is known of printed blacks, of dark paints and of lenses is laid over a range of veils, and the most
sensible one is taken off; how far it may be wrong goes on as doubt that all areas share.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

USUAL_VEIL: Final = 0.012
"""Mean of an exponential law of veils, against white: lenses leave 0.2 to 3 % (ISO 9358 measures it as a veiling
glare index; *common practice, no source* for the mean)."""

PRINTED_BLACK: Final = 0.045
BLACK_SPREAD: Final = 0.4
"""Light a printed black gives back against its paper, and its log deviation: optical densities of 1.1 to 1.6 above
paper, weak ink-jet to good laser prints (*common practice, no source*)."""

DARKEST_PLACE: Final = 0.02
DARKEST_SPREAD: Final = 1.2
"""The same of the darkest place of a painted card: a matt black film leaves 2 to 4 %, a gloss one seen beside its
mirror reflection a few thousandths."""

MOST: Final = 0.25


@dataclass(frozen=True, slots=True)
class Veil:
    """Veiling light against white.

    Parameters
    ----------
    light : float [1]
        What to take off.
    doubt : float [1]
        Its standard deviation.
    channels : array, shape (3,), optional [1]
        The same light in red, green and blue, where it was told apart.
    """

    light: float
    doubt: float
    channels: Floats | None = None

    @property
    def each(self) -> Floats:
        """What to take off each channel, shape (3,)."""
        return np.full(3, self.light) if self.channels is None else self.channels


def estimate_veil(black: float, darkest: float, *, scatter: float = 0.02) -> Veil:
    """Most sensible veil, given what dark places show.

    Parameters
    ----------
    black : float [1]
        Light of the printed black against the paper.
    darkest : float [1]
        The same of the darkest area of the card, which may be the printed black.
    scatter : float [1]
        Relative error of both.

    Examples
    --------
    >>> clear, dull = estimate_veil(0.045, 0.004), estimate_veil(0.09, 0.06)
    >>> clear.light < 0.004, 0.02 < dull.light < 0.06
    (True, True)
    """
    bound = max(min(black, darkest), 1e-4)
    veils = np.linspace(0.0, min(bound * (1.0 + 2.0 * scatter), MOST), 400)
    own_black = np.maximum((black - veils) / (1.0 - veils), scatter * black)
    own_darkest = np.maximum((darkest - veils) / (1.0 - veils), scatter * darkest)
    log_odds = -veils / USUAL_VEIL + _log_normal(own_black, PRINTED_BLACK, BLACK_SPREAD)
    if darkest < 0.9 * black:
        log_odds += _log_normal(own_darkest, DARKEST_PLACE, DARKEST_SPREAD)
    odds = np.exp(log_odds - log_odds.max())
    odds /= odds.sum()
    middle = float(odds @ veils)
    return Veil(middle, float(np.sqrt(odds @ (veils - middle) ** 2)))


def _log_normal(value: Floats, middle: float, spread: float) -> Floats:
    """Logarithm of a log-normal density over the value itself."""
    away = np.log(value / middle) / spread
    return np.asarray(-0.5 * away**2 - np.log(value))


def take_off(light: Floats, veil: float | Floats) -> Floats:
    """Light against the paper without a veil, shape unchanged."""
    return np.asarray((light - veil) / (1.0 - veil))
