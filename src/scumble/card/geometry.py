"""Where everything lies on a sample card: the one owner of its layout, for the printer and for the reader.

A layout is a block of fixed size that is set on the page; so the same card on A4 and on Letter differs by a shift
only, and the fiducials need not say which paper was used. All lengths are millimetres, x to the right and y down.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from typing import Final

from scumble.card.layouts import (
    COLUMN_MM,
    FIDUCIAL_MM,
    GRID_LEFT_MM,
    PAGES_MM,
    PICTOGRAM_LEFT_MM,
    PICTOGRAM_MM,
    PLANS,
    TEXT_MM,
    WIDTH_MM,
    Cell,
    Plan,
    Point,
    Row,
)
from scumble.errors import InputError
from scumble.paint.reading import BARE


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


LAYOUTS: Final = tuple(PLANS)
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
    if layout not in PLANS:
        raise InputError("layout", layout, " or ".join(PLANS))
    if page not in PAGES_MM:
        raise InputError("page", page, " or ".join(PAGES_MM))
    plan, page_mm = PLANS[layout], PAGES_MM[page]
    left, top = (page_mm[0] - WIDTH_MM) / 2, (plan.share * page_mm[1] - plan.height) / 2

    def place(x: float, y: float, width: float, height: float) -> Box:
        return Box(round(left + x, 3), round(top + y, 3), width, height)

    last = plan.first_line + plan.pitch * (1 + max(row.line for row in plan.rows))
    return CardGeometry(
        layout,
        page,
        page_mm,
        place(0.0, 0.0, WIDTH_MM, plan.height),
        tuple(_area(plan, row, cell, place) for row in plan.rows for cell in row.cells),
        _fiducials(plan, place),
        tuple(_strip(plan, row, place) for row in plan.rows),
        _bare_paper(plan, place),
        fields=place(PICTOGRAM_LEFT_MM, 12.0, TEXT_MM, plan.first_line - 14.0),
        ruler=place(GRID_LEFT_MM, plan.height - 7.0, 100.0, 6.0),
        instructions=place(PICTOGRAM_LEFT_MM, last + 0.5, TEXT_MM, plan.height - 9.5 - last),
    )


_Place = Callable[[float, float, float, float], Box]
"""Sets a box of the block (left, top, width, height) on the page."""


def _area(plan: Plan, row: Row, cell: Cell, place: _Place) -> Area:
    film, ground, column = cell
    top = plan.first_line + plan.pitch * row.line + plan.heading
    box = place(GRID_LEFT_MM + COLUMN_MM * column, top, COLUMN_MM, COLUMN_MM)
    if film == BARE:
        return Area(ground, film, 0.0, 0.0, ground, box)
    white_parts = float(film.removeprefix("tint")) if film.startswith("tint") else 0.0
    return Area(f"{film}-{ground}", film, 1.0, white_parts, ground, box)


def _fiducials(plan: Plan, place: _Place) -> tuple[Fiducial, ...]:
    """Down both sides, left and right in turn."""
    corners = [(x, y) for y in plan.fiducial_tops for x in (0.0, WIDTH_MM - FIDUCIAL_MM)]
    return tuple(
        Fiducial(plan.first_fiducial + step, place(x, y, FIDUCIAL_MM, FIDUCIAL_MM))
        for step, (x, y) in enumerate(corners)
    )


def _strip(plan: Plan, row: Row, place: _Place) -> Strip:
    top = plan.first_line + plan.pitch * row.line
    first, last = row.columns
    left = PICTOGRAM_LEFT_MM + COLUMN_MM * first
    right = GRID_LEFT_MM + COLUMN_MM * last
    middle = top + plan.heading + (COLUMN_MM - PICTOGRAM_MM) / 2
    pictograms = tuple(
        (film, place(PICTOGRAM_LEFT_MM + COLUMN_MM * column, middle, PICTOGRAM_MM, PICTOGRAM_MM))
        for film, column in row.pictograms
    )
    return Strip(row.name, place(left, top, right - left, plan.heading), pictograms)


def _bare_paper(plan: Plan, place: _Place) -> tuple[Box, ...]:
    """Squares beside the fiducials, in empty places of the grid, and in the gaps between the rows."""
    boxes = []
    for above, below in pairwise(plan.fiducial_tops):
        start, end = above + FIDUCIAL_MM + 3.0, below - 3.0
        count = int((end - start) // 12.0)
        step = (end - start) / count
        for x in (1.0, WIDTH_MM - 11.0):
            boxes += [place(x, start + step * each + 1.0, 10.0, step - 2.0) for each in range(count)]
    for line, column in plan.blank:
        top = plan.first_line + plan.pitch * line + plan.heading
        boxes.append(
            place(GRID_LEFT_MM + COLUMN_MM * column + 6.0, top + 4.0, COLUMN_MM - 10.0, COLUMN_MM - 8.0)
        )
    for line in range(1 + max(row.line for row in plan.rows)):
        top = plan.first_line + plan.pitch * (line + 1) - 2.6
        boxes += [
            place(GRID_LEFT_MM + COLUMN_MM * column + 1.0, top, COLUMN_MM - 2.0, 2.2) for column in range(6)
        ]
    return tuple(boxes)


def layout_of_fiducial(number: int) -> str | None:
    """Name of the layout that carries a fiducial, ``None`` if none does.

    Examples
    --------
    >>> layout_of_fiducial(3), layout_of_fiducial(22), layout_of_fiducial(400)
    ('full', 'quick', None)
    """
    for layout, plan in PLANS.items():
        if 0 <= number - plan.first_fiducial < 2 * len(plan.fiducial_tops):
            return layout
    return None
