"""The Munsell renotation laid out in CIELAB: rings of chroma, spokes of hue, one plane a value."""

from __future__ import annotations

from functools import cache
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from scumble.colour.lab import xyz_to_lab
from scumble.tables import load_table

_Array = NDArray[np.float64]

FAMILIES: Final = ("R", "YR", "Y", "GY", "G", "BG", "B", "PB", "P", "RP")
"""The ten hue families in their order round the circle; each is ten steps of hue wide."""

WHITE_C: Final[_Array] = np.array([98.074, 100.0, 118.232])
"""Illuminant C, 2 degrees, under which the renotation was made; ASTM E308."""

HUE_STEP: Final = 2.5
"""Hue between two spokes, on the scale of 0 to 100."""

_HUES: Final = 40
_CHROMA_STEP: Final = 2.0
_VALUES: Final = np.arange(1.0, 10.0)
_FINE_VALUE: Final[_Array] = np.linspace(0.0, 10.0, 10001)


def value_to_luminance(value: ArrayLike) -> _Array:
    """Luminance factor of a Munsell value.

    Parameters
    ----------
    value : array
        0 to 10.

    Returns
    -------
    array
        Y, the perfect diffuser at 100.

    Notes
    -----
    *Source:* ASTM D1535 (the quintic of Newhall, Nickerson & Judd on the scale of the diffuser).

    Examples
    --------
    >>> float(value_to_luminance(5.0).round(4))
    19.2718
    """
    v = np.asarray(value, dtype=np.float64)
    scaled = 1.1914 + v * (-0.22533 + v * (0.23352 + v * (-0.020484 + v * 0.00081939)))
    return np.asarray(v * scaled, dtype=np.float64)


def luminance_to_value(luminance: ArrayLike) -> _Array:
    """Munsell value of a luminance factor; the inverse of :func:`value_to_luminance`.

    Parameters
    ----------
    luminance : array
        Y, 0-100; beyond that it is held at the ends.

    Returns
    -------
    array
        Value, 0-10.

    Examples
    --------
    >>> float(luminance_to_value(19.27184).round(4))
    5.0
    """
    given = np.asarray(luminance, dtype=np.float64)
    return np.asarray(np.interp(given, value_to_luminance(_FINE_VALUE), _FINE_VALUE), dtype=np.float64)


def hue_number(notation: str) -> float:
    """Place of a hue on the circle of 100.

    Parameters
    ----------
    notation : str
        Step and family, e.g. ``9RP``.

    Returns
    -------
    float
        0 to 100; 10RP is 0.

    Examples
    --------
    >>> hue_number("5R"), hue_number("7.5PB"), hue_number("10RP")
    (5.0, 77.5, 0.0)
    """
    family = notation.lstrip("0123456789.")
    return (FAMILIES.index(family) * 10.0 + float(notation.removesuffix(family))) % 100.0


@cache
def _renotation() -> _Array:
    """a*, b* under illuminant C by value, hue and chroma, shape (9, 40, chromas, 2), spokes drawn on straight."""
    table = load_table("munsell_renotation")
    hue = np.array([round(hue_number(name) / HUE_STEP) % _HUES for name in table["hue"].tolist()])
    value, chroma = table["value"].astype(int) - 1, (table["chroma"] / _CHROMA_STEP).astype(int)
    x, y = table["x"], table["y"]
    xyz = value_to_luminance(table["value"])[:, None] * np.stack(
        [x / y, np.ones_like(x), (1 - x - y) / y], axis=-1
    )
    grid = np.full((len(_VALUES), _HUES, chroma.max() + 1, 2), np.nan)
    grid[value, hue, chroma] = xyz_to_lab(xyz, WHITE_C)[:, 1:]
    grid[:, :, 0] = 0.0
    for ring in range(2, grid.shape[2]):
        onward = 2 * grid[:, :, ring - 1] - grid[:, :, ring - 2]
        grid[:, :, ring] = np.where(np.isnan(grid[:, :, ring]), onward, grid[:, :, ring])
    return grid


def planes_at(value: _Array) -> _Array:
    """The renotation at each value, shape (colours, 40, chromas, 2)."""
    grid = _renotation()
    at = np.clip(value, _VALUES[0], _VALUES[-1]) - _VALUES[0]
    low = np.minimum(at.astype(int), len(_VALUES) - 2)
    share = (at - low)[:, None, None, None]
    return np.asarray(grid[low] * (1 - share) + grid[low + 1] * share, dtype=np.float64)


def place(plane: _Array, hue: _Array, chroma: _Array) -> _Array:
    """a*, b* of a place between spokes (hue, in spokes) and rings (chroma), shape (colours, 2)."""
    rows = np.arange(len(plane))
    spoke = np.floor(hue).astype(int)
    across = (hue - spoke)[:, None]
    ring, along = _ring(plane, chroma)
    spoke, following = spoke % _HUES, (spoke + 1) % _HUES
    inner = plane[rows, spoke, ring] * (1 - across) + plane[rows, following, ring] * across
    outer = plane[rows, spoke, ring + 1] * (1 - across) + plane[rows, following, ring + 1] * across
    return np.asarray(inner * (1 - along[:, None]) + outer * along[:, None], dtype=np.float64)


def _ring(plane: _Array, chroma: _Array) -> tuple[NDArray[np.int_], _Array]:
    """The ring inside a chroma, and how far beyond it the chroma lies; past the last ring it goes on straight."""
    rings = np.maximum(chroma, 0.0) / _CHROMA_STEP
    ring = np.minimum(rings.astype(int), plane.shape[2] - 2)
    return ring, rings - ring


def hue_at(plane: _Array, chroma: _Array, angle: _Array) -> _Array:
    """Hue, in spokes, whose point at this chroma lies at this angle [degrees]."""
    rows = np.arange(len(plane))
    ring, along = _ring(plane, np.maximum(chroma, 1e-3))
    circle = (
        plane[rows, :, ring] * (1 - along[:, None, None]) + plane[rows, :, ring + 1] * along[:, None, None]
    )
    behind = _turn(np.degrees(np.arctan2(circle[..., 1], circle[..., 0])) - angle[:, None])
    ahead = np.roll(behind, -1, axis=1)
    brackets = (behind <= 0.0) & (ahead > 0.0) & (ahead - behind < 180.0)
    spoke = np.argmax(brackets, axis=1)
    before, after = behind[rows, spoke], ahead[rows, spoke]
    ends = np.stack([circle[rows, spoke], circle[rows, (spoke + 1) % _HUES]])
    return np.asarray(spoke + _share(ends, before, after), dtype=np.float64)


def _share(ends: _Array, before: _Array, after: _Array) -> _Array:
    """Where the ray at an angle cuts the chord between two neighbours of a ring, 0-1."""
    reach = np.hypot(ends[..., 0], ends[..., 1])
    left = -reach[0] * np.sin(np.radians(before))
    right = reach[1] * np.sin(np.radians(after))
    return np.asarray(left / np.maximum(left + right, 1e-12), dtype=np.float64)


def chroma_at(plane: _Array, hue: _Array, radius: _Array) -> _Array:
    """Chroma at which the line of this hue (in spokes) is this far from the neutral axis."""
    rows = np.arange(len(plane))
    spoke = np.floor(hue).astype(int)
    across = (hue - spoke)[:, None, None]
    line = plane[rows, spoke % _HUES] * (1 - across) + plane[rows, (spoke + 1) % _HUES] * across
    reach = np.maximum.accumulate(np.hypot(line[..., 0], line[..., 1]), axis=1)
    ring = np.clip(np.sum(reach <= radius[:, None], axis=1) - 1, 0, reach.shape[1] - 2)
    inner, onward = line[rows, ring], line[rows, ring + 1] - line[rows, ring]
    length = np.maximum(np.sum(onward**2, axis=1), 1e-12)
    middle = np.sum(inner * onward, axis=1)
    missing = np.sum(inner**2, axis=1) - radius**2
    along = (np.sqrt(np.maximum(middle**2 - length * missing, 0.0)) - middle) / length
    return np.asarray((ring + along) * _CHROMA_STEP, dtype=np.float64)


def _turn(degrees: _Array) -> _Array:
    """The same turn between -180 and 180 degrees."""
    return np.asarray((degrees + 180.0) % 360.0 - 180.0, dtype=np.float64)
