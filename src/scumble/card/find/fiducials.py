"""The printed marks by which a card is found: tags of the family 36h11.

*Source:* E. Olson, "AprilTag: A robust and flexible visual fiducial system", ICRA 2011,
doi:10.1109/ICRA.2011.5979561: 587 codes of 36 bits, any two at least 11 bits apart in every rotation.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from scumble.card.picture.points import Picture

Floats = NDArray[np.float64]

CELLS: Final = 8
"""Cells along a side of the black square: a frame of one cell around 6 by 6 bits."""

SEARCHES: Final = ((2000, False), (2000, True), (1000, False), (4000, False))
"""How the picture is searched, in turn: the longer side to which it is made small, and whether it is sharpened. The
first is quick and sees a card that fills the frame, the next two see through blur and grain, the last finds a small
card."""

SHARPENING: Final = 1.5
"""Radius of the sharpening [px]."""


@dataclass(frozen=True, slots=True)
class FoundTag:
    """A tag seen in a picture.

    Parameters
    ----------
    number : int
        Its code.
    corners_px : array, shape (4, 2) [px]
        Top left, top right, bottom right and bottom left as printed; the middle of the first picture point is 0, 0.
    """

    number: int
    corners_px: Floats


def tag_family() -> Any:
    """The family's codes as OpenCV carries them."""
    import cv2

    return cv2.aruco.getPredefinedDictionary(cv2.aruco.DICT_APRILTAG_36h11)


def tag_cells(number: int) -> tuple[tuple[bool, ...], ...]:
    """Cells of a tag row by row, true where black.

    Parameters
    ----------
    number : int
        Its code, 0 to 586.

    Examples
    --------
    >>> for row in tag_cells(0):
    ...     print("".join("#" if black else "." for black in row))
    ########
    ###.####
    ##..#.##
    ####.#.#
    ####..##
    #.#...##
    #.#.#..#
    ########
    """
    picture = tag_family().generateImageMarker(number, CELLS, borderBits=1)
    return tuple(tuple(bool(cell == 0) for cell in row) for row in picture)


def find_tags(picture: Picture, *, enough: int) -> tuple[FoundTag, ...]:
    """Look for tags in a picture, in any rotation.

    Parameters
    ----------
    picture : Picture
        Where to look.
    enough : int
        Number of tags at which the search stops.
    """
    grey = _grey(picture)
    searches = dict.fromkeys((min(side_px, max(grey.shape)), sharpen) for side_px, sharpen in SEARCHES)
    found: dict[int, list[FoundTag]] = {}
    for side_px, sharpen in searches:
        tags = _find_at(grey, side_px, sharpen=sharpen)
        for number in {tag.number for tag in tags} - found.keys():
            found[number] = [tag for tag in tags if tag.number == number]
        if len(found) >= enough:
            break
    return tuple(tag for number in sorted(found) for tag in found[number])


def is_mirrored(picture: Picture) -> bool:
    """Whether tags show up in the mirror image of a picture."""
    flipped = np.ascontiguousarray(_grey(picture)[:, ::-1])
    return any(_find_at(flipped, side_px, sharpen=sharpen) for side_px, sharpen in SEARCHES[:2])


def _grey(picture: Picture) -> NDArray[np.uint8]:
    """Green channel in 8 bits."""
    green = picture.codes[..., 1]
    return np.ascontiguousarray(green if green.dtype == np.uint8 else (green >> 8).astype(np.uint8))


def _find_at(grey: NDArray[np.uint8], side_px: int, *, sharpen: bool) -> list[FoundTag]:
    """Search at one size, then find the corners to a fraction of a point at full size."""
    import cv2

    shrink = max(1.0, max(grey.shape) / side_px)
    size = (round(grey.shape[1] / shrink), round(grey.shape[0] / shrink))
    small = grey if shrink == 1.0 else cv2.resize(grey, size, interpolation=cv2.INTER_AREA)
    if sharpen:
        small = cv2.addWeighted(small, 3.0, cv2.GaussianBlur(small, (0, 0), SHARPENING), -2.0, 0.0)
    squares, numbers, _ = _detector().detectMarkers(small)
    if not squares:
        return []
    scale = np.array(grey.shape[::-1]) / np.array(small.shape[::-1])
    corners = [(square[0].astype(np.float64) + 0.5) * scale - 0.5 for square in squares]
    return [
        FoundTag(int(number), _refined(grey, square))
        for number, square in zip(numbers.ravel(), corners, strict=True)
    ]


def _detector() -> Any:
    """Detector that reads cells away from their blurred edges and forgives 4 bits of the 11 that part two codes."""
    import cv2

    asked = cv2.aruco.DetectorParameters()
    asked.minMarkerPerimeterRate = 0.02
    asked.perspectiveRemovePixelPerCell = 8
    asked.perspectiveRemoveIgnoredMarginPerCell = 0.3
    asked.errorCorrectionRate = 0.9
    return cv2.aruco.ArucoDetector(tag_family(), asked)


def _refined(grey: NDArray[np.uint8], corners: Floats) -> Floats:
    """Corners moved to where the edges meet, looking a cell's width around."""
    import cv2

    cell_px = np.linalg.norm(corners - np.roll(corners, 1, axis=0), axis=1).min() / CELLS
    reach = int(np.clip(0.7 * cell_px, 2, 12))
    stop = (cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_MAX_ITER, 30, 0.01)
    start = np.ascontiguousarray(corners, dtype=np.float32).reshape(-1, 1, 2)
    moved = cv2.cornerSubPix(grey, start, (reach, reach), (-1, -1), stop)
    return np.asarray(moved, dtype=np.float64).reshape(-1, 2)
