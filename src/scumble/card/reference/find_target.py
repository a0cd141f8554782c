"""Find the patches of a reference target in a picture: from its four corners, or by looking for its grid.

The grid is looked for as flat places of one size that lie side by side in rows; which of its corners is the first is
told by the colours. Where that is not beyond doubt nothing is found, and a person points at the corners.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from scumble.card.find.lens import Lens
from scumble.card.picture.points import Picture
from scumble.card.reference.correction import colour_metric, fit_terms, root_terms
from scumble.errors import CardError
from scumble.paint.reference import PatchGrid, ReferenceTarget

Floats = NDArray[np.float64]

SEARCH_PX: Final = 1800
"""Longer side to which the picture is made small for the search."""

KEPT: Final = 0.5
"""Share of a patch's side, about its middle, that is read: corners are pointed at by hand."""

LEAST_FOUND: Final = 0.5
"""Share of the patches that must be seen as flat places."""

MOST_OFF_DE00: Final = 8.0
MUCH_WORSE: Final = 1.6
"""Mean colour difference up to which a grid may be the target, and how much worse any other way to lay it must be."""

FLAT_FILL: Final = 0.72
_NEXT: Final = ((1, 0), (-1, 0), (0, 1), (0, -1))


@dataclass(frozen=True, slots=True)
class TargetPlace:
    """Where a target lies.

    Parameters
    ----------
    grid : PatchGrid
        Its patches in rows and columns.
    to_straight : array, shape (3, 3)
        Homography from the grid (columns right, rows down, 1 a patch) to the picture behind a perfect lens.
    lens : Lens
        What the lens made of that.
    """

    grid: PatchGrid
    to_straight: Floats
    lens: Lens

    def to_px(self, cells: ArrayLike) -> Floats:
        """Picture points of places of the grid, shape (..., 2)."""
        return self.lens.curve(transform(self.to_straight, np.asarray(cells, dtype=np.float64)))

    @property
    def middles(self) -> Floats:
        """Middles of the patches on the grid, shape (patches, 2): column, row."""
        return np.asarray(self.grid.places[:, ::-1] + 0.5)

    @property
    def corners_px(self) -> Floats:
        """Outer corners of the grid in the picture, the first patch's first."""
        width, height = self.grid.columns, self.grid.rows
        return self.to_px([[0, 0], [width, 0], [width, height], [0, height]])


def transform(matrix: Floats, points: Floats) -> Floats:
    """Points through a homography, shape (..., 2)."""
    mapped = points @ matrix[:, :2].T + matrix[:, 2]
    return np.asarray(mapped[..., :2] / mapped[..., 2:])


def place_target(grid: PatchGrid, corners_px: ArrayLike, lens: Lens, size_px: tuple[int, int]) -> TargetPlace:
    """Lay the grid between four corners that a person pointed at.

    Parameters
    ----------
    grid : PatchGrid
        Of the target.
    corners_px : array, shape (4, 2) [px]
        Outer corner of the first patch, of the last of the first row, of the last patch, of the first of the last row.
    lens : Lens
        Of the picture.
    size_px : (int, int) [px]
        Of the picture.

    Raises
    ------
    CardError
        If they do not span a quadrilateral inside the picture.
    """
    import cv2

    corners = np.asarray(corners_px, dtype=np.float64)
    sides = np.roll(corners, -1, axis=0) - corners
    turns = sides[:, 0] * np.roll(sides, -1, axis=0)[:, 1] - sides[:, 1] * np.roll(sides, -1, axis=0)[:, 0]
    inside = np.all((corners >= -1.0) & (corners <= np.array(size_px)))
    least = 4.0 * np.array([grid.columns, grid.rows])
    if not inside or not (np.all(turns > 0) or np.all(turns < 0)):
        raise CardError(
            "The corners of the target do not span a four-sided figure inside the picture.",
            "Give the outer corners of its first patch, the end of the first row, the last patch and the start of the"
            " last row, in this order, in points of the upright picture.",
        )
    if np.all(turns < 0):
        raise CardError(
            "The corners of the target run the wrong way round.",
            "Start at its first patch and go along its first row.",
        )
    if np.linalg.norm(sides[0]) < least[0] or np.linalg.norm(sides[1]) < least[1]:
        raise CardError(
            "The target is too small in the picture.", "Its patches need at least 4 points, better 20."
        )
    cells = np.array([[0, 0], [grid.columns, 0], [grid.columns, grid.rows], [0, grid.rows]], np.float32)
    matrix = cv2.getPerspectiveTransform(cells, lens.straighten(corners).astype(np.float32))
    return TargetPlace(grid, np.asarray(matrix, dtype=np.float64), lens)


def find_target(
    picture: Picture, target: ReferenceTarget, grid: PatchGrid, lens: Lens, card_px: Floats
) -> TargetPlace | None:
    """Look for a target beside the card; ``None`` where it is not found beyond doubt.

    Parameters
    ----------
    picture : Picture
        The photograph.
    target, grid : ReferenceTarget, PatchGrid
        What is looked for.
    lens : Lens
        Of the picture.
    card_px : array, shape (4, 2) [px]
        Corners of the card, within which nothing is looked for.
    """
    small, scale = _made_small(picture)
    middles, sizes = _flat_places(small, card_px / scale)
    best: tuple[float, TargetPlace] | None = None
    tried: list[float] = []
    for cells, points in _lattices(middles, sizes):
        if len(cells) < LEAST_FOUND * len(grid.members):
            continue
        for place in _ways_to_lay(grid, cells, points * scale, lens):
            off = _colour_fit(picture, target, place)
            tried.append(off)
            if best is None or off < best[0]:
                best = off, place
        break
    if best is None or best[0] > MOST_OFF_DE00:
        return None
    others = sorted(tried)[1:]
    return best[1] if not others or others[0] > MUCH_WORSE * best[0] else None


def _made_small(picture: Picture) -> tuple[NDArray[np.uint8], float]:
    """Eight bits, near the eye's own steps, at most `SEARCH_PX` long; and points of the picture a point of it."""
    import cv2

    width, height = picture.size_px
    scale = max(max(width, height) / SEARCH_PX, 1.0)
    codes = (
        picture.codes
        if scale == 1.0
        else cv2.resize(
            picture.codes, (round(width / scale), round(height / scale)), interpolation=cv2.INTER_AREA
        )
    )
    light = picture.encoding.to_linear(np.asarray(codes).astype(picture.codes.dtype, copy=False))
    return np.round(255.0 * np.sqrt(np.clip(light, 0.0, 1.0))).astype(np.uint8), scale


def _flat_places(small: NDArray[np.uint8], card: Floats) -> tuple[Floats, Floats]:
    """Middles and sides of flat, roughly rectangular places outside the card [points of the small picture]."""
    import cv2

    smooth = cv2.bilateralFilter(small, 5, 20, 3)
    edges = np.zeros(small.shape[:2], np.uint8)
    for channel in range(3):
        own = cv2.Canny(np.ascontiguousarray(smooth[..., channel]), 18, 45)
        edges |= np.asarray(own, np.uint8)
    flat = np.asarray(cv2.dilate(edges, np.ones((3, 3), np.uint8)) == 0, np.uint8)
    cv2.fillConvexPoly(flat, np.round(card).astype(np.int32), 0)
    _, _, facts, middles = cv2.connectedComponentsWithStats(flat, connectivity=4)
    width, height, area = (facts[:, at].astype(np.float64) for at in (2, 3, 4))
    longest = max(small.shape[:2])
    kept = (
        (area > 25)
        & (np.maximum(width, height) < longest / 10)
        & (np.maximum(width, height) < 2.2 * np.minimum(width, height))
    )
    # A square that is turned fills half of the box around it.
    kept &= area > FLAT_FILL * 0.62 * width * height
    return middles[kept], np.sqrt(area[kept])


def _lattices(middles: Floats, sizes: Floats) -> Iterator[tuple[NDArray[np.intp], Floats]]:
    """Sets of places that lie in rows and columns, the largest first: cells (column, row) and points."""
    left = np.ones(len(middles), bool)
    found = []
    for _ in range(6):
        grown = [_grow(middles, sizes, start, left) for start in _starts(middles, sizes, left)]
        largest = max(grown, key=len, default={})
        if len(largest) < 12:
            break
        members = np.array([*largest.values()])
        left[members] = False
        found.append((np.array([*largest], dtype=np.intp), middles[members]))
    yield from sorted(found, key=lambda each: -len(each[0]))


def _starts(middles: Floats, sizes: Floats, left: NDArray[np.bool_], count: int = 12) -> list[int]:
    """Places to start from: those with most others of their size near by."""
    at = np.flatnonzero(left)
    if len(at) < 12:
        return []
    away = np.linalg.norm(middles[at][:, None] - middles[at], axis=-1)
    alike = np.abs(np.log(sizes[at][:, None] / sizes[at])) < 0.35
    near = (alike & (away < 4.0 * sizes[at][:, None])).sum(axis=1)
    return [int(each) for each in at[np.argsort(-near)[:count]]]


def _grow(middles: Floats, sizes: Floats, start: int, left: NDArray[np.bool_]) -> dict[tuple[int, int], int]:
    """Cells reached from a place by steps along rows and columns."""
    away = middles - middles[start]
    distance = np.linalg.norm(away, axis=1)
    alike = left & (np.abs(np.log(sizes / sizes[start])) < 0.5) & (distance > 0)
    near = [int(each) for each in np.argsort(np.where(alike, distance, np.inf))[:6] if alike[each]]
    for first in near:
        across = [
            other
            for other in near
            if abs(away[first] @ away[other]) < 0.35 * distance[first] * distance[other]
            and abs(np.log(distance[other] / distance[first])) < 0.35
        ]
        if across:
            return _spread(middles, alike, start, away[first], away[across[0]])
    return {}


def _spread(
    middles: Floats, alike: NDArray[np.bool_], start: int, along: Floats, across: Floats
) -> dict[tuple[int, int], int]:
    # Columns to the right and rows down, so that a mirrored grid cannot be taken for a turned one.
    if along[0] * across[1] - along[1] * across[0] < 0:
        across = -across
    cells = {(0, 0): start}
    steps = {(0, 0): (along, across)}
    queue = [(0, 0)]
    taken = {start}
    while queue and len(cells) < 4000:
        cell = queue.pop(0)
        one, other = steps[cell]
        for column, row in _NEXT:
            new = cell[0] + column, cell[1] + row
            if new in cells:
                continue
            step = column * one + row * other
            off = np.linalg.norm(middles - middles[cells[cell]] - step, axis=1)
            off[~alike] = np.inf
            nearest = int(np.argmin(off))
            if off[nearest] > 0.22 * np.linalg.norm(step) or nearest in taken:
                continue
            moved = middles[nearest] - middles[cells[cell]]
            own = (
                (0.5 * one + 0.5 * moved * column, other)
                if column
                else (one, 0.5 * other + 0.5 * moved * row)
            )
            cells[new], steps[new] = nearest, own
            taken.add(nearest)
            queue.append(new)
    return cells


def _ways_to_lay(
    grid: PatchGrid, cells: NDArray[np.intp], points_px: Floats, lens: Lens
) -> Iterator[TargetPlace]:
    """All turns and shifts by which the grid covers the places found."""
    import cv2

    straight = lens.straighten(points_px)
    for turn in range(4):
        turned = cells
        for _ in range(turn):
            turned = np.stack([-turned[:, 1], turned[:, 0]], axis=1)
        turned = turned - turned.min(axis=0)
        spare = np.array([grid.columns, grid.rows]) - turned.max(axis=0) - 1
        if spare.min() < 0 or spare.max() > 3:
            continue
        for shift in np.ndindex(int(spare[0]) + 1, int(spare[1]) + 1):
            matrix, _ = cv2.findHomography(turned + np.array(shift) + 0.5, straight, cv2.RANSAC, 4.0)
            if matrix is not None:
                yield TargetPlace(grid, np.asarray(matrix, dtype=np.float64), lens)


def _colour_fit(picture: Picture, target: ReferenceTarget, place: TargetPlace) -> float:
    """Mean colour difference when the patches so laid are led to the target's colours by a matrix [dE00]."""
    at = np.round(place.to_px(place.middles)).astype(int)
    if np.any(at < 1) or np.any(at >= np.array(picture.size_px) - 1):
        return np.inf
    near = [(x, y) for y in (-1, 0, 1) for x in (-1, 0, 1)]
    codes = np.stack([picture.codes[at[:, 1] + y, at[:, 0] + x] for x, y in near], axis=1)
    light = np.asarray(picture.encoding.to_linear(codes).mean(axis=1), dtype=np.float64)
    xyz = target.xyz[place.grid.members]
    found = fit_terms(root_terms(light, 1), xyz, colour_metric(xyz), np.ones(len(xyz)), degree=1, ridge=1e-6)
    return float(np.mean(found.residual))
