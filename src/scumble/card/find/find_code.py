"""The code of a card in its picture: straightened by where the card lies, so that tilt and turn do not matter."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

from scumble.card.find.placement import Placement
from scumble.card.picture.points import Picture
from scumble.card.sheet.serial import MODULES, CardCode, read_code

QUIET: Final = 4
"""Modules of bare paper round a code (ISO/IEC 18004)."""

PX_PER_MODULE: Final = 8


def find_code(picture: Picture, placement: Placement) -> CardCode | None:
    """Read the code of a card that was placed.

    Parameters
    ----------
    picture : Picture
        The photograph.
    placement : Placement
        Where the card lies in it.

    Returns
    -------
    CardCode or None
        ``None`` on cards without one, and where it is covered, blurred, or says another layout than the marks.
    """
    box = placement.geometry.code
    if box is None:
        return None
    found = read_code(_straightened(picture, placement))
    return found if found is not None and found.layout == placement.geometry.layout else None


def _straightened(picture: Picture, placement: Placement) -> NDArray[np.uint8]:
    """The code with its quiet zone as seen from straight above, in grey."""
    import cv2

    box = placement.geometry.code
    assert box is not None
    side = (MODULES + 2 * QUIET) * PX_PER_MODULE
    module_mm = box.width_mm / MODULES
    steps = ((np.arange(side) + 0.5) / PX_PER_MODULE - QUIET) * module_mm
    places = np.stack(np.meshgrid(box.x_mm + steps, box.y_mm + steps), axis=-1)
    at = placement.to_px(places).astype(np.float32)
    green = picture.codes[..., 1]
    grey = np.ascontiguousarray(green if green.dtype == np.uint8 else (green >> 8).astype(np.uint8))
    seen = cv2.remap(grey, at[..., 0], at[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    return np.asarray(seen, dtype=np.uint8)
