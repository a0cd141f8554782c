"""A small copy of a picture that every browser shows, upright, to draw outlines over."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from scumble.card.picture.points import Picture, load_picture
from scumble.card.picture.profile import srgb_encoding
from scumble.colour import encode_srgb
from scumble.colour.screen import LINEAR_RGB_TO_XYZ

LONGEST_PX: Final = 1800
QUALITY: Final = 86


def draw_preview(
    source: Path | str | bytes, *, longest_px: int = LONGEST_PX, quality: int = QUALITY
) -> tuple[bytes, tuple[int, int]]:
    """A JPEG of a picture, and the size of the upright original [px].

    Parameters
    ----------
    source : path or bytes
        Any picture that is read.
    longest_px : int [px]
        Of the longer side; smaller pictures keep their size.
    quality : int
        Of the JPEG, 1 to 100.

    Raises
    ------
    CardError
        If it cannot be opened.
    """
    import cv2

    picture = load_picture(source)
    width, height = picture.size_px
    share = min(1.0, longest_px / max(width, height))
    codes = picture.codes
    if share < 1.0:
        size = (max(1, round(width * share)), max(1, round(height * share)))
        codes = np.asarray(cv2.resize(codes, size, interpolation=cv2.INTER_AREA)).astype(
            codes.dtype, copy=False
        )
    seen = codes if _is_srgb(picture) else _to_srgb(codes, picture)
    written, content = cv2.imencode(
        ".jpg", np.ascontiguousarray(seen[..., ::-1]), [cv2.IMWRITE_JPEG_QUALITY, quality]
    )
    assert written, "a picture in memory can be written"
    return content.tobytes(), (width, height)


def draw_blocks(places: NDArray[np.intp], colours: Sequence[str], *, longest_px: int = 960) -> bytes:
    """A PNG of a picture in few colours, each point as a square of whole pixels.

    Parameters
    ----------
    places : array of int, shape (height, width)
        Which colour each point has.
    colours : sequence of str
        As ``#rrggbb``.
    longest_px : int [px]
        What the longer side comes near to, from below; never less than one pixel a point.
    """
    import cv2

    codes = np.array(
        [[int(colour[at : at + 2], 16) for at in (5, 3, 1)] for colour in colours], dtype=np.uint8
    )
    side = max(1, longest_px // max(places.shape))
    shown = np.kron(places, np.ones((side, side), dtype=places.dtype))
    written, content = cv2.imencode(".png", codes[shown])
    assert written, "a picture in memory can be written"
    return content.tobytes()


def _is_srgb(picture: Picture) -> bool:
    """Whether its code values can be shown as they are."""
    own, curve = picture.encoding, srgb_encoding().curves
    alike = np.allclose(own.rgb_to_xyz, LINEAR_RGB_TO_XYZ, atol=0.01)
    return picture.codes.dtype == np.uint8 and alike and np.allclose(own.curves, curve, atol=0.01)


def _to_srgb(codes: NDArray[np.integer], picture: Picture) -> NDArray[np.uint8]:
    """Code values of sRGB; what lies beyond it is cut off, which is enough to draw outlines over."""
    change = (np.linalg.inv(LINEAR_RGB_TO_XYZ) @ picture.encoding.rgb_to_xyz).astype(np.float32)
    linear = np.clip(picture.encoding.to_linear(codes) @ change.T, 0.0, 1.0)
    steps = encode_srgb(np.linspace(0.0, 1.0, 4096))
    return np.asarray(np.round(255.0 * steps).astype(np.uint8)[(4095.0 * linear + 0.5).astype(np.int32)])
