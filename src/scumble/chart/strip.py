"""A painted strip: one stroke from masstone to undertone across a black bar, and beside it its steps into white."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from scumble.chart.brush import (
    Ridge,
    Stroke,
    bristle_ridges,
    dab_outline,
    dab_thread,
    stroke_outline,
    write_coordinate,
)

Floats = NDArray[np.float64]
Box = tuple[float, float, float, float]

THREADS_PER_DAB = 3
"""Ridges drawn on each step into white."""


@dataclass(frozen=True, slots=True)
class StripColours:
    """Screen colours of a strip, sRGB 0-1.

    Parameters
    ----------
    over_white, over_black : array, shape (levels, stops, 3)
        Colour of thin to thick ridges (first axis, odd in number) at even steps along the stroke.
    tints : array, shape (steps, 3, 3)
        Steps into white, each as a thin, a middling and a thick film; none leaves them out.
    white, black : array, shape (3,)
        The bare ground and the bare bar.
    """

    over_white: Floats
    over_black: Floats
    tints: Floats
    white: Floats
    black: Floats


@dataclass(frozen=True, slots=True)
class StripShape:
    """How a strip is laid out, in drawing units.

    Parameters
    ----------
    width, height : float
        Of the whole drawing.
    stroke : Stroke
        Where the stroke lies.
    bar : (x, y, width, height)
        The black bar.
    dabs : tuple of (x, y, width, height)
        Where the steps into white lie; as many are drawn as there are boxes and tints.
    """

    width: float
    height: float
    stroke: Stroke
    bar: Box
    dabs: tuple[Box, ...]


HANGING = StripShape(
    width=152,
    height=330,
    stroke=Stroke(14, 16, 80, 298, runs_down=True),
    bar=(0, 46, 152, 34),
    dabs=tuple((108.0, 98.0 + 36.4 * step, 30.0, 31.0) for step in range(6)),
)
"""For a wall: drawn downwards, so that the bars of neighbours join into one."""

LYING = StripShape(
    width=1160,
    height=226,
    stroke=Stroke(24, 32, 1112, 152, runs_down=False),
    bar=(0, 120, 1160, 92),
    dabs=(),
)
"""For a page of one paint: drawn from left to right with its lower part on the bar, so that every thickness is
seen over both."""

NARROW = StripShape(
    width=400,
    height=168,
    stroke=Stroke(8, 22, 384, 112, runs_down=False),
    bar=(0, 88, 400, 66),
    dabs=(),
)
"""The lying strip for a narrow screen; its ticks fall where the wide one's do."""


def draw_strip(colours: StripColours, shape: StripShape, *, seed: int) -> str:
    """Draw a strip as an SVG document.

    Parameters
    ----------
    colours : StripColours
        What every thickness looks like.
    shape : StripShape
        Where things lie, e.g. :data:`HANGING`.
    seed : int
        Decides the hand; the same seed draws the same strip.

    Returns
    -------
    str
        A whole document of some 8 kB that refers to nothing outside itself.
    """
    rng = np.random.default_rng(seed)
    levels = colours.over_white.shape[0]
    outline = stroke_outline(shape.stroke, rng)
    ridges = bristle_ridges(shape.stroke, levels, rng)
    width, height = write_coordinate(shape.width), write_coordinate(shape.height)
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" width="{width}" height="{height}">',
        "<defs>",
        *_gradients("w", colours.over_white, shape.stroke),
        *_gradients("k", _only_on_bar(colours.over_black, shape), shape.stroke),
        _bodies(outline, ridges, levels),
        f'<clipPath id="bar"><path d="{_rectangle(shape.bar)}"/></clipPath>',
        "</defs>",
        f'<path d="{_rectangle((0, 0, shape.width, shape.height))}" fill="{write_colour(colours.white)}"/>',
        f'<path d="{_rectangle(shape.bar)}" fill="{write_colour(colours.black)}"/>',
        _film("w", levels, ridges),
        f'<g clip-path="url(#bar)" stroke="url(#k{levels // 2})">{_film("k", levels, ridges)}</g>',
        *(_dab(box, tint, rng) for box, tint in zip(shape.dabs, colours.tints, strict=False)),
        "</svg>",
    ]
    return "".join(parts)


def draw_steps(colours: StripColours, *, seed: int) -> str:
    """Draw the steps into white alone, side by side on the bare ground, as an SVG document.

    Parameters
    ----------
    colours : StripColours
        Of which the tints and the white are drawn.
    seed : int
        Decides the hand.
    """
    rng = np.random.default_rng(seed)
    pitch, height = 193.0, 104.0
    width = write_coordinate(pitch * max(len(colours.tints), 1))
    dabs = [
        _dab((pitch * step + 14.0, 12.0, pitch - 28.0, height - 24.0), tint, rng)
        for step, tint in enumerate(colours.tints)
    ]
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height:g}" width="{width}" height="{height:g}">'
        f'<path d="M0 0h{width}v{height:g}h-{width}z" fill="{write_colour(colours.white)}"/>{"".join(dabs)}</svg>'
    )


def write_colour(colour: ArrayLike) -> str:
    """One screen colour as ``#rrggbb``, from sRGB 0-1.

    Examples
    --------
    >>> write_colour([1.0, 0.5, 0.0])
    '#ff8000'
    """
    steps = np.rint(np.clip(np.asarray(colour, dtype=np.float64), 0.0, 1.0) * 255).astype(int)
    return "#" + "".join(f"{step:02x}" for step in steps)


def _gradients(name: str, colours: Floats, stroke: Stroke) -> list[str]:
    """One gradient a level, along the way of the brush."""
    (x1, y1), (x2, y2) = stroke.place(0.0, 0.0), stroke.place(stroke.length, 0.0)
    ends = " ".join(
        f'{key}="{write_coordinate(at)}"'
        for key, at in zip(("x1", "y1", "x2", "y2"), (x1, y1, x2, y2), strict=True)
    )
    return [
        f'<linearGradient id="{name}{level}" gradientUnits="userSpaceOnUse" {ends}>{_stops(row)}</linearGradient>'
        for level, row in enumerate(colours)
    ]


def _only_on_bar(colours: Floats, shape: StripShape) -> Floats:
    """Colours over black, held still beyond the bar, where they are not seen and need no stops."""
    x, y, width, height = shape.bar
    stroke, last = shape.stroke, colours.shape[1] - 1
    first_edge, size = (y - stroke.y, height) if stroke.runs_down else (x - stroke.x, width)
    first = int(np.clip(np.floor(first_edge / stroke.length * last), 0, last))
    final = int(np.clip(np.ceil((first_edge + size) / stroke.length * last), first, last))
    return colours[:, np.clip(np.arange(last + 1), first, final)]


def _stops(row: Floats) -> str:
    """Colour stops at even steps; those that repeat both neighbours are left out."""
    written, last = [write_colour(colour) for colour in row], len(row) - 1
    return "".join(
        f'<stop offset="{f"{at / last:.3f}".rstrip("0").rstrip(".")}" stop-color="{colour}"/>'
        for at, colour in enumerate(written)
        if at in (0, last) or not written[at - 1] == colour == written[at + 1]
    )


def _bodies(outline: str, ridges: tuple[Ridge, ...], levels: int) -> str:
    """The stroke's outline, and all ridges of one level as one path."""
    paths = {
        level: "".join(ridge.path for ridge in ridges if ridge.level == level) for level in range(levels)
    }
    drawn = [f'<path id="r{level}" d="{path}"/>' for level, path in paths.items() if path]
    return f'<path id="r" d="{outline}"/>' + "".join(drawn)


def _film(name: str, levels: int, ridges: tuple[Ridge, ...]) -> str:
    """The stroke in its middle colour and the ridges on it."""
    present = sorted({ridge.level for ridge in ridges})
    body = f'<use href="#r" fill="url(#{name}{levels // 2})"/>'
    return body + "".join(f'<use href="#r{level}" fill="url(#{name}{level})"/>' for level in present)


def _dab(box: Box, tint: Floats, rng: np.random.Generator) -> str:
    """One step into white: a dab and its ridges."""
    thin, middling, thick = (write_colour(colour) for colour in tint)
    drawn = f'<path d="{dab_outline(*box, rng)}" fill="{middling}"/>'
    for colour in rng.choice([thin, thick], THREADS_PER_DAB):
        drawn += f'<path d="{dab_thread(*box, rng)}" fill="{colour}"/>'
    return drawn


def _rectangle(box: Box) -> str:
    x, y, width, height = map(write_coordinate, box)
    return f"M{x} {y}h{width}v{height}h-{width}z"
