"""One box of a painted card painted anew: the pieces of which blunders and flaws are made."""

from __future__ import annotations

from dataclasses import replace

import cv2
import numpy as np
from numpy.typing import NDArray

from demo.brush import Layer, texture
from demo.inks import GROUNDS
from demo.painting import TABLE_SIZE, PaintedCard, PaintedStroke

Map = NDArray[np.float32]
Array = NDArray[np.float64]

EDGE_MM = 0.6
"""Over which one thickness goes over into another."""


def film_of(card: PaintedCard, name: str) -> str:
    """Film of an area."""
    return next(str(area["film"]) for area in card.sheet.card_map["areas"] if area["area"] == name)


def box_of(card: PaintedCard, name: str) -> tuple[float, float, float, float]:
    """Left, top, width and height of an area [mm]."""
    x, y, width, height = next(
        area["box_mm"] for area in card.sheet.card_map["areas"] if area["area"] == name
    )
    return float(x), float(y), float(width), float(height)


def painted_names(card: PaintedCard) -> list[str]:
    """Areas with paint on them, in the order of the card."""
    return [area["area"] for area in card.sheet.card_map["areas"] if area["film"] != "bare"]


def stroke_place(card: PaintedCard, name: str) -> int:
    """Place of the stroke that covers an area."""
    return next(place for place, each in enumerate(card.strokes) if name in each.layer.area_thickness)


def window_of(card: PaintedCard, layer: Layer, name: str) -> tuple[slice, slice]:
    """Part of a layer's maps that belongs to an area."""
    x, y, width, height = box_of(card, name)
    scale = card.sheet.px_per_mm
    rows = slice(round(y * scale) - layer.top, round((y + height) * scale) - layer.top)
    return rows, slice(round(x * scale) - layer.left, round((x + width) * scale) - layer.left)


def thicken(card: PaintedCard, name: str, factor: Map | float) -> PaintedCard:
    """The card with the thickness of one area multiplied, softly at its border."""
    place = stroke_place(card, name)
    stroke = card.strokes[place]
    window = window_of(card, stroke.layer, name)
    change = np.ones_like(stroke.layer.thickness)
    change[window] = factor
    change = cv2.GaussianBlur(change, (0, 0), EDGE_MM * card.sheet.px_per_mm / 2)
    return with_stroke(
        card, place, replace(stroke, layer=replace(stroke.layer, thickness=stroke.layer.thickness * change))
    )


def uncover(card: PaintedCard, name: str, gone: Map) -> PaintedCard:
    """The card with a share of the paint in one area gone, shape of the area's window."""
    place = stroke_place(card, name)
    stroke = card.strokes[place]
    cover = stroke.layer.cover.copy()
    cover[window_of(card, stroke.layer, name)] *= 1 - gone
    return with_stroke(card, place, replace(stroke, layer=replace(stroke.layer, cover=cover)))


def with_stroke(card: PaintedCard, place: int, stroke: PaintedStroke) -> PaintedCard:
    """The card with one stroke replaced."""
    return replace(card, strokes=(*card.strokes[:place], stroke, *card.strokes[place + 1 :]))


def repaint(card: PaintedCard, name: str, film: PaintedStroke, factor: float) -> PaintedCard:
    """The card with one area wiped and painted with another film, its thickness that of the first times a factor."""
    stroke = card.strokes[stroke_place(card, name)]
    window = window_of(card, stroke.layer, name)
    cover = np.zeros_like(stroke.layer.cover)
    cover[window] = 1.0
    layer = replace(
        stroke.layer, thickness=stroke.layer.thickness * np.float32(factor), cover=cover, area_thickness={}
    )
    return replace(card, strokes=(*card.strokes, replace(film, layer=layer)))


def lay_over(
    card: PaintedCard, film: PaintedStroke, place_mm: tuple[float, float], maps: tuple[Map, Map]
) -> PaintedCard:
    """The card with thickness and cover of something laid over it, its top left corner at a place."""
    scale = card.sheet.px_per_mm
    height, width = card.sheet.ground.shape
    left, top = round(place_mm[0] * scale), round(place_mm[1] * scale)
    inside = slice(max(-top, 0), max(height - top, 0)), slice(max(-left, 0), max(width - left, 0))
    thickness, cover = (np.ascontiguousarray(each[inside]) for each in maps)
    if not cover.size:
        return card
    layer = Layer(max(top, 0), max(left, 0), thickness, cover, {})
    return replace(card, strokes=(*card.strokes, replace(film, layer=layer)))


def solid(reflectance: Array) -> PaintedStroke:
    """Something that hides what lies below, whatever its thickness: dust, a hair."""
    spectra = np.broadcast_to(reflectance, (len(GROUNDS), TABLE_SIZE, len(reflectance)))
    nowhere = np.zeros((0, 0), np.float32)
    return PaintedStroke(Layer(0, 0, nowhere, nowhere, {}), spectra, float(np.log(0.01)), float(np.log(10.0)))


def grain(
    shape: tuple[int, int], length_px: float, width_px: float, rng: np.random.Generator, *, upright: bool
) -> Map:
    """Texture of unit deviation smeared along or across, of any size up to the area's own."""
    along, across = (shape[0], shape[1]) if upright else (shape[1], shape[0])
    field = texture(along, across, length_px, width_px, rng)
    field = (field - field.mean()) / field.std()
    return np.asarray(field.T if upright else field, np.float32)
