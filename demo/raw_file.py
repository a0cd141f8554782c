"""A camera raw file: what a sensor counted behind its mosaic of red, green and blue, as an uncompressed DNG.

*Source* of the tags: Adobe Digital Negative specification 1.4 (from memory); TIFF 6.0.
"""

from __future__ import annotations

import io

import numpy as np
import tifffile
from numpy.typing import NDArray

Array = NDArray[np.float64]

BLACK, WHITE = 256, 16383
"""Counts of no light and of full scale: 14 bits over a pedestal."""

_D65 = 21
"""Code of the calibration light (EXIF, LightSource)."""

_LETTERS = ((0, 1), (1, 2))
"""Colours of the mosaic, row by row: red, green; green, blue."""


def dng_file(balanced: NDArray[np.floating], *, to_xyz: Array, gains: Array) -> bytes:
    """Write balanced linear channels as the mosaic that a camera would have counted.

    Parameters
    ----------
    balanced : array, shape (height, width, 3) [1]
        Channels of which a perfect diffuser makes 1, 1, 1; full scale at 1. Even height and width.
    to_xyz : array, shape (3, 3)
        The camera's matrix from them to XYZ under D65, white Y = 1.
    gains : array, shape (3,)
        White balance: what the counts of each channel are multiplied by, green 1.
    """
    counts = np.clip(
        balanced / np.maximum(gains, 1.0) * (1.0 if gains.min() >= 1.0 else gains.min()), 0.0, 1.0
    )
    mosaic = np.empty(counts.shape[:2])
    for row in (0, 1):
        for column in (0, 1):
            mosaic[row::2, column::2] = counts[row::2, column::2, _LETTERS[row][column]]
    values = np.round(BLACK + mosaic * (WHITE - BLACK)).astype(np.uint16)
    # Counts of a perfect diffuser: the reciprocal of the gains; the matrix leads from XYZ to counts.
    from_xyz = np.linalg.inv(to_xyz) / gains[:, None]
    file = io.BytesIO()
    tifffile.imwrite(file, values, photometric=32803, metadata=None, extratags=_tags(from_xyz, 1.0 / gains))
    return file.getvalue()


def _tags(from_xyz: Array, neutral: Array) -> list[tuple[int, str, int, object, bool]]:
    return [
        (271, "s", 0, "Scumble", True),
        (272, "s", 0, "Simulated camera", True),
        (33421, "H", 2, (2, 2), True),
        (33422, "B", 4, bytes([0, 1, 1, 2]), True),
        (50706, "B", 4, bytes([1, 4, 0, 0]), True),
        (50707, "B", 4, bytes([1, 1, 0, 0]), True),
        (50708, "s", 0, "Scumble Simulated camera", True),
        (50714, "H", 1, BLACK, True),
        (50717, "H", 1, WHITE, True),
        (50721, "2i", 9, _rationals(from_xyz), True),
        (50728, "2I", 3, _rationals(neutral), True),
        (50778, "H", 1, _D65, True),
    ]


def _rationals(values: Array) -> tuple[int, ...]:
    """Each number as two: ten-thousandths, and ten thousand."""
    return tuple(part for value in np.ravel(values) for part in (round(float(value) * 10000), 10000))
