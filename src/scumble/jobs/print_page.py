"""The page Print: what can be printed, what was asked for, and the chart that answers it."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from hashlib import sha256
from threading import Lock
from typing import Final, Literal, NamedTuple
from urllib.parse import urlencode

from pydantic import BaseModel, Field

from scumble.chart.label import KNOWN
from scumble.chart.page import SIZES_MM
from scumble.chart.profile import INTENTS, read_profile
from scumble.errors import InputError
from scumble.jobs.chart_kinds import KINDS, ChartRequest, print_kind
from scumble.jobs.print_chart import Chart, Progress, chart_pdf, chart_svg
from scumble.jobs.show_shelf import HungStrip, show_shelf
from scumble.store.shelf import Shelf

Kind = Literal["wall", "handout", "labels", "mix", "glaze", "triangle", "compare"]


class Offer(NamedTuple):
    """A kind of chart as the page offers it."""

    name: str
    """In the trade's words."""
    says: str
    """What it shows."""
    least: int
    """Paints it needs."""
    most: int
    """Paints it can show; 0 means all that are found."""
    page: str
    """Paper that suits it."""


OFFERS: Final[dict[str, Offer]] = {
    "wall": Offer("Wall chart", "every paint as a painted strip", 0, 0, "A3-landscape"),
    "handout": Offer("Handout", "one paint and how it behaves", 1, 1, "A4"),
    "labels": Offer("Shelf labels", "a strip and its words for every tube", 0, 0, ""),
    "mix": Offer("Mixing grid", "every paint stirred into every other", 2, 14, "A4"),
    "glaze": Offer("Glazing grid", "thin films over grounds or dry paint", 1, 16, "A4"),
    "triangle": Offer("Triangle", "all mixtures of three paints", 3, 3, "A4"),
    "compare": Offer("Side by side", "two paints, and how they differ", 2, 2, "A4"),
}

SUGGESTED: Final = {"handout": 1, "mix": 4, "glaze": 4, "triangle": 3, "compare": 2}
"""Paints that stand on a fresh page of a kind, spread round the wall."""

MOST_PROFILES: Final = 8
"""Profiles kept at hand while the pages are open; none is written to the disk."""

MOST_CHARTS: Final = 3
"""Charts kept at hand between the look and the file; a large one takes some tens of megabytes."""


class PrintQuery(BaseModel):
    """What is to be printed, as words of an address; whatever is left empty is as the kind has it by itself."""

    kind: Kind = "wall"
    paint: list[str] = Field(default=[], max_length=300, description="keys or labels")
    add: str = Field(default="", max_length=200, description="one more paint")
    drop: str = Field(default="", max_length=200, description="key of a paint to take off")
    page: str = Field(default="", max_length=30)
    turned: Literal["", "upright", "across"] = ""
    order: str = Field(default="", max_length=20)
    find: str = Field(default="", max_length=200)
    scale: str = Field(default="", max_length=10)
    over: str = Field(default="", max_length=400)
    coats: str = Field(default="", max_length=10)
    parts: str = Field(default="", max_length=20)
    ladder: str = Field(default="", max_length=60)
    steps: str = Field(default="", max_length=5)
    white_parts: str = Field(default="", max_length=10)
    labels: str = Field(default="", max_length=60)
    start: str = Field(default="", max_length=5)
    outlines: bool = False
    blank: bool = False
    title: str = Field(default="", max_length=90)
    profile: str = Field(
        default="", max_length=20, description="name under which an uploaded profile is kept"
    )
    intent: str = Field(default="", max_length=20)


@dataclass(frozen=True, slots=True)
class KeptProfile:
    """A profile that was handed in.

    Parameters
    ----------
    key, name : str
        For addresses, and what it calls itself.
    content : bytes
        The ICC file.
    """

    key: str
    name: str
    content: bytes


class PrintDesk:
    """What the page keeps at hand while it is open: profiles that were handed in, and the charts drawn last."""

    def __init__(self) -> None:
        self._profiles: OrderedDict[str, KeptProfile] = OrderedDict()
        self._charts: OrderedDict[str, Chart] = OrderedDict()
        self._lock = Lock()

    def keep_profile(self, content: bytes) -> KeptProfile:
        """Take in the profile of a printer; it is forgotten when the program ends.

        Raises
        ------
        InputError
            If it is none that something can be printed through.
        """
        read = read_profile(content)
        kept = KeptProfile(sha256(content).hexdigest()[:12], read.name, content)
        with self._lock:
            self._profiles[kept.key] = kept
            while len(self._profiles) > MOST_PROFILES:
                self._profiles.popitem(last=False)
        return kept

    def profiles(self) -> tuple[KeptProfile, ...]:
        """All that are at hand."""
        return tuple(self._profiles.values())

    def profile(self, key: str) -> bytes:
        """One that was handed in; nothing for an empty key.

        Raises
        ------
        InputError
            If it is no longer at hand.
        """
        if not key:
            return b""
        if key not in self._profiles:
            raise InputError("profile", key, "a profile that was handed in since the pages were opened")
        return self._profiles[key].content

    def chart(self, shelf: Shelf, query: PrintQuery, progress: Progress | None = None) -> Chart:
        """The chart that answers a query, drawn anew only when it or the shelf has changed.

        Raises
        ------
        InputError
            For anything that cannot be drawn.
        """
        request = request_of(query, self.profile(query.profile))
        request = replace(request, keys=choose_keys(shelf, query))
        name = sha256(f"{request}{shelf.load_entries()}{shelf.tubes.load_all()}".encode()).hexdigest()
        with self._lock:
            if name in self._charts:
                self._charts.move_to_end(name)
                return self._charts[name]
        chart = print_kind(shelf, request, progress=progress)
        with self._lock:
            self._charts[name] = chart
            while len(self._charts) > MOST_CHARTS:
                self._charts.popitem(last=False)
        return chart


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
    pages: int
    page_mm: tuple[float, float]
    subject: str
    beyond: int
    wrong_field: str
    wrong: str


def show_print(shelf: Shelf, desk: PrintDesk, query: PrintQuery) -> PrintPage:
    """Show what can be printed and what was asked for; what cannot be drawn is said beside it.

    Parameters
    ----------
    shelf : Shelf
        Open.
    desk : PrintDesk
        What is at hand.
    query : PrintQuery
        What was asked for.
    """
    strips = show_shelf(shelf, order="hue").strips
    chart, wrong = None, InputError("", "", "")
    settled = query
    try:
        settled = settle(shelf, query, strips)
        chart = desk.chart(shelf, settled) if strips else None
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
        pages=len(chart.sheets) if chart else 0,
        page_mm=(chart.page.width_mm, chart.page.height_mm) if chart else (210.0, 297.0),
        subject=chart.subject if chart else "",
        beyond=count_beyond(told),
        wrong_field=wrong.field,
        wrong=str(wrong) if wrong.field else "",
    )


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


def choose_keys(shelf: Shelf, query: PrintQuery) -> tuple[str, ...]:
    """Keys of the chosen paints in the order in which they were chosen."""
    return tuple(shelf.load_paint(key).key for key in query.paint)


def request_of(query: PrintQuery, profile: bytes) -> ChartRequest:
    """The chart that a query asks for; options that its kind has no use for are left out.

    Raises
    ------
    InputError
        If a number is none.
    """
    takes = KINDS[query.kind][1]
    offer = OFFERS[query.kind]
    page = query.page.strip() or offer.page
    if query.turned and page.partition("-")[0].casefold() in {name.casefold() for name in SIZES_MM}:
        page = page.partition("-")[0] + ("-landscape" if query.turned == "across" else "")
    taken = {
        name: getattr(query, name)
        for name in ("order", "find", "over", "parts", "ladder", "labels", "outlines", "blank", "title")
        if name in takes
    }
    numbers = {
        "coats": _number("coats", query.coats),
        "scale": _number("scale", query.scale),
        "white_parts": _number("white-parts", query.white_parts) or 0.0,
        "steps": _whole("steps", query.steps),
        "start": _whole("start", query.start) or 1,
    }
    taken |= {name: number for name, number in numbers.items() if name in takes}
    return ChartRequest(
        query.kind, tuple(query.paint), page=page, profile=profile, intent=query.intent, **taken
    )


def address_of(query: PrintQuery) -> str:
    """A query as an address asks for it, without what is as usual.

    Examples
    --------
    >>> address_of(PrintQuery(kind="mix", paint=["a", "b"], blank=True))
    'kind=mix&paint=a&paint=b&blank=true'
    """
    said: list[tuple[str, str]] = [("kind", query.kind)]
    for name, field in PrintQuery.model_fields.items():
        given = getattr(query, name)
        if name == "kind" or given == field.default:
            continue
        values = given if isinstance(given, list) else ["true" if given is True else given]
        said += [(name, value) for value in values]
    return urlencode(said)


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


def _number(field: str, text: str) -> float | None:
    try:
        number = float(text.replace(",", ".")) if text.strip() else None
    except ValueError:
        number = float("nan")
    if number is not None and not 0.0 <= number < 1e6:
        raise InputError(field, text, "a number")
    return number


def _whole(field: str, text: str) -> int | None:
    if text.strip() and not (text.strip().isascii() and text.strip().isdigit()):
        raise InputError(field, text, "a whole number")
    return int(text) if text.strip() else None
