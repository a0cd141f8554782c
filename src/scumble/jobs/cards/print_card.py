"""Print a sample card: the sheet to paint on, and the map that says where everything lies on it."""

from __future__ import annotations

import secrets
from collections.abc import Iterable, Iterator, Sequence
from itertools import islice
from typing import Any

from scumble.card.sheet import words
from scumble.card.sheet.box import Box
from scumble.card.sheet.card_map import geometry_to_json
from scumble.card.sheet.geometry import Area, CardGeometry, Strip, card_geometry, cards_on
from scumble.card.sheet.layouts import GROUNDS
from scumble.card.sheet.serial import SERIALS, known_serial, new_serial
from scumble.chart.lettering import break_lines, text_width_mm
from scumble.chart.sheet import Line, Rectangle, Shape, Sheet, Text, grey
from scumble.chart.sheet_pdf import draw_pdf
from scumble.chart.sheet_svg import draw_svg
from scumble.errors import InputError
from scumble.jobs.cards.guide import guide_sheet
from scumble.jobs.cards.pictogram import draw_film
from scumble.jobs.cards.printed_marks import SOFT, draw_code, draw_cut, draw_fiducial, draw_ruler, draw_steps

HAIR = grey(0.6)
SMALL_MM = 2.35
"""Body of captions and sentences: 6.7 points."""

NAME_MM = 3.2
LEADING_MM = 3.1
TWO_LINES_MM = 8.0
"""Height of a heading from which its sentence stands under its name."""

MOST_CARDS = 200
"""In one file; more are printed in several goes."""


def print_card(
    *,
    layout: str = "full",
    page: str = "A4",
    count: int | None = None,
    serials: Sequence[str] = (),
    guide: bool = False,
) -> bytes:
    """Draw cards to print and paint on.

    Parameters
    ----------
    layout : str
        ``full``, ``quick`` or ``white``.
    page : str
        ``A4`` or ``Letter``; for a quick card, two of which fit on those, also ``A5``.
    count : int, optional
        How many cards; when left out as many as there are serials, and without those as fit on one page.
    serials : sequence of str
        Serials of the first cards; the others get new ones.
    guide : bool
        Whether a page that says how to paint them follows.

    Returns
    -------
    bytes
        A PDF, true to scale.

    Raises
    ------
    InputError
        If there is no such layout or page, if a serial is none, or if too many cards are asked for.
    """
    given = card_serials(layout, page, count=count, serials=serials)
    title = f"{words.TITLE}: {words.SUBTITLES[layout]}, {page}"
    sheets = _sheets(layout, page, given)
    if guide:
        sheets.append(guide_sheet(layout, card_geometry(layout, page).page_mm))
    return draw_pdf(sheets, title=title, subject=words.HEADINGS["bare"].what_to_do)


def picture_card(*, layout: str = "full", page: str = "A4", serial: str = "") -> str:
    """One card as SVG, for the screen; without a serial its code is left out."""
    geometry = card_geometry(layout, page)
    title = f"{words.TITLE}, {words.SUBTITLES[layout]}"
    return draw_svg(Sheet(*geometry.page_mm, tuple(card_shapes(geometry, serial))), title=title)


def card_map(*, layout: str = "full", page: str = "A4", serial: str = "") -> dict[str, Any]:
    """Where everything lies on a card, the upper one of a page, for other programs.

    Raises
    ------
    InputError
        If there is no such layout or page.
    """
    return {**geometry_to_json(card_geometry(layout, page)), "serial": serial or None}


def card_serials(
    layout: str, page: str, *, count: int | None = None, serials: Sequence[str] = ()
) -> tuple[str, ...]:
    """Serials of the cards to print: those given, then new ones drawn by chance.

    Raises
    ------
    InputError
        If there is no such layout or page, if a serial is none, or if too many cards are asked for.
    """
    card_geometry(layout, page)
    wanted = count if count is not None else len(serials) or cards_on(layout, page)
    if not max(1, len(serials)) <= wanted <= MOST_CARDS:
        raise InputError("count", str(wanted), f"{max(1, len(serials))} to {MOST_CARDS} cards")
    new = (new_serial(secrets.randbelow(SERIALS)) for _ in range(wanted - len(serials)))
    return (*(known_serial(serial) for serial in serials), *new)


def _runs(serials: Iterable[str], each: int) -> Iterator[tuple[str, ...]]:
    """Runs of so many; the last may be shorter."""
    rest = iter(serials)
    while run := tuple(islice(rest, each)):
        yield run


def _sheets(layout: str, page: str, serials: Sequence[str]) -> list[Sheet]:
    """Pages of cards, as many on each as fit."""
    each, page_mm = cards_on(layout, page), card_geometry(layout, page).page_mm
    sheets = []
    for run in _runs(serials, each):
        shapes: list[Shape] = []
        for half, serial in enumerate(run):
            shapes += card_shapes(card_geometry(layout, page, half), serial)
        if each > 1:
            shapes += draw_cut(*page_mm)
        sheets.append(Sheet(*page_mm, tuple(shapes)))
    return sheets


def card_shapes(geometry: CardGeometry, serial: str) -> list[Shape]:
    """All that is printed of one card."""
    return [
        *_grounds(geometry),
        *(shape for fiducial in geometry.fiducials for shape in draw_fiducial(fiducial)),
        *(draw_code(geometry, serial) if serial else ()),
        *draw_steps(geometry.steps),
        *_title(geometry),
        *(shape for strip in geometry.strips for shape in _strip(strip)),
        *(_caption(area) for area in geometry.areas),
        *_instructions(geometry.layout, geometry.instructions),
        *draw_ruler(geometry.ruler),
    ]


def _grounds(geometry: CardGeometry) -> list[Shape]:
    """Printed squares, and a hairline around each run of paper ones."""
    shapes: list[Shape] = []
    for area in geometry.areas:
        colour = GROUNDS[area.ground]
        box = area.box
        if colour is None:
            shapes.append(
                Rectangle(box.x_mm, box.y_mm, box.width_mm, box.height_mm, stroke=HAIR, line_mm=0.2)
            )
        else:
            shapes.append(Rectangle(box.x_mm, box.y_mm, box.width_mm, box.height_mm, fill=colour))
    return shapes


def _title(geometry: CardGeometry) -> list[Shape]:
    """Name of the card and lines to write on."""
    fields, top = geometry.fields, geometry.block.y_mm
    right = fields.x_mm + fields.width_mm
    shapes: list[Shape] = [
        Text(fields.x_mm, top + 5.2, words.TITLE, 6.0, "bold"),
        Text(
            right,
            top + 5.2,
            f"{words.SUBTITLES[geometry.layout]} · {geometry.page}",
            2.8,
            anchor="end",
            fill=SOFT,
        ),
    ]
    half = (fields.width_mm - 6.0) / 2
    for place, name in enumerate(words.FIELDS):
        x = fields.x_mm + (half + 6.0) * (place % 2)
        y = fields.y_mm + 4.0 + 8.5 * (place // 2)
        start = x + text_width_mm(name, size_mm=2.8) + 2.0
        shapes += [
            Text(x, y, name, 2.8, fill=SOFT),
            Line(((start, y + 0.6), (x + half, y + 0.6)), SOFT, 0.15),
        ]
    return shapes


def _strip(strip: Strip) -> list[Shape]:
    """Heading and pictograms of a row."""
    heading, box = words.HEADINGS[strip.name], strip.heading
    name = Text(box.x_mm, box.y_mm + 3.6, heading.name, NAME_MM, "bold")
    shapes: list[Shape] = [name]
    beside = box.height_mm < TWO_LINES_MM
    indent = text_width_mm(heading.name, size_mm=NAME_MM, face="bold") + 3.0 if beside else 0.0
    leading = LEADING_MM if beside else 2.9
    first = name.y_mm if beside else name.y_mm + leading
    lines = break_lines(heading.what_to_do, width_mm=box.width_mm - indent, size_mm=SMALL_MM)
    for number, line in enumerate(lines):
        shapes.append(Text(box.x_mm + indent, first + leading * number, line, SMALL_MM, fill=SOFT))
    for film, place in strip.pictograms:
        shapes += draw_film(film, place.x_mm, place.y_mm, place.width_mm)
    return shapes


def _caption(area: Area) -> Shape:
    """Its name in words, under an area."""
    box = area.box
    middle = box.x_mm + box.width_mm / 2
    return Text(
        middle, box.y_mm + box.height_mm + 2.8, words.caption(area.film, area.ground), 2.1, anchor="middle"
    )


def _instructions(layout: str, box: Box) -> list[Shape]:
    """Numbered sentences and the caution."""
    shapes: list[Shape] = []
    y = box.y_mm + 2.6
    for number, sentence in enumerate(words.INSTRUCTIONS[layout], start=1):
        shapes.append(Text(box.x_mm, y, str(number), SMALL_MM, "bold"))
        for line in break_lines(sentence, width_mm=box.width_mm - 5.0, size_mm=SMALL_MM):
            shapes.append(Text(box.x_mm + 5.0, y, line, SMALL_MM))
            y += LEADING_MM
        y += 0.6
    shapes.append(Text(box.x_mm + 5.0, y, words.CAUTIONS[layout], SMALL_MM, "italic"))
    return shapes
