"""The printed marks by which a card is found: tags of the family 36h11.

*Source:* E. Olson, "AprilTag: A robust and flexible visual fiducial system", ICRA 2011,
doi:10.1109/ICRA.2011.5979561: 587 codes of 36 bits, any two at least 11 bits apart in every rotation.
"""

from __future__ import annotations

from typing import Any, Final

CELLS: Final = 8
"""Cells along a side of the black square: a frame of one cell around 6 by 6 bits."""


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
