"""The light of one box of the card: means of small tiles, in linear light, straight from the picture's own points."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final, Protocol

import numpy as np
from numpy.typing import ArrayLike, NDArray

from scumble.card.picture.points import Picture
from scumble.card.sheet.geometry import Box

Floats = NDArray[np.float64]

TILE_MM: Final = 2.0
"""Side of a tile: wider than a brush's furrows, so that a tile shows the film and not a ridge."""

CELLS_A_TILE: Final = 4
"""Cells along the side of a tile: half a millimetre shows a pinhole, a bristle, the edge of a drip."""

POINTS_A_CELL: Final = 6.0
"""Picture points in a cell below which cells are made larger."""

TOLERATED: Final = 0.1
"""Relative deviation that a tile may always have from the middle one."""

_BRIGHT: Final = 254 / 255
_DARK: Final = 1.5 / 255
"""Shares of the highest code at which a channel counts as clipped."""


class Places(Protocol):
    """Where places lie in a picture: a card that was found in it, or the picture itself."""

    def to_px(self, points_mm: ArrayLike, /) -> Floats:
        """From the card to the picture, shape (..., 2)."""

    def to_mm(self, points_px: ArrayLike, /) -> Floats:
        """From the picture to the card, shape (..., 2)."""

    def outline_px(self, box: Box, /) -> Floats:
        """Corners of a box in the picture, shape (4, 2)."""


@dataclass(frozen=True, slots=True)
class Sample:
    """What the picture shows of a box.

    Parameters
    ----------
    tiles : array, shape (tiles, 3)
        Mean linear channels of each tile.
    centres_mm : array, shape (tiles, 2) [mm]
        Where the tiles lie on the card.
    points : int
        Picture points used.
    inside : float [1]
        Share of the box that lies inside the picture.
    clipped : float [1]
        Share of points with a channel at the upper end.
    cut_off : three floats [1]
        Share of points with each channel at the lower end.
    cells : array, shape (rows, columns, 3)
        Mean linear channels of cells of half a millimetre, not a number where the picture has no point.
    cell_mm : (float, float) [mm]
        Width and height of a cell.
    corner_mm : (float, float) [mm]
        Top left corner of the cells on the card.
    """

    tiles: Floats
    centres_mm: Floats
    points: int
    inside: float
    clipped: float
    cut_off: tuple[float, float, float]
    cells: Floats
    cell_mm: tuple[float, float]
    corner_mm: tuple[float, float]

    @property
    def cell_centres_mm(self) -> Floats:
        """Where the cells lie on the card, shape (rows, columns, 2) [mm]."""
        rows, columns = self.cells.shape[:2]
        steps = np.stack(np.meshgrid(np.arange(columns) + 0.5, np.arange(rows) + 0.5), axis=-1)
        return np.asarray(steps * self.cell_mm + self.corner_mm)


def sample_box(picture: Picture, placement: Places, box: Box) -> Sample:
    """Average the picture over the tiles of a box.

    Parameters
    ----------
    picture : Picture
        The photograph.
    placement : Places
        Where the card lies in it.
    box : Box
        What to look at; give it without its edges.
    """
    codes, places = _points_in(picture, placement, box)
    columns, rows = (max(1, round(side / TILE_MM)) for side in (box.width_mm, box.height_mm))
    points = len(codes)
    finer = _cells_a_side(points / (columns * rows))
    step = np.array([box.width_mm / columns, box.height_mm / rows])
    across = finer * columns
    cell = np.minimum((places // (step / finer)).astype(int), [across - 1, finer * rows - 1]) @ [1, across]
    light = picture.encoding.to_linear(codes)
    size = finer * rows * across
    count = np.bincount(cell, minlength=size).reshape(finer * rows, across)
    sums = np.stack([np.bincount(cell, light[:, channel], minlength=size) for channel in range(3)], axis=-1)
    sums = sums.reshape(finer * rows, across, 3)
    tiles, of_tile = (_pooled(each, finer) for each in (sums, count))
    used = of_tile > 0
    centres = (np.argwhere(np.ones((rows, columns)))[:, ::-1] + 0.5) * step + (box.x_mm, box.y_mm)
    cells = np.divide(sums, count[..., None], out=np.full(sums.shape, np.nan), where=count[..., None] > 0)
    return Sample(
        tiles[used] / of_tile[used][:, None],
        centres[used.ravel()],
        points,
        _share_inside(picture, placement, box),
        float(np.mean((codes >= _BRIGHT * picture.highest).any(axis=1))) if points else 0.0,
        _cut_off(codes, picture.highest),
        cells,
        (float(step[0]) / finer, float(step[1]) / finer),
        (box.x_mm, box.y_mm),
    )


def _cells_a_side(points_a_tile: float) -> int:
    """Cells along the side of a tile that still hold enough points."""
    return int(np.clip(np.sqrt(points_a_tile / POINTS_A_CELL), 1, CELLS_A_TILE))


def _pooled(cells: NDArray[np.generic], finer: int) -> Floats:
    """Sums of cells over their tiles."""
    rows, columns = cells.shape[0] // finer, cells.shape[1] // finer
    return np.asarray(
        cells.reshape(rows, finer, columns, finer, *cells.shape[2:]).sum(axis=(1, 3)), np.float64
    )


def _cut_off(codes: NDArray[np.integer], highest: int) -> tuple[float, float, float]:
    """Share of points with each channel at the lower end."""
    if not len(codes):
        return 0.0, 0.0, 0.0
    red, green, blue = np.mean(codes <= _DARK * highest, axis=0).tolist()
    return red, green, blue


def _points_in(
    picture: Picture, placement: Places, box: Box
) -> tuple[NDArray[np.integer], NDArray[np.float64]]:
    """Code values of all picture points in a box, shape (points, 3), and where they lie in it [mm]."""
    corners = placement.outline_px(box)
    width, height = picture.size_px
    left, top = np.clip(np.floor(corners.min(axis=0)), 0, (width, height)).astype(int)
    right, bottom = np.clip(np.ceil(corners.max(axis=0)) + 1, 0, (width, height)).astype(int)
    rows, columns = np.mgrid[top:bottom, left:right]
    places = placement.to_mm(np.stack([columns.ravel(), rows.ravel()], axis=-1)) - (box.x_mm, box.y_mm)
    inside = np.all((places >= 0.0) & (places < (box.width_mm, box.height_mm)), axis=1)
    codes = picture.codes[top:bottom, left:right].reshape(-1, 3)
    return codes[inside], places[inside]


def _share_inside(picture: Picture, placement: Places, box: Box) -> float:
    """Share of a box inside the picture, from a grid of places."""
    steps = np.linspace(0.0, 1.0, 9)
    grid = np.stack(np.meshgrid(box.x_mm + box.width_mm * steps, box.y_mm + box.height_mm * steps), axis=-1)
    places = placement.to_px(grid)
    size = np.array(picture.size_px) - 1
    return float(np.mean(np.all((places >= 0) & (places <= size), axis=-1)))


def robust_centre(tiles: Floats) -> tuple[Floats, float, NDArray[np.bool_]]:
    """Mean of the tiles that agree with most, how they scatter, and which they are.

    Dust, pinholes and points of glare leave the mean; ridges and streaks stay in it, for an instrument would
    average them too.

    Parameters
    ----------
    tiles : array, shape (tiles, 3)
        Linear channels.

    Returns
    -------
    centre : array, shape (3,)
        Mean of the agreeing tiles.
    scatter : float [1]
        Their relative standard deviation in the sum of the channels.
    agreeing : array of bool, shape (tiles,)
        Which tiles entered.

    Examples
    --------
    >>> centre, scatter, agreeing = robust_centre(np.array([[0.2, 0.2, 0.2]] * 9 + [[0.9, 0.9, 0.9]]))
    >>> centre.round(3).tolist(), round(scatter, 3), int(agreeing.sum())
    ([0.2, 0.2, 0.2], 0.0, 9)
    """
    brightness = tiles.sum(axis=1)
    middle = np.median(brightness)
    # 1.4826 makes the median deviation of a normal distribution its standard deviation.
    spread = 1.4826 * np.median(np.abs(brightness - middle))
    agreeing = np.asarray(np.abs(brightness - middle) <= max(3.5 * spread, TOLERATED * middle))
    kept = tiles[agreeing]
    scatter = kept.sum(axis=1).std() / max(kept.sum(axis=1).mean(), 1e-9)
    return np.asarray(kept.mean(axis=0)), float(scatter), agreeing
