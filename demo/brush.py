"""How a hand with a bristle brush lays a film in the boxes of a card: thickness maps with ridges and ragged edges."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

Map = NDArray[np.float32]

RIDGES = 0.065
"""Relative standard deviation of thickness inside one area."""
AREA_JITTER = 0.05
"""Relative standard deviation of the mean thickness from one area of a stroke to the next."""
MARGIN_MM = 3.0
"""How far beyond its boxes a stroke is considered."""


@dataclass(frozen=True)
class Stroke:
    """One film laid in one go over one area or over a run of touching areas.

    Parameters
    ----------
    film : str
        Name of the film in the card's map.
    areas : tuple of dict
        The areas it covers, as in the map, in order along the stroke.
    """

    film: str
    areas: tuple[dict[str, Any], ...]

    def box_mm(self) -> tuple[float, float, float, float]:
        """Left, top, right and bottom of the run of areas."""
        boxes = np.array([area["box_mm"] for area in self.areas], float)
        left_top = boxes[:, :2].min(axis=0)
        right_bottom = (boxes[:, :2] + boxes[:, 2:]).max(axis=0)
        return (*left_top.tolist(), *right_bottom.tolist())


def strokes_of(card_map: dict[str, Any], *, touching_mm: float = 4.0) -> list[Stroke]:
    """Group the painted areas of a card into strokes: same film, side by side in one row or column."""
    strokes: list[Stroke] = []
    for area in card_map["areas"]:
        if area["film"] == "bare":
            continue
        last = strokes[-1] if strokes else None
        if last and last.film == area["film"] and _touch(last.areas[-1], area, touching_mm):
            strokes[-1] = Stroke(last.film, (*last.areas, area))
        else:
            strokes.append(Stroke(area["film"], (area,)))
    return strokes


def _touch(first: dict[str, Any], second: dict[str, Any], gap_mm: float) -> bool:
    """Whether two boxes lie in one row or column with at most `gap_mm` between them."""
    (x1, y1, w1, h1), (x2, y2, w2, h2) = first["box_mm"], second["box_mm"]
    in_row = abs(y1 - y2) < 1 and abs(h1 - h2) < 1 and -1 < x2 - (x1 + w1) < gap_mm
    in_column = abs(x1 - x2) < 1 and abs(w1 - w2) < 1 and -1 < y2 - (y1 + h1) < gap_mm
    return in_row or in_column


@dataclass(frozen=True)
class Layer:
    """A painted stroke on the raster.

    Parameters
    ----------
    top, left : int
        Raster position of the maps.
    thickness : array, shape (height, width) [coat]
        Thickness of the film.
    cover : array, shape (height, width)
        Share of each point that carries paint at all [0-1].
    area_thickness : dict
        Mean thickness of each area [coat], as laid.
    """

    top: int
    left: int
    thickness: Map
    cover: Map
    area_thickness: dict[str, float]


def lay_stroke(stroke: Stroke, thickness: float, px_per_mm: float, rng: np.random.Generator) -> Layer:
    """Lay one stroke of a mean thickness [coat] and give its maps."""
    left, top, right, bottom = stroke.box_mm()
    upright = bottom - top > right - left
    length, breadth = (bottom - top, right - left) if upright else (right - left, bottom - top)
    along = round((length + 2 * MARGIN_MM) * px_per_mm)
    across = round((breadth + 2 * MARGIN_MM) * px_per_mm)
    inside = _distance_inside(along, across, px_per_mm, rng)
    # The outermost millimetre: paint thins out over a quarter of it and stands a little proud just behind.
    bead = 0.10 * np.exp(-(((inside - 0.7) / 0.4) ** 2)) - 0.75 * np.exp(-np.maximum(inside, 0) / 0.12)
    steps, means = _area_steps(stroke, thickness, along, upright, px_per_mm, rng)
    film = steps[None, :] * _ridges(along, across, px_per_mm, rng) * (1 + bead.astype(np.float32))
    cover = np.clip(inside * px_per_mm + 0.5, 0, 1).astype(np.float32)
    if upright:
        film, cover = film.T, cover.T
    return Layer(
        round((top - MARGIN_MM) * px_per_mm),
        round((left - MARGIN_MM) * px_per_mm),
        np.ascontiguousarray(film, np.float32),
        np.ascontiguousarray(cover, np.float32),
        means,
    )


def _area_steps(
    stroke: Stroke,
    thickness: float,
    along: int,
    upright: bool,
    px_per_mm: float,
    rng: np.random.Generator,
) -> tuple[Map, dict[str, float]]:
    """Thickness along the stroke, drifting softly from one area's mean to the next, and those means."""
    axis = 1 if upright else 0
    jitter = thickness * np.exp(AREA_JITTER * rng.standard_normal(len(stroke.areas)))
    start = min(area["box_mm"][axis] for area in stroke.areas) - MARGIN_MM
    position = start + np.arange(along) / px_per_mm
    ends = [area["box_mm"][axis] + area["box_mm"][axis + 2] for area in stroke.areas]
    order = np.minimum(np.searchsorted(ends, position), len(ends) - 1)
    steps = cv2.GaussianBlur(jitter[order].astype(np.float32)[None, :], (0, 0), 1.2 * px_per_mm)[0]
    means = {area["area"]: float(mean) for area, mean in zip(stroke.areas, jitter, strict=True)}
    return steps, means


def _distance_inside(along: int, across: int, px_per_mm: float, rng: np.random.Generator) -> Map:
    """Distance inside the ragged outline of the stroke [mm], negative outside, shape (across, along)."""
    x = np.arange(along, dtype=np.float32) / px_per_mm - MARGIN_MM
    y = np.arange(across, dtype=np.float32)[:, None] / px_per_mm - MARGIN_MM
    reach, span = x[-1] - MARGIN_MM, y[-1, 0] - MARGIN_MM
    wander = 0.28 * _wave(along, 6.0 * px_per_mm, rng, 2) + 0.05 * _wave(along, 0.6 * px_per_mm, rng, 2)
    bristles = 0.40 * _wave(across, 2.2 * px_per_mm, rng, 2) + 0.12 * _wave(across, 0.3 * px_per_mm, rng, 2)
    sides = (y - 0.2 - wander[0], span - 0.2 - y - wander[1])
    ends = (x - 0.5 - bristles[0][:, None], reach - 0.5 - x - bristles[1][:, None])
    # The brush lifts off at the far end: the film breaks up into the tracks of single bristles.
    tracks = texture(along, across, 3.0 * px_per_mm, 0.17 * px_per_mm, rng)
    lifting = 0.45 * tracks * np.exp(-np.maximum(ends[1], 0) / 0.9)
    return _soft_minimum(*sides, ends[0], ends[1] + lifting)


def _soft_minimum(*distances: Map) -> Map:
    """Smallest of some distances [mm], rounded off where two are alike (as a brush rounds a corner)."""
    sharpness = 4.0
    total = sum(np.exp(-sharpness * np.clip(distance, -9, 9)) for distance in distances)
    return (-np.log(total) / sharpness).astype(np.float32)


def _wave(length: int, correlation_px: float, rng: np.random.Generator, count: int) -> Map:
    """Smooth random lines of unit standard deviation."""
    noise = rng.standard_normal((count, length)).astype(np.float32)
    smooth = [cv2.GaussianBlur(line[None, :], (0, 0), correlation_px)[0] for line in noise]
    return np.array([(line - line.mean()) / line.std() for line in smooth], np.float32)


def _ridges(along: int, across: int, px_per_mm: float, rng: np.random.Generator) -> Map:
    """Log-normal thickness factor of mean 1: long bristle furrows, broad streaks and soft blotches."""
    field = np.zeros((across, along), np.float32)
    for share, length_mm, width_mm in (
        (0.55, 9.0, 0.16),
        (0.6, 14.0, 0.5),
        (0.45, 20.0, 1.6),
        (0.35, 3.5, 3.0),
    ):
        field += share * texture(along, across, length_mm * px_per_mm, width_mm * px_per_mm, rng)
    field /= field.std()
    return np.exp(RIDGES * field - RIDGES**2 / 2)


def texture(along: int, across: int, length_px: float, width_px: float, rng: np.random.Generator) -> Map:
    """White noise smeared along the stroke, unit standard deviation; coarse smears are made small and enlarged."""
    shrink = (max(1, int(length_px / 4)), max(1, int(width_px / 4)))
    small = (across // shrink[1] + 8, along // shrink[0] + 8)
    noise = rng.standard_normal(small).astype(np.float32)
    noise = cv2.GaussianBlur(noise, (0, 0), length_px / shrink[0], sigmaY=width_px / shrink[1])
    noise = (noise - noise.mean()) / noise.std()
    enlarged = cv2.resize(noise, None, fx=shrink[0], fy=shrink[1], interpolation=cv2.INTER_CUBIC)
    row, column = 4 * shrink[1] // 2, 4 * shrink[0] // 2
    return enlarged[row : row + across, column : column + along]


def thickness_errors(films: Sequence[str], rng: np.random.Generator) -> dict[str, float]:
    """Factor by which each film came out thicker or thinner than asked: 15 % for tints, 25 % for thin strokes."""
    spread = {film: 0.25 if film.startswith("thin") else 0.15 for film in films}
    return {film: float(np.exp(sigma * rng.standard_normal())) for film, sigma in spread.items()}
