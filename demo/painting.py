"""Paint a printed card: films of one tube, and of it with white, laid over the printed grounds, seen by a camera."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cache

import cv2
import numpy as np
from numpy.typing import NDArray

from demo.brush import Layer, Stroke, lay_stroke, strokes_of, thickness_errors
from demo.camera import Camera
from demo.handwriting import write_note
from demo.inks import GROUNDS
from demo.light import FilmTable
from demo.paints import TUBES, WHITE_KEY, Tube
from demo.sheet import GROUND_NAMES, Sheet

Map = NDArray[np.float32]

NOMINAL_COATS = {"full": 1.0, "thin1": 0.3, "thin2": 0.1}
"""Thickness asked for of each film [coat]; tints are laid as one coat."""
RATIO_ERROR = 0.10
"""Relative standard deviation of the parts of white a hand measures out."""
FULL_LIMIT = 0.15
"""The full film stays within this share of a nominal coat."""
COAT_MM = 0.09
"""Height of a coat [mm], for the shading of its ridges only."""

_TABLE_SIZE = 256


@dataclass
class Hand:
    """What the hand did on one card, to be written into the truth.

    Parameters
    ----------
    thickness : dict
        Mean thickness of each film as laid [nominal coat].
    white_parts : dict
        True parts of white per part of paint in each tint.
    area_thickness : dict
        Mean thickness of each area [nominal coat].
    """

    thickness: dict[str, float] = field(default_factory=dict)
    white_parts: dict[str, float] = field(default_factory=dict)
    area_thickness: dict[str, float] = field(default_factory=dict)


def white_tube() -> Tube:
    """The tube every tint is mixed with."""
    return next(tube for tube in TUBES if tube.key == WHITE_KEY)


def decide_hand(films: dict[str, float], rng: np.random.Generator) -> Hand:
    """Draw the errors of one card; `films` gives the parts of white asked for in each film."""
    errors = thickness_errors(list(films), rng)
    hand = Hand()
    for film, parts in films.items():
        factor = errors[film]
        if film == "full":
            factor = float(np.clip(factor ** (1 / 3), 1 - FULL_LIMIT, 1 + FULL_LIMIT))
        hand.thickness[film] = NOMINAL_COATS.get(film, 1.0) * factor
        if parts:
            hand.white_parts[film] = parts * float(np.exp(RATIO_ERROR * rng.standard_normal()))
    return hand


def films_of(sheet: Sheet) -> dict[str, float]:
    """Films the card asks for, with the parts of white per part of paint in each."""
    return {
        area["film"]: area["white_parts"] / area["paint_parts"]
        for area in sheet.card_map["areas"]
        if area["film"] != "bare"
    }


@cache
def film_table(tube: Tube, white_parts: float, thickness: float) -> FilmTable:
    """Responses of a tube, alone or with white, around a thickness [nominal coat]."""
    white = white_tube()
    absorption = (tube.absorption() + white_parts * white.absorption()) / (1 + white_parts)
    scattering = (tube.scattering() + white_parts * white.scattering()) / (1 + white_parts)
    return FilmTable(absorption, scattering, thinnest=0.05 * thickness, thickest=2.5 * thickness)


def paint_card(sheet: Sheet, tube: Tube, camera: Camera, rng: np.random.Generator) -> tuple[Map, Hand]:
    """Linear camera channels of the painted card under even light, shape (height, width, 3), and what was done."""
    hand = decide_hand(films_of(sheet), rng)
    sheet = _label(sheet, tube, rng)
    picture = _printed(sheet, camera, rng)
    for stroke in strokes_of(sheet.card_map):
        thickness = hand.thickness[stroke.film]
        layer = lay_stroke(stroke, thickness, sheet.px_per_mm, rng)
        hand.area_thickness.update(layer.area_thickness)
        _apply(picture, sheet, layer, _film_colours(tube, stroke, hand, camera), thickness)
    return picture, hand


def _label(sheet: Sheet, tube: Tube, rng: np.random.Generator) -> Sheet:
    """The card with the tube noted on it in pencil."""
    coverage = sheet.coverage.copy()
    notes = {"Tube": tube.label, "Pigments": " ".join(tube.pigments), "Binder": "acrylic"}
    for word, (right, baseline) in sheet.notes_mm.items():
        write_note(coverage, notes[word], (right + 4.0, baseline), sheet.px_per_mm, rng)
    return replace(sheet, coverage=coverage)


def _printed(sheet: Sheet, camera: Camera, rng: np.random.Generator) -> Map:
    """The unpainted card, with the faint unevenness of paper."""
    colours = np.array([camera.linear(GROUNDS[name]) for name in GROUND_NAMES], np.float32)
    picture = colours[sheet.ground]
    picture += sheet.coverage[..., None] * (colours[GROUND_NAMES.index("black")] - colours[0])
    fibres = cv2.GaussianBlur(rng.standard_normal(sheet.ground.shape).astype(np.float32), (0, 0), 1.5)
    picture *= (1 + 0.004 * fibres / fibres.std())[..., None]
    return picture


def _film_colours(tube: Tube, stroke: Stroke, hand: Hand, camera: Camera) -> tuple[Map, float, float]:
    """Camera channels by ground and log thickness, shape (grounds, table, 3), with the ends of the log scale."""
    thickness = hand.thickness[stroke.film]
    table = film_table(tube, hand.white_parts.get(stroke.film, 0.0), thickness)
    low, high = np.log(0.05 * thickness), np.log(2.5 * thickness)
    response = table.response(np.exp(np.linspace(low, high, _TABLE_SIZE)))
    colours = [camera.linear(response.over(GROUNDS[name])) for name in GROUND_NAMES]
    return np.array(colours, np.float32), float(low), float(high)


def _apply(
    picture: Map, sheet: Sheet, layer: Layer, table: tuple[Map, float, float], thickness: float
) -> None:
    """Replace what the stroke covers by the film over what is printed there."""
    colours, low, high = table
    height, width = layer.thickness.shape
    window = (slice(layer.top, layer.top + height), slice(layer.left, layer.left + width))
    ground, coverage = sheet.ground[window], sheet.coverage[window]
    height, width = ground.shape
    film, cover = layer.thickness[:height, :width], layer.cover[:height, :width]
    place = (np.log(np.maximum(film, 0.05 * thickness)) - low) / (high - low) * (_TABLE_SIZE - 1)
    step = np.clip(place.astype(int), 0, _TABLE_SIZE - 2)
    share = np.clip(place - step, 0, 1)[..., None].astype(np.float32)
    seen = colours[ground, step] * (1 - share) + colours[ground, step + 1] * share
    black = colours[GROUND_NAMES.index("black")]
    over_black = black[step] * (1 - share) + black[step + 1] * share
    seen += coverage[..., None] * (over_black - seen)
    seen *= _relief(film * cover, sheet.px_per_mm)[..., None]
    picture[window] += cover[..., None] * (seen - picture[window])


def _relief(film: Map, px_per_mm: float) -> Map:
    """Brighter on the side of a ridge that faces the light, darker behind: a lamp 45 degrees up, at the top left."""
    smooth = cv2.GaussianBlur(film, (0, 0), 0.06 * px_per_mm)
    slope = (np.gradient(smooth, axis=0) + np.gradient(smooth, axis=1)) / np.sqrt(2) * px_per_mm * COAT_MM
    return np.clip(1 + slope, 0.85, 1.15).astype(np.float32)
