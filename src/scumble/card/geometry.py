"""Where everything lies on a sample card: the one owner of its layout, for the printer and for the reader.

A layout is a block of fixed size that is set on the page; so the same card on A4 and on Letter differs by a shift
only, and the fiducials need not say which paper was used. All lengths are millimetres, x to the right and y down.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from typing import Any, Final

from scumble.errors import InputError
from scumble.paint.reading import BARE

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Box:
    """An upright rectangle.

    Parameters
    ----------
    x_mm, y_mm : float [mm]
        Its top left corner.
    width_mm, height_mm : float [mm]
        Its size.
    """

    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float

    @property
    def corners_mm(self) -> tuple[Point, Point, Point, Point]:
        """Top left, top right, bottom right, bottom left."""
        right, bottom = self.x_mm + self.width_mm, self.y_mm + self.height_mm
        return (self.x_mm, self.y_mm), (right, self.y_mm), (right, bottom), (self.x_mm, bottom)

    def shrunk(self, margin_mm: float) -> Box:
        """The box without a margin all round."""
        return Box(
            self.x_mm + margin_mm,
            self.y_mm + margin_mm,
            self.width_mm - 2 * margin_mm,
            self.height_mm - 2 * margin_mm,
        )

    def shifted(self, right_mm: float, down_mm: float) -> Box:
        """The box elsewhere."""
        return Box(self.x_mm + right_mm, self.y_mm + down_mm, self.width_mm, self.height_mm)


@dataclass(frozen=True, slots=True)
class Area:
    """A box of the card that is painted, or left bare, and read.

    Parameters
    ----------
    name : str
        Unique on the card; a bare area is called by its ground.
    film : str
        ``bare`` or the name of the stroke.
    paint_parts, white_parts : float
        Parts by volume asked for.
    ground : str
        The bare area that shows what is printed here.
    box : Box
        Where it lies.
    """

    name: str
    film: str
    paint_parts: float
    white_parts: float
    ground: str
    box: Box

    @property
    def is_bare(self) -> bool:
        """Whether it is to be left unpainted."""
        return self.film == BARE


@dataclass(frozen=True, slots=True)
class Fiducial:
    """A printed mark by which the card is found.

    Parameters
    ----------
    number : int
        Its code; unique over all layouts, so it also says which layout this is.
    box : Box
        Its black square.
    """

    number: int
    box: Box


@dataclass(frozen=True, slots=True)
class Strip:
    """A row of areas under one heading.

    Parameters
    ----------
    name : str
        ``bare``, ``full``, ``thin1``, ``thin2`` or ``tints``.
    heading : Box
        Room for its name and instruction.
    pictograms : tuple of (film, Box)
        Room for the picture of each film, left of its areas.
    """

    name: str
    heading: Box
    pictograms: tuple[tuple[str, Box], ...]


@dataclass(frozen=True, slots=True)
class CardGeometry:
    """One layout on one page.

    Parameters
    ----------
    layout, page : str
        Their names.
    page_mm : (float, float) [mm]
        Width and height of the page.
    block : Box
        All that belongs to the card.
    areas : tuple of Area
        In the order in which they are painted, those of one stroke side by side.
    fiducials : tuple of Fiducial
        Four corners and more along the sides.
    strips : tuple of Strip
        The rows.
    bare_paper : tuple of Box
        Paper that nobody prints or paints on, all over the card; it shows how the light falls.
    fields, ruler, instructions : Box
        Room for what is written by hand, for the check ruler (exactly 100 mm long) and for the instructions.
    """

    layout: str
    page: str
    page_mm: Point
    block: Box
    areas: tuple[Area, ...]
    fiducials: tuple[Fiducial, ...]
    strips: tuple[Strip, ...]
    bare_paper: tuple[Box, ...]
    fields: Box
    ruler: Box
    instructions: Box

    def area(self, name: str) -> Area:
        """The area of that name."""
        return next(area for area in self.areas if area.name == name)


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

_GRID_LEFT: Final = 35.0
_WIDTH: Final = 188.0
_PICTOGRAM_LEFT: Final = 15.0
_PICTOGRAM_MM: Final = 16.0
_TEXT_MM: Final = _GRID_LEFT + 6 * COLUMN_MM - _PICTOGRAM_LEFT

_Cell = tuple[str, str, int]
"""Film, ground, column."""


@dataclass(frozen=True, slots=True)
class _Row:
    """Cells under one heading, the columns it has for itself, and where its pictograms stand."""

    name: str
    line: int
    columns: tuple[int, int]
    cells: tuple[_Cell, ...]
    pictograms: tuple[tuple[str, int], ...]
    """Film, and the column to the left of which its picture stands."""


@dataclass(frozen=True, slots=True)
class _Layout:
    """A block before it is set on a page, in the middle of the share of the page's height it is meant for."""

    share: float
    height: float
    first_line: float
    heading: float
    pitch: float
    first_fiducial: int
    fiducial_tops: tuple[float, ...]
    rows: tuple[_Row, ...]
    blank: tuple[tuple[int, int], ...]
    """Line and column of grid places that stay empty."""


def _run(film: str, grounds: str, first_column: int = 0) -> tuple[_Cell, ...]:
    """Cells of one stroke, side by side."""
    return tuple((film, ground, first_column + step) for step, ground in enumerate(grounds.split()))


_LAYOUTS: Final[dict[str, _Layout]] = {
    "full": _Layout(
        share=1.0,
        height=257.0,
        first_line=31.0,
        heading=6.0,
        pitch=36.0,
        first_fiducial=0,
        fiducial_tops=(0.0, 82.0, 163.0, 245.0),
        rows=(
            _Row(BARE, 0, (0, 6), _run(BARE, "white black yellow cyan red magenta"), ((BARE, 0),)),
            _Row("full", 1, (0, 6), _run("full", "white black"), (("full", 0),)),
            _Row("thin1", 2, (0, 6), _run("thin1", "white black yellow cyan red magenta"), (("thin1", 0),)),
            _Row("thin2", 3, (0, 6), _run("thin2", "white black yellow cyan"), (("thin2", 0),)),
            _Row(
                "tints",
                4,
                (0, 6),
                (*_run("tint1", "white"), *_run("tint4", "white", 2), *_run("tint19", "white black", 4)),
                (("tint1", 0), ("tint4", 2), ("tint19", 4)),
            ),
        ),
        blank=((1, 3), (1, 4), (1, 5), (3, 5)),
    ),
    "quick": _Layout(
        share=0.5,
        height=126.0,
        first_line=27.0,
        heading=10.5,
        pitch=39.5,
        first_fiducial=20,
        fiducial_tops=(0.0, 57.0, 114.0),
        rows=(
            _Row(BARE, 0, (0, 3), _run(BARE, "white black yellow"), ((BARE, 0),)),
            _Row("full", 0, (4, 6), _run("full", "white black", 4), (("full", 4),)),
            _Row("thin1", 1, (0, 3), _run("thin1", "white black yellow"), (("thin1", 0),)),
            _Row("tints", 1, (4, 6), _run("tint4", "white", 4), (("tint4", 4),)),
        ),
        blank=((1, 5),),
    ),
}

LAYOUTS: Final = tuple(_LAYOUTS)
"""Names of the cards that can be printed."""


@cache
def card_geometry(layout: str = "full", page: str = "A4") -> CardGeometry:
    """Lay a card out on a page.

    Parameters
    ----------
    layout : str
        ``full`` (16 painted areas, 6 bare ones) or ``quick`` (6 and 3).
    page : str
        ``A4`` or ``Letter``.

    Raises
    ------
    InputError
        If there is no such layout or page.

    Examples
    --------
    >>> card_geometry("quick", "Letter").area("full-black").box
    Box(x_mm=163.95, y_mm=44.35, width_mm=23.0, height_mm=23.0)
    """
    if layout not in _LAYOUTS:
        raise InputError("layout", layout, " or ".join(_LAYOUTS))
    if page not in PAGES_MM:
        raise InputError("page", page, " or ".join(PAGES_MM))
    plan, page_mm = _LAYOUTS[layout], PAGES_MM[page]
    left, top = (page_mm[0] - _WIDTH) / 2, (plan.share * page_mm[1] - plan.height) / 2

    def place(x: float, y: float, width: float, height: float) -> Box:
        return Box(round(left + x, 3), round(top + y, 3), width, height)

    last = plan.first_line + plan.pitch * (1 + max(row.line for row in plan.rows))
    return CardGeometry(
        layout,
        page,
        page_mm,
        place(0.0, 0.0, _WIDTH, plan.height),
        tuple(_area(plan, row, cell, place) for row in plan.rows for cell in row.cells),
        _fiducials(plan, place),
        tuple(_strip(plan, row, place) for row in plan.rows),
        _bare_paper(plan, place),
        fields=place(_PICTOGRAM_LEFT, 12.0, _TEXT_MM, plan.first_line - 14.0),
        ruler=place(_GRID_LEFT, plan.height - 7.0, 100.0, 6.0),
        instructions=place(_PICTOGRAM_LEFT, last + 0.5, _TEXT_MM, plan.height - 9.5 - last),
    )


_Place = Callable[[float, float, float, float], Box]
"""Sets a box of the block (left, top, width, height) on the page."""


def _area(plan: _Layout, row: _Row, cell: _Cell, place: _Place) -> Area:
    film, ground, column = cell
    top = plan.first_line + plan.pitch * row.line + plan.heading
    box = place(_GRID_LEFT + COLUMN_MM * column, top, COLUMN_MM, COLUMN_MM)
    if film == BARE:
        return Area(ground, film, 0.0, 0.0, ground, box)
    white_parts = float(film.removeprefix("tint")) if film.startswith("tint") else 0.0
    return Area(f"{film}-{ground}", film, 1.0, white_parts, ground, box)


def _fiducials(plan: _Layout, place: _Place) -> tuple[Fiducial, ...]:
    """Down both sides, left and right in turn."""
    corners = [(x, y) for y in plan.fiducial_tops for x in (0.0, _WIDTH - FIDUCIAL_MM)]
    return tuple(
        Fiducial(plan.first_fiducial + step, place(x, y, FIDUCIAL_MM, FIDUCIAL_MM))
        for step, (x, y) in enumerate(corners)
    )


def _strip(plan: _Layout, row: _Row, place: _Place) -> Strip:
    top = plan.first_line + plan.pitch * row.line
    first, last = row.columns
    left = _PICTOGRAM_LEFT + COLUMN_MM * first
    right = _GRID_LEFT + COLUMN_MM * last
    middle = top + plan.heading + (COLUMN_MM - _PICTOGRAM_MM) / 2
    pictograms = tuple(
        (film, place(_PICTOGRAM_LEFT + COLUMN_MM * column, middle, _PICTOGRAM_MM, _PICTOGRAM_MM))
        for film, column in row.pictograms
    )
    return Strip(row.name, place(left, top, right - left, plan.heading), pictograms)


def _bare_paper(plan: _Layout, place: _Place) -> tuple[Box, ...]:
    """Squares beside the fiducials, in empty places of the grid, and in the gaps between the rows."""
    boxes = []
    for above, below in pairwise(plan.fiducial_tops):
        start, end = above + FIDUCIAL_MM + 3.0, below - 3.0
        count = int((end - start) // 12.0)
        step = (end - start) / count
        for x in (1.0, _WIDTH - 11.0):
            boxes += [place(x, start + step * each + 1.0, 10.0, step - 2.0) for each in range(count)]
    for line, column in plan.blank:
        top = plan.first_line + plan.pitch * line + plan.heading
        boxes.append(
            place(_GRID_LEFT + COLUMN_MM * column + 6.0, top + 4.0, COLUMN_MM - 10.0, COLUMN_MM - 8.0)
        )
    for line in range(1 + max(row.line for row in plan.rows)):
        top = plan.first_line + plan.pitch * (line + 1) - 2.6
        boxes += [
            place(_GRID_LEFT + COLUMN_MM * column + 1.0, top, COLUMN_MM - 2.0, 2.2) for column in range(6)
        ]
    return tuple(boxes)


def layout_of_fiducial(number: int) -> str | None:
    """Name of the layout that carries a fiducial, ``None`` if none does.

    Examples
    --------
    >>> layout_of_fiducial(3), layout_of_fiducial(22), layout_of_fiducial(400)
    ('full', 'quick', None)
    """
    for layout, plan in _LAYOUTS.items():
        if 0 <= number - plan.first_fiducial < 2 * len(plan.fiducial_tops):
            return layout
    return None


def geometry_to_json(geometry: CardGeometry) -> dict[str, Any]:
    """The card's map for other programs: areas, fiducials and grounds, millimetres from the top left of the page.

    Examples
    --------
    >>> geometry_to_json(card_geometry())["areas"][0]["box_mm"]
    [46.0, 57.0, 23.0, 23.0]
    """
    return {
        "layout": geometry.layout,
        "page": geometry.page,
        "page_mm": list(geometry.page_mm),
        "areas": [_area_to_json(area) for area in geometry.areas],
        "fiducials": [
            {"id": fiducial.number, "corners_mm": [_rounded(corner) for corner in fiducial.box.corners_mm]}
            for fiducial in geometry.fiducials
        ],
        "grounds": {
            area.name: {"paper": True}
            if GROUNDS[area.name] is None
            else {"srgb": list(GROUNDS[area.name] or ())}
            for area in geometry.areas
            if area.is_bare
        },
    }


def _area_to_json(area: Area) -> dict[str, Any]:
    box = area.box
    return {
        "area": area.name,
        "film": area.film,
        "paint_parts": area.paint_parts,
        "white_parts": area.white_parts,
        "ground": area.ground,
        "box_mm": [box.x_mm, box.y_mm, box.width_mm, box.height_mm],
    }


def _rounded(corner: Point) -> list[float]:
    return [round(length, 3) for length in corner]
