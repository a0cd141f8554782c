"""Print the class sheet of a supply list: what to buy, for how much, and which colours it reaches."""

from __future__ import annotations

from scumble.chart.box import Box
from scumble.chart.frame import SOFT, Frame, draw_lines, fit_words
from scumble.chart.page import page_of
from scumble.chart.sheet import Colour, Line, Rectangle, Shape, Text
from scumble.errors import InputError
from scumble.jobs.charts.print_chart import Chart
from scumble.jobs.match.supply_plan import REACHED, SupplyColour, SupplyPlan, SupplyTube

ROW_MM = 9.0
"""Height of a tube's row on A4 [mm]."""

SWATCHES_MM = (11.0, 10.0, 9.0, 8.0, 7.0)
"""Sides of a wanted colour's swatch on A4, the largest with which all fit on the page is taken [mm]."""

NOTE = (
    "Each swatch: left the colour wanted, right the nearest that these tubes reach; a number where the two differ by "
    f"more than dE00 {REACHED:g}.",
)


def print_supply(plan: SupplyPlan, *, page: str = "A4", title: str = "") -> Chart:
    """Draw the class sheet.

    Parameters
    ----------
    plan : SupplyPlan
        The chosen tubes.
    page : str
        Size of paper.
    title : str
        Heading; "What to buy" when left empty.

    Raises
    ------
    InputError
        For an unknown page, or one too small.
    """
    paper = page_of(page)
    heading = title or "What to buy"
    money = "" if plan.class_cost is None else f", {plan.class_cost:.2f} {plan.currency}"
    subtitle = f"{len(plan.tubes)} tubes for {plan.need}{money}"
    frame = Frame(paper, heading, subtitle, NOTE)
    if frame.inner.width_mm < 100.0:
        raise InputError("page", page, "a page at least 130 mm wide")
    first, bottom = _draw_tubes(frame, plan)
    words, bottom = _draw_words(frame, plan, bottom)
    if bottom > frame.inner.bottom_mm - 20.0:
        raise InputError("page", page, f"a larger page for {len(plan.tubes)} tubes")
    pages = _draw_colours(frame, plan.colours, bottom)
    sheets = tuple(
        frame.draw((*(first + words if number == 1 else []), *shapes), number=number, count=len(pages))
        for number, shapes in enumerate(pages, 1)
    )
    subject = (
        f"Class sheet: {len(plan.tubes)} tubes that reach {plan.reached} of {plan.wanted} wanted colours."
    )
    told = {"tubes": [each.key for each in plan.tubes], "reached": plan.reached, "wanted": plan.wanted}
    return Chart("supply", heading, subject, paper, sheets, told)


def _columns(frame: Frame) -> tuple[float, ...]:
    """Right edges of share, volume, tubes and cost."""
    right, width = frame.inner.x_mm + frame.inner.width_mm, frame.inner.width_mm
    return (right - 0.34 * width, right - 0.22 * width, right - 0.13 * width, right)


def _draw_tubes(frame: Frame, plan: SupplyPlan) -> tuple[list[Shape], float]:
    box, scale = frame.inner, frame.scale
    size, row = 2.9 * scale, ROW_MM * scale
    names = ("of the paint", "millilitres", "tubes", plan.currency or "cost")
    top = box.y_mm + size
    shapes: list[Shape] = [
        Text(right, top, name, size * 0.9, anchor="end", fill=SOFT)
        for name, right in zip(names, _columns(frame), strict=True)
    ]
    y = top + 1.6 * scale
    for each in sorted(plan.tubes, key=lambda tube: -tube.share):
        shapes += _draw_tube(frame, each, y, row, size)
        y += row
    right = box.x_mm + box.width_mm
    shapes.append(Line(((box.x_mm, y), (right, y)), SOFT, 0.2))
    if plan.class_cost is not None:
        y += 1.7 * size
        shapes.append(Text(right, y, f"{plan.class_cost:.2f}", size, "bold", anchor="end"))
        shapes.append(Text(box.x_mm, y, "Together", size, "bold"))
    return shapes, y + 2.0 * scale


def _draw_tube(frame: Frame, each: SupplyTube, y: float, row: float, size: float) -> list[Shape]:
    box = frame.inner
    swatch, base = 1.7 * row, y + 0.5 * row + 0.36 * size
    dark, thin = (_colour(colour) for colour in each.colours)
    shapes: list[Shape] = [
        Line(((box.x_mm, y), (box.x_mm + box.width_mm, y)), SOFT, 0.1),
        Rectangle(box.x_mm, y + 0.12 * row, swatch * 0.6, 0.76 * row, dark),
        Rectangle(box.x_mm + swatch * 0.6, y + 0.12 * row, swatch * 0.4, 0.76 * row, thin),
    ]
    left, columns = box.x_mm + swatch + 2.0, _columns(frame)
    room = columns[0] - left - 16.0 * frame.scale
    shapes.append(
        Text(
            left,
            base - 0.6 * size,
            fit_words(each.label, width_mm=room, size_mm=size, face="bold"),
            size,
            "bold",
        )
    )
    said = f"{' + '.join(each.pigments) or 'pigment not given'} · without it {each.lost} colours are lost"
    shapes.append(
        Text(
            left,
            base + 0.65 * size,
            fit_words(said, width_mm=room, size_mm=0.85 * size),
            0.85 * size,
            fill=SOFT,
        )
    )
    cells = (
        f"{each.share:.0%}",
        f"{each.volume_ml:.0f}",
        f"{each.tubes}" if each.tubes else "-",
        "-" if each.cost is None else f"{each.cost:.2f}",
    )
    shapes += [
        Text(right, base, cell, size, anchor="end") for cell, right in zip(cells, columns, strict=True)
    ]
    return shapes


def _draw_words(frame: Frame, plan: SupplyPlan, top: float) -> tuple[list[Shape], float]:
    """What is reached, one tube less and more, and the cautions."""
    size = 2.9 * frame.scale
    said = [
        f"These tubes bring {plan.reached} of {plan.wanted} wanted colours ({plan.source}) within dE00 {REACHED:g}; "
        f"the mean miss is {plan.miss:.1f}."
    ]
    if plan.one_less is not None:
        said.append(f"One less, without {plan.one_less.label}: {plan.one_less.reached}.")
    if plan.one_more is not None:
        said.append(f"One more, {plan.one_more.label}: {plan.one_more.reached}.")
    said += plan.notes
    shapes: list[Shape] = []
    y = top + size
    for words, face_size in (
        (" ".join(said), size),
        (" ".join((*plan.cautions, CARE)) if plan.cautions else CARE, 0.88 * size),
    ):
        box = Box(frame.inner.x_mm, y, frame.inner.width_mm, 1.0)
        lines, y = draw_lines(words, box, size_mm=face_size)
        shapes += lines
        y += 0.8 * size
    return shapes, y + 1.0 * frame.scale


CARE = "The safety data sheet of each tube and local rules come before any list."


def _draw_colours(frame: Frame, colours: tuple[SupplyColour, ...], top: float) -> list[list[Shape]]:
    """Swatches on one page where they fit with a smaller side, otherwise on as many as the largest side needs."""
    trials = [_lay_colours(frame, colours, top, side * frame.scale) for side in SWATCHES_MM]
    return next((pages for pages in trials if len(pages) == 1), trials[0])


def _lay_colours(
    frame: Frame, colours: tuple[SupplyColour, ...], top: float, wanted_side: float
) -> list[list[Shape]]:
    """Swatches in rows as wide as the page under a heading for each route."""
    box, gap, size = frame.inner, 1.2 * frame.scale, 2.3 * frame.scale
    across = max(int((box.width_mm + gap) // (wanted_side + gap)), 1)
    side = (box.width_mm + gap) / across - gap
    pages: list[list[Shape]] = [[]]
    y = top
    for route, heading in (("cover", "Covered"), ("glaze", "Glazed")):
        own = [each for each in colours if each.route == route]
        if not own:
            continue
        if y + side + 3 * size > box.bottom_mm:
            pages.append([])
            y = box.y_mm
        pages[-1].append(Text(box.x_mm, y + 1.2 * size, heading, 1.25 * size, "bold"))
        y += 2.0 * size
        for first in range(0, len(own), across):
            if y + side + size > box.bottom_mm:
                pages.append([])
                y = box.y_mm
            for at, each in enumerate(own[first : first + across]):
                pages[-1] += _draw_swatch(box.x_mm + at * (side + gap), y, side, each, size)
            y += side + gap + size
        y += size
    return pages


def _draw_swatch(x: float, y: float, side: float, each: SupplyColour, size: float) -> list[Shape]:
    half = side / 2.0
    shapes: list[Shape] = [Rectangle(x, y, half, side, _colour(each.wanted))]
    if each.found:
        shapes.append(Rectangle(x + half, y, half, side, _colour(each.found)))
    else:
        shapes.append(Line(((x + half, y + side), (x + side, y)), SOFT, 0.2))
    if each.miss > REACHED:
        said = f"{each.miss:.0f}" if each.found else "none"
        shapes.append(Text(x + half, y + side + 0.95 * size, said, size, anchor="middle", fill=SOFT))
    return shapes


def _colour(written: str) -> Colour:
    return tuple(int(written[at : at + 2], 16) / 255.0 for at in (1, 3, 5))  # type: ignore[return-value]
