"""What the charts of squares share: the page opened, the grid set into it, and the whole as a chart."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from scumble.chart.frame import Frame
from scumble.chart.grid import GridPlan, Square, draw_grid, plan_grid
from scumble.chart.profile import Profile
from scumble.chart.sheet import Sheet
from scumble.jobs.charts.print_chart import open_chart

NAMES_MM, WORDS_MM = 2.6, 2.1
"""Body of the names around a grid, and of the amounts in a blank one, on A4 [mm]."""


@dataclass(frozen=True, slots=True)
class GridWords:
    """What stands around the squares.

    Parameters
    ----------
    rows, columns : sequence of str
        Names down the side and along the top.
    corner : str
        What the two mean.
    """

    rows: Sequence[str]
    columns: Sequence[str]
    corner: str


def draw_grid_chart(
    frame: Frame,
    words: GridWords,
    squares: Sequence[Sequence[Square]],
    *,
    tall: float,
    blank: bool,
    profile: Profile | None,
) -> tuple[Sheet, GridPlan]:
    """Draw a page of squares.

    Parameters
    ----------
    frame : Frame
        Heading and notes.
    words : GridWords
        Names around them.
    squares : rows of Square
        What is shown.
    tall : float [1]
        Height of a square to its width, at most.
    blank : bool
        Whether the squares are to be painted by hand, with the amounts in them.
    profile : Profile or None
        Of the printer.

    Returns
    -------
    sheet, plan : Sheet, GridPlan
        The page, and where its squares lie.
    """
    opened, legend = open_chart(frame, blank=blank, profile=profile)
    plan = plan_grid(opened.inner, words.rows, words.columns, size_mm=NAMES_MM * opened.scale, tall=tall)
    drawn = draw_grid(
        plan,
        squares,
        words.rows,
        words.columns,
        corner=words.corner,
        words_mm=WORDS_MM * opened.scale if blank else 0.0,
    )
    return opened.draw((*drawn, *legend)), plan
