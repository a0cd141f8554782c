"""What lies in an area besides its film: drips, pinholes, dust, hairs and spots, told by their colour and shape."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]

DARK: Final = 0.006
DIM: Final = 0.03
"""Light added before logarithms are taken, by itself and as a share of the highest channel: steps of 8 bits and noise
in the dark, and in channels next to nothing."""

OUTLYING: Final = 3.5
STEEP: Final = 6.0
"""Standard deviations, of the area's own spread and of its own fine grain, beyond which a cell is not of the film."""

LEAST_OUTLYING: Final = 0.10
LEAST_STEEP: Final = 0.07
"""Relative difference below which it always is."""

STEP: Final = 0.0015
"""Light by which a cell's mean may differ in the dark: steps of 8 bits, grain, blocks of a JPEG."""

WORTH_A_WORD: Final = 3.0
LITTLE: Final = 0.01
"""Times the limits, and share of the area, below which what was left out is not worth a word."""

SURE: Final = 2.0
"""Times those limits from which a cell counts by itself; below it only with a neighbour."""

ALONG: Final = 0.3
"""Share of its difference by which a place may leave the line on which the film's own ridges lie, and still be one."""

RIDGE: Final = 2.0
"""Times the limits up to which a place on that line is a ridge."""

HOLE: Final = 0.06
"""Share of the way to the bare ground from which a place shows it."""

ASIDE: Final = 0.45
"""Share of its difference by which a hole may miss that way: ragged paint around it, its own shadow."""

LARGE_MM2: Final = 4.0
SLENDER: Final = 0.3
"""Area over the square of the longer side below which a spot is a hair."""

NEAR_EDGE_MM: Final = 1.0
MOST_LEFT_OUT: Final = 0.45
"""Share beyond which what is left is no longer surely the film."""


@dataclass(frozen=True, slots=True)
class Flaw:
    """One kind of thing that lies in an area.

    Parameters
    ----------
    kind : str
        ``drip``, ``pinholes``, ``gap``, ``dust``, ``hair``, ``spot`` or ``shine``.
    count : int
        How many.
    share : float [1]
        Of the area.
    where : str
        In words.
    """

    kind: str
    count: int
    share: float
    where: str


@dataclass(frozen=True, slots=True)
class Closer:
    """An area after a close look.

    Parameters
    ----------
    film : array of bool, shape (rows, columns)
        Cells that show the film.
    flaws : tuple of Flaw
        What the others show.
    """

    film: Mask
    flaws: tuple[Flaw, ...]

    @property
    def left_out(self) -> float:
        """Share of the area left out of its average."""
        return float(1.0 - self.film.mean())


def look_closely(cells: Floats, cell_mm: tuple[float, float], *, ground: Floats | None = None) -> Closer:
    """Tell an area's film from what lies in it.

    Parameters
    ----------
    cells : array, shape (rows, columns, 3) [1]
        Light against the paper; not a number where nothing was seen.
    cell_mm : (float, float) [mm]
        Width and height of a cell.
    ground : array, shape (3,), optional
        Light of the bare ground below.

    Notes
    -----
    A film's own unevenness moves its colour along one line, by as much on one side as on the other; whatever lies
    beyond 3.5 of its deviations (median ones, so that up to half of the area may be spoilt), or stands out of its
    surroundings by six deviations of the fine grain, is something else. Its shape and its colour say what.
    """
    seen = np.asarray(np.isfinite(cells).all(axis=-1))
    if seen.sum() < 25:
        return Closer(seen, ())
    own = _strangeness(cells, seen)
    spots = _spots(own.strange)
    light = np.where(seen[..., None], cells, own.middle)
    found = [spot for spot in spots if not own.is_ridge(spot)]
    named = [(_name(light, spot, cell_mm, own.middle, ground), spot) for spot in found]
    film = seen & ~_grown(np.any(found, axis=0) if found else np.zeros_like(seen))
    return Closer(film, _together(named, cell_mm, own.strange))


@dataclass(frozen=True, slots=True)
class _Strangeness:
    """How far each cell is from the film's own colour, in units of what is allowed."""

    middle: Floats
    away: Floats
    strange: Floats
    line: Floats

    def is_ridge(self, spot: Mask) -> bool:
        """Whether a spot is the film itself, thicker or thinner: a little off, along its own line."""
        if self.strange[spot].max() > RIDGE:
            return False
        mean = self.away[spot].mean(axis=0)
        return bool(np.linalg.norm(mean - (mean @ self.line) * self.line) <= ALONG * np.linalg.norm(mean))


def _strangeness(cells: Floats, seen: Mask) -> _Strangeness:
    import cv2

    middle = np.median(cells[seen], axis=0)
    filled = np.where(seen[..., None], cells, middle)
    dark = DARK + DIM * float(middle.max())
    away = np.log(np.maximum(filled, 0.0) + dark) - np.log(np.maximum(middle, 0.0) + dark)
    around = np.stack(
        [cv2.medianBlur(np.ascontiguousarray(away[..., k], np.float32), 5) for k in range(3)], axis=-1
    )
    fine = away - around
    dim = STEP / (np.maximum(middle, 0.0) + dark)
    broad = np.abs(away) / np.maximum(OUTLYING * _spread(away[seen]), LEAST_OUTLYING + dim)
    steep = np.abs(fine) / np.maximum(STEEP * _spread(np.asarray(fine[seen], np.float64)), LEAST_STEEP + dim)
    strange = np.where(seen, np.maximum(broad, steep).max(axis=-1), 0.0)
    usual = away[seen & (strange < 1.0)]
    spread = np.linalg.eigh(np.cov(usual.T))[1] if len(usual) > 3 else np.eye(3)
    return _Strangeness(middle, away, strange, spread[:, -1])


def _spread(values: Floats) -> Floats:
    """Standard deviation by the median one, per channel."""
    return np.asarray(1.4826 * np.median(np.abs(values - np.median(values, axis=0)), axis=0))


def _spots(strange: Floats) -> list[Mask]:
    """Cells that hang together and are strange: two of them, or one beyond doubt."""
    import cv2

    count, labels = cv2.connectedComponents((strange > 1.0).astype(np.uint8), connectivity=8)
    spots = [np.asarray(labels == number) for number in range(1, count)]
    return [spot for spot in spots if spot.sum() > 1 or strange[spot].max() > SURE]


def _grown(mask: Mask) -> Mask:
    """A mask and the cells beside it: blur carries a spot's colour there."""
    import cv2

    return np.asarray(cv2.dilate(mask.astype(np.uint8), np.ones((3, 3), np.uint8)) > 0)


def _name(
    light: Floats, spot: Mask, cell_mm: tuple[float, float], middle: Floats, ground: Floats | None
) -> str:
    """What a spot is, by its size, shape, place and colour."""
    rows, columns = np.nonzero(spot)
    wide, tall = np.ptp(columns) + 1, np.ptp(rows) + 1
    area = float(spot.sum() * cell_mm[0] * cell_mm[1])
    large = area >= LARGE_MM2
    mean = light[spot].mean(axis=0) - middle
    if ground is not None and _towards(mean, ground - middle):
        if not large:
            return "pinholes"
        return "gap" if _reaches(light[spot], middle, ground) else "shine" if mean.min() > 0 else "spot"
    longest = max(float(wide), float(tall))
    slender = float(spot.sum()) / longest**2 < SLENDER
    if slender and min(area, longest) > 4.0 and area < 3 * LARGE_MM2 and not _at_edge(spot, cell_mm):
        return "hair"
    if not large:
        return "dust"
    if mean.min() > 0.02 and np.ptp(mean) < 0.5 * mean.max():
        return "shine"
    return "drip" if _at_edge(spot, cell_mm) else "hair" if slender else "spot"


def _towards(mean: Floats, way: Floats) -> bool:
    """Whether a difference leads to the bare ground."""
    length = float(way @ way)
    if length < 0.02**2:
        return False
    share = float(mean @ way) / length
    return share > HOLE and bool(np.linalg.norm(mean - share * way) < ASIDE * np.linalg.norm(mean))


def _reaches(light: Floats, middle: Floats, ground: Floats) -> bool:
    """Whether the middle of a spot gets most of the way to the bare ground."""
    way = ground - middle
    return float(np.median((light - middle) @ way) / (way @ way)) > 0.6


def _at_edge(spot: Mask, cell_mm: tuple[float, float]) -> bool:
    rim = [max(1, round(NEAR_EDGE_MM / side)) for side in (cell_mm[1], cell_mm[0])]
    inner = spot[rim[0] : -rim[0], rim[1] : -rim[1]]
    return bool(spot.sum() > inner.sum())


def _together(
    named: list[tuple[str, Mask]], cell_mm: tuple[float, float], strange: Floats
) -> tuple[Flaw, ...]:
    """Spots of one kind as one flaw, the largest first; those hardly worth a word are left unsaid."""
    flaws = []
    for kind in dict.fromkeys(name for name, _ in named):
        spots = [spot for name, spot in named if name == kind]
        whole = np.any(spots, axis=0)
        if whole.mean() < LITTLE and strange[whole].max() < WORTH_A_WORD:
            continue
        largest = max(spots, key=np.sum)
        edge = _at_edge(largest, cell_mm)
        flaws.append(Flaw(kind, len(spots), float(whole.mean()), place_in_words(largest, edge=edge)))
    return tuple(sorted(flaws, key=lambda flaw: -flaw.share))


def place_in_words(spot: Mask, *, edge: bool = False) -> str:
    """Where in its area something lies, the card upright.

    Examples
    --------
    >>> spot = np.zeros((9, 9), bool)
    >>> spot[8, 1] = True
    >>> place_in_words(spot, edge=True), place_in_words(np.ones((9, 9), bool))
    ('lower left edge', 'middle')
    """
    down, right = (
        (np.mean(places) + 0.5) / size for places, size in zip(np.nonzero(spot), spot.shape, strict=True)
    )
    upright = "upper" if down < 0.4 else "lower" if down > 0.6 else ""
    across = "left" if right < 0.4 else "right" if right > 0.6 else ""
    words = " ".join(word for word in (upright, across) if word)
    return f"{words} edge" if edge and words else f"{words} part" if words else "middle"
