"""What a hurried hand mistakes on a card: another tube in a box, two boxes swapped, a second coat, a film forgotten."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np

from demo.brush import Layer
from demo.inks import GROUNDS
from demo.painting import TABLE_SIZE, PaintedCard, PaintedStroke, dirty_table, film_table
from demo.paints import Tube
from demo.repaint import film_of, painted_names, repaint, stroke_place, thicken, with_stroke

DIRT = 0.10
"""Parts of another paint that an unwashed brush brings to one part of the right one."""


def blunder(
    card: PaintedCard, kind: str, rng: np.random.Generator, *, tube: Tube, other: Tube
) -> tuple[PaintedCard, tuple[str, ...]]:
    """A card with one blunder, and the areas that it spoils.

    Parameters
    ----------
    card : PaintedCard
        A good one.
    kind : str
        One of `BLUNDERS`.
    tube : Tube
        What it was painted with.
    other : Tube
        What gets into a box or stays in the brush.
    """
    if kind not in BLUNDERS:
        raise ValueError(f"blunder {kind!r} is none of {', '.join(BLUNDERS)}")
    return BLUNDERS[kind](_Hurry(card, rng, tube, other))


Spoilt = tuple[PaintedCard, tuple[str, ...]]


@dataclass(frozen=True)
class _Hurry:
    """Who goes wrong with what."""

    card: PaintedCard
    rng: np.random.Generator
    tube: Tube
    other: Tube

    def one(self, names: list[str]) -> str:
        """One of some names."""
        return names[int(self.rng.integers(len(names)))]


def _another_tube(hurry: _Hurry) -> Spoilt:
    card = hurry.card
    name = hurry.one(painted_names(card))
    stroke = card.strokes[stroke_place(card, name)]
    return repaint(card, name, _same_film(card, stroke, name, hurry.other), 1.0), (name,)


def _same_film(card: PaintedCard, stroke: PaintedStroke, name: str, tube: Tube) -> PaintedStroke:
    """The film of a stroke made of another tube, with as much white in it."""
    table = film_table(tube, card.hand.white_parts.get(film_of(card, name), 0.0))
    response = table.response(np.exp(np.linspace(stroke.low, stroke.high, TABLE_SIZE)))
    return replace(stroke, spectra=np.array([response.over(ground) for ground in GROUNDS.values()]))


def _swapped(hurry: _Hurry) -> Spoilt:
    """Two boxes, each with the film that belongs into the other."""
    card = hurry.card
    first = hurry.one(painted_names(card))
    second = hurry.one([name for name in painted_names(card) if film_of(card, name) != film_of(card, first)])
    strokes = [card.strokes[stroke_place(card, name)] for name in (first, second)]
    laid = [
        float(np.mean(_thickness(stroke.layer, name)))
        for stroke, name in zip(strokes, (first, second), strict=True)
    ]
    swapped = repaint(card, first, strokes[1], laid[1] / laid[0])
    return repaint(swapped, second, strokes[0], laid[0] / laid[1]), (first, second)


def _thickness(layer: Layer, name: str) -> float:
    return layer.area_thickness[name]


def _forgotten(hurry: _Hurry) -> Spoilt:
    """A whole film, but for the full one which nobody forgets; or the last box of a stroke."""
    card = hurry.card
    strokes = [tuple(stroke.layer.area_thickness) for stroke in card.strokes]
    if hurry.rng.random() < 0.5:
        name = hurry.one([names[-1] for names in strokes if len(names) > 1])
        return _unpainted(card, (name,)), (name,)
    film = hurry.one(sorted({film_of(card, names[0]) for names in strokes} - {"full"}))
    gone = tuple(name for name in painted_names(card) if film_of(card, name) == film)
    return _unpainted(card, gone), gone


def _unpainted(card: PaintedCard, gone: tuple[str, ...]) -> PaintedCard:
    """The card with nothing in some boxes; a stroke that goes on ends at their border."""
    for name in gone:
        place = stroke_place(card, name)
        stroke = card.strokes[place]
        x, _, width, _ = next(area["box_mm"] for area in card.sheet.card_map["areas"] if area["area"] == name)
        scale, cover = card.sheet.px_per_mm, stroke.layer.cover.copy()
        start = round((x - 0.5) * scale) - stroke.layer.left
        cover[:, start : round((x + width + 2) * scale) - stroke.layer.left] = 0
        card = with_stroke(card, place, replace(stroke, layer=replace(stroke.layer, cover=cover)))
    return card


def _second_coat(hurry: _Hurry) -> Spoilt:
    """One box painted twice."""
    card = hurry.card
    name = hurry.one(painted_names(card))
    return thicken(card, name, float(hurry.rng.uniform(1.7, 2.3))), (name,)


def _unwashed_brush(hurry: _Hurry) -> Spoilt:
    """One whole stroke with a tenth of another paint in it."""
    card = hurry.card
    place = int(hurry.rng.integers(len(card.strokes)))
    stroke = card.strokes[place]
    names = tuple(stroke.layer.area_thickness)
    table = dirty_table(
        hurry.tube, hurry.other, DIRT, card.hand.white_parts.get(film_of(card, names[0]), 0.0)
    )
    response = table.response(np.exp(np.linspace(stroke.low, stroke.high, TABLE_SIZE)))
    spectra = np.array([response.over(ground) for ground in GROUNDS.values()])
    return with_stroke(card, place, replace(stroke, spectra=spectra)), names


BLUNDERS: dict[str, Callable[[_Hurry], Spoilt]] = {
    "another tube": _another_tube,
    "swapped": _swapped,
    "forgotten": _forgotten,
    "second coat": _second_coat,
    "unwashed brush": _unwashed_brush,
}
