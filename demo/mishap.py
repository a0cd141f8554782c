"""What happens to a card on a kitchen table: splashes of paint, a torn corner, a thumb over one."""

from __future__ import annotations

import cv2
import numpy as np
from numpy.typing import NDArray

from demo.conditions import Mishaps
from demo.paints import WAVELENGTH_NM

Map = NDArray[np.float32]
Array = NDArray[np.float64]

SKIN: Array = 0.22 + 0.36 / (1 + np.exp(-(WAVELENGTH_NM - 590) / 22)) + 0.00035 * (WAVELENGTH_NM - 550)
"""Reflectance of an invented thumb: rises beyond the blood's green bands."""


def splash_mask(size_px: tuple[int, int], px_per_mm: float, count: int, rng: np.random.Generator) -> Map:
    """Share of paint of drops flung over the page, most of them small, shape (height, width)."""
    mask = np.zeros(size_px[::-1], np.uint8)
    for _ in range(count):
        radius = float(np.exp(rng.normal(0.0, 0.5))) * px_per_mm
        x, y = rng.uniform(0, size_px[0]), rng.uniform(0, size_px[1])
        turn = np.linspace(0, 2 * np.pi, 48, endpoint=False)
        waves = rng.normal(0, 0.10, 4) @ np.array(
            [np.cos(k * turn + rng.uniform(0, 6)) for k in (2, 3, 4, 5)]
        )
        outline = np.stack(
            [x + radius * (1 + waves) * np.cos(turn), y + radius * (1 + waves) * np.sin(turn)], -1
        )
        cv2.fillPoly(mask, [np.round(outline * 16).astype(np.int32)], 255, cv2.LINE_AA, 4)
    return mask.astype(np.float32) / 255


def corners_mm(page_mm: tuple[float, float]) -> list[tuple[float, float]]:
    """Corners of the page, clockwise from the top left."""
    return [(0.0, 0.0), (page_mm[0], 0.0), page_mm, (0.0, page_mm[1])]


def paper_left(size_px: tuple[int, int], px_per_mm: float, mishaps: Mishaps, rng: np.random.Generator) -> Map:
    """Share of paper at each point of the page: 0 where a corner is torn off along a ragged line."""
    left = np.full(size_px[::-1], 255, np.uint8)
    if mishaps.corner == "torn":
        x, y = corners_mm((size_px[0] / px_per_mm, size_px[1] / px_per_mm))[mishaps.corner_number]
        into_x, into_y = (1 if x == 0 else -1), (1 if y == 0 else -1)
        share = np.linspace(0, 1, 60)
        ragged = cv2.GaussianBlur(rng.normal(0, 1.6, (1, 60)), (0, 0), 1.2)[0]
        tear_x = x + into_x * ((1 - share) * mishaps.corner_mm + ragged)
        tear_y = y + into_y * (share * 1.2 * mishaps.corner_mm + ragged)
        outline = np.vstack([[x - into_x, y - into_y], np.stack([tear_x, tear_y], axis=-1)]) * px_per_mm
        cv2.fillPoly(left, [np.round(outline * 16).astype(np.int32)], 0, cv2.LINE_AA, 4)
    return left.astype(np.float32) / 255


def thumb_mask(mishaps: Mishaps, page_mm: tuple[float, float], place_mm: Array) -> Array:
    """Share of a thumb that lies over a corner from outside, at places of the card [mm], shape (...)."""
    if mishaps.corner != "covered":
        return np.zeros(place_mm.shape[:-1])
    corner = np.array(corners_mm(page_mm)[mishaps.corner_number])
    inward = np.array([1 if corner[0] == 0 else -1, 1 if corner[1] == 0 else -1]) / np.sqrt(2)
    across = np.array([-inward[1], inward[0]])
    tip = corner + (mishaps.corner_mm - 11) * inward
    along, aside = (place_mm - tip) @ inward, (place_mm - tip) @ across
    distance = np.hypot(np.maximum(along, 0.0), aside) - 11.0
    return 1 / (1 + np.exp(np.clip(3.0 * distance, -40, 40)))
