"""A grid of swatches: paints down the side, paints or grounds along the top, and in every square a few swatches."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from scumble.chart.box import Box
from scumble.chart.frame import LEADING, SOFT, draw_lines, fit_words
from scumble.chart.lettering import break_lines, text_width_mm
from scumble.chart.patch import Patch, draw_patch
from scumble.chart.sheet import WHITE, Colour, Shape, Text

LARGEST_MM = 52.0
"""Side of a square, at most."""

SMALLEST_HEAD = 0.66
"""How far names along the top are made smaller where words are wider than a square; beyond it they end in dots."""

ROW_HEAD = 0.15
"""Share of the width that names down the side may take."""


@dataclass(frozen=True, slots=True)
class Square:
    """One square of a grid.

    Parameters
    ----------
    main : tuple of Patch
        Large swatches side by side.
    steps : tuple of Patch
        Small ones in a row under them; may be empty.
    ground : Colour or None
        What they all lie on; ``None`` is the sheet itself.
    """

    main: tuple[Patch, ...]
    steps: tuple[Patch, ...] = ()
    ground: Colour | None = None


@dataclass(frozen=True, slots=True)
class GridPlan:
    """Where the squares of a grid lie.

    Parameters
    ----------
    heads : Box
        The corner at the top left: as wide as names down the side, as high as names along the top.
    square_mm : (float, float) [mm]
        Width and height of a square with its gap.
    gap_mm : float [mm]
        Left free between squares.
    size_mm, head_mm : float [mm]
        Body of the names down the side, and along the top.
    """

    heads: Box
    square_mm: tuple[float, float]
    gap_mm: float
    size_mm: float
    head_mm: float

    def square(self, row: int, column: int) -> Box:
        """One square without its gap."""
        wide, high = self.square_mm
        x, y = self.heads.right_mm + wide * column, self.heads.bottom_mm + high * row
        return Box(x, y, wide - self.gap_mm, high - self.gap_mm)


def plan_grid(
    inner: Box, rows: Sequence[str], columns: Sequence[str], *, size_mm: float, tall: float = 1.0
) -> GridPlan:
    """Set a grid into a box as large as it will go.

    Parameters
    ----------
    inner : Box
        Room for it.
    rows, columns : sequence of str
        Names down the side and along the top.
    size_mm : float [mm]
        Body of the names.
    tall : float [1]
        Height of a square to its width, at most.
    """
    side = max(ROW_HEAD * inner.width_mm, 11.0 * size_mm)
    wide = min((inner.width_mm - side) / len(columns), LARGEST_MM)
    gap = 0.06 * wide
    head = _head_size_mm(columns, wide - gap, size_mm)
    lines = max(len(break_lines(name, width_mm=wide - gap, size_mm=head)) for name in columns)
    top = LEADING * lines * head + size_mm
    high = min((inner.height_mm - top) / len(rows), tall * wide)
    heads = Box(inner.x_mm, inner.y_mm, side, top)
    return GridPlan(heads, (wide, high), min(gap, 0.06 * high), size_mm, head)


def _head_size_mm(names: Sequence[str], width_mm: float, size_mm: float) -> float:
    """Body in which the longest word along the top fits its square, as far as it can still be read [mm]."""
    longest = max(text_width_mm(word, size_mm=1.0) for name in names for word in name.split() or [name])
    return max(min(size_mm, width_mm / max(longest, 1e-6)), SMALLEST_HEAD * size_mm)


def draw_grid(
    plan: GridPlan,
    squares: Sequence[Sequence[Square]],
    rows: Sequence[str],
    columns: Sequence[str],
    *,
    corner: str = "",
    words_mm: float = 0.0,
) -> tuple[Shape, ...]:
    """Draw a grid with its names.

    Parameters
    ----------
    plan : GridPlan
        From :func:`plan_grid`.
    squares : rows of Square
        What is shown.
    rows, columns : sequence of str
        Names down the side and along the top.
    corner : str
        What the two mean, in the corner.
    words_mm : float [mm]
        Body of the words in the swatches; 0 leaves them out.
    """
    shapes: list[Shape] = []
    size, heads = plan.size_mm, plan.heads
    if corner:
        # Set below the names along the top, whose lowest line it stands on.
        lines = len(break_lines(corner, width_mm=0.92 * heads.width_mm, size_mm=0.85 * size))
        top = heads.height_mm - (LEADING * 0.85 * lines + 0.8) * size
        place = heads.inside(0.0, top, 0.92 * heads.width_mm, 0.0)
        shapes += draw_lines(corner, place, size_mm=0.85 * size, face="italic", fill=SOFT)[0]
    for number, name in enumerate(columns):
        shapes += _column_name(plan, number, name)
    for row, name in enumerate(rows):
        square = plan.square(row, 0)
        lines = len(break_lines(name, width_mm=0.92 * heads.width_mm, size_mm=size))
        top = square.centre[1] - LEADING * size * lines / 2
        place = Box(heads.x_mm, top, 0.92 * heads.width_mm, 0.0)
        shapes += draw_lines(name, place, size_mm=size, most=3)[0]
        for column, filled in enumerate(squares[row]):
            shapes += draw_square(plan.square(row, column), filled, words_mm=words_mm)
    return tuple(shapes)


def _column_name(plan: GridPlan, number: int, name: str) -> list[Shape]:
    """A name along the top, in lines that end just above its squares."""
    square, size = plan.square(0, number), plan.head_mm
    lines = break_lines(name, width_mm=square.width_mm, size_mm=size)
    first = plan.heads.bottom_mm - 0.9 * size - LEADING * size * (len(lines) - 1)
    return [
        Text(
            square.centre[0],
            first + LEADING * size * line,
            fit_words(words, width_mm=square.width_mm, size_mm=size),
            size,
            anchor="middle",
        )
        for line, words in enumerate(lines)
    ]


def square_boxes(box: Box, square: Square) -> tuple[tuple[Box, Patch], ...]:
    """Where the swatches of a square lie."""
    inner = box if square.ground is None else box.shrunk(0.1 * box.width_mm, 0.14 * box.height_mm)
    gap = 0.05 * inner.width_mm if square.ground is not None else 0.0
    high = inner.height_mm * (0.64 if square.steps else 1.0)
    placed = list(_side_by_side(Box(inner.x_mm, inner.y_mm, inner.width_mm, high), square.main, gap))
    if square.steps:
        below = Box(inner.x_mm, inner.y_mm + high, inner.width_mm, inner.height_mm - high)
        placed += _side_by_side(below, square.steps, 0.0)
    return tuple(placed)


def draw_square(box: Box, square: Square, *, words_mm: float = 0.0) -> tuple[Shape, ...]:
    """Draw one square."""
    shapes: list[Shape] = [] if square.ground is None else [box.drawn(fill=square.ground)]
    for own, patch in square_boxes(box, square):
        shapes += draw_patch(own, patch, size_mm=words_mm, ground=square.ground or WHITE)
    return tuple(shapes)


def _side_by_side(box: Box, patches: Sequence[Patch], gap_mm: float) -> list[tuple[Box, Patch]]:
    wide = (box.width_mm - gap_mm * (len(patches) - 1)) / len(patches)
    return [
        (Box(box.x_mm + (wide + gap_mm) * number, box.y_mm, wide, box.height_mm), patch)
        for number, patch in enumerate(patches)
    ]
