"""The layouts of the sample card as plain data: which films in which rows, on which grounds, in which columns."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from scumble.paint.reading import BARE

Point = tuple[float, float]

PAGES_MM: Final[dict[str, Point]] = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
"""ISO 216 A4 and ANSI/ASME Y14.1 A (Letter)."""

GROUNDS: Final[dict[str, tuple[float, float, float] | None]] = {
    "white": None,
    "black": (0.0, 0.0, 0.0),
    "yellow": (1.0, 0.92, 0.0),
    "cyan": (0.0, 0.61, 0.86),
    "red": (0.88, 0.08, 0.10),
    "magenta": (0.88, 0.0, 0.49),
}
"""What is printed under the paint, sRGB 0-1; ``None`` is bare paper. The columns of the card in this order."""

COLUMN_MM: Final = 23.0
"""Side of an area: room for a flat brush of 12 to 20 mm."""

FIDUCIAL_MM: Final = 12.0

GRID_LEFT_MM: Final = 35.0
WIDTH_MM: Final = 188.0
PICTOGRAM_LEFT_MM: Final = 15.0
PICTOGRAM_MM: Final = 16.0
TEXT_MM: Final = GRID_LEFT_MM + 6 * COLUMN_MM - PICTOGRAM_LEFT_MM

Cell = tuple[str, str, int]
"""Film, ground, column."""


@dataclass(frozen=True, slots=True)
class Row:
    """Cells under one heading.

    Parameters
    ----------
    name : str
        Of its heading.
    line : int
        Which line of the card it stands in; two rows may share one.
    columns : (int, int)
        First column it has for itself, and the one after its last.
    cells : tuple of (film, ground, column)
        Its areas from left to right.
    pictograms : tuple of (film, column)
        Each film, and the column to the left of which its picture stands.
    """

    name: str
    line: int
    columns: tuple[int, int]
    cells: tuple[Cell, ...]
    pictograms: tuple[tuple[str, int], ...]


@dataclass(frozen=True, slots=True)
class Plan:
    """A block before it is set on a page.

    Parameters
    ----------
    share : float [1]
        Share of the page's height it is set in the middle of, from the top.
    height : float [mm]
        Of the block.
    first_line : float [mm]
        Top of the first row's heading.
    heading, pitch : float [mm]
        Height of a heading, and from the top of one to the top of the next.
    first_fiducial : int
        Code of the first tag.
    fiducial_tops : tuple of float [mm]
        Tops of the tags down either side.
    rows : tuple of Row
        In the order in which they are painted.
    blank : tuple of (line, column)
        Places of the grid that stay empty, so that their paper shows the light.
    """

    share: float
    height: float
    first_line: float
    heading: float
    pitch: float
    first_fiducial: int
    fiducial_tops: tuple[float, ...]
    rows: tuple[Row, ...]
    blank: tuple[tuple[int, int], ...]


def _run(film: str, grounds: str, first_column: int = 0) -> tuple[Cell, ...]:
    """Cells of one stroke, side by side."""
    return tuple((film, ground, first_column + step) for step, ground in enumerate(grounds.split()))


PLANS: Final[dict[str, Plan]] = {
    "full": Plan(
        share=1.0,
        height=257.0,
        first_line=31.0,
        heading=6.0,
        pitch=36.0,
        first_fiducial=0,
        fiducial_tops=(0.0, 82.0, 163.0, 245.0),
        rows=(
            Row(BARE, 0, (0, 6), _run(BARE, "white black yellow cyan red magenta"), ((BARE, 0),)),
            Row("full", 1, (0, 6), _run("full", "white black"), (("full", 0),)),
            Row("thin1", 2, (0, 6), _run("thin1", "white black yellow cyan red magenta"), (("thin1", 0),)),
            Row("thin2", 3, (0, 6), _run("thin2", "white black yellow cyan"), (("thin2", 0),)),
            Row(
                "tints",
                4,
                (0, 6),
                (*_run("tint1", "white"), *_run("tint4", "white", 2), *_run("tint19", "white black", 4)),
                (("tint1", 0), ("tint4", 2), ("tint19", 4)),
            ),
        ),
        blank=((1, 3), (1, 4), (1, 5), (3, 5)),
    ),
    "quick": Plan(
        share=0.5,
        height=126.0,
        first_line=27.0,
        heading=10.5,
        pitch=39.5,
        first_fiducial=20,
        fiducial_tops=(0.0, 57.0, 114.0),
        rows=(
            Row(BARE, 0, (0, 3), _run(BARE, "white black yellow"), ((BARE, 0),)),
            Row("full", 0, (4, 6), _run("full", "white black", 4), (("full", 4),)),
            Row("thin1", 1, (0, 3), _run("thin1", "white black yellow"), (("thin1", 0),)),
            Row("tints", 1, (4, 6), _run("tint4", "white", 4), (("tint4", 4),)),
        ),
        blank=((1, 5),),
    ),
}
