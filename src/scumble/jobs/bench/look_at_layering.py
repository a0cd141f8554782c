"""The layer bench: what a ground and the films on it look like, drawn as a section and said in words."""

from __future__ import annotations

from functools import partial
from typing import Annotated

import numpy as np
from numpy.typing import NDArray
from pydantic import BaseModel, Field

from scumble.chart.section import SHORTEST, Section, Slab, draw_section
from scumble.chart.strip import write_colour
from scumble.colour import delta_e_2000, name_colours
from scumble.jobs.bench.build import Built, Tubes, build
from scumble.jobs.bench.figures import draw_path, draw_spectrum
from scumble.jobs.bench.looks import BenchLooks, look_at
from scumble.jobs.bench.request import Bench, write_query
from scumble.jobs.bench.section import slabs_of, surface_of
from scumble.jobs.bench.words import say_coats, say_contrast, say_difference, say_films, say_lab, say_vivid
from scumble.jobs.remember import Remembered, stamp_of
from scumble.paint import paper_ground
from scumble.store.shelf import Shelf

Floats = NDArray[np.float64]

PAPERS = ("white", "black", "grey")
"""Sheets that every layering is seen over beside its own ground."""

PATH_COATS = np.geomspace(1 / 64, 8.0, 19)
"""Thicknesses of the top film along the path of its colour [coat]: two to each doubling."""

ROW = slice(4, 17)
"""Those of them in the row of swatches, from a sixteenth of a coat to four."""

ROW_COATS = PATH_COATS[ROW]


class Swatch(BaseModel):
    """A layering on one ground."""

    ground: str = Field(description="what it lies on")
    colour: str = Field(description="screen colour, #rrggbb")
    bare: str = Field(description="screen colour of the bare ground")
    name: str = Field(description="the colour in plain words")
    lab: Annotated[list[float], Field(min_length=3, max_length=3)]
    interval_de00: float = Field(description="it lies within this CIEDE2000 distance 19 times in 20")
    in_gamut: bool = Field(description="whether a screen can show it")
    says: str = Field(description="CIELAB and interval in words")


class Edge(BaseModel):
    """The top edge of a film on the drawing."""

    across: float = Field(description="hundredths of the width")
    down: float = Field(description="pixels from the top")
    coats: float
    cut: str = Field(description="screen colour of its cut face")
    says: str = Field(description="its thickness in words")


class Answer(BaseModel):
    """What a layering looks like."""

    query: str = Field(description="the layering as the query of an address")
    chosen: Swatch
    white: Swatch
    black: Swatch
    grey: Swatch
    contrast_ratio: float = Field(description="Y over black paper / Y over white paper")
    contrast: str = Field(description="the contrast ratio in words")
    vivid: str = Field(description="where no screen shows it as vivid as it is, in words")
    section: str = Field(description="SVG shapes for a box of 1000 by section_height")
    section_height: float
    edges: list[Edge] = Field(description="of each film, lowest first")
    row: list[str] = Field(description="screen colours while the top film thickens from 1/16 to 4 coats")
    row_at: float = Field(description="where the top film stands in that row, hundredths of its width")
    spectrum: str = Field(description="an SVG element")
    path: str = Field(description="an SVG element")
    brushed: list[list[str]] = Field(
        description="screen colours of furrows, body and ridges of the top film over white and over black paper"
    )
    words: list[str] = Field(description="ground and films, lowest first")
    kept: KeptAnswer | None = None


class KeptAnswer(BaseModel):
    """What the layering looks like that was kept to compare with."""

    query: str
    chosen: Swatch
    white: Swatch
    black: Swatch
    grey: Swatch
    contrast: str
    section: str
    section_height: float
    words: list[str]
    difference_de00: float
    difference: str = Field(description="how far the two are apart on their grounds, in words")


class Ask(BaseModel):
    """A layering to look at, and one to compare with."""

    layering: Bench
    kept: Bench | None = None


def look(shelf: Shelf, tubes: Tubes, ask: Ask) -> tuple[Answer, Built]:
    """Look at a layering.

    Parameters
    ----------
    shelf : Shelf
        Open.
    tubes : Tubes
        Its paints.
    ask : Ask
        What to look at; the kept layering is seen under the light of the other.

    Raises
    ------
    InputError
        If something in it cannot be used.
    """
    built = build(shelf, tubes, ask.layering)
    looks = _looks(built)
    kept = None
    if ask.kept is not None:
        beside = build(shelf, tubes, ask.kept.model_copy(update={"light": ask.layering.light}))
        kept = (beside, _kept.recall(_stamp(tubes, beside), partial(_looks, beside)))
    return _answer(built, looks, kept), built


_kept: Remembered[BenchLooks] = Remembered()
"""Layerings that stay the same while another is changed."""


def _stamp(tubes: Tubes, built: Built) -> str:
    paints = [paint.key for film in built.films for paint, _ in film.film.parts]
    named = [write_query(built.bench), *(stamp_of(tubes.find(key), None) for key in paints)]
    return " ".join([*named, built.layering.ground.reflectance.tobytes().hex()])


def _looks(built: Built) -> BenchLooks:
    grounds = (built.layering.ground, *(paper_ground(name) for name in PAPERS))
    return look_at(built.layering, grounds, light=built.bench.light, coats=PATH_COATS)


def _answer(built: Built, looks: BenchLooks, kept: tuple[Built, BenchLooks] | None) -> Answer:
    slabs = slabs_of(built, looks)
    section = _section(slabs, looks)
    films = built.bench.films
    ratio = _contrast_ratio(looks)
    swatches = _swatches(built, looks)
    return Answer(
        query=write_query(built.bench),
        **swatches,
        vivid=say_vivid([each.ground for each in swatches.values() if not each.in_gamut]),
        contrast_ratio=round(ratio, 4),
        contrast=say_contrast(ratio, has_films=bool(films)),
        section=section.svg,
        section_height=round(section.height, 1),
        edges=[
            Edge(
                across=across,
                down=round(down, 1),
                coats=slab.coats,
                cut=slab.body,
                says=say_coats(slab.coats),
            )
            for (across, down), slab in zip(section.edges, slabs, strict=True)
        ],
        row=[write_colour(colour) for colour in looks.thickening.srgb[ROW]],
        row_at=_place_in_row(films[-1].coats) if films else 0.0,
        spectrum=draw_spectrum(looks, kept[1] if kept else None),
        path=draw_path(looks),
        brushed=[[write_colour(each) for each in row] for row in looks.brushed.srgb[1:3]],
        words=say_films(built),
        kept=_kept_answer(*kept, looks) if kept else None,
    )


def _kept_answer(built: Built, looks: BenchLooks, beside: BenchLooks) -> KeptAnswer:
    section = _section(slabs_of(built, looks), looks, shortest=0.0)
    apart = float(delta_e_2000(looks.on_grounds.lab[0], beside.on_grounds.lab[0]))
    return KeptAnswer(
        query=write_query(built.bench),
        **_swatches(built, looks),
        contrast=say_contrast(_contrast_ratio(looks), has_films=bool(built.films)),
        section=section.svg,
        section_height=round(section.height, 1),
        words=say_films(built),
        difference_de00=round(apart, 2),
        difference=say_difference(looks.on_grounds.lab[0], beside.on_grounds.lab[0]),
    )


def _swatches(built: Built, looks: BenchLooks) -> dict[str, Swatch]:
    grounds = (built.layering.ground.label, *(f"{name} paper" for name in PAPERS))
    names = name_colours(looks.on_grounds.xyz, light=built.bench.light)
    return {
        slot: _swatch(looks, at, ground, name)
        for at, (slot, ground, name) in enumerate(zip(("chosen", *PAPERS), grounds, names, strict=True))
    }


def _swatch(looks: BenchLooks, at: int, ground: str, name: str) -> Swatch:
    seen, interval = looks.on_grounds, looks.intervals[at]
    in_gamut = bool(seen.in_gamut[at])
    return Swatch(
        ground=ground,
        colour=write_colour(seen.srgb[at]),
        bare=write_colour(looks.bare.srgb[at]),
        name=name,
        lab=[round(value, 2) for value in seen.lab[at].tolist()],
        interval_de00=round(interval, 2),
        in_gamut=in_gamut,
        says=say_lab(seen.lab[at], interval),
    )


def _contrast_ratio(looks: BenchLooks) -> float:
    luminance = looks.on_grounds.xyz[:, 1]
    return float(luminance[2] / luminance[1])


def _section(slabs: tuple[Slab, ...], looks: BenchLooks, *, shortest: float = SHORTEST) -> Section:
    bare = looks.bare.srgb[0]
    return draw_section(surface_of([bare, bare, bare]), slabs, shortest=shortest)


def _place_in_row(coats: float) -> float:
    """Where a thickness stands in the row of swatches, hundredths of its width."""
    step = np.log(ROW_COATS[1] / ROW_COATS[0])
    place = (np.log(coats / ROW_COATS[0]) / step + 0.5) / len(ROW_COATS)
    return round(100.0 * float(np.clip(place, 0.01, 0.99)), 1)


Answer.model_rebuild()
