"""ICC profiles made of tables, as those of most scanners are: curves into a grid of colours, and out of it.

*Source:* ICC.1:2022, 10.10 (lut16Type), 10.11 (lut8Type), 6.3.4.2 and table 42 (16-bit L*a*b* as these types write it).
"""

from __future__ import annotations

import struct
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from scumble.card.picture.profile import (
    PCS_WHITE,
    Encoding,
    is_device_profile,
    media_white,
    profile_name,
    profile_tags,
    to_d65,
)
from scumble.colour import lab_to_xyz, reflectance_to_xyz, upsample_colours, white_point

Floats = NDArray[np.float64]

_WIDE_PRIMARIES: Final = ((0.7347, 0.2653), (0.1596, 0.8404), (0.0366, 0.0001))
"""Chromaticities x, y of red, green and blue of ISO 22028-2; no surface's colour lies outside them."""


@lru_cache(maxsize=1)
def wide_rgb_to_xyz() -> Floats:
    """From linear channels of those primaries, white D65, to XYZ with the white's Y at 1, shape (3, 3)."""
    columns = np.array([[x / y, 1.0, (1.0 - x - y) / y] for x, y in _WIDE_PRIMARIES]).T
    return np.asarray(columns * np.linalg.solve(columns, white_point("D65", 2) / 100.0))


_MOST_GRID: Final = 65
_COLOURS_AT_ONCE: Final = 200_000

_KNEE: Final = 6.0 / 29.0
"""Lightness below which it is proportional to light."""


@dataclass(frozen=True, slots=True)
class TableEncoding(Encoding):
    """From code values to light by a table.

    Parameters
    ----------
    grid : array, shape (n, n, n, 3) [1]
        Lightness of the linear channels, by red, green and blue after their curves: the table's own colours are
        L*a*b*, and between its nodes those are what runs straight. ``curves`` lead codes to places of the grid, 0-1.
    """

    grid: Floats

    def to_linear(self, codes: NDArray[np.integer]) -> NDArray[np.float32]:
        """Linear light of code values, shape (..., 3)."""
        flat = codes.reshape(-1, 3)
        parts = [
            self._some(flat[start : start + _COLOURS_AT_ONCE])
            for start in range(0, max(len(flat), 1), _COLOURS_AT_ONCE)
        ]
        return np.concatenate(parts).reshape(codes.shape)

    def _some(self, codes: NDArray[np.integer]) -> NDArray[np.float32]:
        """Trilinear interpolation."""
        last = len(self.grid) - 1
        place = np.stack([self.curves[channel][codes[:, channel]] for channel in range(3)], axis=-1) * last
        cell = np.minimum(place.astype(np.int64), last - 1)
        share = (place - cell)[..., None]
        found = np.zeros((len(codes), 3))
        for corner in np.ndindex(2, 2, 2):
            weight = np.prod(
                [share[:, axis] if corner[axis] else 1.0 - share[:, axis] for axis in range(3)], axis=0
            )
            found += weight * self.grid[tuple((cell + corner).T)]
        return light_of(found).astype(np.float32)


def lightness_of(light: Floats) -> Floats:
    """Lightness f of light against white, as CIELAB's (CIE 15:2018, equations 8.4 to 8.9)."""
    return np.asarray(np.where(light > _KNEE**3, np.cbrt(light), light / (3.0 * _KNEE**2) + 4.0 / 29.0))


def light_of(lightness: Floats) -> Floats:
    """The way back.

    Examples
    --------
    >>> light_of(lightness_of(np.array([0.0, 0.004, 0.2, 1.0]))).round(6).tolist()
    [0.0, 0.004, 0.2, 1.0]
    """
    return np.asarray(np.where(lightness > _KNEE, lightness**3, 3.0 * _KNEE**2 * (lightness - 4.0 / 29.0)))


def table_from_icc(profile: bytes, *, codes: int = 256) -> TableEncoding | None:
    """Read a profile that leads red, green and blue to colours by a table.

    Parameters
    ----------
    profile : bytes
        The ICC profile.
    codes : int
        Number of code values: 256 or 65536.

    Returns
    -------
    TableEncoding or None
        ``None`` when it is of another kind, or damaged. Of a scanner's or camera's own profile colours are absolute:
        against a perfect diffuser.
    """
    try:
        if profile[36:40] != b"acsp" or profile[16:20] != b"RGB ":
            return None
        tags = profile_tags(profile)
        inlets, grid, outlets = _table(tags[b"A2B0"])
        colours = _curved(outlets, grid)
        white = media_white(tags) if is_device_profile(profile) else PCS_WHITE
        xyz = _to_xyz(colours, profile[20:24], tags[b"A2B0"][:4]) * (white / PCS_WHITE)
        name = profile_name(tags)
    except (KeyError, IndexError, ValueError, struct.error):
        return None
    if not np.isfinite(xyz).all() or xyz[-1, -1, -1, 1] < 2.0 * max(xyz[0, 0, 0, 1], 1.0):
        return None
    place = np.linspace(0.0, 1.0, codes)
    curves = np.array([np.interp(place, np.linspace(0.0, 1.0, len(each)), each) for each in inlets])
    return TableEncoding(name, curves, wide_rgb_to_xyz(), lightness_of(_to_linear(xyz)))


def _table(tag: bytes) -> tuple[Floats, Floats, Floats]:
    """Curves in, the grid and curves out, all 0-1."""
    kind, inputs, outputs, size = tag[:4], tag[8], tag[9], tag[10]
    if kind not in (b"mft1", b"mft2") or (inputs, outputs) != (3, 3) or not 2 <= size <= _MOST_GRID:
        raise ValueError("another kind of table")
    if kind == b"mft1":
        rows_in = rows_out = 256
        numbers = np.frombuffer(tag, np.uint8, offset=48) / 255.0
    else:
        rows_in, rows_out = struct.unpack_from(">HH", tag, 48)
        numbers = np.frombuffer(tag[52 : len(tag) // 2 * 2], ">u2") / 65535.0
    if min(rows_in, rows_out) < 2:
        raise ValueError("curves of less than two points")
    ends = np.cumsum([3 * rows_in, 3 * size**3, 3 * rows_out])
    if len(numbers) < ends[-1]:
        raise ValueError("table cut short")
    inlets, grid, outlets = np.split(numbers[: ends[-1]], ends[:-1])
    return inlets.reshape(3, -1), grid.reshape(size, size, size, 3), outlets.reshape(3, -1)


def _curved(outlets: Floats, grid: Floats) -> Floats:
    """The grid after the curves that lead out of it."""
    place = np.linspace(0.0, 1.0, outlets.shape[1])
    return np.stack([np.interp(grid[..., channel], place, outlets[channel]) for channel in range(3)], axis=-1)


def _to_xyz(colours: Floats, space: bytes, kind: bytes) -> Floats:
    """XYZ under D50 relative to the medium's white, from what the table writes as 0-1."""
    if space == b"XYZ ":
        return np.asarray(100.0 * colours * 65535.0 / 32768.0)
    if space != b"Lab ":
        raise ValueError("another connection space")
    # L* of 100 is FF00 in 16 bits and FF in 8; zero of a* and b* is 8000 or 80.
    scale = 65535.0 / 65280.0 if kind == b"mft2" else 1.0
    lab = np.stack(
        [
            100.0 * scale * colours[..., 0],
            255.0 * scale * colours[..., 1] - 128.0,
            255.0 * scale * colours[..., 2] - 128.0,
        ],
        axis=-1,
    )
    return np.asarray(np.maximum(lab_to_xyz(lab, PCS_WHITE), 0.0))


def _to_linear(xyz: Floats) -> Floats:
    """Linear wide channels under D65 of XYZ under D50, by smooth spectra: closer than any adaptation of white.

    A colour that no smooth reflectance has - a profile's corners, a channel its maker cut at zero - is led by the
    nearest one, and what is left over by adaptation of white.
    """
    spectra = upsample_colours(xyz, light="D50", observer=2)
    seen = reflectance_to_xyz(spectra, light="D65", observer=2)
    seen = seen + to_d65(xyz - reflectance_to_xyz(spectra, light="D50", observer=2))
    return np.asarray(np.maximum(seen / 100.0 @ np.linalg.inv(wide_rgb_to_xyz()).T, 0.0))
