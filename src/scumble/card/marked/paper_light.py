"""The light on a hand-painted chart, as the boxes on its bare paper show it, and how a box is sampled."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from scumble.card.find.lens import Lens, lens_of_picture
from scumble.card.light.sampling import Sample, robust_centre, sample_box
from scumble.card.marked.boxes import MarkedBox
from scumble.card.picture.points import Picture
from scumble.card.sheet.box import Box
from scumble.errors import CardError

Floats = NDArray[np.float64]

INSET: Final = 0.12
"""Share of a box's shorter side that is left off all round: boxes are drawn by eye."""

TILES: Final = 8.0
"""Tiles across the shorter side of a box; they stand for the 2 mm of a printed card."""

UNSEEN_LIGHT: Final = 0.03
"""Relative error of a light that was seen at one place only (*common practice, no source*: daylight beside a window
falls off by some per cent across a page)."""

UNCHECKED_LIGHT: Final = 0.01
"""The same where a plane was laid through three places: what bends away from it is not seen (*common practice, no
source*)."""


@dataclass(frozen=True, slots=True)
class FlatPlace:
    """A chart in its picture: nothing tells its size or its tilt, so that lengths are points of the picture.

    Parameters
    ----------
    size_px : (int, int) [px]
        Of the picture.
    block_px : array, shape (4, 2) [px]
        Corners of the rectangle that holds every box.
    """

    size_px: tuple[int, int]
    block_px: Floats

    @property
    def lens(self) -> Lens:
        """A perfect one, for want of marks that would show its bend."""
        return lens_of_picture(self.size_px)

    def to_mm(self, points_px: ArrayLike) -> Floats:
        """Points of the picture, as they are."""
        return np.asarray(points_px, dtype=np.float64)


@dataclass(frozen=True, slots=True)
class PlaneLight:
    """Light on the paper as a plane of logarithms over the picture.

    Parameters
    ----------
    coefficients : array, shape (terms, 3)
        Level, and slopes to the right and down where they were seen.
    size_px : (int, int) [px]
        Of the picture.
    places_mm : array, shape (papers, 2) [px]
        Where paper was seen; see `FlatPlace`.
    residual : float [1]
        Relative error of the light at a box.
    unevenness : float [1]
        Brightest over darkest box, in green.
    """

    coefficients: Floats
    size_px: tuple[int, int]
    places_mm: Floats
    residual: float
    unevenness: float

    @property
    def middle_mm(self) -> Floats:
        """Middle of the papers [px]."""
        return np.asarray(self.places_mm.mean(axis=0), dtype=np.float64)

    @property
    def is_even(self) -> bool:
        """Whether it is taken to be even, for want of places that would show a slope."""
        return len(self.coefficients) == 1

    def paper_at(self, places_mm: ArrayLike) -> Floats:
        """Linear channels that bare paper has at places of the picture, shape (..., 3)."""
        places = np.asarray(places_mm, dtype=np.float64)
        return np.asarray(np.exp(_plane(places, self.size_px, len(self.coefficients)) @ self.coefficients))


@dataclass(frozen=True, slots=True)
class _Tiled:
    """The picture as its own map, so that a box is sampled as on a card: the unit is a quarter of a tile's side."""

    unit_px: float

    def to_px(self, points: ArrayLike) -> Floats:
        return np.asarray(points, dtype=np.float64) * self.unit_px

    def to_mm(self, points_px: ArrayLike) -> Floats:
        return np.asarray(points_px, dtype=np.float64) / self.unit_px

    def outline_px(self, box: Box) -> Floats:
        return self.to_px(box.corners_mm)


def place_flat(boxes: Sequence[MarkedBox], size_px: tuple[int, int]) -> FlatPlace:
    """Where a chart lies, as its boxes say."""
    corners = np.array([box.outline_px for box in boxes]).reshape(-1, 2)
    (left, top), (right, bottom) = corners.min(axis=0), corners.max(axis=0)
    return FlatPlace(size_px, np.array([[left, top], [right, top], [right, bottom], [left, bottom]]))


def sample_marked(picture: Picture, box: MarkedBox) -> tuple[Sample, Floats]:
    """Sample a box without its rim, and say where its tiles lie in the picture [px]."""
    unit = min(box.size_px) * (1.0 - 2.0 * INSET) / (2.0 * TILES)
    rim = INSET * min(box.size_px)
    inner = Box(*box.corner_px, *box.size_px).shrunk(rim)
    scaled = Box(inner.x_mm / unit, inner.y_mm / unit, inner.width_mm / unit, inner.height_mm / unit)
    sample = sample_box(picture, _Tiled(unit), scaled)
    return sample, sample.centres_mm * unit


def read_light(picture: Picture, boxes: Sequence[MarkedBox]) -> PlaneLight:
    """A plane through the bare paper where three boxes or more span one, else one level.

    Raises
    ------
    CardError
        If the paper is overexposed.
    """
    paper = [box for box in boxes if box.is_paper]
    levels = np.array([_paper_level(picture, box) for box in paper])
    middles = np.array([box.middle_px for box in paper])
    terms = 3 if len(paper) >= 3 and _span(middles, picture.size_px) else 1
    plane = _plane(middles, picture.size_px, terms)
    coefficients = np.asarray(np.linalg.lstsq(plane, levels, rcond=None)[0], np.float64)
    # With as many boxes as unknowns nothing is left over to judge the light by.
    spare = len(paper) - terms
    unchecked = UNSEEN_LIGHT if terms == 1 else UNCHECKED_LIGHT
    missed = float(np.sqrt(np.mean((plane @ coefficients - levels) ** 2))) if spare else unchecked
    every = _plane(np.array([box.middle_px for box in boxes]), picture.size_px, terms) @ coefficients
    return PlaneLight(coefficients, picture.size_px, middles, missed, float(np.exp(np.ptp(every[:, 1]))))


def _paper_level(picture: Picture, box: MarkedBox) -> Floats:
    """Logarithm of the paper's light in a box, shape (3,)."""
    sample, _ = sample_marked(picture, box)
    if sample.clipped > 0.02:
        raise CardError(
            f"The bare paper in box {box.name} is overexposed: its white is at the end of the picture's scale.",
            "Photograph the chart again a little darker, or mark other paper.",
        )
    return np.asarray(np.log(np.maximum(robust_centre(sample.tiles)[0], 1e-6)))


def _span(middles: Floats, size_px: tuple[int, int]) -> bool:
    """Whether places lie wide enough apart, both ways, to tell a slope from noise."""
    spread = np.linalg.svd((middles - middles.mean(axis=0)) / max(size_px), compute_uv=False)
    return bool(spread[-1] > 0.08)


def _plane(places_px: Floats, size_px: tuple[int, int], terms: int) -> Floats:
    away = places_px / np.array(size_px) - 0.5
    return np.concatenate([np.ones((*away.shape[:-1], 1)), away], axis=-1)[..., :terms]
