"""The sheet for the easel: a picture of every pass, what is stirred and where it goes, and the map of the areas."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from scumble.chart.box import Box
from scumble.chart.frame import SOFT, Frame, draw_lines, fit_words
from scumble.chart.lettering import text_width_mm
from scumble.chart.page import page_of
from scumble.chart.patch import readable_on
from scumble.chart.sheet import Colour, Line, Rectangle, Shape, Text
from scumble.chart.trace import draw_areas
from scumble.errors import InputError
from scumble.jobs.charts.print_chart import Chart
from scumble.jobs.plan.amounts import Amounts, amounts_of, say_amount
from scumble.jobs.plan.drying import waits_of
from scumble.jobs.plan.found import PlanFound, codes_of
from scumble.jobs.plan.key_map import KeyMap, draw_key_map
from scumble.jobs.plan.plan_picture import TITLES
from scumble.jobs.plan.words import (
    CARE,
    cautions_of,
    is_illustrative,
    say_bare,
    say_error,
    say_hand,
    say_mixture,
    say_where,
    title_of,
)
from scumble.solve.plan.value import Brushed, Plan

THUMBNAIL_POINTS, MAP_POINTS = 240, 400
"""Along the longer side of the maps that small and large pictures are drawn from."""

LEAST_WIDTH_MM = 120.0
"""Of the paper inside its margins."""

WAITS = "Waits, order and fat over lean are common practice, no source."


class _Pages:
    """Shapes page by page, from the top down."""

    def __init__(self, frame: Frame) -> None:
        self.frame = frame
        self.pages: list[list[Shape]] = [[]]
        self.y = frame.inner.y_mm

    def room(self, height_mm: float) -> float:
        """Where something of a height can begin; on the next page where it does not fit."""
        if self.y + height_mm > self.frame.inner.bottom_mm and self.pages[-1]:
            self.pages.append([])
            self.y = self.frame.inner.y_mm
        return self.y

    def put(self, shapes: Sequence[Shape], bottom_mm: float) -> None:
        """Keep shapes that end at a height."""
        self.pages[-1] += shapes
        self.y = bottom_mm

    def say(self, words: str, *, size_mm: float, face: str = "regular", gap_mm: float = 0.0) -> None:
        """A sentence in lines."""
        inner = self.frame.inner
        box = Box(inner.x_mm, 0.0, inner.width_mm, 1.0)
        _, tall = draw_lines(words, box, size_mm=size_mm, face=face)  # type: ignore[arg-type]
        top = self.room(tall)
        shapes, bottom = draw_lines(
            words,
            Box(inner.x_mm, top, inner.width_mm, 1.0),
            size_mm=size_mm,
            face=face,  # type: ignore[arg-type]
        )
        self.put(shapes, bottom + gap_mm)


def print_easel_sheet(found: PlanFound, plan: Plan, *, page: str = "A4") -> Chart:
    """Draw the sheet for the easel.

    Parameters
    ----------
    found : PlanFound
        The picture and its division.
    plan : Plan
        In the manner that is painted.
    page : str
        Size of paper.

    Raises
    ------
    InputError
        For an unknown page, or one too small.
    """
    paper = page_of(page)
    width = f", {found.request.width_cm:g} cm wide" if found.request.width_cm else ""
    subtitle = f"{TITLES[plan.manner].capitalize()}, {plan.binder.value} on {plan.ground.label}{width}"
    frame = Frame(paper, f"To paint: {_plain(found.reference.name)}", subtitle, (WAITS,))
    if frame.inner.width_mm < LEAST_WIDTH_MM:
        raise InputError("page", page, f"a page with {LEAST_WIDTH_MM:g} mm of width inside its margins")
    pages = _Pages(frame)
    amounts = amounts_of(plan, found.facts, width_cm=found.request.width_cm, aspect=found.reference.aspect)
    _put_passes(pages, found, plan)
    for number in range(1, len(plan.passes) + 1):
        _put_mixtures(pages, plan, number, amounts)
    _put_map(pages, found, plan)
    _put_care(pages, found, plan, amounts)
    sheets = tuple(
        frame.draw(tuple(shapes), number=number, count=len(pages.pages))
        for number, shapes in enumerate(pages.pages, 1)
    )
    subject = f"Easel sheet: {found.reference.name} in {len(plan.passes)} passes, {TITLES[plan.manner]}."
    told = {"manner": plan.manner.value, "passes": len(plan.passes), "areas": len(plan.areas)}
    return Chart("easel", frame.title, subject, paper, sheets, told)


def _plain(name: str) -> str:
    return name.rpartition(".")[0] or name


def _put_passes(pages: _Pages, found: PlanFound, plan: Plan) -> None:
    """A picture of the painting after every pass, side by side."""
    size_of = found.finer.shape[::-1]
    inner, scale = pages.frame.inner, pages.frame.scale
    count = len(plan.passes)
    across = min(max(count, 2), 4)
    gap, size = 4.0 * scale, 2.7 * scale
    width = (inner.width_mm - (across - 1) * gap) / across
    height = width * size_of[1] / size_of[0]
    tallest = 0.34 * inner.height_mm
    if height > tallest:
        width, height = width * tallest / height, tallest
    for first in range(0, count, across):
        top = pages.room(height + 3.2 * size)
        shapes: list[Shape] = []
        for at, number in enumerate(range(first, min(first + across, count))):
            one = plan.passes[number]
            box = Box(inner.x_mm + at * (width + gap), top, width, height)
            shapes += _thumbnail(box, found, one.labs)
            words = fit_words(
                f"{number + 1}. {title_of(plan, one)}", width_mm=width, size_mm=size, face="bold"
            )
            shapes.append(Text(box.x_mm, box.bottom_mm + 1.5 * size, words, size, "bold"))
        pages.put(shapes, top + height + 3.2 * size)


def _thumbnail(box: Box, found: PlanFound, labs: NDArray[np.float64]) -> tuple[Shape, ...]:
    """The painting as it looks; areas that look alike are drawn as one, so that no seam shows between them."""
    codes, alike = np.unique(codes_of(labs), axis=0, return_inverse=True)
    key = draw_key_map(alike.ravel()[found.finer], longest=THUMBNAIL_POINTS, numbered=False)
    colours = [(red / 255.0, green / 255.0, blue / 255.0) for red, green, blue in codes.tolist()]
    return draw_areas(box, key.outlines, key.size, colours)


def _put_mixtures(pages: _Pages, plan: Plan, number: int, amounts: Amounts) -> None:
    """What is stirred for a pass, and where it goes."""
    one, wait = plan.passes[number - 1], waits_of(plan)[number - 1]
    size = 2.9 * pages.frame.scale
    pages.room(6.5 * size)
    pages.say(f"{number}. {title_of(plan, one)}", size_mm=1.25 * size, face="bold", gap_mm=0.2 * size)
    for each in one.brushed:
        _put_mixture(pages, plan, each, one.labs, amounts, size)
    hand = say_hand(one.unevenness)
    said = f"{hand[0].upper()}{hand[1:]}."
    if wait is not None:
        said += f" Wait {wait.words}."
    pages.say(said, size_mm=0.95 * size, gap_mm=1.1 * size)


def _put_mixture(
    pages: _Pages, plan: Plan, each: Brushed, labs: NDArray[np.float64], amounts: Amounts, size: float
) -> None:
    inner = pages.frame.inner
    swatch, left = 5.4 * size, inner.x_mm + 7.4 * size
    room = inner.right_mm - left
    ml = amounts.by_mixture.get(each.letter)
    where = say_where(each) + (f"; {say_amount(ml)} in all" if ml is not None else "")
    lines, tall = draw_lines(
        f"{say_mixture(plan, each.mixture)}: {where}", Box(left, 0.0, room, 1.0), size_mm=size
    )
    height = max(tall + 0.5 * size, 2.1 * size)
    top = pages.room(height)
    lines, _ = draw_lines(
        f"{say_mixture(plan, each.mixture)}: {where}", Box(left, top + 0.2 * size, room, 1.0), size_mm=size
    )
    shapes: list[Shape] = [Line(((inner.x_mm, top), (inner.right_mm, top)), SOFT, 0.1)]
    # What the mixture looks like where it is brushed, up to three of its areas side by side.
    shown = _colours(labs[[area - 1 for area, _ in each.areas[:3]]])
    for at, colour in enumerate(shown):
        part = swatch / len(shown)
        shapes.append(
            Rectangle(
                inner.x_mm + 1.6 * size + at * part, top + 0.25 * size, part, height - 0.5 * size, colour
            )
        )
    shapes.append(Text(inner.x_mm, top + 1.35 * size, each.letter, 1.1 * size, "bold"))
    pages.put([*shapes, *lines], top + height)


def _put_map(pages: _Pages, found: PlanFound, plan: Plan) -> None:
    """The areas in their wanted colours, numbered, and what each comes to."""
    key = draw_key_map(found.finer, longest=MAP_POINTS)
    inner, size = pages.frame.inner, 2.7 * pages.frame.scale
    width = inner.width_mm
    height = width * key.size[1] / key.size[0]
    tallest = 0.52 * inner.height_mm
    if height > tallest:
        width, height = width * tallest / height, tallest
    top = pages.room(height + 6.0 * size)
    pages.put(
        [Text(inner.x_mm, top + 1.3 * size, "Areas, the lightest first", 1.25 * size, "bold")],
        top + 2.2 * size,
    )
    box = Box(inner.x_mm, pages.y, width, height)
    colours = _colours(found.division.labs)
    shapes = [
        *draw_areas(box, key.outlines, key.size, colours, stroke=SOFT, line_mm=0.1),
        *_numbers(box, key, colours),
    ]
    pages.put(shapes, box.bottom_mm + 1.2 * size)
    _put_areas(pages, plan, size)


def _numbers(box: Box, key: KeyMap, colours: Sequence[Colour]) -> list[Shape]:
    share = box.width_mm / key.size[0]
    shapes: list[Shape] = []
    for mark in key.marks:
        words = str(mark.number)
        wide = text_width_mm(words, size_mm=1.0, face="bold")
        size = float(np.clip(1.5 * mark.radius * share / max(wide, 0.9), 1.7, 4.2))
        x, y = box.x_mm + mark.x * share, box.y_mm + mark.y * share
        ink = readable_on(colours[mark.number - 1])
        shapes.append(Text(x, y + 0.36 * size, words, size, "bold", "middle", ink))
    return shapes


def _put_areas(pages: _Pages, plan: Plan, size: float) -> None:
    """Each area: wanted and given side by side, its lightness for who prints in grey, its layers and its miss."""
    letters = {mixture: letter for letter, mixture in plan.mixtures}
    inner = pages.frame.inner
    across = max(1, int(inner.width_mm // (24.0 * size)))
    gap = 1.5 * size
    width = (inner.width_mm - (across - 1) * gap) / across
    row = 2.5 * size
    wanted = _colours(np.array([area.lab for area in plan.areas]))
    given = _colours(np.array([area.look.lab for area in plan.areas]))
    for first in range(0, len(plan.areas), across):
        top = pages.room(row)
        shapes: list[Shape] = []
        for at, area in enumerate(plan.areas[first : first + across]):
            x, place = inner.x_mm + at * (width + gap), first + at
            half = 2.6 * size
            shapes.append(Text(x + 1.5 * size, top + 1.5 * size, str(area.number), size, "bold", "end"))
            shapes.append(Rectangle(x + 2.0 * size, top + 0.2 * size, half, row - 0.4 * size, wanted[place]))
            shapes.append(
                Rectangle(x + 2.0 * size + half, top + 0.2 * size, half, row - 0.4 * size, given[place])
            )
            layers = " + ".join(
                letters[layer.mixture] + (f" x {layer.coats:g}" if layer.coats != 1 else "")
                for layer in area.stack
            )
            said = f"{layers or 'left bare'}, L* {area.lab[0]:.0f}, dE00 {area.difference:.1f}"
            left = x + 2.7 * size + 2 * half
            shapes.append(
                Text(left, top + 1.5 * size, fit_words(said, width_mm=x + width - left, size_mm=size), size)
            )
        pages.put(shapes, top + row)
    pages.y += 0.8 * size


def _put_care(pages: _Pages, found: PlanFound, plan: Plan, amounts: Amounts) -> None:
    size = 2.6 * pages.frame.scale
    said = [
        "In each pair: left the colour wanted, right what the plan gives.",
        *say_error(found, plan),
        say_bare(plan),
        *(f"Area {area.number}: {area.shortfall}" for area in plan.areas if area.shortfall),
    ]
    pages.say(" ".join(line for line in said if line), size_mm=size, gap_mm=0.8 * size)
    if amounts.by_tube:
        tubes = "; ".join(f"{each.name} {say_amount(each.ml)}" for each in amounts.by_tube)
        pages.say(f"Paint: {tubes}. {' '.join(amounts.notes)}", size_mm=size, gap_mm=0.8 * size)
    else:
        pages.say(" ".join(amounts.notes), size_mm=size, gap_mm=0.8 * size)
    care = [*cautions_of(plan), CARE]
    if is_illustrative(plan):
        care.append("Illustrative paints are argued, not measured.")
    pages.say(" ".join(care), size_mm=size)


def _colours(labs: NDArray[np.float64]) -> list[Colour]:
    return [(red / 255.0, green / 255.0, blue / 255.0) for red, green, blue in codes_of(labs).tolist()]
