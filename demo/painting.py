"""Paint a printed card: films of one tube, and of it with white, laid over the printed grounds, seen by a camera."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import cache
from typing import Any

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
Array = NDArray[np.float64]

NOMINAL_COATS = {"full": 1.0, "thin1": 0.3, "thin2": 0.1}
"""Thickness asked for of each film [coat]; tints are laid as one coat."""
RATIO_ERROR = 0.10
"""Relative standard deviation of the parts of white a hand measures out."""
FULL_LIMIT = 0.15
"""The full film stays within this share of a nominal coat."""
COAT_MM = 0.09
"""Height of a coat [mm], for the shading of its ridges only."""

TABLE_SIZE = 256
"""Thicknesses at which the spectra of a stroke are held."""
_POINTS_FOR_PICTURES = 16
"""Quadrature points: 2e-4 of reflectance, less than a step of 8 bits anywhere, for half the time."""


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
def film_table(tube: Tube, white_parts: float) -> FilmTable:
    """Responses of a tube, alone or with white, at any thickness a hand leaves."""
    return _table(tube.absorption(), tube.scattering(), white_parts)


@cache
def dirty_table(tube: Tube, other: Tube, dirt: float, white_parts: float) -> FilmTable:
    """The same with some parts of another tube in each part of the paint."""
    absorption = (tube.absorption() + dirt * other.absorption()) / (1 + dirt)
    scattering = (tube.scattering() + dirt * other.scattering()) / (1 + dirt)
    return _table(absorption, scattering, white_parts)


def _table(absorption: Array, scattering: Array, white_parts: float) -> FilmTable:
    white = white_tube()
    absorption = (absorption + white_parts * white.absorption()) / (1 + white_parts)
    scattering = (scattering + white_parts * white.scattering()) / (1 + white_parts)
    thinnest = 0.05 if white_parts else 0.003
    return FilmTable(absorption, scattering, thinnest=thinnest, thickest=3.5, points=_POINTS_FOR_PICTURES)


@dataclass(frozen=True)
class PaintedStroke:
    """A stroke as it lies on the card, in spectra.

    Parameters
    ----------
    layer : Layer
        Where it lies and how thick it is.
    spectra : array, shape (grounds, table, bands)
        Reflectance of the film over each ground, by the logarithm of its thickness.
    low, high : float
        Ends of that logarithm.
    """

    layer: Layer
    spectra: Array
    low: float
    high: float

    def place(self) -> tuple[NDArray[np.intp], Map]:
        """Step of the table below each point's thickness, and the share of the next step."""
        film = np.maximum(self.layer.thickness, np.exp(self.low))
        place = (np.log(film) - self.low) / (self.high - self.low) * (TABLE_SIZE - 1)
        step = np.clip(place.astype(int), 0, TABLE_SIZE - 2)
        return step, np.clip(place - step, 0, 1).astype(np.float32)


@dataclass(frozen=True)
class PaintedCard:
    """A painted card before any camera has seen it.

    Parameters
    ----------
    sheet : Sheet
        The printed card with its pencil note.
    fibres : array, shape (height, width)
        Brightness of the paper about its mean [1].
    strokes : tuple of PaintedStroke
        What the brush left.
    hand : Hand
        What is true of it.
    """

    sheet: Sheet
    fibres: Map
    strokes: tuple[PaintedStroke, ...]
    hand: Hand

    def seen_by(self, weights: Array) -> Map:
        """Channels of the card under even light, shape (height, width, channels), from band weights (36, channels)."""
        colours = np.array([GROUNDS[name] @ weights for name in GROUND_NAMES], np.float32)
        picture = colours[self.sheet.ground]
        picture += self.sheet.coverage[..., None] * (colours[GROUND_NAMES.index("black")] - colours[0])
        picture *= self.fibres[..., None]
        for stroke in self.strokes:
            _apply(picture, self.sheet, stroke, (stroke.spectra @ weights).astype(np.float32))
        return picture

    def cover(self) -> Map:
        """Share of each point that carries paint, shape (height, width) [0-1]."""
        cover = np.zeros(self.sheet.ground.shape, np.float32)
        for stroke in self.strokes:
            window = _window(stroke.layer)
            height, width = cover[window].shape
            cover[window] = np.maximum(cover[window], stroke.layer.cover[:height, :width])
        return cover

    def area_reflectance(self, *, inset_mm: float) -> dict[str, Array]:
        """Mean reflectance of each area inside its edges, shape (36,), with all that the bristles did."""
        seen = {}
        for area in self.sheet.card_map["areas"]:
            ground = GROUND_NAMES.index(area["ground"])
            stroke = next((s for s in self.strokes if area["area"] in s.layer.area_thickness), None)
            if stroke is None:
                seen[area["area"]] = GROUNDS[area["ground"]]
                continue
            step, share = (values[self._inside(area, stroke, inset_mm)] for values in stroke.place())
            size = TABLE_SIZE
            counts = np.bincount(step.ravel(), 1 - share.ravel(), size) + np.bincount(
                step.ravel() + 1, share.ravel(), size
            )
            seen[area["area"]] = counts @ stroke.spectra[ground] / counts.sum()
        return seen

    def _inside(self, area: dict[str, Any], stroke: PaintedStroke, inset_mm: float) -> tuple[slice, slice]:
        """Part of a stroke's maps that lies inside an area."""
        scale = self.sheet.px_per_mm
        x, y, width, height = area["box_mm"]
        return tuple(
            slice(
                round((start + inset_mm) * scale) - origin, round((start + side - inset_mm) * scale) - origin
            )
            for start, side, origin in ((y, height, stroke.layer.top), (x, width, stroke.layer.left))
        )


def lay_card(sheet: Sheet, tube: Tube, rng: np.random.Generator) -> PaintedCard:
    """Paint one card with one tube."""
    hand = decide_hand(films_of(sheet), rng)
    sheet = _label(sheet, tube, rng)
    fibres = cv2.GaussianBlur(rng.standard_normal(sheet.ground.shape).astype(np.float32), (0, 0), 1.5)
    fibres = 1 + 0.004 * fibres / fibres.std()
    strokes = []
    for stroke in strokes_of(sheet.card_map):
        layer = lay_stroke(stroke, hand.thickness[stroke.film], sheet.px_per_mm, rng)
        hand.area_thickness.update(layer.area_thickness)
        strokes.append(_painted_stroke(tube, stroke, layer, hand))
    return PaintedCard(sheet, fibres, tuple(strokes), hand)


def paint_card(sheet: Sheet, tube: Tube, camera: Camera, rng: np.random.Generator) -> tuple[Map, Hand]:
    """Linear camera channels of the painted card under even light, shape (height, width, 3), and what was done."""
    card = lay_card(sheet, tube, rng)
    return card.seen_by(camera.weights()), card.hand


def _label(sheet: Sheet, tube: Tube, rng: np.random.Generator) -> Sheet:
    """The card with the tube noted on it in pencil."""
    coverage = sheet.coverage.copy()
    notes = {"Tube": tube.label, "Pigments": " ".join(tube.pigments), "Binder": "acrylic"}
    for word, (right, baseline) in sheet.notes_mm.items():
        write_note(coverage, notes[word], (right + 4.0, baseline), sheet.px_per_mm, rng)
    return replace(sheet, coverage=coverage)


def _painted_stroke(tube: Tube, stroke: Stroke, layer: Layer, hand: Hand) -> PaintedStroke:
    """Spectra of a stroke by ground and log thickness."""
    thickness = hand.thickness[stroke.film]
    table = film_table(tube, hand.white_parts.get(stroke.film, 0.0))
    low, high = np.log(0.05 * thickness), np.log(2.5 * thickness)
    response = table.response(np.exp(np.linspace(low, high, TABLE_SIZE)))
    spectra = np.array([response.over(GROUNDS[name]) for name in GROUND_NAMES])
    return PaintedStroke(layer, spectra, float(low), float(high))


def _window(layer: Layer) -> tuple[slice, slice]:
    """Part of the card that a layer covers."""
    height, width = layer.thickness.shape
    return slice(layer.top, layer.top + height), slice(layer.left, layer.left + width)


def _apply(picture: Map, sheet: Sheet, stroke: PaintedStroke, colours: Map) -> None:
    """Replace what the stroke covers by the film over what is printed there."""
    window = _window(stroke.layer)
    ground, coverage = sheet.ground[window], sheet.coverage[window]
    height, width = ground.shape
    step, share = (values[:height, :width] for values in stroke.place())
    film, cover = stroke.layer.thickness[:height, :width], stroke.layer.cover[:height, :width]
    share = share[..., None]
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
