"""Print a wall chart: every paint of a range as a painted strip, sorted, with its legend."""

from __future__ import annotations

from collections.abc import Sequence
from zlib import crc32

from scumble.chart.frame import Frame
from scumble.chart.legend import MARK_WORDS, care_item, mark_items
from scumble.chart.page import page_of
from scumble.chart.profile import Profile
from scumble.chart.wall import LARGEST, SMALLEST, HangingColours, HungPaint, draw_wall, plan_wall
from scumble.errors import InputError
from scumble.jobs.charts.order import ChartStrip, choose_strips
from scumble.jobs.charts.print_chart import Chart, Progress, open_chart, pigments_line, whites_for
from scumble.jobs.charts.strips import hanging_colours, hanging_grounds
from scumble.jobs.lasting import LASTING_NOTE, short_lasting, with_lasting
from scumble.paint.caution import pigment_cautions
from scumble.store.shelf import Shelf

NOTES = (
    "Each strip is one stroke, laid at full strength over white paper and a black bar, then ever thinner over "
    "yellow, red and blue down to almost nothing. Beside it: one part of paint to 1, 2, 4, 9, 19 and 49 parts of "
    "white by volume.",
    "Colours are computed from each paint's optics for daylight (D65). Strips called illustrative were not measured.",
)

PAINT_IT = (
    "Paint each strip in one stroke from a full brush, laid at full strength over the bar, then ever thinner over the "
    "stripes down to almost nothing. Measure the steps out by volume: one part of paint to the parts of white printed "
    "in each.",
)

SORTED_BY = {
    "hue": "sorted by hue",
    "opacity": "sorted from transparent to opaque",
    "strength": "sorted from strong to weak in white",
    "name": "sorted by name",
}


def print_chart_wall(
    shelf: Shelf,
    *,
    page: str = "A3-landscape",
    order: str = "hue",
    find: str = "",
    keys: Sequence[str] = (),
    title: str = "",
    scale: float | None = None,
    blank: bool = False,
    profile: Profile | None = None,
    progress: Progress | None = None,
) -> Chart:
    """Draw a wall chart.

    Parameters
    ----------
    shelf : Shelf
        Open.
    page : str
        Size of paper, see :func:`scumble.chart.page.page_of`.
    order : str
        ``hue``, ``opacity``, ``strength`` or ``name``.
    find : str
        Words that every paint must answer to, as on the Shelf page.
    keys : sequence of str
        Only these paints; all that are found when left empty.
    title : str
        Heading; one of its own when left empty.
    scale : float, optional [1]
        How large the strips hang: 1 is 22 mm from one to the next; as large as one page allows when left out.
    blank : bool
        Print the grounds and the amounts only, to be painted by hand.
    profile : Profile, optional
        Of the printer.
    progress : callable, optional
        Told what is being done and the share done, 0 to 1.

    Raises
    ------
    InputError
        For an unknown page, order or paint, or when no paint is found.
    """
    tell = progress or (lambda _words, _share: None)
    paper = page_of(page)
    if scale is not None and not SMALLEST <= scale <= LARGEST:
        raise InputError("scale", f"{scale:g}", f"{SMALLEST:g} to {LARGEST:g}")
    tell("looking over the shelf", 0.0)
    strips = choose_strips(shelf, order=order, find=find, keys=keys)
    tell("predicting the strips", 0.3)
    paints = hang_paints(shelf, strips, blank=blank, profile=profile)
    tell("drawing the chart", 0.6)
    heading = title or ("Strips to paint" if blank else "Painted strips")
    count = f"{len(strips)} paints" if len(strips) > 1 else "one paint"
    sorted_by = f", {SORTED_BY[order]}" if len(strips) > 1 else ""
    notes = PAINT_IT if blank else _notes(shelf, strips)
    frame, legend = open_chart(
        Frame(paper, heading, f"{count}{sorted_by}", notes),
        blank=blank,
        profile=profile,
        items=(*mark_items(), care_item()),
    )
    plan = plan_wall(len(paints), frame.inner, wanted=scale)
    each = plan.columns * plan.rows
    pages = [paints[first : first + each] for first in range(0, len(paints), each)]
    grounds, sheets, cells = hanging_grounds(bare_paper=blank), [], []
    for number, hung in enumerate(pages, start=1):
        shapes, boxes = draw_wall(hung, grounds, plan, frame.inner)
        sheets.append(frame.draw((*shapes, *legend), number=number, count=len(pages)))
        cells += [(number, box) for box in boxes]
    told = [
        {
            "key": strip.key,
            "label": strip.label,
            "mark": strip.mark,
            "beyond_screen": paint.colours is not None and paint.colours.beyond,
            "page": number,
            "box_mm": [round(side, 3) for side in (box.x_mm, box.y_mm, box.width_mm, box.height_mm)],
        }
        for strip, paint, (number, box) in zip(strips, paints, cells, strict=True)
    ]
    subject = f"Wall chart of {count}{sorted_by}."
    return Chart(
        "wall",
        heading,
        subject,
        paper,
        tuple(sheets),
        {"order": order, "blank": blank, "paints": told},
        profile,
    )


def _notes(shelf: Shelf, strips: Sequence[ChartStrip]) -> tuple[str, ...]:
    """What is said at the foot; of lightfastness only where some paint has a rating."""
    tubes = shelf.tubes.load_all()
    rated = any(short_lasting(tubes.get(strip.key)) for strip in strips)
    return (*NOTES, LASTING_NOTE) if rated else NOTES


def hang_paints(
    shelf: Shelf, strips: Sequence[ChartStrip], *, blank: bool = False, profile: Profile | None = None
) -> list[HungPaint]:
    """Paints with the colours of their strips, none when they are to be painted by hand, in the order of the strips."""
    every, tubes = {paint.key: paint for paint in shelf.load_paints()}, shelf.tubes.load_all()
    paints = [every[strip.key] for strip in strips]
    colours: Sequence[HangingColours | None] = [None] * len(paints)
    if not blank:
        colours = hanging_colours(paints, whites_for(shelf, paints), profile)
    return [
        HungPaint(
            label=strip.label,
            pigments=pigments_line(strip.pigments),
            mark=MARK_WORDS.index(strip.mark),
            provenance=with_lasting(strip.provenance, tubes.get(strip.key)),
            care=bool(pigment_cautions(strip.pigments)),
            colours=own,
            seed=crc32(strip.key.encode()),
        )
        for strip, own in zip(strips, colours, strict=True)
    ]
