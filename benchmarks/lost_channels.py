"""``python -m benchmarks.lost_channels``: where channels truly lie that a picture's space writes as zero.

Random paints (`benchmarks.accuracy.population`) are painted on random cards and seen by cameras drawn at random
(`benchmarks.cameras`); of every area with one channel at the end of the scale the true channel is counted. What is
printed stands in `scumble.card.light.beyond_space`.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

import numpy as np
from numpy.typing import NDArray

from benchmarks.accuracy.card import Carelessness, paint_card
from benchmarks.accuracy.population import FAMILIES, white_paint
from scumble.card.light.beyond_space import LEARNT, LostChannels
from scumble.card.light.route_doubt import UNKNOWN_CAMERA
from scumble.colour import spectral_weights, white_point
from scumble.colour.sensor import sensor_modes
from scumble.paint.reading import Quantity

Floats = NDArray[np.float64]
Primaries = tuple[tuple[float, float], ...]

SRGB: Primaries = next(iter(LEARNT))
CARDS, CAMERAS, SEED = 150, 60, 21
ZERO = 7e-4
"""Linear light of a code and a half of 255 (IEC 61966-2-1), below which a channel is lost."""

DARK = 0.02
"""Highest channel from which an area counts: below it all is veil and grain."""

MOST_CHROMA = 1.1
"""Up to which phones raise the chroma of an sRGB picture (*common practice, no source*)."""

LEAST = 100
"""Areas from which a channel's numbers mean something."""


def count_lost(primaries: Primaries) -> tuple[LostChannels, tuple[int, int, int]]:
    """Middle and spread of lost red, green and blue as shares of the highest channel, and how many there were."""
    found: dict[int, list[Floats]] = {channel: [] for channel in range(3)}
    for true, seen in _areas(primaries):
        highest, lost = seen.max(axis=1), seen < ZERO
        for channel in range(3):
            only = lost[:, channel] & (lost.sum(axis=1) == 1) & (highest > DARK)
            found[channel].append(true[only, channel] / highest[only])
    every = [np.concatenate(found[channel]) for channel in range(3)]
    middle, spread = zip(*(_middle_and_spread(each) for each in every), strict=True)
    return LostChannels(middle, spread), tuple(len(each) for each in every)


def _middle_and_spread(shares: Floats) -> tuple[float, float]:
    if len(shares) < LEAST:
        return float("nan"), float("nan")
    # A long tail counts: half of what 19 of 20 lie within, where that is more than the standard deviation.
    low, high = np.percentile(shares, [2.5, 97.5])
    middle = float(shares.mean())
    return middle, float(max(shares.std(), (middle - low) / 2.0, (high - middle) / 2.0))


def _areas(primaries: Primaries) -> Iterator[tuple[Floats, Floats]]:
    """True channels of all areas, and those that each camera shows."""
    to_channels = np.linalg.inv(rgb_to_xyz(primaries)).T
    eye, modes = spectral_weights("D65", 2) / 100.0, sensor_modes(16)
    rng = np.random.default_rng(SEED)
    spectra = random_areas()
    true = spectra @ eye @ to_channels
    for _ in range(CAMERAS):
        weights = eye + modes @ (UNKNOWN_CAMERA.sensor * rng.standard_normal(modes.shape[-1]))
        seen = spectra @ weights @ to_channels
        grey = seen @ np.array([[0.2126], [0.7152], [0.0722]])
        chroma = rng.uniform(1.0, MOST_CHROMA) if primaries == SRGB else 1.0
        yield true, grey + chroma * (seen - grey)


@cache
def random_areas() -> Floats:
    """Reflectance of every area of many cards, shape (areas, 36)."""
    areas = []
    for number in range(CARDS):
        rng = np.random.default_rng([SEED, number])
        paint = list(FAMILIES.values())[number % len(FAMILIES)](rng)
        card = paint_card(
            paint, white_paint(rng), rng, care=Carelessness(noise=0.0), quantity=Quantity.REFLECTANCE
        )
        areas += [reading.values for reading in card.readings]
    return np.array(areas)


def rgb_to_xyz(primaries: Primaries) -> Floats:
    """Matrix of primaries with a D65 white, from linear channels to XYZ with the white's Y at 1."""
    columns = np.array([[x / y, 1.0, (1.0 - x - y) / y] for x, y in primaries]).T
    return np.asarray(columns * np.linalg.solve(columns, white_point("D65", 2) / 100.0))


if __name__ == "__main__":
    for space in LEARNT:
        lost, count = count_lost(space)
        print(space, np.round(lost.middle, 3), np.round(lost.spread, 3), count)
