"""The picture that a painting is planned from: a small copy of it in screen colours, which every figure refers to."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from scumble.card.picture.points import Picture, load_picture
from scumble.colour import srgb_to_xyz, white_point, xyz_to_lab, xyz_to_srgb
from scumble.errors import InputError

Floats = NDArray[np.float64]

LONGEST_PX = 360
"""Longer side of the small copy."""

LEAST_SIDE_PX = 2
"""Of a picture that a painting is planned from."""


@dataclass(frozen=True)
class Reference:
    """A small copy of a picture.

    Parameters
    ----------
    codes : array of uint8, shape (height, width, 3)
        sRGB; what lies beyond it is paler than in the file.
    name : str
        What the picture is called.
    notes : tuple of str
        What had to be assumed.
    """

    codes: NDArray[np.uint8]
    name: str
    notes: tuple[str, ...] = ()

    @cached_property
    def labs(self) -> Floats:
        """CIELAB (D65, 2 degrees), shape (height, width, 3)."""
        return xyz_to_lab(srgb_to_xyz(self.codes / 255.0), white_point("D65", 2))

    @property
    def aspect(self) -> float:
        """Height by width [1]."""
        return float(self.codes.shape[0] / self.codes.shape[1])


def open_reference(source: Path | bytes, name: str = "") -> Reference:
    """The small copy of a picture file, averaged in linear light.

    Parameters
    ----------
    source : path or bytes
        Any picture that is read; its embedded profile is honoured.
    name : str
        What it is called; the file's name unless said.

    Raises
    ------
    CardError
        If it cannot be read.
    InputError
        If nothing was given.
    """
    if isinstance(source, bytes) and not source:
        raise InputError("picture", "nothing", "a picture", "Choose the one to paint from.")
    picture = load_picture(source, least_side_px=LEAST_SIDE_PX)
    linear = _shrink(picture)
    xyz = 100.0 * linear @ np.asarray(picture.encoding.rgb_to_xyz, dtype=np.float64).T
    rgb, _ = xyz_to_srgb(np.clip(xyz, 0.0, None), light="D65", observer=2)
    said = name or (source.name if isinstance(source, Path) else "the picture")
    return Reference(np.round(255.0 * np.clip(rgb, 0.0, 1.0)).astype(np.uint8), said, picture.notes)


def _shrink(picture: Picture) -> Floats:
    """Linear red, green and blue of blocks of points, band by band so that a large picture takes little memory."""
    height, width = picture.codes.shape[:2]
    step = max(-(-max(height, width) // LONGEST_PX), 1)
    rows = []
    for top in range(0, max(height // step, 1) * step, step):
        band = picture.codes[top : top + step, : max(width // step, 1) * step]
        linear = np.asarray(picture.encoding.to_linear(band), dtype=np.float32)
        columns = np.add.reduceat(linear.mean(axis=0), np.arange(0, linear.shape[1], step), axis=0)
        sizes = np.diff([*range(0, linear.shape[1], step), linear.shape[1]])
        rows.append(columns / sizes[:, None])
    return np.asarray(rows, dtype=np.float64)
