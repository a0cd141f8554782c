"""The pages of a sheet of proofs: the one that is painted, and what is mixed for each of its boxes."""

from __future__ import annotations

from typing import Final

from scumble.card.sheet.geometry import Area, CardGeometry, card_geometry
from scumble.card.sheet.layouts import GROUNDS
from scumble.chart.lettering import break_lines, text_width_mm
from scumble.chart.sheet import Line, Rectangle, Shape, Sheet, Text
from scumble.errors import InputError
from scumble.jobs.cards.printed_marks import (
    CAPTION_MM,
    HAIR,
    SOFT,
    draw_code,
    draw_fiducial,
    draw_ruler,
    draw_steps,
)
from scumble.jobs.proofs.promise import promised_layering
from scumble.jobs.proofs.words import say_how_to_paint
from scumble.store.proof import ProofSheet
from scumble.store.shelf import Shelf

LAYOUT: Final = "proof"
"""Of the printed sheet, among those of the card."""

TITLE: Final = "Proofs"
SENTENCES: Final = (
    "Print at actual size (100 %) on plain white paper and check the ruler.",
    "Paint each numbered box, and no further, as the next page says. What was promised is not shown, so that nobody"
    " mixes towards it.",
    "Measure parts by volume with one small spoon, level each time. A full coat is as thick as on the sample card.",
    "Let each film dry before the next. Keep corner marks, code, tone steps, bare squares and the paper round about"
    " clean. Boxes without a number stay empty.",
    "Let it dry flat. Photograph it in even daylight from straight above, without flash, all marks in view; drop the"
    " picture on the page Proofs.",
)
CAUTION: Final = (
    "Do not spray or sand the paint, keep it off skin and food, and do not pour wash water down the drain. Cautions for"
    " pigments and binder: see the label and the safety data sheet, and follow local rules."
)

MARGIN_MM: Final = 16.0
BODY_MM: Final = 3.5
LEADING_MM: Final = 4.9


def sheet_page(sheet: ProofSheet) -> Sheet:
    """The page that is painted."""
    geometry = card_geometry(LAYOUT, sheet.page)
    shapes: list[Shape] = [
        *(shape for area in geometry.areas for shape in _box(area, area.name in sheet.boxes)),
        *(shape for fiducial in geometry.fiducials for shape in draw_fiducial(fiducial)),
        *draw_code(geometry, sheet.serial),
        *draw_steps(geometry.steps),
        *_head(geometry, len(sheet.boxes)),
        *_sentences(geometry),
        *draw_ruler(geometry.ruler),
    ]
    return Sheet(*geometry.page_mm, tuple(shapes))


def _box(area: Area, is_used: bool) -> list[Shape]:
    """A printed ground, a hairline around one of paper, and its number."""
    box, fill = area.box, GROUNDS[area.ground]
    shape = (
        Rectangle(box.x_mm, box.y_mm, box.width_mm, box.height_mm, stroke=HAIR, line_mm=0.2)
        if fill is None
        else Rectangle(box.x_mm, box.y_mm, box.width_mm, box.height_mm, fill=fill)
    )
    middle, below = box.x_mm + box.width_mm / 2, box.y_mm + box.height_mm
    if area.is_bare:
        return [shape, Text(middle, below + 2.8, f"bare {area.ground}", CAPTION_MM, anchor="middle")]
    if not is_used:
        return [shape]
    number = area.film.removeprefix("p")
    return [shape, Text(middle, box.y_mm - 1.2, number, 4.2, "bold", "middle")]


def _head(geometry: CardGeometry, boxes: int) -> list[Shape]:
    fields, top = geometry.fields, geometry.block.y_mm
    right = fields.x_mm + fields.width_mm
    shapes: list[Shape] = [
        Text(fields.x_mm, top + 5.2, TITLE, 6.0, "bold"),
        Text(right, top + 5.2, f"{boxes} to paint · {geometry.page}", 2.8, anchor="end", fill=SOFT),
    ]
    half = (fields.width_mm - 6.0) / 2
    for place, name in enumerate(("Painted by", "Date")):
        x, y = fields.x_mm + (half + 6.0) * place, fields.y_mm + 4.0
        start = x + text_width_mm(name, size_mm=2.8) + 2.0
        shapes += [
            Text(x, y, name, 2.8, fill=SOFT),
            Line(((start, y + 0.6), (x + half, y + 0.6)), SOFT, 0.15),
        ]
    first = geometry.areas[0].box
    shapes.append(Text(geometry.fields.x_mm, first.y_mm - 1.6, "Leave bare", 3.2, "bold"))
    indent = text_width_mm("Leave bare", size_mm=3.2, face="bold") + 3.0
    shapes.append(
        Text(
            geometry.fields.x_mm + indent,
            first.y_mm - 1.6,
            "No paint in this row: it shows what lies under the paint.",
            2.35,
            fill=SOFT,
        )
    )
    return shapes


def _sentences(geometry: CardGeometry) -> list[Shape]:
    box, shapes = geometry.instructions, list[Shape]()
    y = box.y_mm + 2.6
    for number, sentence in enumerate(SENTENCES, start=1):
        shapes.append(Text(box.x_mm, y, str(number), 2.35, "bold"))
        for line in break_lines(sentence, width_mm=box.width_mm - 5.0, size_mm=2.35):
            shapes.append(Text(box.x_mm + 5.0, y, line, 2.35))
            y += 3.1
        y += 0.6
    return shapes


def list_pages(shelf: Shelf, sheet: ProofSheet) -> list[Sheet]:
    """What to mix and paint in each box, on as many pages as it takes."""
    geometry = card_geometry(LAYOUT, sheet.page)
    width, height = geometry.page_mm
    right, bottom = width - MARGIN_MM, height - MARGIN_MM
    grounds = {area.name: area.ground for area in geometry.areas}
    pages: list[list[Shape]] = [_list_head(sheet, right)]
    y = MARGIN_MM + 14.0
    for area, key in sheet.boxes.items():
        block = _entry(shelf, area.partition("-")[0].removeprefix("p"), grounds[area], key, right)
        tall = LEADING_MM * len(block) + 3.0
        if y + tall > bottom - 14.0:
            pages.append(_list_head(sheet, right))
            y = MARGIN_MM + 14.0
        pages[-1].append(Line(((MARGIN_MM, y - 4.4), (right, y - 4.4)), HAIR, 0.15))
        for at, (number, words, is_bold) in enumerate(block):
            line = y + LEADING_MM * at
            if number:
                pages[-1].append(Text(MARGIN_MM, line, number, 1.3 * BODY_MM, "bold"))
            face = "bold" if is_bold else "regular"
            pages[-1].append(Text(MARGIN_MM + 13.0, line, words, BODY_MM, face))  # type: ignore[arg-type]
        y += tall
    for at, words in enumerate(break_lines(CAUTION, width_mm=right - MARGIN_MM, size_mm=2.8, face="italic")):
        pages[-1].append(Text(MARGIN_MM, bottom - 8.0 + 3.7 * at, words, 2.8, "italic"))
    return [Sheet(width, height, tuple(shapes)) for shapes in pages]


def _list_head(sheet: ProofSheet, right: float) -> list[Shape]:
    return [
        Text(MARGIN_MM, MARGIN_MM + 4.0, "What to paint", 7.0, "bold"),
        Text(right, MARGIN_MM + 4.0, f"sheet {sheet.serial}", 2.8, anchor="end", fill=SOFT),
    ]


def _entry(shelf: Shelf, number: str, ground: str, key: str, right: float) -> list[tuple[str, str, bool]]:
    """Lines of one box: its number, words, and whether they are bold."""
    wide = right - MARGIN_MM - 13.0
    try:
        proof = shelf.proofs.load(key).proof
        films = promised_layering(shelf, proof).films
    except InputError:
        return [
            (number, "This proof can no longer be painted: it, or a paint of it, is not on the shelf.", False)
        ]
    steps = [say_how_to_paint(film) for film in films]
    names = ("First: ", *("Then, when that is dry: " for _ in steps[1:])) if len(steps) > 1 else ("",)
    lines = [(number, f"Over the {ground} box", True)]
    for name, step in zip(names, steps, strict=True):
        said = name + (step[0].lower() + step[1:] if name and step.startswith("Mix") else step)
        lines += [("", line, False) for line in break_lines(said, width_mm=wide, size_mm=BODY_MM)]
    return lines
