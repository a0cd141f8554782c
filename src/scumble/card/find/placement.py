"""Where each millimetre of the card lies in the picture, and how surely."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from scumble.card.find.fiducials import FoundTag
from scumble.card.find.lens import Lens, lens_of_picture
from scumble.card.sheet.geometry import Box, CardGeometry, card_geometry, layout_of_fiducial
from scumble.errors import CardError

Floats = NDArray[np.float64]

MAX_ERROR_MM: Final = 0.5
"""Beyond this an area may be read beside where it lies; areas are read 4 mm inside their edges."""

OUTLIER_MM: Final = 1.0
CORNER_PX: Final = 0.25
"""Least deviation a corner is credited with."""

MIN_PX_PER_MM: Final = 2.0

USUAL_BEND: Final = 0.02
"""Standard deviation of the bend of lenses, at the corner of the picture (*common practice, no source*)."""

BENT_OUTLIER_MM: Final = 3.0
"""Misfit that is still taken for the lens's before its bend is known."""

_SLOPE_UNITS: Final = np.array([0.01, 0.01, 1.0])
"""Of the columns of a homography in :func:`_slopes`, where lengths are in units of 100 mm."""

ROUNDS: Final = 12
CUT: Final = 4.0
"""Deviations beyond which a corner no longer counts (Tukey's biweight)."""


@dataclass(frozen=True, slots=True)
class Placement:
    """A card in a picture.

    Parameters
    ----------
    geometry : CardGeometry
        Which card it is.
    mm_to_px : array, shape (3, 3)
        Homography from the card to the picture behind a perfect lens.
    lens : Lens
        What the lens made of that.
    tags : tuple of FoundTag
        The fiducials that agree with it.
    error_mm : float [mm]
        Two standard deviations of the place of the worst-placed corner of an area.
    """

    geometry: CardGeometry
    mm_to_px: Floats
    lens: Lens
    tags: tuple[FoundTag, ...]
    error_mm: float

    def to_px(self, points_mm: ArrayLike) -> Floats:
        """From card to picture, shape (..., 2)."""
        return self.lens.curve(_transform(self.mm_to_px, np.asarray(points_mm, dtype=np.float64)))

    def to_mm(self, points_px: ArrayLike) -> Floats:
        """From picture to card, shape (..., 2)."""
        back = np.asarray(np.linalg.inv(self.mm_to_px), dtype=np.float64)
        return _transform(back, self.lens.straighten(points_px))

    def outline_px(self, box: Box) -> Floats:
        """Corners of a box in the picture, shape (4, 2)."""
        return self.to_px(box.corners_mm)

    @property
    def block_px(self) -> Floats:
        """Corners of all that is printed, shape (4, 2)."""
        return self.outline_px(self.geometry.block)

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


def place_card(tags: Sequence[FoundTag], *, size_px: tuple[int, int] | None = None) -> Placement:
    """Say which card the tags belong to and where it lies.

    Parameters
    ----------
    tags : sequence of FoundTag
        What was found in the picture.
    size_px : (int, int), optional [px]
        Width and height of the picture; the lens is taken to be perfect when left out.

    Raises
    ------
    CardError
        If no card, more than one, or too little of one is seen.
    """
    geometry, known = _which_card(tags)
    boxes = {fiducial.number: fiducial.box for fiducial in geometry.fiducials}
    card_mm = np.concatenate([np.array(boxes[tag.number].corners_mm) for tag in known])
    picture_px = np.concatenate([tag.corners_px for tag in known])
    bends = size_px is not None
    lens = lens_of_picture(size_px or (1, 1))
    matrix, good = _homography(card_mm, picture_px, BENT_OUTLIER_MM if bends else OUTLIER_MM)
    if bends:
        matrix, lens, good = _unbend(matrix, lens, card_mm, picture_px, good)
    whole = np.all(good.reshape(-1, 4), axis=1).tolist()
    agreeing = tuple(tag for tag, kept in zip(known, whole, strict=True) if kept)
    error_mm = _error_mm(geometry, matrix, lens if bends else None, card_mm[good], picture_px[good])
    placement = Placement(geometry, matrix, lens, agreeing, error_mm)
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


def _homography(card_mm: Floats, picture_px: Floats, outlier_mm: float) -> tuple[Floats, NDArray[np.bool_]]:
    """Homography that most corners agree with, and which do."""
    import cv2

    scale = max(_scale(card_mm, picture_px), 1.0)
    matrix, good = cv2.findHomography(card_mm, picture_px, cv2.RANSAC, outlier_mm * scale)
    if matrix is None:
        raise CardError("The corner marks of the card do not lie in one plane.", "Lay the card flat.")
    return np.asarray(matrix, dtype=np.float64), good.ravel().astype(bool)


def _scale(card_mm: Floats, picture_px: Floats) -> float:
    """Picture points per millimetre, roughly."""
    return float(np.sqrt(np.ptp(picture_px, axis=0).prod() / max(np.ptp(card_mm, axis=0).prod(), 1.0)))


def _unbend(
    matrix: Floats, lens: Lens, card_mm: Floats, picture_px: Floats, good: NDArray[np.bool_]
) -> tuple[Floats, Lens, NDArray[np.bool_]]:
    """Homography and bend together, by reweighted Gauss-Newton steps; and which corners agree with both."""
    weights = good.astype(np.float64)
    for _ in range(ROUNDS):
        missed = lens.straighten(picture_px) - _transform(matrix, card_mm)
        length = np.linalg.norm(missed, axis=1)
        spread = max(1.4826 * float(np.median(length[good])), CORNER_PX)
        weights = np.where(good, np.maximum(1.0 - (length / (CUT * spread)) ** 2, 0.0) ** 2, 0.0)
        slopes = _slopes_with_bend(matrix, lens, card_mm, picture_px)
        root = np.sqrt(weights)[:, None]
        size = np.linalg.norm(slopes.reshape(-1, 9), axis=0)
        rows = (root[..., None] * slopes).reshape(-1, 9) / size
        usual = CORNER_PX / USUAL_BEND * np.eye(9)[8:] / size
        wanted = np.append((root * missed).ravel(), CORNER_PX / USUAL_BEND * -lens.bend)
        step = np.linalg.lstsq(np.vstack([rows, usual]), wanted, rcond=None)[0] / size
        matrix = matrix / matrix[2, 2] + np.append(step[:8], 0.0).reshape(3, 3) * _SLOPE_UNITS
        lens = replace(lens, bend=float(lens.bend + step[8]))
    missed = lens.straighten(picture_px) - _transform(matrix, card_mm)
    limit = OUTLIER_MM * max(_scale(card_mm, picture_px), 1.0)
    return matrix, lens, good & (weights > 0) & (np.linalg.norm(missed, axis=1) < limit)


def _slopes_with_bend(matrix: Floats, lens: Lens, points_mm: Floats, points_px: Floats) -> Floats:
    """Derivatives by the eight numbers of a homography and the bend, shape (points, 2, 9)."""
    off = (points_px - lens.middle_px) / lens.reach_px
    square = np.sum(off**2, axis=-1, keepdims=True)
    by_bend = lens.reach_px * off * square / (1.0 + lens.bend * square) ** 2
    return np.concatenate([_slopes(matrix, points_mm), by_bend[..., None]], axis=-1)


def _error_mm(
    geometry: CardGeometry, matrix: Floats, lens: Lens | None, card_mm: Floats, picture_px: Floats
) -> float:
    """Deviation of the worst area corner, from the misfit of the tags and how they are spread.

    A homography, and the bend of the lens where it is sought, seen through first derivatives: the covariance of their
    numbers is that of a least-squares fit to the corners of the tags, and the place of an area is a function of them.
    """
    straight_px = picture_px if lens is None else lens.straighten(picture_px)
    missed = _transform(matrix, card_mm) - straight_px
    freedom = max(2 * len(card_mm) - (8 if lens is None else 9), 1)
    deviation_px = max(float(np.sqrt(np.sum(missed**2) / freedom)), CORNER_PX)
    areas_mm = np.array([area.box.corners_mm for area in geometry.areas]).reshape(-1, 2)
    if lens is None:
        at_tags, at_areas = _slopes(matrix, card_mm), _slopes(matrix, areas_mm)
    else:
        at_tags = _slopes_with_bend(matrix, lens, card_mm, picture_px)
        areas_px = lens.curve(_transform(matrix, areas_mm))
        at_areas = _slopes_with_bend(matrix, lens, areas_mm, areas_px)
    normal = np.einsum("pij,pik->jk", at_tags, at_tags)
    if lens is not None:
        normal[8, 8] += (deviation_px / USUAL_BEND) ** 2
    # Scaled before it is inverted: the numbers of a homography differ in size by a million.
    size = np.sqrt(np.maximum(np.diag(normal), 1e-300))
    inverse = np.linalg.pinv(normal / np.outer(size, size), hermitian=True) / np.outer(size, size)
    spread = np.einsum("pij,jk,pik->pi", at_areas, inverse, at_areas)
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
