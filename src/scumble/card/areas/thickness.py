"""How evenly a film lies, and the colour it would have if all of it were as thick as its mean.

A film half thick and half thin is not a film of mean thickness: light falls off with thickness along a bent line, and
the mean of what is seen lies on the hollow side of the bend.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

LEAST_CONTRAST: Final = 0.06
"""Light by which the bare ground and an endless film must differ for a channel to tell thickness."""

LEAST_LEFT: Final = 0.05
"""Share of its light by which a film must still differ from an endless one: less is grain."""

CLEAREST: Final = 0.985
DENSEST: Final = 0.03
"""Share of the ground's light that is left, between which thickness is told from it."""

OPTICAL: Final = (0.05, 3.0)
"""Optical thickness between which a channel is bent enough to matter and not yet dark or hidden."""

BEND_DOUBT: Final = 0.35
"""Relative doubt of the correction: a film is not exactly one exponential."""

MEAN_DOUBT: Final = 0.3
"""Share of the unevenness by which the mean thickness of an uneven area is in doubt besides: who paints unevenly does
not keep the mean (*common practice, no source*)."""

USUAL: Final = 0.12
"""Relative spread of thickness that any brush leaves; it is in every film's noise already."""


@dataclass(frozen=True, slots=True)
class Evened:
    """A film set to its mean thickness.

    Parameters
    ----------
    light : array, shape (3,) [1]
        Linear channels against the paper.
    spread : float [1]
        Relative standard deviation of its thickness; 0 where thickness does not show.
    doubts : tuple of array, shape (3,) [1]
        One standard deviation each of what the correction leaves open.
    thick_side : array, shape (2,)
        Where the thicker part lies, right and down, as shares of the spread; 0 where there is no side to it.
    """

    light: Floats
    spread: float
    doubts: tuple[Floats, ...]
    thick_side: Floats


def even_out(
    cells: Floats, mean: Floats, ground: Floats, endless: Floats, *, least_left: float = LEAST_LEFT
) -> Evened:
    """Find how thickness varies over an area, and what its film would show at its mean thickness.

    Parameters
    ----------
    cells : array, shape (rows, columns, 3) [1]
        Light of the film against the paper; not a number where something else lies.
    mean : array, shape (3,) [1]
        Its mean, as taken off veiling light and all.
    ground, endless : array, shape (3,) [1]
        Light of the bare ground and of a film without end.
    least_left : float [1]
        Share of its light by which the film must still differ from the endless one for a channel to count.

    Notes
    -----
    Each channel follows ``endless + (ground - endless) exp(-k t)``. The channel that tells thickness best gives the
    relative thickness of every cell; the other channels' k follow from their means over these. What the best one says
    in the end is the mean of the logarithm.
    """
    seen = np.asarray(np.isfinite(cells).all(axis=-1))
    way = ground - endless
    left = _share_left(mean, endless, way)
    optical = -np.log(left)
    # Grain grows with the root of the light; what a step of thickness changes falls with what is left.
    worth = np.abs(way) * left * optical / np.sqrt(np.maximum(mean, 0.0) + 0.01)
    usable = (np.abs(way) > LEAST_CONTRAST) & (optical > OPTICAL[0]) & (optical < OPTICAL[1])
    usable &= np.abs(way) * left > least_left * mean + 0.005
    plain = Evened(mean, 0.0, (), np.zeros(2))
    if not usable.any() or seen.sum() < 25:
        return plain
    best = int(np.argmax(np.where(usable, worth, -1.0)))
    share = _share_left(cells[seen][:, best], endless[best], way[best])
    thickness = -np.log(share)
    thickness = thickness / max(float(thickness.mean()), 1e-6)
    spread = float(thickness.std())
    light = mean.copy()
    for channel in np.flatnonzero(usable):
        rate = _rate(thickness, float(left[channel]))
        light[channel] = endless[channel] + way[channel] * np.exp(-rate)
    doubts = [BEND_DOUBT * (light - mean)]
    if spread > USUAL:
        slope = np.where(usable, way * left * -optical, 0.0)
        doubts.append(MEAN_DOUBT * np.sqrt(spread**2 - USUAL**2) * slope)
    return Evened(light, spread, tuple(doubts), _side(seen, thickness, spread))


def _share_left(light: Floats, endless: Floats | float, way: Floats | float) -> Floats:
    """Share of the ground's contrast that is left."""
    safe = np.where(np.abs(way) > 1e-6, way, 1e-6)
    return np.asarray(np.clip((light - endless) / safe, DENSEST, CLEAREST))


def _rate(thickness: Floats, left: float) -> float:
    """Optical thickness at the mean of a film whose mean share left is given."""
    low, high = 0.0, 12.0
    for _ in range(30):
        middle = 0.5 * (low + high)
        if float(np.exp(-middle * thickness).mean()) > left:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


def _side(seen: NDArray[np.bool_], thickness: Floats, spread: float) -> Floats:
    """Correlation of thickness with the places to the right and downwards."""
    if spread < 1e-6:
        return np.zeros(2)
    down, right = (np.asarray(places, np.float64) for places in np.nonzero(seen))
    return np.array(
        [
            float(
                np.mean((thickness - 1.0) * (place - place.mean())) / (spread * max(float(place.std()), 1e-9))
            )
            for place in (right, down)
        ]
    )


def endless_film(over_white: Floats, over_black: Floats, white: Floats, black: Floats) -> Floats:
    """Light of a film without end, from what it shows over two grounds, shape (3,).

    Notes
    -----
    As far as each channel follows one exponential, the same share of the contrast is left over both.

    Examples
    --------
    >>> endless_film(np.array([0.55]), np.array([0.175]), np.array([1.0]), np.array([0.05])).round(3).tolist()
    [0.257]
    """
    left = np.clip((over_white - over_black) / np.maximum(white - black, 1e-6), 0.0, 0.9)
    return np.asarray(np.clip((over_white - white * left) / (1.0 - left), 0.0, 1.3))
