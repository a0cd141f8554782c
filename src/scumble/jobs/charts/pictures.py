"""Pictures of one paint for print, coloured from its optics: strip, ladder into white, films over six grounds."""

from __future__ import annotations

from collections.abc import Sequence
from zlib import crc32

import numpy as np
from numpy.typing import NDArray

from scumble.chart.lying import LyingColours
from scumble.chart.painted import as_colour
from scumble.chart.patch import Patch
from scumble.chart.pictures import PaintPictures, Tile
from scumble.chart.profile import Profile
from scumble.chart.sheet import WHITE, Colour
from scumble.jobs.charts.press import printable
from scumble.jobs.charts.strips import LEVELS, OPTICS, ladder_swatches
from scumble.jobs.grounds import SIX_GROUNDS, bare_colour, chart_ground
from scumble.jobs.shelf.paint_strip import (
    FULL_UNTIL,
    HALVED_UNTIL,
    HALVINGS,
    LYING_COURSE,
    LYING_STOPS,
    ridge_factors,
)
from scumble.jobs.tube.paint_figures import say_coats
from scumble.paint import Paint
from scumble.paint.swatches import Swatches, predict_swatches
from scumble.paint.tinting import LADDER_PARTS

Floats = NDArray[np.float64]

TILE_COATS = (0.125, 1.0)
"""Films shown over every ground: a glaze and a full coat [coat]."""


def paint_pictures(
    paint: Paint, white: Paint | None, *, blank: bool = False, profile: Profile | None = None
) -> PaintPictures:
    """Everything that is drawn of one paint.

    Parameters
    ----------
    paint : Paint
        The tube.
    white : Paint or None
        What it is tinted with; without it there is no ladder.
    blank : bool
        Leave the films blank, to be painted by hand.
    profile : Profile, optional
        Of the printer.
    """
    return PaintPictures(
        strip=None if blank else lying_colours([paint], profile)[0],
        ticks=lying_ticks(),
        paper=_printed("white", blank),
        bar=_printed("black", blank),
        ladder=_ladder(paint, white, blank, profile) if white else (),
        ladder_says=f"Into white: paint to {white.label.lower()}, parts by volume" if white else "",
        tiles=_tiles(paint, blank, profile),
        tiles_say="Over six grounds: an eighth of a coat, and a full coat",
        seed=crc32(paint.key.encode()),
    )


def lying_films() -> Floats:
    """Thickness of every ridge along a lying stroke, shape (1, levels, stops, 1) [coat]."""
    places, coats = zip(*LYING_COURSE, strict=True)
    thickness = np.exp(np.interp(np.linspace(0.0, 1.0, LYING_STOPS), places, np.log(coats)))
    return (ridge_factors(LEVELS)[:, None] * thickness)[None, ..., None]


def lying_colours(paints: Sequence[Paint], profile: Profile | None = None) -> tuple[LyingColours, ...]:
    """Screen colours of lying strips over white and over black paper, paints of one binder in one prediction."""
    colours: dict[str, LyingColours] = {}
    for binder in {paint.binder for paint in paints}:
        own = [paint for paint in paints if paint.binder is binder]
        index, films = binder.refractive_index, lying_films()
        absorption, scattering = (
            np.array([getattr(paint.optics, name) for paint in own])[:, None, None, None] * films
            for name in OPTICS
        )
        below = np.array([chart_ground(name).under_film(index) for name in ("white", "black")])
        seen = printable(predict_swatches(absorption, scattering, below[:, None, None], index=index), profile)
        for number, paint in enumerate(own):
            beyond = not seen.in_gamut[number, :, LEVELS // 2].all()
            colours[paint.key] = LyingColours(seen.srgb[number, 0], seen.srgb[number, 1], beyond)
    return tuple(colours[paint.key] for paint in paints)


def lying_ticks() -> tuple[tuple[float, str], ...]:
    """Where the film of the lying strip is one coat, half a coat and so on, as shares of the stroke."""
    return tuple(
        (FULL_UNTIL + (HALVED_UNTIL - FULL_UNTIL) * halved / HALVINGS, say_coats(0.5**halved))
        for halved in range(HALVINGS + 1)
    )


def predict_tiles(paint: Paint) -> Swatches:
    """Films over the grounds, shape (grounds, films)."""
    index = paint.binder.refractive_index
    below = np.array([chart_ground(name).under_film(index) for name in SIX_GROUNDS])[:, None]
    coats = np.array(TILE_COATS)[None, :, None]
    return predict_swatches(
        paint.optics.absorption * coats, paint.optics.scattering * coats, below, index=index
    )


def _printed(ground: str, blank: bool) -> Colour:
    """Colour of a bare ground; white paper that is to be painted on is not printed."""
    return WHITE if blank and ground == "white" else as_colour(bare_colour(ground))


def _ladder(paint: Paint, white: Paint, blank: bool, profile: Profile | None) -> tuple[Patch, ...]:
    """The paint alone and its steps into white."""
    middle = LEVELS // 2
    alone = printable(ladder_swatches([paint], [None]), profile)
    steps = printable(ladder_swatches([paint], [white]), profile)
    shown = [(alone, 0, "paint alone")]
    shown += [(steps, number, f"1 : {parts:g}") for number, parts in enumerate(LADDER_PARTS)]
    return tuple(
        Patch(
            None if blank else as_colour(seen.srgb[0, step, middle]),
            words,
            beyond=not seen.in_gamut[0, step, middle],
        )
        for seen, step, words in shown
    )


def _tiles(paint: Paint, blank: bool, profile: Profile | None) -> tuple[Tile, ...]:
    seen = printable(predict_tiles(paint), profile)
    return tuple(
        Tile(
            name,
            _printed(name, blank),
            tuple(
                Patch(
                    None if blank else as_colour(seen.srgb[row, film]),
                    say_coats(coats).removesuffix(" coat"),
                    beyond=not seen.in_gamut[row, film],
                )
                for film, coats in enumerate(TILE_COATS)
            ),
        )
        for row, name in enumerate(SIX_GROUNDS)
    )
