"""The Layers page: the bench, what can be chosen on it, and the layerings that were saved."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from pydantic import BaseModel, Field, ValidationError

from scumble.chart.brush_out import BrushOut, draw_brush_out
from scumble.chart.section import COAT_HEIGHT, HEIGHT_POWER
from scumble.chart.strip import write_colour
from scumble.errors import InputError
from scumble.jobs.bench.build import DRY, OWN, Built, Tubes, build, build_ground, ground_names
from scumble.jobs.bench.look_at_layering import Answer, Ask, look
from scumble.jobs.bench.looks import see
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
from scumble.jobs.bench.words import LIGHTS
from scumble.jobs.shelf.show_shelf import FIRST_HUE, hang_all
from scumble.optics.film import film_response
from scumble.store.named_things import Recipe
from scumble.store.shelf import Shelf

THIN_COATS, BACKING = 0.12, 0.85
"""Film whose colour stands beside a paint's masstone in the list of paints, and the white both lie on."""


YELLOW, ROSE = 84.0, 2.0
"""CIELAB hue angles of the example [degree]."""


class Choice(BaseModel):
    """A paint as the list of paints shows it."""

    key: str
    label: str
    pigments: list[str]
    mark: str = Field(description="mark of transparency")
    masstone: str = Field(description="screen colour of one coat over white")
    thin: str = Field(description="screen colour of a thin film over white")
    words: list[str] = Field(description="what it is found by, each from its start")


@dataclass(frozen=True, slots=True)
class GroundChoice:
    """A ground to choose: its name, what it is called, and its screen colour."""

    name: str
    label: str
    colour: str


@dataclass(frozen=True, slots=True)
class Saved:
    """A layering with a name."""

    key: str
    label: str
    query: str
    is_here: bool


@dataclass(frozen=True, slots=True)
class BenchPage:
    """Everything the Layers page says.

    Parameters
    ----------
    built : Built
        The layering.
    answer : Answer
        What it looks like.
    query, kept : str
        It and the kept one as queries of addresses.
    grounds : tuple of GroundChoice
        To choose from.
    own_colour : str
        Screen colour of the person's own or dry ground, empty while there is none.
    lights : mapping of str to str
        Names and words of lights.
    labels : tuple of (str, str)
        Key and label of every paint.
    saved, binned : tuple of Saved
        Layerings with a name, and those in the bin.
    is_full : bool
        Whether no further film fits.
    brush_out : BrushOut
        Outlines of the brush-out.
    coat_height, height_power : float
        How the drawing's heights come from coats.
    """

    built: Built
    answer: Answer
    query: str
    kept: str
    grounds: tuple[GroundChoice, ...]
    own_colour: str
    lights: dict[str, str]
    labels: tuple[tuple[str, str], ...]
    saved: tuple[Saved, ...]
    binned: tuple[Saved, ...]
    is_full: bool
    brush_out: BrushOut
    coat_height: float = COAT_HEIGHT
    height_power: float = HEIGHT_POWER


def change_bench(query: BenchQuery) -> str:
    """Do what a button of the bench asks for; the query of the layering afterwards.

    Raises
    ------
    InputError
        If it cannot be done.
    """
    bench, kept = change(parse_query(query), query)
    return write_query(bench, kept=kept)


def show_bench(shelf: Shelf, query: BenchQuery) -> BenchPage:
    """Lay the bench out.

    Parameters
    ----------
    shelf : Shelf
        Open.
    query : BenchQuery
        What lies on it.

    Raises
    ------
    InputError
        If something in it cannot be used.
    """
    tubes, bench = Tubes(shelf), parse_query(query)
    answer, built = look(
        shelf, tubes, Ask(layering=bench, kept=parse_address(query.kept) if query.kept else None)
    )
    own = built.layering.ground.reflectance if bench.ground in (OWN, DRY) else None
    return BenchPage(
        built=built,
        answer=answer,
        query=answer.query,
        kept=answer.kept.query if answer.kept else "",
        grounds=ground_choices(shelf, bench),
        own_colour="" if own is None else write_colour(see(own, bench.light).srgb),
        lights=LIGHTS,
        labels=tuple((entry.key, entry.label) for entry in tubes.entries),
        saved=list_saved(shelf.recipes.load_all(), answer.query),
        binned=list_saved(shelf.recipes.load_bin(), answer.query),
        is_full=len(bench.films) >= MOST_FILMS,
        brush_out=draw_brush_out(),
    )


def example_query(shelf: Shelf) -> str:
    """A layering to begin with: a clear rose or what comes nearest, over an opaque yellow."""
    coloured = [strip for strip in hang_all(shelf) if strip.hue[0] == 0]
    if not coloured:
        return ""
    opaque = [strip for strip in coloured if strip.mark in ("opaque", "semi-opaque")] or coloured
    clear = [strip for strip in coloured if strip.mark == "transparent"] or coloured
    under = min(opaque, key=lambda strip: abs(strip.hue[1] - (FIRST_HUE - YELLOW)))
    glaze = min(clear, key=lambda strip: abs(strip.hue[1] - (FIRST_HUE - ROSE)))
    films = [BenchFilm(paint=under.key, coats=1.0)]
    if glaze.key != under.key:
        films.append(BenchFilm(paint=glaze.key, coats=0.25))
    return write_query(Bench(films=tuple(films)))


def list_choices(shelf: Shelf) -> list[Choice]:
    """Every paint with its colours and the words it is found by, in the order of the wall."""
    tubes = Tubes(shelf)
    choices = []
    for strip in sorted(hang_all(shelf), key=lambda strip: strip.hue):
        paint = tubes.load(tubes.find(strip.key))
        coats = np.array([[1.0], [THIN_COATS]])
        optics, index = paint.optics, paint.binder.refractive_index
        film = film_response(coats * optics.absorption, coats * optics.scattering, index=index)
        masstone, thin = (write_colour(each) for each in see(film.over(BACKING), "D65").srgb)
        choices.append(
            Choice(
                key=strip.key,
                label=strip.label,
                pigments=list(strip.pigments),
                mark=strip.mark,
                masstone=masstone,
                thin=thin,
                words=sorted(strip.tokens),
            )
        )
    return choices


def save_bench(shelf: Shelf, name: str, bench: Bench) -> None:
    """Save a layering under a name; an older one of that name stays as an older version.

    Raises
    ------
    InputError
        If the name or something in the layering cannot be used.
    """
    label = " ".join(name.split())
    plain = unicodedata.normalize("NFKD", label).encode("ascii", "ignore").decode().lower()
    key = re.sub(r"[^a-z0-9]+", "-", plain).strip("-")[:80].strip("-")
    if not key:
        raise InputError("name", name, "a name with at least one letter or digit")
    built = build(shelf, Tubes(shelf), bench)
    shelf.recipes.save(Recipe(key, label, built.bench.model_dump(mode="json")))


def move_saved(shelf: Shelf, key: str, *, binned: bool) -> None:
    """Put a saved layering into the bin, or fetch it back; where it is already there, nothing changes.

    Raises
    ------
    InputError
        If there is none.
    """
    there = shelf.recipes.load_bin() if binned else shelf.recipes.load_all()
    if any(recipe.key == key for recipe in there):
        return
    if binned:
        shelf.recipes.delete(key)
    else:
        shelf.recipes.restore(key)


def ground_choices(shelf: Shelf, bench: Bench) -> tuple[GroundChoice, ...]:
    """Every ground there is, with its colour under the light of a bench."""
    names = ground_names(shelf)
    grounds = np.array([build_ground(shelf, Bench(ground=name)).reflectance for name, _ in names])
    colours = see(grounds, bench.light).srgb
    return tuple(
        GroundChoice(name, label, write_colour(colour))
        for (name, label), colour in zip(names, colours, strict=True)
    )


def list_saved(recipes: Iterable[Recipe], here: str) -> tuple[Saved, ...]:
    """Saved layerings that the bench can lay out.

    Parameters
    ----------
    recipes : iterable of Recipe
        As kept on the shelf.
    here : str
        The layering that is shown now, as the query of an address.
    """
    found = []
    for recipe in recipes:
        try:
            query = write_query(Bench.model_validate(recipe.layering))
        except ValidationError:
            continue
        found.append(Saved(recipe.key, recipe.label, query, query == here))
    return tuple(found)
