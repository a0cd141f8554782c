"""What a machine reads on a printed card: its marks, its code, its tone steps, its ruler, and where it is cut."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from scumble.card.find.fiducials import tag_cells
from scumble.card.sheet import words
from scumble.card.sheet.box import Box
from scumble.card.sheet.geometry import CardGeometry, Fiducial
from scumble.card.sheet.serial import CardCode, code_cells, spelled
from scumble.card.sheet.tone_steps import ToneStep
from scumble.chart.sheet import BLACK, Line, Point, Polygon, Shape, Text, grey

SOFT = grey(0.35)
HAIR = grey(0.6)
SMALL_MM = 2.35
CAPTION_MM = 2.1


def draw_fiducial(fiducial: Fiducial) -> list[Shape]:
    """A black square whose white cells are left out of it, in one outline so that no seam shows."""
    cells = tag_cells(fiducial.number)
    box = fiducial.box
    side = box.width_mm / len(cells)
    holes = []
    for row, line in enumerate(cells):
        column = 0
        for black, run in groupby(line):
            length = len(list(run))
            if not black:
                x, y = box.x_mm + side * column, box.y_mm + side * row
                holes.append(Box(x, y, side * length, side).corners_mm)
            column += length
    return [Polygon((box.corners_mm, *holes))]


def draw_code(geometry: CardGeometry, serial: str) -> list[Shape]:
    """The code, and under it the serial for who has no machine."""
    box = geometry.code
    if box is None:
        return []
    cells = code_cells(CardCode(geometry.layout, serial))
    side = box.width_mm / len(cells)
    rings: list[tuple[Point, ...]] = []
    for row, line in enumerate(cells):
        column = 0
        for black, run in groupby(line):
            length = len(list(run))
            if black:
                x, y = box.x_mm + side * column, box.y_mm + side * row
                rings.append(Box(x, y, side * length, side).corners_mm)
            column += length
    middle, below = box.x_mm + box.width_mm / 2, box.y_mm + box.height_mm + 4.0
    return [Polygon(tuple(rings)), Text(middle, below, spelled(serial), 2.8, anchor="middle", fill=SOFT)]


def draw_steps(steps: Sequence[ToneStep]) -> list[Shape]:
    """The tone steps and what they are called."""
    if not steps:
        return []
    first, last = steps[0].box, steps[-1].box
    left, right = first.x_mm, last.x_mm + last.width_mm
    shapes: list[Shape] = [polygon for step in steps if (polygon := _step(step)) is not None]
    middle, below = (left + right) / 2, first.y_mm + first.height_mm + 2.8
    return [*shapes, Text(middle, below, words.STEPS, CAPTION_MM, anchor="middle")]


def _step(step: ToneStep) -> Polygon | None:
    """One patch: its black squares, or a black patch with white holes where those are fewer."""
    if not step.black_cells:
        return None
    if step.black_share == 1.0:
        return Polygon((step.box.corners_mm,))
    holes = step.black_share > 0.5
    drawn = {(x, y) for x in (0, 1) for y in (0, 1) if ((x, y) in step.black_cells) is not holes}
    side, count = step.square_mm, round(step.box.width_mm / step.square_mm)
    squares = (
        Box(step.box.x_mm + side * column, step.box.y_mm + side * row, side, side).corners_mm
        for row in range(count)
        for column in range(count)
        if (column % 2, row % 2) in drawn
    )
    return Polygon(((step.box.corners_mm,) if holes else ()) + tuple(squares))


def draw_ruler(box: Box) -> list[Shape]:
    """A check ruler: a tick every millimetre, longer at 5 and 10."""
    base = box.y_mm + box.height_mm - 2.0
    shapes: list[Shape] = [Line(((box.x_mm, base), (box.x_mm + box.width_mm, base)), BLACK, 0.15)]
    for step in range(int(box.width_mm) + 1):
        height = 3.0 if step % 10 == 0 else 2.1 if step % 5 == 0 else 1.2
        x = box.x_mm + step
        shapes.append(Line(((x, base), (x, base - height)), BLACK, 0.15))
    shapes.append(Text(box.x_mm + box.width_mm + 2.0, base, words.RULER, SMALL_MM, fill=SOFT))
    return shapes


def draw_cut(width_mm: float, height_mm: float) -> list[Shape]:
    """Where to cut a page that holds two cards."""
    line = Line(((8.0, height_mm / 2), (width_mm - 8.0, height_mm / 2)), HAIR, 0.15, dash_mm=(1.5, 1.5))
    return [line, Text(width_mm - 8.0, height_mm / 2 + 3.2, words.CUT, CAPTION_MM, anchor="end", fill=SOFT)]
