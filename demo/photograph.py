"""Photograph a painted card lying on a wooden table: perspective, uneven light, lens, sensor and JPEG."""

from __future__ import annotations

import io
from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image

from demo.camera import Camera
from demo.desk import DESK_MARGIN_MM, DESK_PX_PER_MM, draw_desk

Map = NDArray[np.float32]
Array = NDArray[np.float64]

SUPERSAMPLING = 2


@dataclass(frozen=True)
class Shot:
    """How one photograph is taken.

    Parameters
    ----------
    long_side_px : int
        Height of the upright 4:3 picture; 4000 makes 12 megapixels.
    tilt_degree, turn_degree, roll_degree : float
        Camera away from straight above, about the card's width, height and normal.
    light_slope, light_direction_degree : float, float
        Half the difference of the light between the bright and the dark side [1], and where the bright side is.
    vignetting : float
        Loss of light in the corners [1].
    blur_px : float
        Standard deviation of the defocus in picture points.
    noise : float
        Standard deviation of the sensor's noise at full signal [1].
    cast : tuple of three float
        Gains left over from the camera's white balance.
    quality : int
        JPEG quality.
    """

    long_side_px: int
    tilt_degree: float
    turn_degree: float
    roll_degree: float
    light_slope: float
    light_direction_degree: float
    vignetting: float
    blur_px: float
    noise: float
    cast: tuple[float, float, float]
    quality: int

    def size(self) -> tuple[int, int]:
        """Width and height in picture points."""
        return round(self.long_side_px * 3 / 4), self.long_side_px


def draw_shot(long_side_px: int, rng: np.random.Generator) -> Shot:
    """A hand-held photograph by a window, about as careful as a hurried person is."""
    tilt = rng.uniform(4, 17)
    around = rng.uniform(0, 2 * np.pi)
    return Shot(
        long_side_px,
        float(tilt * np.sin(around)),
        float(tilt * np.cos(around)),
        float(rng.uniform(-5, 5)),
        float(rng.uniform(0.07, 0.13)),
        float(rng.uniform(0, 360)),
        float(rng.uniform(0.06, 0.12)),
        float(rng.uniform(0.55, 0.8)),
        float(rng.uniform(0.005, 0.007)),
        (float(rng.uniform(0.98, 1.02)), 1.0, float(rng.uniform(0.97, 1.02))),
        88,
    )


def card_to_picture(shot: Shot, page_mm: tuple[float, float]) -> Array:
    """Homography from card millimetres to picture points: a pinhole camera moved until the page fills the frame."""
    width, height = shot.size()
    turn = _rotation(shot)
    lens = np.array([[1.15 * height, 0, width / 2], [0, 1.15 * height, height / 2], [0, 0, 1]])
    centred = np.array([[1, 0, -page_mm[0] / 2], [0, 1, -page_mm[1] / 2], [0, 0, 1]])
    corners = np.array([[0, 0], [page_mm[0], 0], [page_mm[0], page_mm[1]], [0, page_mm[1]]])
    shift = np.array([0.0, 0.0, 2.0 * page_mm[1]])
    for _ in range(30):
        matrix = lens @ np.column_stack([turn[:, 0], turn[:, 1], shift]) @ centred
        seen = transform(matrix, corners)
        low, high = seen.min(axis=0), seen.max(axis=0)
        fill = ((high - low) / (width, height)).max() / 0.93
        off = ((low + high) / 2 - (width / 2, height / 2)) / lens[0, 0] * shift[2]
        shift = np.array([shift[0] - off[0], shift[1] - off[1], shift[2] * fill])
    return matrix


def _rotation(shot: Shot) -> Array:
    """Rotation of the card before the camera."""
    tilt, turn, roll = np.radians([shot.tilt_degree, shot.turn_degree, shot.roll_degree])
    about_x = np.array([[1, 0, 0], [0, np.cos(tilt), -np.sin(tilt)], [0, np.sin(tilt), np.cos(tilt)]])
    about_y = np.array([[np.cos(turn), 0, np.sin(turn)], [0, 1, 0], [-np.sin(turn), 0, np.cos(turn)]])
    about_z = np.array([[np.cos(roll), -np.sin(roll), 0], [np.sin(roll), np.cos(roll), 0], [0, 0, 1]])
    return about_x @ about_y @ about_z


def transform(matrix: Array, points: Array) -> Array:
    """Points through a homography, shape (..., 2)."""
    homogeneous = np.concatenate([points, np.ones((*points.shape[:-1], 1))], axis=-1) @ matrix.T
    return homogeneous[..., :2] / homogeneous[..., 2:]


def take(
    card: Map, px_per_mm: float, shot: Shot, camera: Camera, rng: np.random.Generator
) -> tuple[bytes, Array]:
    """Photograph the card; gives the JPEG file and the homography from card millimetres to picture points."""
    page_mm = (card.shape[1] / px_per_mm, card.shape[0] / px_per_mm)
    matrix = card_to_picture(shot, page_mm)
    scene = _scene(card, px_per_mm, matrix, shot, camera, rng)
    scene *= _light(shot)[..., None] * np.array(shot.cast, np.float32)
    scene = cv2.GaussianBlur(scene, (0, 0), shot.blur_px)
    codes = camera.encode(_expose(scene + _noise(scene, shot, rng), shot))
    dither = rng.random(codes.shape, np.float32)
    picture = Image.fromarray(np.minimum(codes * 255 + dither, 255).astype(np.uint8))
    file = io.BytesIO()
    picture.save(
        file, "JPEG", quality=shot.quality, subsampling="4:2:0", optimize=True, icc_profile=camera.profile()
    )
    return file.getvalue(), matrix


def _scene(
    card: Map, px_per_mm: float, matrix: Array, shot: Shot, camera: Camera, rng: np.random.Generator
) -> Map:
    """Card on the desk as the lens projects it, sampled finely and averaged."""
    width, height = shot.size()
    fine = (width * SUPERSAMPLING, height * SUPERSAMPLING)
    enlarge = np.array(
        [[SUPERSAMPLING, 0, (SUPERSAMPLING - 1) / 2], [0, SUPERSAMPLING, (SUPERSAMPLING - 1) / 2], [0, 0, 1]]
    )
    page_mm = (card.shape[1] / px_per_mm, card.shape[0] / px_per_mm)
    view = enlarge @ matrix
    desk = draw_desk(page_mm, rng).seen_by(camera.weights())
    scene = cv2.warpPerspective(
        desk, view @ _raster_to_mm(DESK_PX_PER_MM, -DESK_MARGIN_MM), fine, flags=cv2.INTER_LINEAR
    )
    to_card = view @ _raster_to_mm(px_per_mm, 0.0)
    page = cv2.warpPerspective(card, to_card, fine, flags=cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    mask = cv2.warpPerspective(np.ones(card.shape[:2], np.float32), to_card, fine, flags=cv2.INTER_LINEAR)
    scene += mask[..., None] * (page - scene)
    return cv2.resize(scene, (width, height), interpolation=cv2.INTER_AREA)


def _raster_to_mm(px_per_mm: float, origin_mm: float) -> Array:
    """Matrix from raster points (centres at whole numbers) to card millimetres."""
    step = 1 / px_per_mm
    return np.array([[step, 0, origin_mm + step / 2], [0, step, origin_mm + step / 2], [0, 0, 1]])


def _light(shot: Shot) -> Map:
    """Light falling across the picture times the lens's own fall-off, 1 in the middle."""
    width, height = shot.size()
    y, x = np.mgrid[:height, :width].astype(np.float32)
    u, v = (x - width / 2) / (height / 2), (y - height / 2) / (height / 2)
    direction = np.radians(shot.light_direction_degree)
    along = u * np.cos(direction) + v * np.sin(direction)
    fall = 1 + shot.light_slope * along + 0.25 * shot.light_slope * along**2
    corner = np.square(u) + np.square(v)
    return (fall * (1 - shot.vignetting * corner / corner.max())).astype(np.float32)


def _noise(scene: Map, shot: Shot, rng: np.random.Generator) -> Map:
    """Photon and read-out noise, a little smeared by the colour filter's interpolation."""
    deviation = shot.noise * np.sqrt(np.maximum(scene, 0) + 0.01)
    grain = cv2.GaussianBlur(rng.standard_normal(scene.shape).astype(np.float32), (0, 0), 0.5)
    return deviation * (grain / grain.std())


def _expose(scene: Map, shot: Shot) -> Map:
    """Exposure: the brightest paper comes out just under full scale."""
    brightest = np.percentile(scene[..., 1], 99.5)
    return scene * (0.93 / brightest) if shot.noise else scene
