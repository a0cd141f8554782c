"""Colours of the block that the bench draws."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
from numpy.typing import ArrayLike, NDArray

from scumble.chart.section import Slab, Surface
from scumble.chart.strip import write_colour
from scumble.jobs.bench.build import Built
from scumble.jobs.bench.looks import BenchLooks, see
from scumble.optics.film import film_response
from scumble.paint import Film, Paint

Floats = NDArray[np.float64]

CUT_COATS, CUT_BACKING = 1.0, 0.9
"""What the cut face of a film is seen as: this thickness of it, over a white of this reflectance, so that a film
with much medium looks as clear as it is."""

GRAIN_COATS, GRAIN_BACKING = 3.0, 0.25
"""What a grain of a paint is seen as: plenty of it, over a dark grey."""


def surface_of(srgb: Iterable[ArrayLike]) -> Surface:
    """Screen colours of furrow, body and ridge."""
    furrow, body, ridge = (write_colour(each) for each in srgb)
    return Surface(furrow, body, ridge)


def slabs_of(built: Built, looks: BenchLooks) -> tuple[Slab, ...]:
    """The films of a layering as they are drawn, lowest first.

    Parameters
    ----------
    built : Built
        The layering.
    looks : BenchLooks
        What it looks like, stage by stage.
    """
    if not built.films:
        return ()
    cuts = _screen([_cut(each.film) for each in built.films], CUT_BACKING, built)
    grains = _screen([_grain(paint) for paint in _paints(built)], GRAIN_BACKING, built)
    colour_of = dict(zip((paint.key for paint in _paints(built)), grains, strict=True))
    return tuple(
        Slab(
            each.asked.coats,
            cut,
            tuple(
                (colour_of[paint.key], float(fraction))
                for fraction, (paint, _) in zip(each.film.fractions, each.film.parts, strict=True)
            ),
            surface_of(stage),
        )
        for each, cut, stage in zip(built.films, cuts, looks.stages.srgb, strict=True)
    )


def _paints(built: Built) -> list[Paint]:
    return [paint for each in built.films for paint, _ in each.film.parts]


def _cut(film: Film) -> tuple[Floats, Floats]:
    share = CUT_COATS / film.dry_coats
    return film.absorption * share, film.scattering * share


def _grain(paint: Paint) -> tuple[Floats, Floats]:
    return paint.optics.absorption * GRAIN_COATS, paint.optics.scattering * GRAIN_COATS


def _screen(depths: list[tuple[Floats, Floats]], backing: float, built: Built) -> list[str]:
    """Screen colours of films of given depths over a neutral backing."""
    absorption, scattering = np.array(depths).swapaxes(0, 1)
    response = film_response(absorption, scattering, index=built.layering.index)
    return [write_colour(each) for each in see(response.over(backing), built.bench.light).srgb]
