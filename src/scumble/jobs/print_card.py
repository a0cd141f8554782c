"""Print a sample card: the sheet to paint on, and the map that says where everything lies on it."""

from __future__ import annotations

from itertools import groupby
from typing import Any

from scumble.card import words
from scumble.card.card_map import geometry_to_json
from scumble.card.fiducials import tag_cells
from scumble.card.geometry import Area, Box, CardGeometry, Fiducial, Strip, card_geometry
from scumble.card.layouts import GROUNDS
from scumble.chart.lettering import break_lines, text_width_mm
from scumble.chart.pictogram import draw_bare, draw_drops, draw_stroke
from scumble.chart.sheet import BLACK, Line, Polygon, Rectangle, Shape, Sheet, Text, grey
from scumble.chart.sheet_pdf import draw_pdf
from scumble.chart.sheet_svg import draw_svg

SOFT = grey(0.35)
HAIR = grey(0.6)
SMALL_MM = 2.35
"""Body of captions and sentences: 6.7 points."""

NAME_MM = 3.2
LEADING_MM = 3.1
TWO_LINES_MM = 8.0
"""Height of a heading from which its sentence stands under its name."""

STRENGTH = {"full": 1.0, "thin1": 0.3, "thin2": 0.1}


def print_card(*, layout: str = "full", page: str = "A4") -> bytes:
    """Draw a card to print and paint on.

    Parameters
    ----------
    layout : str
        ``full`` or ``quick``.
    page : str
        ``A4`` or ``Letter``.

    Returns
    -------
    bytes
        A PDF of one page, true to scale.

    Raises
    ------
    InputError
        If there is no such layout or page.
    """
    geometry = card_geometry(layout, page)
    title = f"{words.TITLE}: {words.SUBTITLES[layout]}, {page}"
    return draw_pdf([card_sheet(geometry)], title=title, subject=words.HEADINGS["bare"].what_to_do)


def picture_card(*, layout: str = "full", page: str = "A4") -> str:
    """The same card as SVG, for the screen."""
    return draw_svg(
        card_sheet(card_geometry(layout, page)), title=f"{words.TITLE}, {words.SUBTITLES[layout]}"
    )


def card_map(*, layout: str = "full", page: str = "A4") -> dict[str, Any]:
    """Where every area, fiducial and ground of a card lies, for other programs.

    Raises
    ------
    InputError
        If there is no such layout or page.
    """
    return geometry_to_json(card_geometry(layout, page))


def card_sheet(geometry: CardGeometry) -> Sheet:
    """All that is printed on a card."""
    shapes = [
        *_grounds(geometry),
        *(shape for fiducial in geometry.fiducials for shape in _fiducial(fiducial)),
        *_title(geometry),
        *(shape for strip in geometry.strips for shape in _strip(strip)),
        *(_caption(area) for area in geometry.areas),
        *_instructions(words.INSTRUCTIONS[geometry.layout], geometry.instructions),
        *_ruler(geometry.ruler),
        *_cut(geometry),
    ]
    return Sheet(*geometry.page_mm, tuple(shapes))


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


def _fiducial(fiducial: Fiducial) -> list[Shape]:
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
    return [Polygon((box.corners_mm, *holes), fill=BLACK)]


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
    first = name.y_mm if beside else name.y_mm + LEADING_MM
    lines = break_lines(heading.what_to_do, width_mm=box.width_mm - indent, size_mm=SMALL_MM)
    for number, line in enumerate(lines):
        shapes.append(Text(box.x_mm + indent, first + LEADING_MM * number, line, SMALL_MM, fill=SOFT))
    for film, place in strip.pictograms:
        shapes += _pictogram(film, place)
    return shapes


def _pictogram(film: str, box: Box) -> tuple[Shape, ...]:
    """How a film is laid."""
    if film.startswith("tint"):
        return draw_drops(box.x_mm, box.y_mm, box.width_mm, white=int(film.removeprefix("tint")))
    if film in STRENGTH:
        return draw_stroke(box.x_mm, box.y_mm, box.width_mm, strength=STRENGTH[film])
    return draw_bare(box.x_mm, box.y_mm, box.width_mm)


def _caption(area: Area) -> Shape:
    """Its name in words, under an area."""
    box = area.box
    middle = box.x_mm + box.width_mm / 2
    return Text(
        middle, box.y_mm + box.height_mm + 2.8, words.caption(area.film, area.ground), 2.1, anchor="middle"
    )


def _instructions(sentences: tuple[str, ...], box: Box) -> list[Shape]:
    """Numbered sentences and the caution."""
    shapes: list[Shape] = []
    y = box.y_mm + 2.6
    for number, sentence in enumerate(sentences, start=1):
        shapes.append(Text(box.x_mm, y, str(number), SMALL_MM, "bold"))
        for line in break_lines(sentence, width_mm=box.width_mm - 5.0, size_mm=SMALL_MM):
            shapes.append(Text(box.x_mm + 5.0, y, line, SMALL_MM))
            y += LEADING_MM
        y += 0.6
    shapes.append(Text(box.x_mm + 5.0, y, words.CAUTION, SMALL_MM, "italic"))
    return shapes


def _ruler(box: Box) -> list[Shape]:
    """A check ruler: a tick every millimetre, longer at 5 and 10."""
    base = box.y_mm + box.height_mm - 2.0
    shapes: list[Shape] = [Line(((box.x_mm, base), (box.x_mm + box.width_mm, base)), BLACK, 0.15)]
    for step in range(int(box.width_mm) + 1):
        height = 3.0 if step % 10 == 0 else 2.1 if step % 5 == 0 else 1.2
        x = box.x_mm + step
        shapes.append(Line(((x, base), (x, base - height)), BLACK, 0.15))
    shapes.append(Text(box.x_mm + box.width_mm + 2.0, base, words.RULER, SMALL_MM, fill=SOFT))
    return shapes


def _cut(geometry: CardGeometry) -> list[Shape]:
    """Where to cut a card that takes half the page."""
    width, height = geometry.page_mm
    if geometry.block.y_mm + geometry.block.height_mm > height / 2:
        return []
    line = Line(((8.0, height / 2), (width - 8.0, height / 2)), HAIR, 0.15, dash_mm=(1.5, 1.5))
    return [line, Text(width - 8.0, height / 2 + 3.2, words.CUT, 2.1, anchor="end", fill=SOFT)]
