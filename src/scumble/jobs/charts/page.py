"""The page Print: what can be printed, what was asked for, and the chart that answers it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from scumble.chart.label import KNOWN
from scumble.chart.page import SIZES_MM
from scumble.chart.profile import INTENTS
from scumble.errors import InputError
from scumble.jobs.charts.desk import KeptProfile, PrintDesk
from scumble.jobs.charts.kinds import KINDS
from scumble.jobs.charts.print_chart import Progress, chart_pdf, chart_svg
from scumble.jobs.charts.query import OFFERS, Offer, PrintQuery, address_of
from scumble.jobs.shelf.show_shelf import HungStrip, show_shelf
from scumble.store.shelf import Shelf

SUGGESTED: Final = {"handout": 1, "mix": 4, "glaze": 4, "triangle": 3, "compare": 2}
"""Paints that stand on a fresh page of a kind, spread round the wall."""

LARGE: Final = 120
"""Tubes on a chart from which it is drawn in the background."""


@dataclass(frozen=True, slots=True)
class Chosen:
    """A paint that was chosen."""

    key: str
    label: str


@dataclass(frozen=True, slots=True)
class PrintPage:
    """Everything the Print page says.

    Parameters
    ----------
    asked : PrintQuery
        As it was asked for.
    offers : dict of str to Offer
        Kinds of chart.
    takes : dict of str to frozenset of str
        Which options each kind takes.
    sizes, labels, orders, intents : tuple of str
        What can be chosen.
    profiles : tuple of KeptProfile
        Profiles at hand.
    chosen : tuple of Chosen
        Paints on the chart, where they are named one by one.
    total : int
        Tubes on the shelf.
    query : str
        The same as an address asks for it, without what was only being changed.
    is_large : bool
        Whether the chart is still to be drawn in the background.
    pages : int
        Of the chart; 0 when there is none.
    page_mm : (float, float) [mm]
        Size of a page.
    subject : str
        What the chart shows.
    beyond : int
        Colours on it that the screen, or the printer, cannot reach.
    wrong_field, wrong : str
        What cannot be drawn, and where that was said; empty when all is well.
    """

    asked: PrintQuery
    offers: dict[str, Offer]
    takes: dict[str, frozenset[str]]
    sizes: tuple[str, ...]
    labels: tuple[str, ...]
    orders: tuple[str, ...]
    intents: tuple[str, ...]
    profiles: tuple[KeptProfile, ...]
    chosen: tuple[Chosen, ...]
    total: int
    query: str
    is_large: bool
    pages: int
    page_mm: tuple[float, float]
    subject: str
    beyond: int
    wrong_field: str
    wrong: str


def show_print(shelf: Shelf, desk: PrintDesk, query: PrintQuery, *, whole: bool = False) -> PrintPage:
    """Show what can be printed and what was asked for; what cannot be drawn is said beside it.

    Parameters
    ----------
    shelf : Shelf
        Open.
    desk : PrintDesk
        What is at hand.
    query : PrintQuery
        What was asked for.
    whole : bool
        Draw even a large chart at once, for a browser without script.
    """
    strips = show_shelf(shelf, order="hue").strips
    chart, wrong, waits = None, InputError("", "", ""), False
    settled = query
    try:
        settled = settle(shelf, query, strips)
        waits = not whole and is_large(settled, len(strips)) and not desk.has(shelf, settled)
        chart = desk.chart(shelf, settled) if strips and not waits else None
    except InputError as error:
        wrong = error
    labels = {strip.key: strip.label for strip in strips}
    told = chart.as_data() if chart else {}
    return PrintPage(
        asked=settled,
        offers=OFFERS,
        takes={kind: taken for kind, (_, taken) in KINDS.items()},
        sizes=tuple(SIZES_MM),
        labels=tuple(KNOWN),
        orders=("hue", "opacity", "strength", "name"),
        intents=tuple(INTENTS),
        profiles=desk.profiles(),
        chosen=tuple(Chosen(key, labels.get(key, key)) for key in settled.paint),
        total=len(strips),
        query=address_of(settled),
        is_large=waits,
        pages=len(chart.sheets) if chart else 0,
        page_mm=(chart.page.width_mm, chart.page.height_mm) if chart else (210.0, 297.0),
        subject=chart.subject if chart else "",
        beyond=count_beyond(told),
        wrong_field=wrong.field,
        wrong=str(wrong) if wrong.field else "",
    )


def is_large(query: PrintQuery, total: int) -> bool:
    """Whether a chart is drawn in the background.

    Examples
    --------
    >>> is_large(PrintQuery(kind="wall"), 300), is_large(PrintQuery(kind="wall", paint=["a"]), 300)
    (True, False)
    """
    shown = len(query.paint) or (total if not OFFERS[query.kind].most else 0)
    return shown > LARGE


def settle(shelf: Shelf, query: PrintQuery, strips: tuple[HungStrip, ...]) -> PrintQuery:
    """The query with its paints by key: one added, one taken off, and some suggested where there are none.

    Raises
    ------
    InputError
        If the paint to add is not on the shelf.
    """
    offer = OFFERS[query.kind]
    known = {strip.key: strip for strip in strips}
    keys = [key if key in known else shelf.load_paint(key).key for key in query.paint]
    if query.add.strip():
        keys.append(shelf.load_paint(query.add.strip()).key)
    keys = [key for key in dict.fromkeys(keys) if key != query.drop]
    if offer.most and not keys and not query.drop:
        binders = {entry.key: entry.binder.value for entry in shelf.load_entries()}
        keys = suggest(strips, binders, SUGGESTED[query.kind])
    if offer.most and len(keys) > offer.most:
        keys = keys[-offer.most :]
    return query.model_copy(update={"paint": keys, "add": "", "drop": ""})


def suggest(strips: Sequence[HungStrip], binders: Mapping[str, str], count: int) -> list[str]:
    """Some paints of the usual binder, spread evenly over the colours of the wall; read ones before illustrative."""
    coloured = [strip for strip in strips if strip.hue[0] == 0.0] or list(strips)
    own = [strip for strip in coloured if strip.provenance != "illustrative"]
    pool = own if len(own) >= count else coloured
    if not pool:
        return []
    met = [binders[strip.key] for strip in pool]
    usual = max(sorted(set(met)), key=met.count)
    pool = [strip for strip in pool if binders[strip.key] == usual]
    return list(dict.fromkeys(pool[round(at * len(pool) / count)].key for at in range(min(count, len(pool)))))


def count_beyond(told: object) -> int:
    """How many colours of a chart cannot be shown.

    Examples
    --------
    >>> count_beyond({"squares": [{"beyond_screen": True}, {"beyond_screen": False}]})
    1
    """
    if isinstance(told, dict):
        return int(told.get("beyond_screen") is True) + sum(count_beyond(each) for each in told.values())
    return sum(count_beyond(each) for each in told) if isinstance(told, list) else 0


def page_svg(shelf: Shelf, desk: PrintDesk, query: PrintQuery, number: int) -> str:
    """One page of the chart as it will be printed, in the colours that its printer can give it.

    Raises
    ------
    InputError
        For anything that cannot be drawn.
    """
    return chart_svg(desk.chart(shelf, query), number=number)


def page_pdf(
    shelf: Shelf, desk: PrintDesk, query: PrintQuery, progress: Progress | None = None
) -> tuple[bytes, str]:
    """The chart as a PDF, and the name of its file.

    Raises
    ------
    InputError
        For anything that cannot be drawn.
    """
    tell = progress or (lambda _words, _share: None)
    chart = desk.chart(shelf, query, lambda words, share: tell(words, 0.8 * share))
    content = chart_pdf(chart, progress=lambda share: tell("writing the file", 0.8 + 0.2 * share))
    return content, f"{query.kind}{'-blank' if query.blank else ''}.pdf"
