"""A study to paint from, invented: a lemon, an apple, a plum and a green bottle on a cloth, drawn by formulas."""

from __future__ import annotations

from pathlib import Path

import cv2
import numpy as np
from numpy.typing import NDArray
from PIL import Image

Array = NDArray[np.float64]

SIZE_PX = (1280, 960)
LIGHT = np.array([-0.55, -0.62, 0.56])
"""Towards the light: left, up, out of the picture."""

WALL, CLOTH = (0.46, 0.37, 0.27), (0.36, 0.47, 0.60)
"""Linear sRGB; so are those below."""

FRUIT = (
    ("lemon", (0.30, 0.72), (0.125, 0.100), (0.88, 0.66, 0.07)),
    ("apple", (0.52, 0.69), (0.125, 0.150), (0.58, 0.055, 0.035)),
    ("plum", (0.40, 0.82), (0.085, 0.095), (0.10, 0.045, 0.16)),
)
"""Name, middle and half axes as shares of the picture's width and height, colour in full light."""


def draw_study(*, seed: int) -> Image.Image:
    """The study as an sRGB picture; the same for the same seed."""
    rng = np.random.default_rng(seed)
    width, height = SIZE_PX
    y, x = np.mgrid[0:height, 0:width] / np.array([height, width])[:, None, None]
    picture = _wall(x, y)
    picture = _blend(picture, _cloth(x, y), _step(y, 0.585 + 0.012 * np.sin(7.0 * x), 0.004))
    for _, middle, axes, _ in FRUIT:
        picture *= 1.0 - 0.62 * _shadow(x, y, middle, axes)[..., None]
    picture *= 1.0 - 0.5 * _shadow(x, y, (0.76, 0.80), (0.075, 0.06))[..., None]
    picture = _bottle(picture, x, y)
    for name, middle, axes, colour in FRUIT:
        picture = _fruit(picture, x, y, middle, axes, np.array(colour), speckled=name != "plum")
    grain = cv2.GaussianBlur(rng.standard_normal((height, width)), (0, 0), 1.2)
    picture = np.clip(picture * (1.0 + 0.02 * grain[..., None]), 0.0, 1.0)
    codes = np.where(picture <= 0.0031308, 12.92 * picture, 1.055 * picture ** (1 / 2.4) - 0.055)
    return Image.fromarray(np.round(255 * codes).astype(np.uint8))


def write_study(path: Path, *, seed: int) -> None:
    """Write it as a JPEG."""
    draw_study(seed=seed).save(path, quality=88)


def _wall(x: Array, y: Array) -> Array:
    light = 0.30 + 0.85 * np.exp(-((x - 0.05) ** 2 / 0.35 + (y - 0.15) ** 2 / 0.5))
    return np.array(WALL) * light[..., None]


def _cloth(x: Array, y: Array) -> Array:
    folds = 0.10 * np.sin(14.0 * x + 9.0 * y) * np.sin(5.0 * x - 3.0) + 0.06 * np.sin(31.0 * x - 17.0 * y)
    light = 0.95 - 0.45 * x + folds + 0.25 * (y - 0.6)
    stripe = _step(np.abs(np.mod(x * 1.3 + 0.9 * (y - 0.58), 0.42) - 0.21), 0.17, 0.006)
    colour = _blend(np.broadcast_to(np.array(CLOTH), (*x.shape, 3)), np.array([0.80, 0.77, 0.70]), stripe)
    return colour * light[..., None]


def _shadow(x: Array, y: Array, middle: tuple[float, float], axes: tuple[float, float]) -> Array:
    across = (x - middle[0] - 0.10) / (axes[0] * 1.45)
    down = (y - middle[1] - axes[1] * 0.72) / (axes[1] * 0.55)
    return 1.0 - _step(across**2 + down**2, 0.8, 0.35)


def _fruit(
    picture: Array,
    x: Array,
    y: Array,
    middle: tuple[float, float],
    axes: tuple[float, float],
    colour: Array,
    *,
    speckled: bool,
) -> Array:
    u, v = (x - middle[0]) / axes[0], (y - middle[1]) / axes[1]
    away = u**2 + v**2
    w = np.sqrt(np.clip(1.0 - away, 0.0, 1.0))
    lit = np.clip(u * LIGHT[0] + v * LIGHT[1] + w * LIGHT[2], 0.0, 1.0)
    thrown = 0.10 * np.clip(v, 0.0, 1.0) * (1.0 - w)
    body = colour * (0.07 + 0.95 * lit)[..., None] + np.array(CLOTH) * thrown[..., None]
    if speckled:
        turn = np.array([0.25, 0.30, 0.02]) * np.exp(-((u + 0.1) ** 2 + (v + 0.85) ** 2) / 0.12)[..., None]
        body = body + turn * lit[..., None] * 0.6
    shine = np.clip((lit - 0.955) / 0.045, 0.0, 1.0) ** 2
    body = body + 0.75 * shine[..., None]
    return _blend(picture, body, 1.0 - _step(away, 1.0, 0.02))


def _bottle(picture: Array, x: Array, y: Array) -> Array:
    u, v = (x - 0.76) / 0.075, y
    shoulder = np.interp(y, [0.14, 0.34, 0.44, 0.80], [0.34, 0.34, 1.0, 1.0])
    inside = (1.0 - _step(np.abs(u) / shoulder, 1.0, 0.03)) * _step(v, 0.15, 0.003)
    inside *= 1.0 - _step(v, 0.80 + 0.02 * np.sqrt(np.clip(1 - u**2, 0, 1)), 0.004)
    round_ = np.sqrt(np.clip(1.0 - (u / shoulder) ** 2, 0.0, 1.0))
    glass = np.array([0.03, 0.13, 0.055]) * (0.35 + 0.9 * round_ - 0.35 * (u / shoulder))[..., None]
    glow = np.exp(-(((u / shoulder) - 0.55) ** 2) / 0.03)[..., None] * np.array([0.05, 0.20, 0.06])
    shine = (
        np.exp(-(((u / shoulder) + 0.55) ** 2) / 0.006) * _step(v, 0.42, 0.02) * (1 - _step(v, 0.62, 0.02))
    )
    return _blend(picture, glass + glow + 0.55 * shine[..., None], inside)


def _step(value: Array, at: float | Array, soft: float) -> Array:
    share = np.clip((value - at) / soft + 0.5, 0.0, 1.0)
    return np.asarray(share * share * (3.0 - 2.0 * share))


def _blend(below: Array, above: Array, share: Array) -> Array:
    return below + (above - below) * share[..., None]
