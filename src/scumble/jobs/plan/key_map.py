"""The map of a plan's areas: outlines to draw them by, and where their numbers stand."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy import ndimage

from scumble.chart.trace import Ring, trace_areas

LEAST_SHARE = 0.012
"""Radius of the widest circle in a patch, as a share of the map's longer side, below which no number fits."""

MOST_OF_AREA = 3
"""Patches of an area that carry its number."""


@dataclass(frozen=True, slots=True)
class Mark:
    """A number on the map.

    Parameters
    ----------
    number : int
        Of the area.
    x, y : float [point]
        Where it stands.
    radius : float [point]
        Of the widest circle that fits around it.
    """

    number: int
    x: float
    y: float
    radius: float


@dataclass(frozen=True, slots=True)
class KeyMap:
    """Areas with their outlines and numbers.

    Parameters
    ----------
    size : (int, int) [point]
        Width and height.
    outlines : dict of int to tuple of rings
        By area, counted from 0.
    marks : tuple of Mark
        At least one for every area.
    """

    size: tuple[int, int]
    outlines: dict[int, tuple[Ring, ...]]
    marks: tuple[Mark, ...]


def draw_key_map(places: NDArray[np.integer], *, longest: int, numbered: bool = True) -> KeyMap:
    """Outlines and numbers of a map, taken down to so many points along its longer side.

    Parameters
    ----------
    places : array of int, shape (height, width)
        Area of each point.
    longest : int
        Points along the longer side.
    numbered : bool
        Whether numbers are wanted.
    """
    step = max(1, -(-max(places.shape) // longest))
    coarse = np.asarray(places[step // 2 :: step, step // 2 :: step])
    if not coarse.size:
        coarse = np.asarray(places)
    areas = np.unique(coarse) if numbered else ()
    marks = tuple(mark for area in areas for mark in _marks(coarse, int(area)))
    return KeyMap((coarse.shape[1], coarse.shape[0]), trace_areas(coarse), marks)


def _marks(places: NDArray[np.integer], area: int) -> list[Mark]:
    """Where an area's number stands: in the middle of its widest patches."""
    mask = np.pad(places == area, 1)
    deep = np.asarray(ndimage.distance_transform_edt(mask))
    patches, count = ndimage.label(mask)
    peaks = np.array(ndimage.maximum_position(deep, patches, range(1, int(count) + 1)))
    found = [Mark(area + 1, x - 0.5, y - 0.5, float(deep[y, x])) for y, x in peaks.tolist()]
    found.sort(key=lambda each: -each.radius)
    least = LEAST_SHARE * max(places.shape)
    return [mark for at, mark in enumerate(found[:MOST_OF_AREA]) if at == 0 or mark.radius >= least]
