"""A pencil note on the card, in a single-stroke hand of our own."""

from __future__ import annotations

from itertools import pairwise

import cv2
import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import make_interp_spline

Array = NDArray[np.float64]

# Strokes of each letter: points as two hexadecimal digits, across and up; baseline 4, small letters to 9, tall to d.
LETTERS: dict[str, str] = {
    "a": "59 28 06 14 34 59/59 54 65",
    "b": "0d 04/08 29 47 45 24 04",
    "c": "48 29 06 14 34 45",
    "d": "59 28 06 14 34 55/5d 54",
    "e": "06 37 48 29 06 14 34 45",
    "g": "59 28 06 15 35 59/59 52 30 01",
    "h": "0d 04/07 29 48 44",
    "i": "09 04/0b 0c",
    "k": "0d 04/49 06/16 44",
    "l": "0d 06 14 25",
    "m": "09 04/07 19 38 34/37 59 78 74",
    "n": "09 04/07 29 48 44",
    "o": "29 07 05 24 45 47 29",
    "p": "09 00/08 29 47 45 24 05",
    "q": "59 28 06 14 35 59/59 50",
    "r": "09 04/07 19 38",
    "s": "48 29 08 36 45 24 05",
    "t": "1d 16 14 35/09 39",
    "u": "09 05 24 45/49 44",
    "v": "09 24 49",
    "w": "09 14 37 54 69",
    "y": "09 25/49 24 10",
    "B": "0d 04/0c 3d 4b 29 09/09 48 56 34 04",
    "C": "6b 4d 1b 07 25 44 65",
    "G": "6b 4d 1b 07 25 44 66/68 48",
    "P": "0d 04/0c 3d 5b 39 08",
    "R": "0d 04/0c 3d 5b 39 08/28 54",
    "V": "0d 34 6d",
    "W": "0d 24 4a 64 8d",
    "Y": "0d 39/6d 39/39 34",
    "0": "2d 0a 06 24 46 4a 2d",
    "1": "0b 2d/2d 24",
    "2": "0b 2d 4b 37 04/04 44",
    "3": "0c 2d 4b 29/29 47 35 04",
    "4": "3d 08/08 58/3b 34",
    "5": "4d 0d/0d 09/09 38 46 24 04",
    "6": "4d 19 06 24 45 37 06",
    "7": "0d 4d/4d 14",
    "8": "4b 2d 0b 29 46 24 05 18 4b",
    ":": "08 09/05 06",
}
PENCIL_COVER = 0.72
"""Darkness of graphite as a share of black ink."""


def write_note(
    coverage: NDArray[np.float32],
    text: str,
    start_mm: tuple[float, float],
    px_per_mm: float,
    rng: np.random.Generator,
    *,
    height_mm: float = 4.2,
) -> None:
    """Write a text into the ink coverage of a card, its baseline beginning at `start_mm`."""
    pencil = np.zeros(coverage.shape, np.uint8)
    unit = height_mm / 9 * px_per_mm
    x, baseline = start_mm[0] * px_per_mm, start_mm[1] * px_per_mm
    for letter in text:
        if letter == " ":
            x += 4.0 * unit
            continue
        strokes = [_points(stroke) for stroke in LETTERS[letter].split("/")]
        lift = 0.25 * rng.standard_normal() - 4
        for stroke in strokes:
            wobble = stroke + 0.16 * rng.standard_normal(stroke.shape) + (0, lift)
            slanted = wobble @ np.array([[1.0, 0.0], [0.16, 1.0]])
            line = np.array([x, baseline]) + _smooth(slanted) * unit * (1, -1)
            fixed = np.round(line * 16).astype(np.int32)[:, None]
            cv2.polylines(pencil, [fixed], False, 255, max(1, round(0.32 * px_per_mm)), cv2.LINE_AA, 4)
        x += (max(stroke[:, 0].max() for stroke in strokes) + 1.9 + 0.2 * rng.standard_normal()) * unit
    grain = 0.75 + 0.25 * rng.random(coverage.shape, np.float32)
    np.maximum(coverage, PENCIL_COVER * grain * pencil / 255, out=coverage)


def _points(stroke: str) -> Array:
    """Points of a stroke, across and up."""
    return np.array([[int(point[0], 16), int(point[1], 16)] for point in stroke.split()], float)


def _smooth(points: Array) -> Array:
    """The stroke as a hand rounds it."""
    if len(points) < 4:
        return points
    steps = np.concatenate([[0], np.cumsum([np.hypot(*(b - a)) for a, b in pairwise(points)])])
    return make_interp_spline(steps, points, k=2)(np.linspace(0, steps[-1], 8 * len(points)))
