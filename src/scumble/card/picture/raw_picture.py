"""Camera raw files: what the sensor counted, in linear light, with the maker's own way to colour."""

from __future__ import annotations

import io
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from scumble.card.picture.profile import Encoding
from scumble.colour import white_point
from scumble.colour.screen import LINEAR_RGB_TO_XYZ
from scumble.errors import CardError

Floats = NDArray[np.float64]

HALF_FROM_PIXELS: Final = 40_000_000
"""Picture points from which each two by two of the mosaic become one: enough for a card, a quarter of the memory."""

MOST_PIXELS: Final = 240_000_000

CODES: Final = 65536

_UNKNOWN = "The raw file does not say how its channels make colour: they are taken as those of sRGB."


def load_raw(content: bytes) -> tuple[NDArray[np.integer], Encoding, tuple[str, ...]]:
    """Sixteen-bit linear channels of a raw file, upright, white-balanced as the camera did.

    Parameters
    ----------
    content : bytes
        The file.

    Returns
    -------
    codes, encoding, notes : array of uint16, shape (height, width, 3); Encoding; tuple of str
        The channels are the camera's own; the encoding leads them to XYZ by the camera's matrix.

    Raises
    ------
    CardError
        If it is damaged, too large, or of a kind of sensor that has no red, green and blue.
    """
    import rawpy

    try:
        with rawpy.imread(io.BytesIO(content)) as raw:
            sizes = raw.sizes
            _check_size(int(sizes.raw_width) * int(sizes.raw_height))
            if raw.num_colors != 3:
                raise CardError(
                    f"The raw file has {raw.num_colors} colour channels, not red, green and blue.",
                    "Save it as a TIFF from the program that came with the camera.",
                )
            codes = raw.postprocess(**_options(raw, rawpy))
            encoding, notes = _encoding(np.asarray(raw.color_matrix, dtype=np.float64))
    except (rawpy.LibRawError, OSError, ValueError, MemoryError) as error:
        raise CardError(
            f"The raw file is damaged, cut short, or of a camera that is not known ({_said(error)}).",
            "Copy it from the camera again, or save it as a TIFF or JPEG.",
        ) from None
    return np.ascontiguousarray(codes), encoding, notes


def _check_size(points: int) -> None:
    if points > MOST_PIXELS:
        raise CardError(
            f"The raw file has {points / 1e6:.0f} million points; at most {MOST_PIXELS // 1_000_000} million are"
            " read.",
            "Save a smaller copy.",
        )


def _options(raw: Any, rawpy: Any) -> dict[str, Any]:
    balance = [float(gain) for gain in raw.camera_whitebalance[:3]]
    large = int(raw.sizes.raw_width) * int(raw.sizes.raw_height) > HALF_FROM_PIXELS
    return {
        "gamma": (1.0, 1.0),
        "no_auto_bright": True,
        "output_bps": 16,
        "output_color": rawpy.ColorSpace.raw,
        "use_camera_wb": min(balance) > 0.0,
        "use_auto_wb": False,
        # The sensor's own full scale, also where nothing in the picture reaches it.
        "adjust_maximum_thr": 0.0,
        "half_size": large,
        # Means of areas are wanted, not fine detail, for which the cleverer methods take their time.
        "demosaic_algorithm": rawpy.DemosaicAlgorithm.LINEAR,
    }


def _encoding(to_srgb: Floats) -> tuple[Encoding, tuple[str, ...]]:
    """Straight curves, and the matrix from balanced channels to XYZ; white exact."""
    straight = np.tile(np.linspace(0.0, 1.0, CODES), (3, 1))
    matrix, notes = to_srgb[:3, :3], ()
    rows = matrix.sum(axis=1)
    plain = not np.isfinite(matrix).all() or np.allclose(matrix, 0.0) or np.allclose(matrix, np.eye(3))
    if plain or rows.min() < 0.5 or rows.max() > 2.0 or abs(np.linalg.det(matrix)) < 0.05:
        return Encoding("camera raw", straight, LINEAR_RGB_TO_XYZ), (_UNKNOWN,)
    to_xyz = LINEAR_RGB_TO_XYZ @ (matrix / rows[:, None])
    white = white_point("D65", 2) / 100.0
    return Encoding("camera raw", straight, np.asarray(to_xyz * (white / to_xyz.sum(axis=1))[:, None])), notes


def _said(error: Exception) -> str:
    first = error.args[0] if error.args else type(error).__name__
    return first.decode("ascii", "replace") if isinstance(first, bytes) else str(first)
