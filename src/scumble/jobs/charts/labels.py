"""Print shelf labels: one for every paint, on a sheet of labels whose first ones may be used up already."""

from __future__ import annotations

from collections.abc import Sequence
from zlib import crc32

from scumble.chart.label import LabelSheet, LabelWords, draw_cutting_corners, draw_label, label_sheet
from scumble.chart.legend import MARK_WORDS
from scumble.chart.painted import as_colour
from scumble.chart.profile import Profile
from scumble.chart.sheet import Shape, Sheet
from scumble.errors import InputError
from scumble.jobs.charts.order import ChartStrip, choose_strips
from scumble.jobs.charts.pictures import lying_colours
from scumble.jobs.charts.print_chart import Chart, Progress, pigments_line
from scumble.jobs.grounds import bare_colour
from scumble.jobs.lasting import with_lasting
from scumble.paint.caution import pigment_cautions
from scumble.store.shelf import Shelf
from scumble.store.tube_facts import TubeFacts


def print_chart_labels(
    shelf: Shelf,
    *,
    labels: str = "70x37",
    page: str = "",
    start: int = 1,
    order: str = "name",
    find: str = "",
    keys: Sequence[str] = (),
    outlines: bool = False,
    profile: Profile | None = None,
    progress: Progress | None = None,
) -> Chart:
    """Draw shelf labels.

    Parameters
    ----------
    shelf : Shelf
        Open.
    labels : str
        The sheet: a label's size, or its geometry, see :func:`scumble.chart.label.label_sheet`.
    page : str
        Size of the sheet where it is not the usual one.
    start : int
        Place of the first label to print on, counted from 1 along the rows; those before it stay empty.
    order, find, keys
        As for the wall chart.
    outlines : bool
        Also print a hairline around every label, to check the sheet on plain paper.
    profile : Profile, optional
        Of the printer.
    progress : callable, optional
        Told what is being done and the share done, 0 to 1.

    Raises
    ------
    InputError
        For an unknown sheet, order, paint or start.
    """
    tell = progress or (lambda _words, _share: None)
    sheet = label_sheet(labels, page=page)
    if not 1 <= start <= sheet.count:
        raise InputError("start", start, f"a whole number from 1 to {sheet.count}")
    tell("looking over the shelf", 0.0)
    strips = choose_strips(shelf, order=order, find=find, keys=keys)
    tell("drawing the labels", 0.6)
    words = _words(shelf, strips)
    places = range(start - 1, start - 1 + len(words))
    sheets = _draw(sheet, dict(zip(places, words, strict=True)), outlines)
    told = [
        {
            "key": strip.key,
            "label": strip.label,
            "page": place // sheet.count + 1,
            "box_mm": [box.x_mm, box.y_mm, box.width_mm, box.height_mm],
        }
        for strip, place in zip(strips, places, strict=True)
        for box in (sheet.label(place % sheet.count),)
    ]
    size = f"{sheet.label_mm[0]:g} x {sheet.label_mm[1]:g} mm"
    data = {"labels": size, "per_page": sheet.count, "start": start, "paints": told}
    return Chart(
        "labels", "Shelf labels", f"{len(words)} labels of {size}.", sheet.page, sheets, data, profile
    )


def _words(shelf: Shelf, strips: Sequence[ChartStrip]) -> list[LabelWords]:
    every, tubes = {paint.key: paint for paint in shelf.load_paints()}, shelf.tubes.load_all()
    colours = lying_colours([every[strip.key] for strip in strips])
    return [
        LabelWords(
            label=strip.label,
            pigments=pigments_line(strip.pigments),
            provenance=with_lasting(strip.provenance, tubes.get(strip.key)),
            mark=MARK_WORDS.index(strip.mark),
            care=bool(pigment_cautions(strip.pigments)),
            strip=own,
            seed=crc32(strip.key.encode()),
            price=_price(tubes.get(strip.key)),
        )
        for strip, own in zip(strips, colours, strict=True)
    ]


def _price(facts: TubeFacts | None) -> str:
    """Price and size of a tube, as far as they are known."""
    if facts is None or facts.price is None:
        return ""
    size = "" if facts.size_ml is None else f" · {facts.size_ml:g} ml"
    return f"{facts.price:.2f} {facts.currency}{size}"


def _draw(sheet: LabelSheet, words: dict[int, LabelWords], outlines: bool) -> tuple[Sheet, ...]:
    """As many pages as the last label asks for."""
    paper, bar = as_colour(bare_colour("white")), as_colour(bare_colour("black"))
    pages = []
    for first in range(0, max(words) + 1, sheet.count):
        shapes: list[Shape] = []
        for place in range(sheet.count):
            box = sheet.label(place)
            shapes += draw_cutting_corners(box) if outlines else ()
            if first + place in words:
                shapes += draw_label(box, words[first + place], paper=paper, bar=bar)
        pages.append(Sheet(sheet.page.width_mm, sheet.page.height_mm, tuple(shapes)))
    return tuple(pages)
