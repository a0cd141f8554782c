"""Paint a sheet of proofs: every box with what it asks for, as a hand mixes and lays it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import cv2
import numpy as np
from numpy.typing import NDArray

from demo.brush import Stroke, lay_stroke
from demo.inks import GROUNDS
from demo.light import FilmTable
from demo.painting import TABLE_SIZE, Hand, PaintedCard, PaintedStroke
from demo.paints import TUBES
from demo.sheet import GROUND_NAMES, Sheet

Array = NDArray[np.float64]

COATS_ERROR, PARTS_ERROR = 0.15, 0.10
"""Relative standard deviations of a film's thickness and of each part that is measured out."""

_POINTS_FOR_PICTURES = 16
"""Quadrature points, as for cards."""


@dataclass(frozen=True)
class Mix:
    """What was stirred together for one box.

    Parameters
    ----------
    parts : dict
        Parts of each tube by key, as they really were.
    coats : float
        As laid.
    """

    parts: dict[str, float]
    coats: float


def decide_mix(film: dict[str, Any], rng: np.random.Generator) -> Mix:
    """What a hand makes of a film that is asked for as ``scumble layer`` takes it; medium takes its share."""
    slips = {name: float(np.exp(PARTS_ERROR * rng.standard_normal())) for name in (*film["parts"], "medium")}
    alone = len(film["parts"]) == 1
    parts = {name: amount * (1.0 if alone else slips[name]) for name, amount in film["parts"].items()}
    medium = film.get("medium_parts", 0.0) * slips["medium"]
    paint = sum(parts.values())
    coats = film["coats"] * paint / (paint + medium) * float(np.exp(COATS_ERROR * rng.standard_normal()))
    return Mix(parts, coats)


def paint_sheet(
    sheet: Sheet, boxes: dict[str, Any], rng: np.random.Generator
) -> tuple[PaintedCard, dict[str, Mix]]:
    """Paint every box of a sheet that asks for one film; boxes with more films stay empty.

    Parameters
    ----------
    sheet : Sheet
        As printed.
    boxes : dict
        By area what ``scumble proof print --json`` says of its proof.
    rng : Generator
        The hand's chance.

    Returns
    -------
    PaintedCard, dict
        Before any camera has seen it, and the mixes by area.
    """
    fibres = cv2.GaussianBlur(rng.standard_normal(sheet.ground.shape).astype(np.float32), (0, 0), 1.5)
    hand, strokes, mixes = Hand(), [], {}
    for area in sheet.card_map["areas"]:
        asked = boxes.get(area["area"])
        if asked is None or len(asked["layering"]["films"]) != 1:
            continue
        mix = decide_mix(asked["layering"]["films"][0], rng)
        layer = lay_stroke(Stroke(area["film"], (area,)), mix.coats, sheet.px_per_mm, rng)
        hand.thickness[area["film"]] = mix.coats
        hand.area_thickness.update(layer.area_thickness)
        mixes[area["area"]] = mix
        strokes.append(_painted(mix, layer))
    return PaintedCard(sheet, 1 + 0.004 * fibres / fibres.std(), tuple(strokes), hand), mixes


def _painted(mix: Mix, layer: Any) -> PaintedStroke:
    """Spectra of a mix by ground and log thickness."""
    tubes = {tube.key: tube for tube in TUBES}
    whole = sum(mix.parts.values())
    absorption, scattering = (
        sum(amount / whole * getattr(tubes[key], name)() for key, amount in mix.parts.items())
        for name in ("absorption", "scattering")
    )
    low, high = np.log(0.05 * mix.coats), np.log(2.5 * mix.coats)
    table = FilmTable(
        absorption,
        scattering,
        thinnest=float(np.exp(low)),
        thickest=float(np.exp(high)),
        points=_POINTS_FOR_PICTURES,
    )
    response = table.response(np.exp(np.linspace(low, high, TABLE_SIZE)))
    spectra = np.array([response.over(GROUNDS[name]) for name in GROUND_NAMES])
    return PaintedStroke(layer, spectra, float(low), float(high))
