"""The table a card lies on: planed boards, and the sheet's soft shadow on them."""

from __future__ import annotations

from dataclasses import dataclass

import cv2
import numpy as np
from numpy.typing import NDArray

Map = NDArray[np.float32]
Array = NDArray[np.float64]

DESK_MARGIN_MM = 160.0
DESK_PX_PER_MM = 4.0


@dataclass(frozen=True)
class Desk:
    """A table top around and under a page, beginning `DESK_MARGIN_MM` left of and above it.

    Parameters
    ----------
    wood : array, shape (height, width)
        Grain, 0 dark to 1 light.
    shade : array, shape (height, width)
        Light left beside the sheet [0-1].
    """

    wood: Map
    shade: Map

    def seen_by(self, weights: Array) -> Map:
        """Channels under even light, shape (height, width, channels), from band weights (36, channels)."""
        light = (np.linspace(0.17, 0.40, 36) @ weights).astype(np.float32)
        dark = (np.linspace(0.06, 0.22, 36) @ weights).astype(np.float32)
        return (dark + self.wood[..., None] * (light - dark)) * self.shade[..., None]


def draw_desk(page_mm: tuple[float, float], rng: np.random.Generator) -> Desk:
    """Wooden boards around and under the card, with the soft shadow of the sheet."""
    size = [round((side + 2 * DESK_MARGIN_MM) * DESK_PX_PER_MM) for side in page_mm]
    wood = _boards(size[0], size[1], rng)
    shadow = np.zeros(wood.shape, np.float32)
    low = round((DESK_MARGIN_MM + 0.8) * DESK_PX_PER_MM)
    far = [round((DESK_MARGIN_MM + side + 0.9) * DESK_PX_PER_MM) for side in page_mm]
    shadow[low : far[1], low : far[0]] = 1
    return Desk(wood, 1 - 0.55 * cv2.GaussianBlur(shadow, (0, 0), 0.9 * DESK_PX_PER_MM))


def _boards(width: int, height: int, rng: np.random.Generator) -> Map:
    """Grain of planed boards, 0 dark to 1 light."""
    board_px = 95 * DESK_PX_PER_MM
    grain = np.zeros((height, width), np.float32)
    seam = np.zeros((height, width), np.float32)
    top = -int(rng.uniform(0, board_px))
    while top < height:
        rows = slice(max(top, 0), min(int(top + board_px), height))
        grain[rows] = _one_board(width, rows.stop - rows.start, rng)
        seam[max(top, 0) : max(top, 0) + 3] = 1
        top += int(board_px)
    return np.clip(grain - 0.9 * cv2.GaussianBlur(seam, (0, 0), 1.2), 0, 1)


def _one_board(width: int, height: int, rng: np.random.Generator) -> Map:
    """Growth rings cut lengthwise, bent by slow noise, with fine pores along the grain."""
    y = np.arange(height, dtype=np.float32)[:, None] / DESK_PX_PER_MM
    bend = cv2.resize(
        rng.standard_normal((4, 5)).astype(np.float32), (width, height), interpolation=cv2.INTER_CUBIC
    )
    depth = y + 7 * bend + rng.uniform(0, 50)
    rings = 0.5 + 0.5 * np.sin(depth * 2 * np.pi / rng.uniform(7, 11) + 1.5 * np.sin(depth / 6))
    pores = cv2.GaussianBlur(
        rng.standard_normal((height, width // 16 + 1)).astype(np.float32), (0, 0), 1.5, sigmaY=0.8
    )
    pores = cv2.resize(pores, (width, height), interpolation=cv2.INTER_LINEAR)
    return np.clip(0.62 + rng.uniform(-0.08, 0.08) - 0.30 * rings**3 + 0.18 * pores, 0, 1).astype(np.float32)
