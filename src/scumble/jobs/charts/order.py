"""Which paints a chart shows, and in which order: as they hang on the shelf, worked out for all of them at once."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from scumble.errors import InputError
from scumble.jobs.shelf.show_shelf import FIRST_HUE, ORDERS, PROVENANCE_WORDS, show_shelf
from scumble.jobs.white import white_for
from scumble.paint import Paint
from scumble.paint.covering import mark_of, opacity
from scumble.paint.drawdown import chroma_of, lab_of, over_white
from scumble.paint.thinning import PATH_COATS, THINNED_COATS, Course, course_of
from scumble.paint.tinting import predict_tinting
from scumble.store.shelf import Shelf

Floats = NDArray[np.float64]
Place = tuple[float, float] | str
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class ChartStrip:
    """A paint as a chart names it.

    Parameters
    ----------
    key, label : str
        Short name, and what the person calls it.
    pigments : tuple of str
        Colour Index names.
    mark : str
        One of the four marks of transparency.
    provenance : str
        Where its optics come from, in a few words.
    """

    key: str
    label: str
    pigments: tuple[str, ...]
    mark: str
    provenance: str


def choose_strips(shelf: Shelf, *, order: str, find: str, keys: Sequence[str] = ()) -> tuple[ChartStrip, ...]:
    """Paints of the shelf that were asked for, in order.

    Parameters
    ----------
    shelf : Shelf
        Open.
    order : str
        ``hue``, ``opacity``, ``strength`` or ``name``.
    find : str
        Words that every paint must answer to, as on the Shelf page.
    keys : sequence of str
        Only these; all when left empty.

    Raises
    ------
    InputError
        For an unknown order or paint, or when none is found.
    """
    if order not in ORDERS:
        raise InputError("order", order, ", ".join(ORDERS))
    wanted = {shelf.load_paint(key).key for key in keys}
    every = shelf.load_paints()
    if find.strip():
        found = {strip.key for strip in show_shelf(shelf, find=find).strips}
        wanted = wanted & found if keys else found
    chosen = [paint for paint in every if paint.key in wanted or not (keys or find.strip())]
    if not chosen:
        asked = " ".join([find, *keys]).strip()
        raise InputError("paints", asked or "an empty shelf", "words that some paint of the shelf answers to")
    opacities = _by_binder(chosen, _opacities)
    places = _places(chosen, every, order, opacities)
    by_place: list[tuple[Any, float, Paint]] = list(zip(places, opacities, chosen, strict=True))
    hung = sorted(by_place, key=lambda each: (each[0], _said(each[2])))
    return tuple(
        ChartStrip(
            paint.key,
            paint.label,
            paint.pigments,
            mark_of(value).value,
            PROVENANCE_WORDS[paint.provenance],
        )
        for _, value, paint in hung
    )


def _said(paint: Paint) -> str:
    return paint.label.casefold()


def _places(
    paints: Sequence[Paint], every: Sequence[Paint], order: str, opacities: Sequence[float]
) -> list[Place]:
    """What each paint is hung by; smaller hangs first."""
    if order == "name":
        return [_said(paint) for paint in paints]
    if order == "opacity":
        return [(value, 0.0) for value in opacities]
    if order == "strength":
        return [(-_strength(paint, every), 0.0) for paint in paints]
    return [*_by_binder(paints, _hues)]


def _by_binder(paints: Sequence[Paint], work: Callable[[Floats, Floats, float], list[T]]) -> list[T]:
    """What is worked out for all paints of a binder in one go, in the order of the paints."""
    answers: dict[int, T] = {}
    for binder in {paint.binder for paint in paints}:
        own = [place for place, paint in enumerate(paints) if paint.binder is binder]
        absorption, scattering = (
            np.array([getattr(paints[place].optics, name) for place in own])
            for name in ("absorption", "scattering")
        )
        worked = work(absorption, scattering, binder.refractive_index)
        answers.update(zip(own, worked, strict=True))
    return [answers[place] for place in range(len(paints))]


def _strength(paint: Paint, every: Sequence[Paint]) -> float:
    white = white_for(paint, every)
    if white is None or white.key == paint.key:
        return -1.0
    own, pale = ((each.optics.absorption[None], each.optics.scattering[None]) for each in (paint, white))
    return predict_tinting(own, pale, index=paint.binder.refractive_index).strength_parts.value


def _opacities(absorption: Floats, scattering: Floats, index: float) -> list[float]:
    return [float(value) for value in opacity(absorption, scattering, index=index)]


def _hues(absorption: Floats, scattering: Floats, index: float) -> list[tuple[float, float]]:
    """Whether each paint is grey, and the hue angle of its undertone from the wall's first, or its lightness."""
    coats = PATH_COATS[:, None]
    seen = over_white(absorption[:, None] * coats, scattering[:, None] * coats, index=index)
    lab = lab_of(seen)
    chroma = chroma_of(lab)
    thinned = chroma[:, int(np.abs(PATH_COATS - THINNED_COATS).argmin())]
    undertone = lab[np.arange(len(lab)), chroma.argmax(axis=1)]
    around = (FIRST_HUE - np.degrees(np.arctan2(undertone[:, 2], undertone[:, 1]))) % 360.0
    greys = [
        course_of(float(full), float(thin)) is Course.NEUTRAL
        for full, thin in zip(chroma[:, 0], thinned, strict=True)
    ]
    return [
        (1.0, -float(under[0])) if grey else (0.0, float(hue))
        for grey, under, hue in zip(greys, undertone, around, strict=True)
    ]
