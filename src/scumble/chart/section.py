"""A block cut from a painting: the cut face shows ground and films, the surface above it steps down film by film.

Raking light comes from the left, so every film throws a shadow on the step to its right. Lengths down are screen
pixels; lengths across are thousandths of the drawing's width, whatever that is.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import ArrayLike, NDArray

from scumble.chart.brush import write_coordinate

Floats = NDArray[np.float64]

LEFT, RIGHT = 24.0, 908.0
"""Ends of the cut face, thousandths of the width."""

BACK_X, BACK_Y = 72.0, -84.0
"""Way from the cut edge of the surface to its far edge."""

GROUND_HEIGHT, SHORTEST, AIR = 64.0, 350.0, 12.0
"""Cut face of the ground, the drawing at its shortest, and the air above the highest film [pixel]."""

COAT_HEIGHT, HEIGHT_POWER = 92.0, 0.6
"""Height of one coat, and the power of coats by which height grows: thin glazes stay thick enough to be seen."""

STEPS_WIDTH, WIDEST_STEP, BEVEL = 430.0, 150.0, 20.0
"""Room for all steps, the widest one, and the way over which a film rounds off."""

ROUNDING = np.array([0.75, 0.5, 0.3, 0.15, 0.05, 0.0])
"""Places along that way, counted from the film's end."""

GRAINS_PER_COAT, MOST_GRAINS = 150, 260
FIBRES = 46
STREAKS = 7


@dataclass(frozen=True, slots=True)
class Surface:
    """Screen colours of a brushed surface."""

    furrow: str
    body: str
    ridge: str


@dataclass(frozen=True, slots=True)
class Slab:
    """One film of the block.

    Parameters
    ----------
    coats : float [coat]
        Thickness.
    body : str
        Screen colour of its cut face.
    grains : tuple of (str, float)
        Screen colour of each paint's grains, and its share of the film, 0-1.
    surface : Surface
        What is seen from above when nothing lies on it.
    """

    coats: float
    body: str
    grains: tuple[tuple[str, float], ...]
    surface: Surface


@dataclass(frozen=True, slots=True)
class Section:
    """A drawn block.

    Parameters
    ----------
    svg : str
        Shapes for a box of 1000 by ``height`` that is stretched sideways.
    height : float [pixel]
        Of the drawing.
    edges : tuple of (float, float)
        A place on the top edge of each film, lowest first: hundredths of the width, and pixels from the top.
    """

    svg: str
    height: float
    edges: tuple[tuple[float, float], ...]


def film_height(coats: float) -> float:
    """Height of a film on the drawing [pixel].

    Examples
    --------
    >>> round(film_height(1.0)), round(film_height(0.1))
    (92, 23)
    """
    return float(COAT_HEIGHT * coats**HEIGHT_POWER)


def draw_section(ground: Surface, slabs: tuple[Slab, ...], *, shortest: float = SHORTEST) -> Section:
    """Draw a block.

    Parameters
    ----------
    ground : Surface
        The bare ground.
    slabs : tuple of Slab
        Lowest first.
    shortest : float [pixel]
        Height of the drawing where its films need no more, so that it keeps its size while they change.
    """
    heights = [film_height(slab.coats) for slab in slabs]
    height = max(shortest, AIR - BACK_Y + GROUND_HEIGHT + sum(heights) + 8.0)
    floor = height - GROUND_HEIGHT - 6.0
    rng = np.random.default_rng(7)
    across = np.linspace(LEFT, RIGHT, 34)
    top = floor + _wander(across, rng, 1.4)
    drawn = [_draw_ground(ground, across, top, height, rng)]
    step = min(WIDEST_STEP, STEPS_WIDTH / max(len(slabs), 1))
    edges = []
    for at, (slab, tall) in enumerate(zip(slabs, heights, strict=True)):
        rng = np.random.default_rng(100 + at)
        end = RIGHT - step * (at + 1)
        x = np.concatenate([np.linspace(LEFT, end - BEVEL, 28), end - BEVEL * ROUNDING])
        below = np.interp(x, across, top)
        relief = 1.0 + _wander(x, rng, min(0.07, 3.0 / tall))
        rounded = np.sqrt(1.0 - np.clip((x - end + BEVEL) / BEVEL, 0.0, 1.0) ** 2)
        crest = below - tall * relief * rounded
        drawn.append(_draw_slab(slab, x, below, crest, tall, 200 + at))
        grip = 50.0 + 135.0 * ((len(slabs) - 1 - at) % 4)
        edges.append((grip / 10.0, float(np.interp(grip, x, crest))))
        beyond = across > end
        across, top = np.append(x, across[beyond]), np.append(crest, top[beyond])
    return Section("".join(drawn), height, tuple(edges))


def _wander(x: Floats, rng: np.random.Generator, size: float) -> Floats:
    """A slow, irregular wave."""
    waves = (np.sin(x / reach + rng.uniform(0.0, 6.3)) for reach in rng.uniform(22.0, 120.0, 4))
    return np.asarray(size * sum(waves) / 2.5)


def _draw_ground(surface: Surface, x: Floats, top: Floats, height: float, rng: np.random.Generator) -> str:
    foot = height - 6.0 + _wander(x, rng, 1.6)
    face = _area(x, top, foot)
    fibres = ""
    for tone, opacity in (("#000000", 0.13), ("#ffffff", 0.16)):
        path = _fibres(float(top.mean()), height, rng)
        fibres += f'<path d="{path}" fill="none" stroke="{tone}" stroke-opacity="{opacity}"/>'
    return (
        f'<path d="{_sheet(x, top)}" fill="{surface.body}"/>'
        f'<path d="{face}" fill="{surface.body}"/><path d="{face}" fill="#000000" fill-opacity="0.1"/>{fibres}'
        f'<path d="{_side(x[-1], top[-1], foot[-1])}" fill="{surface.body}"/>'
        f'<path d="{_side(x[-1], top[-1], foot[-1])}" fill="#000000" fill-opacity="0.34"/>'
    )


def _draw_slab(slab: Slab, x: Floats, below: Floats, crest: Floats, tall: float, seed: int) -> str:
    surface, face = slab.surface, _area(x, crest, below)
    parts = [
        f'<path d="{_shadow(x[-1], below[-1], tall)}" fill="#000000" fill-opacity="0.2"/>',
        f'<path d="{_sheet(x, crest)}" fill="{surface.body}"/>',
        _streaks(surface, x, crest, np.random.default_rng(seed)),
        f'<path d="{_sheet(x[-8:], crest[-8:])}" fill="#000000" fill-opacity="0.16"/>',
        f'<path d="{face}" fill="{slab.body}"/>',
        _grains(slab, x, below, crest, tall, seed),
        f'<path d="{_line(x, below)}" fill="none" stroke="#000000" stroke-opacity="0.4"/>',
        f'<path d="{_line(x, crest)}" fill="none" stroke="#ffffff" stroke-opacity="0.55"/>',
    ]
    return "".join(parts)


def _streaks(surface: Surface, x: Floats, crest: Floats, rng: np.random.Generator) -> str:
    """Furrows and ridges along the way of the brush."""
    deep = (np.arange(STREAKS) + rng.uniform(0.2, 0.8, STREAKS)) / STREAKS
    start = LEFT + rng.uniform(0.0, 90.0, STREAKS)
    end = float(x[-8]) - rng.uniform(0.0, 60.0, STREAKS)
    along = start[:, None] + (end - start)[:, None] * np.linspace(0.0, 1.0, 9)
    y = np.interp(along, x, crest) + deep[:, None] * BACK_Y + rng.normal(0.0, 0.5, along.shape)
    wide = rng.uniform(0.8, 3.6, (STREAKS, 1)) * np.sin(np.linspace(0.25, 2.9, 9))
    along += deep[:, None] * BACK_X
    points = np.stack(
        [np.hstack([along, along[:, ::-1]]), np.hstack([y - wide, (y + wide)[:, ::-1]])], axis=-1
    )
    return "".join(
        f'<path d="{_shapes(points[first::2])}" fill="{colour}"/>'
        for first, colour in enumerate((surface.furrow, surface.ridge))
    )


@cache
def _strewn(seed: int) -> tuple[Floats, Floats]:
    """Where grains lie in a film, how large each is and which paint's; and their shapes."""
    rng = np.random.default_rng(seed)
    turn = np.arange(5) * 2.0 * np.pi / 5
    outline = np.stack([1.3 * np.cos(turn), np.sin(turn)], axis=-1)
    return rng.uniform(size=(MOST_GRAINS, 4)), outline * (1.0 + rng.normal(0.0, 0.22, (MOST_GRAINS, 5, 1)))


def _grains(slab: Slab, x: Floats, below: Floats, crest: Floats, tall: float, seed: int) -> str:
    """Grains of each paint as one path; a thicker film shows more of the same ones."""
    wanted = int(min(GRAINS_PER_COAT * tall / COAT_HEIGHT, MOST_GRAINS))
    lying, shapes = _strewn(seed)
    u, v, size, chance = lying[:wanted].T
    radius = np.minimum(1.1 + 3.0 * size**3, 0.3 * tall)
    across = LEFT + 4.0 + u * (float(x[-1]) - BEVEL - LEFT - 6.0)
    under, over = np.interp(across, x, below) - radius, np.interp(across, x, crest) + radius
    middle = np.stack([across, under + v * (over - under)], axis=-1)
    points = middle[:, None, :] + radius[:, None, None] * shapes[:wanted]
    paint = np.searchsorted(np.cumsum([share for _, share in slab.grains]), chance, side="right")
    return "".join(
        f'<path d="{_shapes(points[paint == at])}" fill="{colour}"/>'
        for at, (colour, _) in enumerate(slab.grains)
    )


def _fibres(top: float, height: float, rng: np.random.Generator) -> str:
    path = ""
    for _ in range(FIBRES // 2):
        x, y = rng.uniform(LEFT + 10.0, RIGHT - 50.0), rng.uniform(top + 8.0, height - 12.0)
        bend, way = rng.normal(0.0, 4.0, 2), rng.uniform(14.0, 44.0)
        numbers = (way / 2, bend[0], way, bend[1])
        path += f"M{write_coordinate(x)} {write_coordinate(y)}q" + " ".join(map(write_coordinate, numbers))
    return path


def _sheet(x: Floats, front: Floats) -> str:
    """The surface between a front edge and the same edge further back."""
    there = np.concatenate([x, (x + BACK_X)[::-1]])
    return _path(there, np.concatenate([front, (front + BACK_Y)[::-1]])) + "z"


def _side(x: float, top: float, foot: float) -> str:
    return _path([x, x + BACK_X, x + BACK_X, x], [top, top + BACK_Y, foot + BACK_Y, foot]) + "z"


def _shadow(x: float, y: float, tall: float) -> str:
    long = min(8.0 + 0.45 * tall, 60.0)
    return (
        _path([x - 6.0, x + long, x + long + BACK_X, x - 6.0 + BACK_X], [y, y, y + BACK_Y, y + BACK_Y]) + "z"
    )


def _area(x: Floats, top: Floats, foot: Floats) -> str:
    return _path(np.concatenate([x, x[::-1]]), np.concatenate([top, foot[::-1]])) + "z"


def _line(x: Floats, y: Floats) -> str:
    return _path(x, y)


def _path(x: ArrayLike, y: ArrayLike) -> str:
    points = np.stack([np.asarray(x), np.asarray(y)], axis=-1)
    return "M" + ("%.0f,%.1f " * len(points)) % tuple(points.ravel())


def _shapes(points: Floats) -> str:
    """Closed shapes of equally many points as one path; ``points`` has shape (shapes, points, 2)."""
    one = "M" + "%.1f,%.1f " * points.shape[1] + "z"
    return str((one * len(points)) % tuple(points.ravel()))
