"""A wall chart: hanging strips in rows, as large as lets them all hang on one page, or on several pages."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from scumble.chart.box import Box
from scumble.chart.frame import LEADING, SOFT, draw_lines, fit_words
from scumble.chart.legend import MARK_WORDS
from scumble.chart.lettering import break_lines, text_width_mm
from scumble.chart.painted import Zone, as_colour, draw_dab, draw_painted_stroke
from scumble.chart.patch import BLANK_DASH, HAIR, Patch, draw_patch
from scumble.chart.sheet import Line, Shape, Text
from scumble.chart.signs import draw_beyond, draw_care, draw_transparency
from scumble.errors import InputError

Floats = NDArray[np.float64]

CELL_MM = (22.0, 57.0)
"""A cell drawn at its own size."""

PANEL_MM = 40.0
"""Height of the painted part of a cell."""

STROKE = Box(1.6, 1.0, 11.0, 38.0)
BAR = Box(0.0, 5.2, CELL_MM[0], 4.6)
STRIPES = tuple(Box(0.6, top, 13.0, 2.6) for top in (19.0, 23.8, 28.6))
DABS = tuple(Box(15.4, 11.6 + 4.65 * step, 5.0, 3.9) for step in range(6))
"""Where things lie in a cell, from its corner [mm]."""

STEP_PARTS = (1, 2, 4, 9, 19, 49)
"""Parts of white in the steps beside a stroke."""

LARGEST, SMALLEST = 2.6, 0.9
"""How many times its own size a cell may be; smaller, and its words could not be read."""

STEP = 0.02


@dataclass(frozen=True, slots=True)
class HangingColours:
    """Screen colours of a hanging strip, sRGB 0-1.

    Parameters
    ----------
    paper, bar : array, shape (levels, stops, 3)
        Thin to thick ridges over the paper, along the stroke, and over the black bar.
    stripes : tuple of array, shape (levels, stops, 3)
        The same over each coloured stripe.
    tints : array, shape (steps, 3, 3)
        Steps into white, each thin, middling and thick; none leaves them out.
    beyond : bool
        Whether some colour of it cannot be shown.
    """

    paper: Floats
    bar: Floats
    stripes: tuple[Floats, ...]
    tints: Floats
    beyond: bool


@dataclass(frozen=True, slots=True)
class HungPaint:
    """A paint as a chart shows it.

    Parameters
    ----------
    label : str
        What it is called.
    pigments : str
        Colour Index names in a row, or what is said when none is given.
    mark : int
        0 transparent to 3 opaque.
    provenance : str
        Where its optics come from, in a few words.
    care : bool
        Whether a pigment of it asks for care.
    colours : HangingColours or None
        Of its strip; ``None`` leaves it to be painted by hand.
    seed : int
        Decides the hand.
    """

    label: str
    pigments: str
    mark: int
    provenance: str
    care: bool
    colours: HangingColours | None
    seed: int


@dataclass(frozen=True, slots=True)
class Grounds:
    """Screen colours of the bare grounds: paper, bar, and the stripes from the top."""

    paper: Floats
    bar: Floats
    stripes: tuple[Floats, ...]


@dataclass(frozen=True, slots=True)
class WallPlan:
    """How cells are set on a page.

    Parameters
    ----------
    columns, rows : int
        Cells on one page.
    pitch_mm : (float, float) [mm]
        From one cell to the next, across and down.
    scale : float [1]
        How much larger than its own size a cell is drawn.
    """

    columns: int
    rows: int
    pitch_mm: tuple[float, float]
    scale: float


def plan_wall(count: int, inner: Box, *, wanted: float | None = None) -> WallPlan:
    """Choose the largest cells with which all strips hang on one page, or the smallest on several; or those wanted.

    Parameters
    ----------
    count : int
        Strips, 1 or more.
    inner : Box
        Room on a page.
    wanted : float, optional [1]
        How much larger than its own size a cell shall be, on as many pages as that takes.

    Raises
    ------
    InputError
        If not even one strip has room.

    Examples
    --------
    >>> plan_wall(300, Box(0.0, 0.0, 800.0, 520.0)).columns
    34
    """
    scale = LARGEST
    while scale > SMALLEST and count > _columns(inner, scale) * _rows(inner, scale):
        scale -= STEP
    scale = max(scale, SMALLEST) if wanted is None else wanted
    columns, rows = _columns(inner, scale), _rows(inner, scale)
    if columns * rows == 0:
        room = f"{inner.width_mm:.0f} x {inner.height_mm:.0f} mm of room"
        need = CELL_MM[1] * (SMALLEST if wanted is None else wanted)
        raise InputError("page", room, f"a page with {need:.0f} mm of room", "Take a larger one.")
    used = min(rows, math.ceil(count / columns))
    if used == 1:
        columns = min(columns, count)
    elif used * columns >= count:
        columns = math.ceil(count / used)
    across = min(inner.width_mm / columns, 1.3 * CELL_MM[0] * scale)
    down = min(inner.height_mm / used, 1.16 * CELL_MM[1] * scale)
    return WallPlan(columns, used, (across, down), scale)


def _columns(inner: Box, scale: float) -> int:
    return int(inner.width_mm / (CELL_MM[0] * scale))


def _rows(inner: Box, scale: float) -> int:
    return int(inner.height_mm / (CELL_MM[1] * scale))


def draw_wall(
    paints: Sequence[HungPaint], grounds: Grounds, plan: WallPlan, inner: Box
) -> tuple[tuple[Shape, ...], tuple[Box, ...]]:
    """Draw one page of strips.

    Parameters
    ----------
    paints : sequence of HungPaint
        At most as many as the plan has cells, in order.
    grounds : Grounds
        What they are painted on.
    plan : WallPlan
        From :func:`plan_wall`.
    inner : Box
        Room on the page.

    Returns
    -------
    shapes, cells : tuple of Shape, tuple of Box
        The cells in the order of the paints.
    """
    across, down = plan.pitch_mm
    shapes: list[Shape] = []
    cells: list[Box] = []
    for first in range(0, len(paints), plan.columns):
        row = paints[first : first + plan.columns]
        top = inner.y_mm + down * (first // plan.columns)
        panel = Box(inner.x_mm, top, across * len(row), PANEL_MM * plan.scale)
        shapes += [
            panel.drawn(fill=as_colour(grounds.paper)),
            Box(panel.x_mm, top + BAR.y_mm * plan.scale, panel.width_mm, BAR.height_mm * plan.scale).drawn(
                fill=as_colour(grounds.bar)
            ),
        ]
        for column, paint in enumerate(row):
            cell = Box(panel.x_mm + across * column, top, across, down)
            cells.append(cell)
            shapes += _draw_strip(paint, grounds, cell, plan.scale)
            shapes += _draw_words(paint, cell, plan.scale)
    return tuple(shapes), tuple(cells)


def _draw_strip(paint: HungPaint, grounds: Grounds, cell: Box, scale: float) -> list[Shape]:
    """Stripes, stroke and steps into white, in the middle of a cell."""
    own = paint.colours
    has_steps = own is None or len(own.tints) > 0
    left = (cell.width_mm - CELL_MM[0] * scale) / 2 if has_steps else _alone(cell, scale)
    stroke = _scaled(STROKE, cell, left, scale)
    stripes = [_scaled(stripe, cell, left, scale) for stripe in STRIPES]
    bar = _scaled(BAR, cell, left, scale)
    shapes: list[Shape] = [
        box.drawn(fill=as_colour(colour)) for box, colour in zip(stripes, grounds.stripes, strict=True)
    ]
    if own is None:
        return [*shapes, *_places_to_paint(stroke, cell, left, scale)]
    zones = [
        Zone(stroke.shrunk(-scale), own.paper),
        Zone(bar, own.bar),
        *(Zone(box, colours) for box, colours in zip(stripes, own.stripes, strict=True)),
    ]
    shapes += draw_painted_stroke(stroke, zones, runs_down=True, seed=paint.seed)
    for number, (dab, tint) in enumerate(zip(DABS, own.tints, strict=False)):
        shapes += draw_dab(_scaled(dab, cell, left, scale), tint, seed=paint.seed + number + 1)
    if own.beyond:
        corner = Box(cell.x_mm, cell.y_mm, left + CELL_MM[0] * scale - 0.8 * scale, 1.0)
        shapes += draw_beyond(
            Box(corner.x_mm, cell.y_mm + 1.2 * scale, corner.width_mm, 1.0), side_mm=2.2 * scale
        )
    return shapes


def _places_to_paint(stroke: Box, cell: Box, left_mm: float, scale: float) -> list[Shape]:
    """Where the stroke and the steps into white are to be painted, with the parts of white in each step."""
    shapes: list[Shape] = [Line((*stroke.ring, stroke.ring[0]), HAIR, 0.15, dash_mm=BLANK_DASH)]
    for dab, parts in zip(DABS, STEP_PARTS, strict=True):
        shapes += draw_patch(
            _scaled(dab, cell, left_mm, scale), Patch(None, f"1 : {parts:g}"), size_mm=1.7 * scale
        )
    return shapes


def _alone(cell: Box, scale: float) -> float:
    """Left edge from which a stroke without steps into white stands in the middle."""
    return cell.width_mm / 2 - (STROKE.x_mm + STROKE.width_mm / 2) * scale


def _scaled(box: Box, cell: Box, left_mm: float, scale: float) -> Box:
    return cell.inside(
        left_mm + box.x_mm * scale, box.y_mm * scale, box.width_mm * scale, box.height_mm * scale
    )


def _draw_words(paint: HungPaint, cell: Box, scale: float) -> list[Shape]:
    """Name, pigments, transparency and provenance under a strip."""
    name_mm, small_mm = 2.25 * scale, 1.85 * scale
    box = cell.inside(1.0 * scale, (PANEL_MM + 1.0) * scale, cell.width_mm - 2.0 * scale, 0.0)
    named = _draw_name(paint.label, box, name_mm)
    y, side = box.y_mm + 2 * LEADING * name_mm + 0.2 * scale, 2.5 * scale
    shapes: list[Shape] = [*named]
    care = 2.9 * scale if paint.care else 0.0
    pigments = fit_words(paint.pigments, width_mm=box.width_mm - care, size_mm=small_mm)
    shapes.append(Text(box.x_mm + care, y + small_mm, pigments, small_mm, fill=SOFT))
    if paint.care:
        shapes += draw_care(box.x_mm, y - 0.25 * scale, 2.3 * scale, ink=SOFT)
    y += 2.9 * scale
    shapes += draw_transparency(box.x_mm, y - 0.15 * scale, side, step=paint.mark)
    words = fit_words(MARK_WORDS[paint.mark], width_mm=box.width_mm - side - 0.8 * scale, size_mm=small_mm)
    shapes.append(Text(box.x_mm + side + 0.8 * scale, y + small_mm, words, small_mm, fill=SOFT))
    y += 2.9 * scale
    said = fit_words(paint.provenance, width_mm=box.width_mm, size_mm=small_mm, face="italic")
    shapes.append(Text(box.x_mm, y + small_mm, said, small_mm, "italic", fill=SOFT))
    return shapes


NAME_SIZES = ((1.0, 2), (0.85, 2), (2 / 3, 3))
"""How much smaller a long name is set, and in how many lines; three of the last are as high as two of the first."""


def _draw_name(name: str, box: Box, size_mm: float) -> tuple[Shape, ...]:
    """A name in the largest letters in which it is not cut off."""
    for smaller, most in NAME_SIZES:
        body = size_mm * smaller
        lines = break_lines(name, width_mm=box.width_mm, size_mm=body, face="bold")
        longest = max(text_width_mm(line, size_mm=body, face="bold") for line in lines)
        if len(lines) <= most and longest <= box.width_mm:
            break
    return draw_lines(name, box, size_mm=body, face="bold", most=most)[0]
