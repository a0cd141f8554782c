"""The page that says how to paint a card, printed behind it."""

from __future__ import annotations

import math

from scumble.card.sheet import guide, words
from scumble.card.sheet.guide import GuideStep
from scumble.chart.lettering import break_lines
from scumble.chart.sheet import Line, Point, Shape, Sheet, Text, grey
from scumble.jobs.cards.pictogram import draw_film
from scumble.jobs.cards.printed_marks import SOFT

MARGIN_MM = 16.0
PICTURES_MM = 34.0
"""Room for pictures at the left of the sentences."""

PICTURE_MM = 11.0
BODY_MM, SMALL_BODY_MM = 3.8, 2.8
"""Body of the sentences on a whole page and on half of one."""


def guide_sheet(layout: str, page_mm: Point) -> Sheet:
    """Draw the guide of a layout on a page of the card's size."""
    body = SMALL_BODY_MM if page_mm[1] < 200.0 else BODY_MM
    left, right = MARGIN_MM, page_mm[0] - MARGIN_MM
    shapes: list[Shape] = [
        Text(left, MARGIN_MM + 4.0, guide.TITLE, 2.0 * body, "bold"),
        Text(right, MARGIN_MM + 4.0, words.SUBTITLES[layout], 0.85 * body, anchor="end", fill=SOFT),
    ]
    summary = _lines(_summary(layout), left, MARGIN_MM + 4.0 + 2.0 * body, right - left, body)
    shapes += summary
    y = MARGIN_MM + 8.0 + (0.6 + 1.4 * len(summary)) * body
    number = 0
    for step in guide.GUIDES[layout]:
        number += step.minutes > 0
        drawn, y = _step(step, number if step.minutes else 0, (left, y), right, body)
        shapes += drawn
    shapes.append(Line(((left, y + 0.5 * body), (right, y + 0.5 * body)), grey(0.6), 0.15))
    return Sheet(
        *page_mm, (*shapes, *_lines(guide.HURT, left, y + 2.0 * body, right - left, 0.85 * body, "italic"))
    )


def _summary(layout: str) -> str:
    return guide.SUMMARY.format(minutes=math.ceil(guide.minutes_of(layout)))


def _step(step: GuideStep, number: int, top: Point, right: float, body: float) -> tuple[list[Shape], float]:
    """A step and where the next one begins."""
    left, y = top
    size = PICTURE_MM * body / BODY_MM
    begin = left + PICTURES_MM * body / BODY_MM + 4.0
    shapes: list[Shape] = [Line(((left, y), (right, y)), grey(0.6), 0.15)]
    y += 1.55 * body
    name = f"{number}  {step.name}" if number else step.name
    shapes.append(Text(begin, y, name, 1.1 * body, "bold"))
    if step.minutes:
        shapes.append(Text(right, y, f"{step.minutes:g} min", 0.85 * body, anchor="end", fill=SOFT))
    picture_top = y - 0.4 * body
    for place, film in enumerate(step.films):
        x = left + (place % 3) * (size + 1.0)
        shapes += draw_film(film, x, picture_top, size)
    y += 1.5 * body
    for sentence in step.sentences:
        lines = _lines(sentence, begin, y, right - begin, body)
        shapes += lines
        y += 1.4 * body * len(lines)
    lowest = picture_top + size if step.films else y
    return shapes, max(y, lowest) + 0.1 * body


def _lines(
    sentence: str, x: float, y: float, width: float, body: float, face: str = "regular"
) -> list[Shape]:
    """A sentence broken to a width, and its first line's baseline at y."""
    italic = face == "italic"
    broken = break_lines(sentence, width_mm=width, size_mm=body, face="italic" if italic else "regular")
    return [
        Text(x, y + 1.4 * body * at, line, body, "italic" if italic else "regular")
        for at, line in enumerate(broken)
    ]
