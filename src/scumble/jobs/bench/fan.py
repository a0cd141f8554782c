"""A film of the bench from thin to thick at once, so that a drag can be followed before the bench has answered."""

from __future__ import annotations

from typing import Annotated

import numpy as np
from pydantic import BaseModel, Field

from scumble.chart.strip import write_colour
from scumble.errors import InputError
from scumble.jobs.bench.build import Tubes, build
from scumble.jobs.bench.look_at_layering import PAPERS
from scumble.jobs.bench.looks import look_through, see
from scumble.jobs.bench.request import MOST_FILMS, THICKEST, THINNEST, Bench
from scumble.paint import paper_ground
from scumble.store.shelf import Shelf

FAN_COATS = np.geomspace(THINNEST, THICKEST, 33)
"""Thicknesses of the film [coat]: near enough for a straight line between two screen colours to lie within dE00 1
of the answer, a quarter on average."""


class FanAsk(BaseModel):
    """A layering, and which of its films is about to change."""

    layering: Bench
    film: Annotated[int, Field(ge=1, le=MOST_FILMS, description="1 is the lowest")]


class Fan(BaseModel):
    """Screen colours of a layering while one film thickens, #rrggbb."""

    coats: list[float]
    chosen: list[str]
    white: list[str]
    black: list[str]
    grey: list[str]


def fan_out(shelf: Shelf, tubes: Tubes, ask: FanAsk) -> Fan:
    """Look at a layering while one of its films thickens.

    Parameters
    ----------
    shelf : Shelf
        Open.
    tubes : Tubes
        Its paints.
    ask : FanAsk
        The layering and the film.

    Raises
    ------
    InputError
        If something in it cannot be used.
    """
    built = build(shelf, tubes, ask.layering)
    films = built.layering.films
    if ask.film > len(films):
        raise InputError("film", ask.film, f"1 to {len(films)}" if films else "a layering with films")
    grounds = (built.layering.ground, *(paper_ground(name) for name in PAPERS))
    scale = np.ones((len(FAN_COATS), len(films)))
    scale[:, -ask.film] = FAN_COATS / films[ask.film - 1].coats
    shown = look_through(built.layering, grounds, scale)
    rows = ([write_colour(colour) for colour in row] for row in see(shown, built.bench.light).srgb)
    return Fan(coats=FAN_COATS.tolist(), **dict(zip(("chosen", *PAPERS), rows, strict=True)))
