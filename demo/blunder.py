"""What a hurried hand does wrong on a card: another tube in a box, a film forgotten, or half thick and half thin."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from demo.brush import MARGIN_MM
from demo.painting import PaintedCard, PaintedStroke

BLUNDERS = ("another tube", "forgotten", "half thick")


def blunder(
    card: PaintedCard, kind: str, rng: np.random.Generator, *, other: PaintedCard | None = None
) -> tuple[PaintedCard, tuple[str, ...]]:
    """A card with one blunder, and the areas that it spoils.

    Parameters
    ----------
    card : PaintedCard
        A good one.
    kind : str
        One of `BLUNDERS`.
    other : PaintedCard
        The same layout painted with the tube that gets into a box of this one.
    """
    places = [place for place, stroke in enumerate(card.strokes) if _may_suffer(card, stroke, kind)]
    place = places[int(rng.integers(len(places)))]
    stroke = card.strokes[place]
    names = tuple(stroke.layer.area_thickness)
    if kind == "forgotten":
        film = _film_of(card, names[0])
        kept = tuple(
            each for each in card.strokes if _film_of(card, next(iter(each.layer.area_thickness))) != film
        )
        gone = tuple(area["area"] for area in card.sheet.card_map["areas"] if area["film"] == film)
        return replace(card, strokes=kept), gone
    name = names[int(rng.integers(len(names)))]
    if kind == "another tube":
        if other is None:
            raise ValueError("another tube needs a card of it")
        return replace(card, strokes=(*card.strokes, _only(card, other.strokes[place], name))), (name,)
    if kind == "half thick":
        strokes = (*card.strokes[:place], _half_thick(card, stroke, name), *card.strokes[place + 1 :])
        return replace(card, strokes=strokes), (name,)
    raise ValueError(f"blunder {kind!r} is none of {', '.join(BLUNDERS)}")


def _may_suffer(card: PaintedCard, stroke: PaintedStroke, kind: str) -> bool:
    """Whether a stroke can have such a blunder: another tube shows beside others, and nobody forgets the full film."""
    names = tuple(stroke.layer.area_thickness)
    if kind == "another tube":
        return len(names) >= 4
    return kind != "forgotten" or _film_of(card, names[0]) != "full"


def _film_of(card: PaintedCard, name: str) -> str:
    return next(str(area["film"]) for area in card.sheet.card_map["areas"] if area["area"] == name)


def _columns(card: PaintedCard, stroke: PaintedStroke, name: str, share: float = 1.0) -> slice:
    """Columns of a stroke's maps that belong to one area, or to its left part."""
    x, _, width, _ = next(area["box_mm"] for area in card.sheet.card_map["areas"] if area["area"] == name)
    scale = card.sheet.px_per_mm
    return slice(round(x * scale) - stroke.layer.left, round((x + share * width) * scale) - stroke.layer.left)


def _only(card: PaintedCard, stroke: PaintedStroke, name: str) -> PaintedStroke:
    """A stroke that covers one of its areas and nothing else."""
    cover = np.zeros_like(stroke.layer.cover)
    columns = _columns(card, stroke, name)
    edge = round(MARGIN_MM * card.sheet.px_per_mm)
    cover[edge:-edge, columns] = 1.0
    # Over all it goes as if the first film were not there: the wiped box was painted anew.
    return replace(stroke, layer=replace(stroke.layer, cover=cover, area_thickness={}))


def _half_thick(card: PaintedCard, stroke: PaintedStroke, name: str) -> PaintedStroke:
    """Nine parts of the paint in the left half of an area, one in the right."""
    thickness = stroke.layer.thickness.copy()
    whole, left = _columns(card, stroke, name), _columns(card, stroke, name, 0.5)
    thickness[:, whole] *= 0.2
    thickness[:, left] *= 1.8 / 0.2
    return replace(stroke, layer=replace(stroke.layer, thickness=thickness))
