"""The layouts of the sample card as plain data: which films in which rows, on which grounds, in which columns."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from scumble.paint.reading import BARE

Point = tuple[float, float]

PAGES_MM: Final[dict[str, Point]] = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4), "A5": (210.0, 148.0)}
"""ISO 216 A4, ANSI/ASME Y14.1 A (Letter), and ISO 216 A5 lying on its side for the cards of half a page."""

HALF_PAGES: Final = frozenset({"A5"})
"""Pages that hold one card of half a page."""

GROUNDS: Final[dict[str, tuple[float, float, float] | None]] = {
    "white": None,
    "black": (0.0, 0.0, 0.0),
    "yellow": (1.0, 0.92, 0.0),
    "cyan": (0.0, 0.61, 0.86),
    "red": (0.88, 0.08, 0.10),
    "magenta": (0.88, 0.0, 0.49),
    "grey": (0.58, 0.58, 0.58),
}
"""What is printed under the paint, sRGB 0-1; ``None`` is bare paper. The columns of the card in this order; grey is on
sheets of proofs alone."""

COLUMN_MM: Final = 23.0
"""Side of an area: room for a flat brush of 12 to 20 mm."""

FIDUCIAL_MM: Final = 12.0

GRID_LEFT_MM: Final = 35.0
WIDTH_MM: Final = 188.0
PICTOGRAM_LEFT_MM: Final = 15.0
PICTOGRAM_MM: Final = 16.0
TEXT_MM: Final = GRID_LEFT_MM + 6 * COLUMN_MM - PICTOGRAM_LEFT_MM

RIGHT_MM: Final = PICTOGRAM_LEFT_MM + TEXT_MM
"""Where the grid and the text end."""

CODE_MM: Final = 14.7
"""Side of the machine-readable code without its quiet zone: 21 modules of 0.7 mm."""

CODE_ROOM_MM: Final = 20.0
"""Kept free for it at the right of the title, quiet zone included."""

Rectangle = tuple[float, float, float, float]
"""Left, top, width, height in the block [mm]."""

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
    code : str
        Layout code printed in the machine-readable code; empty where none is printed.
    is_half : bool
        Whether two fit on a page.
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
    bare : tuple of Rectangle [mm]
        Places that stay empty, so that their paper shows the light.
    steps : Point or None [mm]
        Top left of the tone steps; ``None`` where none are printed.
    ruler, instructions : Rectangle [mm]
        Room for them.
    is_one_paint : bool
        Whether one tube is painted on all of it; on a sheet of proofs every box is a paint of its own.
    """

    code: str
    is_half: bool
    height: float
    first_line: float
    heading: float
    pitch: float
    first_fiducial: int
    fiducial_tops: tuple[float, ...]
    rows: tuple[Row, ...]
    bare: tuple[Rectangle, ...]
    steps: Point | None
    ruler: Rectangle
    instructions: Rectangle
    is_one_paint: bool = True

    @property
    def has_code(self) -> bool:
        """Whether a machine-readable code is printed on it."""
        return bool(self.code)


def _run(film: str, grounds: str, first_column: int = 0) -> tuple[Cell, ...]:
    """Cells of one stroke, side by side."""
    return tuple((film, ground, first_column + step) for step, ground in enumerate(grounds.split()))


_ALL: Final = "white black yellow cyan red magenta"

_FULL_ROWS: Final = (
    Row(BARE, 0, (0, 6), _run(BARE, _ALL), ((BARE, 0),)),
    Row("full", 1, (0, 6), _run("full", "white black"), (("full", 0),)),
    Row("thin1", 2, (0, 6), _run("thin1", _ALL), (("thin1", 0),)),
    Row("thin2", 3, (0, 6), _run("thin2", "white black yellow cyan"), (("thin2", 0),)),
    Row(
        "tints",
        4,
        (0, 6),
        (*_run("tint1", "white"), *_run("tint4", "white", 2), *_run("tint19", "white black", 4)),
        (("tint1", 0), ("tint4", 2), ("tint19", 4)),
    ),
)

_QUICK_ROWS: Final = (
    Row(BARE, 0, (0, 3), _run(BARE, "white black yellow"), ((BARE, 0),)),
    Row("full", 0, (4, 6), _run("full", "white black", 4), (("full", 4),)),
    Row("thin1", 1, (0, 3), _run("thin1", "white black yellow"), (("thin1", 0),)),
    Row("tints", 1, (4, 6), _run("tint4", "white", 4), (("tint4", 4),)),
)

_WHITE_ROWS: Final = (
    Row(BARE, 0, (0, 6), _run(BARE, _ALL), ((BARE, 0),)),
    Row("full", 1, (0, 6), _run("full", _ALL), (("full", 0),)),
    Row("thin1", 2, (0, 6), _run("thin1", _ALL), (("thin1", 0),)),
    Row("thin2", 3, (0, 6), _run("thin2", _ALL), (("thin2", 0),)),
)

_PROOF_GROUNDS: Final = (
    "white white white",
    "white white white white white white",
    "black black black grey grey",
    "white white white yellow cyan red",
)
"""Of the boxes of a sheet of proofs, line by line; they are numbered in this order."""


def _proof_rows() -> tuple[Row, ...]:
    """Bare grounds, and boxes each of which is a film of its own: ``p1``, ``p2`` and so on."""
    rows = [Row(BARE, 0, (0, 6), _run(BARE, "white black grey yellow cyan red"), ())]
    number = 0
    for line, grounds in enumerate(_PROOF_GROUNDS, start=1):
        cells = []
        for column, ground in enumerate(grounds.split()):
            number += 1
            cells.append((f"p{number}", ground, column))
        rows.append(Row(f"line{line}", line, (0, 6), tuple(cells), ()))
    return tuple(rows)


def _empty_cell(column: int, top: float) -> Rectangle:
    """Paper in the middle of a place of the grid that nothing is printed in."""
    return GRID_LEFT_MM + COLUMN_MM * column + 6.0, top + 4.0, COLUMN_MM - 10.0, COLUMN_MM - 8.0


_FULL: Final = Plan(
    code="F2",
    is_half=False,
    height=257.0,
    first_line=31.0,
    heading=6.0,
    pitch=36.0,
    first_fiducial=40,
    fiducial_tops=(0.0, 82.0, 163.0, 245.0),
    rows=_FULL_ROWS,
    bare=(
        *((GRID_LEFT_MM + COLUMN_MM * column + 2.0, 74.0, COLUMN_MM - 4.0, 9.5) for column in (3, 4, 5)),
        _empty_cell(5, 145.0),
    ),
    steps=(104.6, 87.0),
    ruler=(GRID_LEFT_MM, 250.0, 100.0, 6.0),
    instructions=(PICTOGRAM_LEFT_MM, 211.5, TEXT_MM, 36.5),
)

_QUICK: Final = Plan(
    code="Q2",
    is_half=True,
    height=126.0,
    first_line=27.0,
    heading=10.5,
    pitch=39.5,
    first_fiducial=60,
    fiducial_tops=(0.0, 57.0, 114.0),
    rows=_QUICK_ROWS,
    bare=(_empty_cell(5, 77.0),),
    steps=(104.6, 107.5),
    ruler=(PICTOGRAM_LEFT_MM, 120.0, 100.0, 6.0),
    instructions=(PICTOGRAM_LEFT_MM, 106.5, 86.0, 13.0),
)

PLANS: Final[dict[str, Plan]] = {
    "full": _FULL,
    "quick": _QUICK,
    "white": replace(
        _FULL,
        code="W2",
        first_fiducial=80,
        rows=_WHITE_ROWS,
        bare=((PICTOGRAM_LEFT_MM + 2.0, 179.0, 38.0, 10.0), (PICTOGRAM_LEFT_MM + 44.0, 179.0, 38.0, 10.0)),
        steps=(104.6, 180.0),
        instructions=(PICTOGRAM_LEFT_MM, 197.0, TEXT_MM, 51.0),
    ),
    "proof": replace(
        _FULL,
        code="P1",
        first_fiducial=100,
        rows=_proof_rows(),
        is_one_paint=False,
    ),
    "full-1": replace(
        _FULL,
        code="",
        first_fiducial=0,
        bare=(*(_empty_cell(column, 73.0) for column in (3, 4, 5)), _empty_cell(5, 145.0)),
        steps=None,
    ),
    "quick-1": replace(
        _QUICK,
        code="",
        first_fiducial=20,
        steps=None,
        ruler=(GRID_LEFT_MM, 119.0, 100.0, 6.0),
        instructions=(PICTOGRAM_LEFT_MM, 106.5, TEXT_MM, 10.5),
    ),
}
"""By name. Those that end in ``-1`` are of the first edition, which had neither tone steps nor a code; they are no
longer printed and still read. ``proof`` is the sheet on which predictions of many paints are put to the test."""

PRINTED: Final = ("full", "quick", "white")
"""The cards that are printed today."""
