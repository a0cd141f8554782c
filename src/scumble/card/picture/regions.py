"""A picture in few colours drawn large: areas keep their shapes, their edges run smooth."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

LONGEST_PX: Final = 1080
EDGE_POINTS: Final = 0.7
"""Softening of an area's mask before it is drawn larger [points of the small map]."""


def enlarge_places(places: NDArray[np.intp], *, longest_px: int = LONGEST_PX) -> NDArray[np.uint8]:
    """The same areas on a finer map, without the steps of the small one.

    Parameters
    ----------
    places : array of int, shape (height, width)
        Area of each point, 0 to 255.
    longest_px : int [px]
        Longer side of the finer map; a map that is as large already stays.
    """
    import cv2

    height, width = places.shape
    factor = longest_px / max(height, width)
    if factor <= 1.0:
        return places.astype(np.uint8)
    size = (max(1, round(width * factor)), max(1, round(height * factor)))
    best = np.full(size[::-1], -1.0, dtype=np.float32)
    finer = np.zeros(size[::-1], dtype=np.uint8)
    for area in np.unique(places):
        mask = cv2.GaussianBlur((places == area).astype(np.float32), (0, 0), EDGE_POINTS)
        large = np.asarray(cv2.resize(mask, size, interpolation=cv2.INTER_LINEAR))
        nearer = large > best
        finer[nearer], best[nearer] = area, large[nearer]
    return finer


def draw_regions(places: NDArray[np.uint8], colours: NDArray[np.uint8]) -> bytes:
    """A PNG of areas in their colours.

    Parameters
    ----------
    places : array of uint8, shape (height, width)
        Area of each point.
    colours : array of uint8, shape (areas, 3)
        sRGB of each.
    """
    return draw_points(colours[places])


def draw_points(codes: NDArray[np.uint8]) -> bytes:
    """A PNG of points, sRGB, shape (height, width, 3)."""
    import cv2

    written, content = cv2.imencode(".png", np.ascontiguousarray(codes[..., ::-1]))
    assert written, "a picture in memory can be written"
    return content.tobytes()
