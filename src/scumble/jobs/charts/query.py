"""What is to be printed, as words of an address, and the chart that they ask for."""

from __future__ import annotations

from typing import Any, Final, Literal, NamedTuple
from urllib.parse import urlencode

from pydantic import BaseModel, Field

from scumble.chart.page import SIZES_MM
from scumble.errors import InputError
from scumble.jobs.charts.kinds import KINDS, ChartRequest

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
    taken: dict[str, Any] = {
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
