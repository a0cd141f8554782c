"""A layering as the bench holds it: what its address says, and what its buttons change."""

from __future__ import annotations

from typing import Annotated, Any, Literal, get_args
from urllib.parse import parse_qs, urlencode

from pydantic import BaseModel, ConfigDict, Field

from scumble.errors import InputError
from scumble.jobs.layering_request import parse_model

Light = Literal["D65", "D50", "A", "LED-B3"]
State = Literal["wet", "glossy", "satin", "matte", "varnished"]

LIGHTS: tuple[str, ...] = get_args(Light)
STATES: tuple[str, ...] = get_args(State)

MOST_FILMS = 12
"""Films that lie on the bench at most; more can neither be drawn nor told apart."""

THINNEST, THICKEST = 0.01, 8.0
"""What the bench lays down [coat]."""

MOST_PARTS = 1000.0

Parts = Annotated[float, Field(ge=0, le=MOST_PARTS, allow_inf_nan=False)]


class BenchFilm(BaseModel):
    """One film: a paint, what is stirred into it by parts, and coats."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    paint: str = Field(min_length=1, max_length=200, description="key or label")
    coats: float = Field(default=0.5, ge=THINNEST, le=THICKEST, allow_inf_nan=False)
    parts: float = Field(default=1.0, gt=0, le=MOST_PARTS, allow_inf_nan=False)
    white: Parts = 0.0
    second: str = Field(default="", max_length=200, description="key or label of a second paint")
    second_parts: Parts = 0.0
    medium: Parts = 0.0
    water: Parts = 0.0


class Bench(BaseModel):
    """A ground, the films on it with the lowest first, and what it is looked at under."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    ground: str = Field(default="white", max_length=100, description="name of a ground, own, or dry")
    own: str = Field(default="", max_length=2000, description="#rrggbb, L*a*b*, or 36 reflectances")
    dry: str = Field(default="", max_length=200, description="key or label of the paint of a dry ground")
    painted: bool = Field(default=False, description="the ground has a glossy face of its own")
    films: tuple[BenchFilm, ...] = Field(default=(), max_length=MOST_FILMS)
    light: Light = "D65"
    state: State = "glossy"


class BenchQuery(BaseModel):
    """The same as words of an address: one entry of each list a film, the top film first; short lists are filled up
    with what is usual."""

    ground: str = "white"
    own: str = ""
    dry: str = ""
    painted: str = ""
    light: str = "D65"
    state: str = "glossy"
    paint: list[str] = []
    coats: list[str] = []
    parts: list[str] = []
    white: list[str] = []
    second: list[str] = []
    second_parts: list[str] = []
    medium: list[str] = []
    water: list[str] = []
    kept: str = Field(default="", description="another layering to compare with, as an address's query")
    add: str = Field(default="", description="paint of a further film")
    do: str = Field(default="", description="add, keep, swap, drop, or remove-2, up-2, down-2 and so on")


OF_FILMS = tuple(BenchFilm.model_fields)
USUAL = {name: field.default for name, field in BenchFilm.model_fields.items() if name != "paint"}


def parse_query(query: BenchQuery) -> Bench:
    """Take the words of an address as a layering.

    Raises
    ------
    InputError
        Naming what cannot be used.
    """
    rows: list[dict[str, Any]] = []
    for at, paint in enumerate(query.paint):
        row: dict[str, Any] = {"paint": paint.strip()}
        for name, usual in USUAL.items():
            given = getattr(query, name)
            said = given[at].strip() if at < len(given) else ""
            row[name] = said or usual
        rows.append(row)
    data = {
        "ground": query.ground,
        "own": query.own.strip(),
        "dry": query.dry.strip(),
        "painted": query.painted != "",
        "films": [row for row in reversed(rows) if row["paint"]],
        "light": query.light,
        "state": query.state,
    }
    return parse_model(Bench, data, field="layering")


def write_query(bench: Bench, *, kept: str = "") -> str:
    """A layering as the query of an address; what is usual is left out.

    Examples
    --------
    >>> write_query(Bench(ground="grey", films=(BenchFilm(paint="viridian", coats=0.25, medium=2),)))
    'ground=grey&paint=viridian&coats=0.25&medium=2'
    """
    said: list[tuple[str, str]] = []
    for name in ("ground", "own", "dry", "light", "state"):
        if (value := getattr(bench, name)) != Bench.model_fields[name].default:
            said.append((name, str(value)))
    if bench.painted:
        said.append(("painted", "on"))
    for name in OF_FILMS:
        values = [getattr(film, name) for film in reversed(bench.films)]
        if any(value != USUAL.get(name) for value in values):
            said += [(name, value if isinstance(value, str) else f"{value:.6g}") for value in values]
    if kept:
        said.append(("kept", kept))
    return urlencode(said)


def parse_address(text: str) -> Bench:
    """Take the query of an address as a layering.

    Raises
    ------
    InputError
        If it is none.
    """
    return parse_query(_split(text))


def clean_address(text: str) -> str:
    """The query of an address, with what it keeps to compare with and nothing else.

    Raises
    ------
    InputError
        If it is none.
    """
    query = _split(text)
    return write_query(parse_query(query), kept=query.kept)


def _split(text: str) -> BenchQuery:
    given = parse_qs(text, keep_blank_values=True)
    known = {
        name: given[name] if name in OF_FILMS else given[name][0]
        for name in BenchQuery.model_fields
        if name in given
    }
    return BenchQuery.model_validate(known)


def change(bench: Bench, query: BenchQuery) -> tuple[Bench, str]:
    """Do what a button asks for.

    Parameters
    ----------
    bench : Bench
        As it lies.
    query : BenchQuery
        Whose ``do`` names the button.

    Returns
    -------
    bench, kept : Bench, str
        As they lie afterwards.

    Raises
    ------
    InputError
        If there is no such button or film.
    """
    verb, _, place = query.do.partition("-")
    if verb == "add":
        return _add(bench, query.add.strip()), query.kept
    if verb == "keep":
        return bench, write_query(bench)
    if verb == "drop":
        return bench, ""
    if verb == "swap":
        return (parse_address(query.kept), write_query(bench)) if query.kept else (bench, "")
    films = list(bench.films)
    at = int(place) - 1 if place.isascii() and place.isdecimal() else -1
    if verb not in ("remove", "up", "down") or not 0 <= at < len(films):
        raise InputError("do", query.do, "add, keep, swap, drop, remove-1, up-1, down-1 and so on")
    film = films.pop(at)
    if verb != "remove":
        films.insert(max(at + (1 if verb == "up" else -1), 0), film)
    return bench.model_copy(update={"films": tuple(films)}), query.kept


def _add(bench: Bench, paint: str) -> Bench:
    if not paint:
        raise InputError("add", "nothing", "a paint of the shelf", "Name the paint of the film.")
    if len(bench.films) >= MOST_FILMS:
        raise InputError("films", len(bench.films) + 1, f"at most {MOST_FILMS} films", "Take one off first.")
    film = BenchFilm(paint=paint, coats=0.25 if bench.films else 1.0)
    return bench.model_copy(update={"films": (*bench.films, film)})
