"""Print a handout of one paint: its strip, its ladder, its films over six grounds, how it behaves, and the cautions."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from scumble.chart.box import Box
from scumble.chart.frame import SOFT, Frame, draw_lines
from scumble.chart.legend import MARK_WORDS
from scumble.chart.page import page_of
from scumble.chart.patch import HAIR
from scumble.chart.pictures import PaintPictures, Placed, draw_pictures, place_pictures
from scumble.chart.profile import Profile
from scumble.chart.sheet import Line, Shape, Text
from scumble.chart.signs import draw_care, draw_transparency
from scumble.errors import InputError
from scumble.jobs.charts.pictures import TILE_COATS, paint_pictures
from scumble.jobs.charts.print_chart import Chart, open_chart, pigments_line, told_patch
from scumble.jobs.lasting import lasting_sentences
from scumble.jobs.shelf.fetch_tube import behaviour_of, fetch
from scumble.jobs.tube.how_far import say_how_far
from scumble.jobs.tube.say_behaviour import say_behaviour
from scumble.jobs.tube.show_paint import PROVENANCE_SENTENCES
from scumble.paint.behaviour import Behaviour
from scumble.paint.caution import ALWAYS, pigment_cautions
from scumble.paint.words import Sentence
from scumble.store.shelf import Shelf

SMALLEST = 0.55
"""How far the handout may be made smaller to fit its page; beyond that it could not be read [1]."""

PAINT_IT = (
    "Paint the strip in one stroke from a full brush, ever thinner to the right. Measure the ladder out by volume.",
    "Numbers on the grounds are coats: an eighth is a thin glaze.",
)


@dataclass(frozen=True, slots=True)
class Said:
    """What is said of a paint.

    Parameters
    ----------
    behaviour : tuple of Sentence or None
        How it behaves and how far it goes; ``None`` leaves lines to write on.
    known : tuple of str
        Where its optics come from, how well they are known, and how it lasts; may be empty.
    cautions : tuple of str
        Of its pigments.
    """

    behaviour: tuple[Sentence, ...] | None
    known: tuple[str, ...]
    cautions: tuple[str, ...]


def print_chart_handout(
    shelf: Shelf,
    key: str,
    *,
    page: str = "A4",
    blank: bool = False,
    title: str = "",
    profile: Profile | None = None,
) -> Chart:
    """Draw a handout of one paint.

    Parameters
    ----------
    shelf : Shelf
        Open.
    key : str
        Of the paint.
    page : str
        Size of paper.
    blank : bool
        Leave all films blank, with their amounts, to be painted by hand.
    title : str
        Heading; the paint's label when left empty.
    profile : Profile, optional
        Of the printer.

    Raises
    ------
    InputError
        For an unknown page or paint, or a page too small for a handout.
    """
    paper = page_of(page)
    paint, found, _ = fetch(shelf, key)
    white = found if found is not None and found.key != paint.key else None
    behaviour = behaviour_of(paint, white)
    pictures = paint_pictures(paint, white, blank=blank, profile=profile)
    heading = title or paint.label
    subtitle = f"{pigments_line(paint.pigments)} · {paint.binder.value} · {paint.provenance.value}"
    frame, legend = open_chart(
        Frame(paper, heading, subtitle, PAINT_IT if blank else _notes()), blank=blank, profile=profile
    )
    facts = shelf.tubes.load(paint.key)
    known = (
        PROVENANCE_SENTENCES[paint.provenance],
        *paint.status,
        *lasting_sentences(facts),
    )
    cautions = pigment_cautions(paint.pigments)
    says = (*say_behaviour(paint, behaviour), *say_how_far(paint, behaviour, facts))
    said = Said(None, (), cautions) if blank else Said(says, known, cautions)
    scale = _largest_scale(frame, pictures, said)
    shapes, placed = _draw(frame, pictures, said, scale)
    drawn = (*(() if blank else _mark(frame, behaviour)), *shapes, *legend)
    told = {
        "blank": blank,
        "paint": paint.key,
        "white": white.key if white else None,
        "mark": behaviour.mark.value,
        "strip_mm": _sides(placed.panel),
        "swatches": told_pictures(pictures, placed),
    }
    subject = f"Handout of {paint.label}: painted strip, into white, over six grounds, how it behaves."
    return Chart("handout", heading, subject, paper, (frame.draw(drawn),), told, profile)


def told_pictures(pictures: PaintPictures, placed: Placed) -> list[dict[str, Any]]:
    """Films over the grounds as plain data."""
    return [
        {"over": tile.name, "coats": coats, **told_patch(box, patch)}
        for tile, boxes in zip(pictures.tiles, placed.films, strict=True)
        for coats, box, patch in zip(TILE_COATS, boxes, tile.films, strict=True)
    ]


def _sides(box: Box) -> list[float]:
    return [round(side, 3) for side in (box.x_mm, box.y_mm, box.width_mm, box.height_mm)]


def _notes() -> tuple[str, ...]:
    return ("Colours are computed from the paint's optics for daylight (D65) over white and black paper.",)


def _mark(frame: Frame, behaviour: Behaviour) -> list[Shape]:
    """The mark of transparency beside the heading, at the right."""
    size, right = 3.0 * frame.scale, frame.page.width_mm - frame.margin_mm
    word, y = behaviour.mark.value, frame.margin_mm + 11.2 * frame.scale
    side = 7.5 * frame.scale
    sign = draw_transparency(
        right - side, frame.margin_mm - 0.8 * frame.scale, side, step=MARK_WORDS.index(word)
    )
    return [*sign, Text(right, y, word, size, anchor="end", fill=SOFT)]


def _largest_scale(frame: Frame, pictures: PaintPictures, said: Said) -> float:
    """Scale at which everything fits the frame.

    Raises
    ------
    InputError
        If it would become too small to read.
    """
    scale = frame.inner.width_mm / 186.0
    while scale >= SMALLEST:
        shapes, _ = _draw(frame, pictures, said, scale)
        lowest = max(shape.y_mm for shape in shapes if isinstance(shape, Text))
        if lowest <= frame.inner.bottom_mm:
            return scale
        scale *= 0.97
    raise InputError("page", frame.page.name, "a larger page", "A handout needs about A5 upright or more.")


def _draw(frame: Frame, pictures: PaintPictures, said: Said, scale: float) -> tuple[list[Shape], Placed]:
    """Pictures on top, words in two columns under them."""
    inner = frame.inner
    placed = place_pictures(pictures, inner, scale=scale)
    shapes: list[Shape] = [*draw_pictures(pictures, placed, scale=scale)]
    gap, top = 8.0 * scale, placed.bottom_mm + 2.0 * scale
    wide = inner.width_mm * 0.58 - gap / 2
    left = Box(inner.x_mm, top, wide, 0.0)
    right = Box(inner.x_mm + wide + gap, top, inner.width_mm - wide - gap, 0.0)
    if said.behaviour is None:
        shapes += _lines_to_write_on(left, scale)
    else:
        shapes += _behaviour(said.behaviour, left, scale)
    shapes += _known_and_care(said, right, scale)
    return shapes, placed


def _behaviour(sentences: tuple[Sentence, ...], box: Box, scale: float) -> list[Shape]:
    """How a paint behaves, each sentence with its number under it."""
    shapes, y = _heading("How it behaves", box, scale)
    for sentence in sentences:
        claim, y = draw_lines(f"{sentence.claim}.", Box(box.x_mm, y, box.width_mm, 0.0), size_mm=2.9 * scale)
        shapes += claim
        if sentence.number:
            place = Box(box.x_mm, y - 0.2 * scale, box.width_mm, 0.0)
            number, y = draw_lines(sentence.number, place, size_mm=2.3 * scale, fill=SOFT)
            shapes += number
        y += 1.6 * scale
    return shapes


def _lines_to_write_on(box: Box, scale: float) -> list[Shape]:
    shapes, y = _heading("What I see", box, scale)
    for question in (
        "Does it cover?",
        "Masstone and undertone",
        "Over black",
        "With white",
        "Medium, brush, date",
    ):
        y += 9.0 * scale
        shapes.append(Text(box.x_mm, y, question, 2.7 * scale, fill=SOFT))
        shapes.append(Line(((box.x_mm + 42.0 * scale, y), (box.right_mm, y)), HAIR, 0.15))
    return shapes


def _known_and_care(said: Said, box: Box, scale: float) -> list[Shape]:
    """Where the optics come from, and what to be careful with; the safety data sheet has the last word."""
    shapes: list[Shape] = []
    y = box.y_mm
    if said.known:
        shapes, y = _heading("How it is known", box, scale)
        for sentence in said.known:
            place = Box(box.x_mm, y, box.width_mm, 0.0)
            lines, y = draw_lines(sentence, place, size_mm=2.5 * scale, fill=SOFT, most=4)
            shapes += lines
        y += 3.0 * scale
    indent = 5.0 * scale if said.cautions else 0.0
    heading, below = _heading("Care", Box(box.x_mm + indent, y, box.width_mm, 0.0), scale)
    shapes += heading
    if said.cautions:
        shapes += draw_care(box.x_mm, y - 0.1 * scale, 3.6 * scale)
    for sentence in (*said.cautions, *ALWAYS):
        place = Box(box.x_mm, below, box.width_mm, 0.0)
        lines, below = draw_lines(sentence, place, size_mm=2.5 * scale, fill=SOFT)
        shapes += lines
        below += 1.0 * scale
    return shapes


def _heading(words: str, box: Box, scale: float) -> tuple[list[Shape], float]:
    shape = Text(box.x_mm, box.y_mm + 3.2 * scale, words, 3.2 * scale, "bold")
    return [shape], box.y_mm + 5.6 * scale
