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

from scumble.card.sheet.box import Box as Box  # known here too: it is what a geometry is made of
from scumble.card.sheet.layouts import (
    CODE_MM,
    CODE_ROOM_MM,
    COLUMN_MM,
    FIDUCIAL_MM,
    GRID_LEFT_MM,
    HALF_PAGES,
    PAGES_MM,
    PICTOGRAM_LEFT_MM,
    PICTOGRAM_MM,
    PLANS,
    PRINTED,
    RIGHT_MM,
    TEXT_MM,
    WIDTH_MM,
    Cell,
    Plan,
    Point,
    Row,
)
from scumble.card.sheet.tone_steps import ToneStep, tone_steps
from scumble.errors import InputError
from scumble.paint.reading import BARE


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
    layout_code : str
        Stands for the layout in the machine-readable code.
    code : Box or None
        The machine-readable code without its quiet zone; ``None`` on cards of the first edition.
    steps : tuple of ToneStep
        Patches of black and white in known shares, for the tone curve of a camera; none on the first edition.
    is_one_paint : bool
        Whether one tube is painted on all of it.
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
    layout_code: str
    code: Box | None
    steps: tuple[ToneStep, ...]
    is_one_paint: bool = True

    def area(self, name: str) -> Area:
        """The area of that name."""
        return next(area for area in self.areas if area.name == name)


LAYOUTS: Final = PRINTED
"""Names of the cards that can be printed."""


def pages_of(layout: str) -> tuple[str, ...]:
    """The pages that a layout can be printed on.

    Examples
    --------
    >>> pages_of("full"), pages_of("quick")
    (('A4', 'Letter'), ('A4', 'Letter', 'A5'))
    """
    return tuple(name for name in PAGES_MM if PLANS[layout].is_half or name not in HALF_PAGES)


def cards_on(layout: str, page: str) -> int:
    """How many cards of a layout fit on a page.

    Examples
    --------
    >>> cards_on("quick", "Letter"), cards_on("quick", "A5"), cards_on("full", "A4")
    (2, 1, 1)
    """
    return 2 if PLANS[layout].is_half and page not in HALF_PAGES else 1


@cache
def card_geometry(layout: str = "full", page: str = "A4", half: int = 0) -> CardGeometry:
    """Lay a card out on a page.

    Parameters
    ----------
    layout : str
        ``full`` (16 painted areas, 6 bare ones), ``quick`` (6 and 3) or ``white`` (18 and 6); ``proof``, the sheet of
        proofs (20 and 6); also ``full-1`` and ``quick-1``, the cards of the first edition, which are read but no
        longer printed.
    page : str
        ``A4`` or ``Letter``; a quick card also ``A5``.
    half : int
        0 for the upper card of a page, 1 for the lower one where two fit.

    Raises
    ------
    InputError
        If there is no such layout or page.

    Examples
    --------
    >>> card_geometry("quick", "Letter").area("full-black").box
    Box(x_mm=163.95, y_mm=44.35, width_mm=23.0, height_mm=23.0)
    """
    plan, page_mm = _plan_of(layout), _page_of(layout, page)
    left = (page_mm[0] - WIDTH_MM) / 2
    share = page_mm[1] / 2 if plan.is_half and page not in HALF_PAGES else page_mm[1]
    top = half * share + (share - plan.height) / 2

    def place(x: float, y: float, width: float, height: float) -> Box:
        return Box(round(left + x, 3), round(top + y, 3), width, height)

    text_mm = TEXT_MM - (CODE_ROOM_MM if plan.has_code else 0.0)
    steps = place(*plan.steps, 0.0, 0.0) if plan.steps else None
    return CardGeometry(
        layout,
        page,
        page_mm,
        place(0.0, 0.0, WIDTH_MM, plan.height),
        tuple(_area(plan, row, cell, place) for row in plan.rows for cell in row.cells),
        _fiducials(plan, place),
        tuple(_strip(plan, row, place) for row in plan.rows),
        _bare_paper(plan, place),
        fields=place(PICTOGRAM_LEFT_MM, 12.0, text_mm, plan.first_line - 14.0),
        ruler=place(*plan.ruler),
        instructions=place(*plan.instructions),
        layout_code=plan.code,
        code=place(RIGHT_MM - CODE_MM, 0.5, CODE_MM, CODE_MM) if plan.has_code else None,
        steps=tone_steps(steps.x_mm, steps.y_mm) if steps else (),
        is_one_paint=plan.is_one_paint,
    )


def _plan_of(layout: str) -> Plan:
    if layout not in PLANS:
        raise InputError("layout", layout, " or ".join((", ".join(PRINTED[:-1]), PRINTED[-1])))
    return PLANS[layout]


def _page_of(layout: str, page: str) -> Point:
    pages = pages_of(layout)
    if page not in pages:
        raise InputError("page", page, " or ".join((", ".join(pages[:-1]), pages[-1])))
    return PAGES_MM[page]


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
    boxes += [place(*rectangle) for rectangle in plan.bare]
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
    >>> layout_of_fiducial(43), layout_of_fiducial(62), layout_of_fiducial(3), layout_of_fiducial(400)
    ('full', 'quick', 'full-1', None)
    """
    for layout, plan in PLANS.items():
        if 0 <= number - plan.first_fiducial < 2 * len(plan.fiducial_tops):
            return layout
    return None
