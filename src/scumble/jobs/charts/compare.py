"""Print two paints side by side: the same pictures of both, and in plain words in what they differ."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from scumble.chart.box import Box
from scumble.chart.frame import SOFT, Frame, draw_lines
from scumble.chart.legend import MARK_WORDS
from scumble.chart.page import page_of
from scumble.chart.pictures import PaintPictures, draw_pictures, place_pictures
from scumble.chart.profile import Profile
from scumble.chart.sheet import Shape, Text
from scumble.chart.signs import draw_care, draw_transparency
from scumble.errors import InputError
from scumble.jobs.charts.handout import SMALLEST, told_pictures
from scumble.jobs.charts.pictures import paint_pictures
from scumble.jobs.charts.print_chart import Chart, load_chosen, open_chart, pigments_line, whites_for
from scumble.jobs.lasting import compare_lasting
from scumble.jobs.shelf.fetch_tube import behaviour_of
from scumble.jobs.tube.beside_reference import say_depth_between
from scumble.paint import Paint
from scumble.paint.behaviour import Behaviour
from scumble.paint.caution import pigment_cautions
from scumble.paint.comparing import Pair, compare_behaviour
from scumble.paint.words import Sentence
from scumble.store.shelf import Shelf

NOTES = (
    "Colours are computed from the paints' optics for daylight (D65) over white and black paper.",
    "Ranges in brackets: the true number lies within them 19 times out of 20.",
    "The tube's own label, the safety data sheet and local rules come before what is said here.",
)


def print_chart_compare(
    shelf: Shelf,
    keys: Sequence[str],
    *,
    page: str = "A4",
    title: str = "",
    profile: Profile | None = None,
) -> Chart:
    """Draw two paints side by side.

    Parameters
    ----------
    shelf : Shelf
        Open.
    keys : sequence of str
        Two paints.
    page : str
        Size of paper.
    title : str
        Heading; their names when left empty.
    profile : Profile, optional
        Of the printer.

    Raises
    ------
    InputError
        For an unknown page or paint, other than two paints, or a page too small for them.
    """
    paper = page_of(page)
    paints = load_chosen(shelf, keys, least=2, most=2)
    whites = whites_for(shelf, paints)
    behaviours = [behaviour_of(paint, white) for paint, white in zip(paints, whites, strict=True)]
    pictures = [
        paint_pictures(paint, white, profile=profile) for paint, white in zip(paints, whites, strict=True)
    ]
    sentences = (
        *compare_behaviour(Pair(paints[0].label, paints[1].label, *behaviours)),
        *say_depth_between(shelf, *paints),
        compare_lasting(*((paint.label, shelf.tubes.load(paint.key)) for paint in paints)),
    )
    heading = title or f"{paints[0].label} and {paints[1].label}"
    frame, legend = open_chart(Frame(paper, heading, "side by side", NOTES), blank=False, profile=profile)
    scale = _largest_scale(frame, paints, behaviours, pictures, sentences)
    shapes, swatches = _draw(frame, paints, behaviours, pictures, sentences, scale=scale)
    told = {
        "paints": [paint.key for paint in paints],
        "sentences": [str(sentence) for sentence in sentences],
        "swatches": swatches,
    }
    subject = f"{paints[0].label} and {paints[1].label} compared in pictures and words."
    return Chart("compare", heading, subject, paper, (frame.draw((*shapes, *legend)),), told, profile)


def _largest_scale(
    frame: Frame,
    paints: Sequence[Paint],
    behaviours: Sequence[Behaviour],
    pictures: Sequence[PaintPictures],
    sentences: Sequence[Sentence],
) -> float:
    """Scale at which everything fits the frame.

    Raises
    ------
    InputError
        If it would become too small to read.
    """
    scale = frame.inner.width_mm / 186.0
    while scale >= SMALLEST:
        shapes, _ = _draw(frame, paints, behaviours, pictures, sentences, scale=scale)
        if max(shape.y_mm for shape in shapes if isinstance(shape, Text)) <= frame.inner.bottom_mm:
            return scale
        scale *= 0.97
    raise InputError("page", frame.page.name, "a larger page", "Two paints need about A5 upright or more.")


def _draw(
    frame: Frame,
    paints: Sequence[Paint],
    behaviours: Sequence[Behaviour],
    pictures: Sequence[PaintPictures],
    sentences: Sequence[Sentence],
    *,
    scale: float,
) -> tuple[list[Shape], list[dict[str, Any]]]:
    """Two columns of pictures, and the sentences under them."""
    inner, gap = frame.inner, 10.0 * scale
    wide = (inner.width_mm - gap) / 2
    shapes: list[Shape] = []
    swatches: list[dict[str, Any]] = []
    bottom = inner.y_mm
    for number, (paint, behaviour, own) in enumerate(zip(paints, behaviours, pictures, strict=True)):
        column = Box(inner.x_mm + (wide + gap) * number, inner.y_mm, wide, 0.0)
        shapes += _name(paint, behaviour, column, scale)
        placed = place_pictures(own, column.inside(0.0, 14.0 * scale, wide, 0.0), scale=scale)
        # Half the width: letters stay smaller than on a handout so that ticks and parts do not meet.
        shapes += draw_pictures(own, placed, scale=scale, words=0.78)
        swatches += [{"paint": paint.key, **told} for told in told_pictures(own, placed)]
        bottom = max(bottom, placed.bottom_mm)
    below = Box(inner.x_mm, bottom + 3.0 * scale, inner.width_mm, 0.0)
    return [*shapes, *_sentences(sentences, below, scale)], swatches


def _name(paint: Paint, behaviour: Behaviour, box: Box, scale: float) -> list[Shape]:
    """Its name, pigments, mark and care over a column."""
    size, side = 2.6 * scale, 3.6 * scale
    word = behaviour.mark.value
    care = bool(pigment_cautions(paint.pigments))
    shapes: list[Shape] = [*draw_lines(paint.label, box, size_mm=4.0 * scale, face="bold", most=1)[0]]
    y = box.y_mm + 9.6 * scale
    left = box.x_mm
    if care:
        shapes += draw_care(left, y - 0.86 * side, side, ink=SOFT)
        left += 1.3 * side
    words = f"{pigments_line(paint.pigments)} · {paint.provenance.value}"
    shapes.append(Text(left, y, words, size, fill=SOFT))
    shapes.append(Text(box.right_mm, y, word, size, anchor="end", fill=SOFT))
    shapes += draw_transparency(
        box.right_mm - 1.9 * side, y - 2.75 * side, 1.7 * side, step=MARK_WORDS.index(word)
    )
    return shapes


def _sentences(sentences: Sequence[Sentence], box: Box, scale: float) -> list[Shape]:
    """In what they differ: the claim at the left, its numbers at the right."""
    shapes: list[Shape] = [Text(box.x_mm, box.y_mm + 3.2 * scale, "In what they differ", 3.2 * scale, "bold")]
    y = box.y_mm + 6.4 * scale
    for sentence in sentences:
        claim, left = draw_lines(
            f"{sentence.claim}.", Box(box.x_mm, y, 0.56 * box.width_mm, 0.0), size_mm=2.9 * scale
        )
        place = Box(box.x_mm + 0.59 * box.width_mm, y + 0.35 * scale, 0.41 * box.width_mm, 0.0)
        number, right = draw_lines(sentence.number, place, size_mm=2.4 * scale, fill=SOFT)
        shapes += [*claim, *number]
        y = max(left, right) + 1.5 * scale
    return shapes
