"""The page *On a painting*: the films that will lie over a photograph, and the manners of laying them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np

from scumble.chart.strip import write_colour
from scumble.errors import InputError
from scumble.jobs.bench.build import Built, Tubes, build
from scumble.jobs.bench.looks import see
from scumble.jobs.bench.page import Saved, example_query, list_saved
from scumble.jobs.bench.painting import NODES
from scumble.jobs.bench.request import (
    MOST_FILMS,
    Bench,
    BenchFilm,
    BenchQuery,
    change,
    parse_address,
    parse_query,
    write_query,
)
from scumble.jobs.bench.words import LIGHTS, say_film
from scumble.optics.film import film_response
from scumble.paint.covering import MOST_COATS, coats_to_hide
from scumble.store.shelf import Shelf

GLAZE_COATS, GLAZE_MEDIUM = 0.25, 2.0
"""A glaze to begin with: so thick, with so many parts of medium to one of paint. *Common practice, no source.*"""

SCUMBLE_COATS, SCUMBLE_WHITE = 0.15, 1.0
"""A scumble to begin with: so thin, with so many parts of white to one of paint. *Common practice, no source.*"""

CUT_COATS, CUT_BACKING = 1.0, 0.9
"""What stands for a film in the list: so much of it over a white."""


class Manner(NamedTuple):
    """A way of laying a film over what is there."""

    name: str
    label: str
    words: str


MANNERS = (
    Manner("glaze", "Glaze", "thin and clear, with medium: what lies below shines through"),
    Manner("scumble", "Scumble", "thin and milky, with white: a veil that lightens the darks most"),
    Manner("block", "Block out", "as thick as it takes to hide what lies below"),
)


class PaintingQuery(BenchQuery):
    """Words of the page's address: those of a layering, and in which manner a further film is laid."""

    manner: str = "glaze"


@dataclass(frozen=True, slots=True)
class LaidFilm:
    """A film in the list of the page."""

    number: int
    asked: BenchFilm
    label: str
    white: str
    colour: str
    words: str


@dataclass(frozen=True, slots=True)
class PaintingPage:
    """Everything the page says.

    Parameters
    ----------
    bench : Bench
        The layering, paints by key.
    films : tuple of LaidFilm
        Top film first.
    query : str
        The layering as the query of an address.
    manner : str
        In which the next film is laid.
    manners : tuple of Manner
        All there are.
    labels : tuple of str
        Every paint.
    lights : mapping of str to str
        Names and words of lights.
    nodes : int
        Of the table along each channel.
    saved : tuple of Saved
        Films with a name.
    is_full : bool
        Whether no further film fits.
    """

    bench: Bench
    films: tuple[LaidFilm, ...]
    query: str
    manner: str
    manners: tuple[Manner, ...]
    labels: tuple[str, ...]
    lights: dict[str, str]
    nodes: int
    saved: tuple[Saved, ...]
    is_full: bool


def change_painting(shelf: Shelf, query: PaintingQuery) -> str:
    """Do what a button of the page asks for; the query of the layering afterwards.

    Raises
    ------
    InputError
        If it cannot be done.
    """
    bench = parse_query(query)
    if query.do != "add":
        return write_query(change(bench, query)[0])
    changed, _ = change(bench, query)
    laid = lay_in_manner(Tubes(shelf), query.add, query.manner)
    return write_query(changed.model_copy(update={"films": (*bench.films, laid)}))


def lay_in_manner(tubes: Tubes, name: str, manner: str) -> BenchFilm:
    """A film to begin with.

    Parameters
    ----------
    tubes : Tubes
        Of the shelf.
    name : str
        Key or label of the paint.
    manner : str
        ``glaze``, ``scumble`` or ``block``.

    Raises
    ------
    InputError
        If there is no such paint or manner.
    """
    entry = tubes.find(name)
    if manner == "glaze":
        return BenchFilm(paint=entry.key, coats=GLAZE_COATS, medium=GLAZE_MEDIUM)
    if manner == "scumble":
        white = SCUMBLE_WHITE if tubes.white_of(entry) else 0.0
        return BenchFilm(paint=entry.key, coats=SCUMBLE_COATS, white=white)
    if manner == "block":
        paint = tubes.load(entry)
        optics = paint.optics
        hides = coats_to_hide(optics.absorption, optics.scattering, index=paint.binder.refractive_index)
        return BenchFilm(paint=entry.key, coats=float(f"{min(float(hides), MOST_COATS):.3g}"))
    raise InputError("manner", manner, ", ".join(each.name for each in MANNERS))


def show_painting(shelf: Shelf, query: PaintingQuery) -> PaintingPage:
    """Lay the page out.

    Raises
    ------
    InputError
        If something in the address cannot be used.
    """
    tubes = Tubes(shelf)
    built = build(shelf, tubes, parse_query(query))
    manners = [each.name for each in MANNERS]
    if query.manner not in manners:
        raise InputError("manner", query.manner, ", ".join(manners))
    return PaintingPage(
        bench=built.bench,
        films=_laid(built),
        query=write_query(built.bench),
        manner=query.manner,
        manners=MANNERS,
        labels=tuple(entry.label for entry in tubes.entries),
        lights=LIGHTS,
        nodes=NODES,
        saved=list_saved(shelf.recipes.load_all(), write_query(built.bench)),
        is_full=len(built.films) >= MOST_FILMS,
    )


def example_films(shelf: Shelf) -> str:
    """The bench's example laid as a glaze, as an address's query; empty where the shelf is."""
    query = example_query(shelf)
    if not query:
        return ""
    *_, upper = parse_address(query).films
    return write_query(Bench(films=(lay_in_manner(Tubes(shelf), upper.paint, "glaze"),)))


def _laid(built: Built) -> tuple[LaidFilm, ...]:
    films = []
    for number, each in enumerate(built.films, 1):
        share = CUT_COATS / each.film.dry_coats
        depths = each.film.absorption * share, each.film.scattering * share
        cut = film_response(*depths, index=built.layering.index).over(CUT_BACKING)
        films.append(
            LaidFilm(
                number=number,
                asked=each.asked,
                label=each.paint.label,
                white=each.white.label if each.white else "",
                colour=write_colour(np.asarray(see(cut, built.bench.light).srgb)),
                words=say_film(each),
            )
        )
    return tuple(reversed(films))
