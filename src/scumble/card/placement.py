"""Where each millimetre of the card lies in the picture, and how surely."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from scumble.card.fiducials import FoundTag
from scumble.card.geometry import Box, CardGeometry, card_geometry, layout_of_fiducial
from scumble.errors import CardError

Floats = NDArray[np.float64]

MAX_ERROR_MM: Final = 0.5
"""Beyond this an area may be read beside where it lies; areas are read 4 mm inside their edges."""

OUTLIER_MM: Final = 1.0
CORNER_PX: Final = 0.25
"""Least deviation a corner is credited with."""

MIN_PX_PER_MM: Final = 2.0


@dataclass(frozen=True, slots=True)
class Placement:
    """A card in a picture.

    Parameters
    ----------
    geometry : CardGeometry
        Which card it is.
    mm_to_px : array, shape (3, 3)
        Homography from card to picture.
    tags : tuple of FoundTag
        The fiducials that agree with it.
    error_mm : float [mm]
        Two standard deviations of the place of the worst-placed corner of an area.
    """

    geometry: CardGeometry
    mm_to_px: Floats
    tags: tuple[FoundTag, ...]
    error_mm: float

    def to_px(self, points_mm: ArrayLike) -> Floats:
        """From card to picture, shape (..., 2)."""
        return _transform(self.mm_to_px, np.asarray(points_mm, dtype=np.float64))

    def to_mm(self, points_px: ArrayLike) -> Floats:
        """From picture to card, shape (..., 2)."""
        back = np.asarray(np.linalg.inv(self.mm_to_px), dtype=np.float64)
        return _transform(back, np.asarray(points_px, dtype=np.float64))

    def outline_px(self, box: Box) -> Floats:
        """Corners of a box in the picture, shape (4, 2)."""
        return self.to_px(box.corners_mm)

    @property
    def px_per_mm(self) -> float:
        """Scale at the middle of the card."""
        block = self.geometry.block
        middle = np.array([block.x_mm + block.width_mm / 2, block.y_mm + block.height_mm / 2])
        steps = self.to_px(middle + np.array([[0.0, 0.0], [1.0, 0.0], [0.0, 1.0]]))
        return float(np.sqrt(abs(np.linalg.det(steps[1:] - steps[0]))))


def _transform(matrix: Floats, points: Floats) -> Floats:
    """Points through a homography."""
    mapped = points @ matrix[:, :2].T + matrix[:, 2]
    return np.asarray(mapped[..., :2] / mapped[..., 2:])


def place_card(tags: Sequence[FoundTag]) -> Placement:
    """Say which card the tags belong to and where it lies.

    Parameters
    ----------
    tags : sequence of FoundTag
        What was found in the picture.

    Raises
    ------
    CardError
        If no card, more than one, or too little of one is seen.
    """
    geometry, known = _which_card(tags)
    boxes = {fiducial.number: fiducial.box for fiducial in geometry.fiducials}
    card_mm = np.concatenate([np.array(boxes[tag.number].corners_mm) for tag in known])
    picture_px = np.concatenate([tag.corners_px for tag in known])
    matrix, good = _homography(card_mm, picture_px)
    whole = np.all(good.reshape(-1, 4), axis=1).tolist()
    agreeing = tuple(tag for tag, kept in zip(known, whole, strict=True) if kept)
    placement = Placement(geometry, matrix, agreeing, _error_mm(geometry, matrix, card_mm, picture_px, good))
    _check(placement)
    return placement


def _which_card(tags: Sequence[FoundTag]) -> tuple[CardGeometry, list[FoundTag]]:
    """The layout most tags belong to, and those tags."""
    layouts = Counter(layout for tag in tags if (layout := layout_of_fiducial(tag.number)) is not None)
    if not layouts:
        raise CardError(
            "No sample card was found in this picture.",
            "Its square corner marks must be in view, sharp, and free of paint and glare.",
        )
    layout, _ = layouts.most_common(1)[0]
    known = [tag for tag in tags if layout_of_fiducial(tag.number) == layout]
    repeated = [number for number, times in Counter(tag.number for tag in known).items() if times > 1]
    if repeated or (len(layouts) > 1 and min(layouts.values()) >= 3):
        raise CardError(
            "There is more than one sample card in this picture.", "Photograph one card at a time."
        )
    return card_geometry(layout), known


def _homography(card_mm: Floats, picture_px: Floats) -> tuple[Floats, NDArray[np.bool_]]:
    """Homography that most corners agree with, and which do."""
    import cv2

    scale = np.sqrt(np.ptp(picture_px, axis=0).prod() / max(np.ptp(card_mm, axis=0).prod(), 1.0))
    matrix, good = cv2.findHomography(card_mm, picture_px, cv2.RANSAC, OUTLIER_MM * max(scale, 1.0))
    if matrix is None:
        raise CardError("The corner marks of the card do not lie in one plane.", "Lay the card flat.")
    return np.asarray(matrix, dtype=np.float64), good.ravel().astype(bool)


def _error_mm(
    geometry: CardGeometry, matrix: Floats, card_mm: Floats, picture_px: Floats, good: NDArray[np.bool_]
) -> float:
    """Deviation of the worst area corner, from the misfit of the tags and how they are spread.

    A homography seen through its first derivatives: the covariance of its eight numbers is that of a least-squares
    fit to the corners of the tags, and the place of an area is a function of them.
    """
    missed = _transform(matrix, card_mm[good]) - picture_px[good]
    freedom = max(2 * int(good.sum()) - 8, 1)
    deviation_px = max(float(np.sqrt(np.sum(missed**2) / freedom)), CORNER_PX)
    at_tags, at_areas = (
        _slopes(matrix, points)
        for points in (
            card_mm[good],
            np.array([area.box.corners_mm for area in geometry.areas]).reshape(-1, 2),
        )
    )
    normal = np.einsum("pij,pik->jk", at_tags, at_tags)
    spread = np.einsum("pij,jk,pik->pi", at_areas, np.linalg.pinv(normal), at_areas)
    block = geometry.block
    across = _transform(matrix, np.array([block.corners_mm[0], block.corners_mm[2]]))
    px_per_mm = np.linalg.norm(across[1] - across[0]) / np.hypot(block.width_mm, block.height_mm)
    return float(2.0 * deviation_px * np.sqrt(spread.sum(axis=1).max()) / px_per_mm)


def _slopes(matrix: Floats, points: Floats) -> Floats:
    """Derivatives of picture points by the eight numbers of a homography, shape (points, 2, 8)."""
    matrix = matrix / matrix[2, 2]
    u, v = _transform(matrix, points).T
    # Lengths in units of 100 mm keep the eight numbers alike in size.
    x, y = points.T / 100.0
    below = points @ matrix[2, :2] + 1.0
    one, none = np.ones_like(x), np.zeros_like(x)
    across = np.stack([x, y, one, none, none, none, -u * x, -u * y], axis=-1)
    down = np.stack([none, none, none, x, y, one, -v * x, -v * y], axis=-1)
    return np.asarray(np.stack([across, down], axis=1) / below[:, None, None])


def _check(placement: Placement) -> None:
    """Refuse a card that is seen too small or placed too loosely."""
    if placement.px_per_mm < MIN_PX_PER_MM:
        raise CardError(
            f"The card is too small in this picture: {placement.px_per_mm:.1f} points per millimetre.",
            f"At least {MIN_PX_PER_MM:g} are needed: go closer, or take a larger picture.",
        )
    if placement.error_mm > MAX_ERROR_MM:
        raise CardError(
            f"Only {len(placement.tags)} of {len(placement.geometry.fiducials)} corner marks can be used;"
            f" areas would be placed no better than {placement.error_mm:.1f} mm.",
            "Show marks on both sides of the card, unpainted and sharp, and lay it flat.",
        )
