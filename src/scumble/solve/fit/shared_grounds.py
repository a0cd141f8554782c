"""Bare areas of cards from one printer, read several times and so known better than each card knows them alone."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from scumble.paint.reading import CardReadings, Quantity, Reading

Floats = NDArray[np.float64]

FLOOR: Final = 2e-4
"""Noise of a black reading, in units of the perfect diffuser."""

ODD: Final = 4.5
"""Standard errors of chi-square beyond which readings of one ground are not of one print: about once in a thousand
by chance."""


def share_grounds(cards: Sequence[CardReadings]) -> tuple[tuple[CardReadings, ...], tuple[str, ...]]:
    """Give every card the mean of what all read on their bare areas, where these agree.

    Parameters
    ----------
    cards : sequence of CardReadings
        Whose errors have nothing to do with each other.

    Returns
    -------
    cards : tuple of CardReadings
        Their shared bare areas hold the mean, with the weight of all that went into it.
    shared : tuple of str
        Names of the areas that were shared.

    Notes
    -----
    Cards agree on a ground if their readings scatter about the mean as their noise says. Of light, observer or
    quantity that differ nothing is shared.
    """
    alike = {(card.quantity, card.light, card.observer, card.condition) for card in cards}
    if len(cards) < 2 or len(alike) > 1:
        return tuple(cards), ()
    unit = 1.0 if cards[0].quantity is Quantity.REFLECTANCE else 100.0
    names = dict.fromkeys(name for card in cards for name in card.bare())
    means = {name: mean for name in names if (mean := _mean_of(name, cards, unit)) is not None}
    return tuple(_with_means(card, means) for card in cards), tuple(means)


def _mean_of(name: str, cards: Sequence[CardReadings], unit: float) -> tuple[Floats, float] | None:
    """Mean of a ground and the number of readings in it; none where they do not agree or there is but one."""
    read = [(card.bare()[name], card.noise) for card in cards if name in card.bare()]
    read = [(reading, noise) for reading, noise in read if reading.weight > 0.0 and not reading.blind]
    if len(read) < 2:
        return None
    values = np.array([reading.values for reading, _ in read])
    expected = np.array([np.hypot(noise * reading.values, FLOOR * unit) for reading, noise in read])
    precision = expected**-2.0 * np.array([[reading.weight] for reading, _ in read])
    mean = np.sum(precision * values, axis=0) / np.sum(precision, axis=0)
    freedom = values.size - mean.size
    scatter = np.sum(((values - mean) / expected) ** 2) / freedom
    if scatter > 1.0 + ODD * np.sqrt(2.0 / freedom):
        return None
    return mean, float(np.sum([reading.weight for reading, _ in read]))


def _with_means(card: CardReadings, means: dict[str, tuple[Floats, float]]) -> CardReadings:
    return replace(card, readings=tuple(_shared(reading, means) for reading in card.readings))


def _shared(reading: Reading, means: dict[str, tuple[Floats, float]]) -> Reading:
    """A bare reading with the mean in its place, if it went into it."""
    if not reading.is_bare or reading.area not in means or reading.weight == 0.0 or reading.blind:
        return reading
    values, weight = means[reading.area]
    return replace(reading, values=values, weight=weight)
