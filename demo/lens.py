"""Where each point of a card falls in a picture, and how sharply: pinhole, radial distortion, defocus, motion."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

from demo.conditions import Session, Sharpness, View

Map = NDArray[np.float32]
Array = NDArray[np.float64]

STEP_PX = 8
"""The map from picture to card is worked out at every eighth point and splined linearly between (within 0.01 px)."""


@dataclass(frozen=True)
class Projection:
    """From card millimetres to picture points (centres at whole numbers) and back.

    Parameters
    ----------
    matrix : array, shape (3, 3)
        Homography to the picture that a perfect lens would make.
    size_px : (int, int)
        Width and height of the picture.
    bend : float
        Radial distortion at the corner [1].
    """

    matrix: Array
    size_px: tuple[int, int]
    bend: float

    def to_px(self, points_mm: Array) -> Array:
        """Picture points of card millimetres, shape (..., 2)."""
        middle, corner = self._frame()
        off = transform(self.matrix, points_mm) - middle
        return middle + off * (1 + self.bend * (np.square(off).sum(axis=-1, keepdims=True) / corner**2))

    def to_mm(self, points_px: Array) -> Array:
        """Card millimetres of picture points, shape (..., 2)."""
        middle, corner = self._frame()
        bent = points_px - middle
        off = bent
        for _ in range(12):
            off = bent / (1 + self.bend * (np.square(off).sum(axis=-1, keepdims=True) / corner**2))
        return transform(np.linalg.inv(self.matrix), off + middle)

    def px_per_mm(self, place_mm: tuple[float, float]) -> float:
        """Scale at a place of the card."""
        steps = np.array([[0.0, 0.0], [1.0, 0.0], [0.0, 1.0]])
        square = self.to_px(np.array(place_mm) + steps)
        return float(np.sqrt(abs(np.linalg.det(square[1:] - square[0]))))

    def coarse_mm(self) -> Array:
        """Card millimetres at every `STEP_PX` points, one ring of points beyond the frame, shape (rows, columns, 2)."""
        width, height = self.size_px
        columns, rows = -(-width // STEP_PX), -(-height // STEP_PX)
        x = (np.arange(-1, columns + 1) + 0.5) * STEP_PX - 0.5
        y = (np.arange(-1, rows + 1) + 0.5) * STEP_PX - 0.5
        return self.to_mm(np.stack(np.meshgrid(x, y), axis=-1))

    def _frame(self) -> tuple[Array, float]:
        width, height = self.size_px
        return np.array([(width - 1) / 2, (height - 1) / 2]), float(np.hypot(width, height) / 2)


def enlarge(coarse: Array, size_px: tuple[int, int]) -> Map:
    """A map known as `Projection.coarse_mm` knows it, at every picture point."""
    rows, columns = coarse.shape[:2]
    full = cv2.resize(
        coarse.astype(np.float32), (columns * STEP_PX, rows * STEP_PX), interpolation=cv2.INTER_LINEAR
    )
    return full[STEP_PX : STEP_PX + size_px[1], STEP_PX : STEP_PX + size_px[0]]


def transform(matrix: Array, points: Array) -> Array:
    """Points through a homography, shape (..., 2)."""
    homogeneous = np.concatenate([points, np.ones((*points.shape[:-1], 1))], axis=-1) @ matrix.T
    return homogeneous[..., :2] / homogeneous[..., 2:]


def project(session: Session, view: View, page_mm: tuple[float, float]) -> Projection:
    """Stand the camera so that the page fills its share of the frame; lay a scan on the glass."""
    if session.route == "scan":
        return _scanner(session.dpi / 25.4, view.roll_degree, page_mm)
    width, height = session.size_px
    # A phone's main lens: about 26 mm on the 36 x 24 mm format, 0.72 of the long side (*common practice*).
    lens = np.array([[0.75 * height, 0, (width - 1) / 2], [0, 0.75 * height, (height - 1) / 2], [0, 0, 1]])
    centred = np.array([[1, 0, -page_mm[0] / 2], [0, 1, -page_mm[1] / 2], [0, 0, 1]])
    corners = np.array([[0, 0], [page_mm[0], 0], [page_mm[0], page_mm[1]], [0, page_mm[1]]])
    turn = _rotation(view)
    place = np.array([0.0, 0.0, 2.0 * page_mm[1]])
    target = (np.array([0.5, 0.5]) + view.shift) * (width, height)
    for _ in range(60):
        matrix = lens @ np.column_stack([turn[:, 0], turn[:, 1], place]) @ centred
        seen = Projection(matrix, session.size_px, view.bend).to_px(corners)
        low, high = seen.min(axis=0), seen.max(axis=0)
        fill = ((high - low) / (width, height)).max() / view.fill
        off = ((low + high) / 2 - target) / lens[0, 0] * place[2]
        place = np.array([place[0] - 0.7 * off[0], place[1] - 0.7 * off[1], place[2] * fill**0.7])
    return Projection(matrix, session.size_px, view.bend)


def _rotation(view: View) -> Array:
    """Rotation of the card before the camera: roll on the table, then tilt about an axis of any direction."""
    roll = _about_z(view.roll_degree)
    towards = _about_z(view.tilt_towards_degree)
    tilt = np.radians(view.tilt_degree)
    about_x = np.array([[1, 0, 0], [0, np.cos(tilt), -np.sin(tilt)], [0, np.sin(tilt), np.cos(tilt)]])
    return towards @ about_x @ towards.T @ roll


def _about_z(degree: float) -> Array:
    angle = np.radians(degree)
    return np.array([[np.cos(angle), -np.sin(angle), 0], [np.sin(angle), np.cos(angle), 0], [0, 0, 1]])


def _scanner(px_per_mm: float, degree: float, page_mm: tuple[float, float]) -> Projection:
    """A glass of A4 or a little more, with the page in its middle."""
    size = (round((page_mm[0] + 6) * px_per_mm), round((page_mm[1] + 6) * px_per_mm))
    back = np.array([[1, 0, -page_mm[0] / 2], [0, 1, -page_mm[1] / 2], [0, 0, 1]])
    out = np.array([[px_per_mm, 0, (size[0] - 1) / 2], [0, px_per_mm, (size[1] - 1) / 2], [0, 0, 1]])
    return Projection(out @ _about_z(degree) @ back, size, 0.0)


def blur(scene: Map, sharpness: Sharpness, px_per_mm: float) -> Map:
    """Defocus as a disc, motion as a line, and the lens's own softness of half a point; large blurs are made small."""
    radius, length = sharpness.defocus_mm * px_per_mm, sharpness.motion_mm * px_per_mm
    shrink = max(1, int(max(radius, length) / 8))
    size = scene.shape[1::-1]
    if shrink > 1:
        scene = cv2.resize(scene, (size[0] // shrink, size[1] // shrink), interpolation=cv2.INTER_AREA)
    if radius / shrink > 0.4:
        scene = cv2.filter2D(scene, -1, disc(radius / shrink), borderType=cv2.BORDER_REPLICATE)
    if length / shrink > 0.6:
        scene = cv2.filter2D(
            scene, -1, line(length / shrink, sharpness.motion_degree), borderType=cv2.BORDER_REPLICATE
        )
    if shrink > 1:
        return cv2.resize(scene, size, interpolation=cv2.INTER_LINEAR)
    return cv2.GaussianBlur(scene, (0, 0), 0.55)


def disc(radius_px: float) -> Map:
    """A disc of sum 1 with a soft rim."""
    reach = int(np.ceil(radius_px + 1))
    y, x = np.mgrid[-reach : reach + 1, -reach : reach + 1]
    kernel = np.clip(radius_px + 0.5 - np.hypot(x, y), 0, 1).astype(np.float32)
    return kernel / kernel.sum()


def line(length_px: float, degree: float) -> Map:
    """A straight line of sum 1 and a point's breadth."""
    reach = int(np.ceil(length_px / 2 + 1))
    y, x = np.mgrid[-reach : reach + 1, -reach : reach + 1]
    angle = np.radians(degree)
    along, across = x * np.cos(angle) + y * np.sin(angle), y * np.cos(angle) - x * np.sin(angle)
    kernel = np.clip(length_px / 2 + 0.5 - np.abs(along), 0, 1) * np.clip(1 - np.abs(across), 0, 1)
    return (kernel / kernel.sum()).astype(np.float32)
