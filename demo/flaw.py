"""What spoils part of an area: drips, pinholes, dust, a hair, ridges, and paint that lies thick on one side."""

from __future__ import annotations

from collections.abc import Callable

import cv2
import numpy as np
from numpy.typing import NDArray

from demo.painting import PaintedCard, PaintedStroke
from demo.repaint import (
    box_of,
    film_of,
    grain,
    lay_over,
    painted_names,
    solid,
    stroke_place,
    thicken,
    uncover,
    window_of,
)

Map = NDArray[np.float32]

BARE_INSIDE_MM = 4.0
"""A drip that stays out of the inner part of a box is none for the reader; those drawn here reach it."""


def flaw(card: PaintedCard, kind: str, name: str, rng: np.random.Generator) -> PaintedCard:
    """The card with one area flawed.

    Parameters
    ----------
    card : PaintedCard
        A good one.
    kind : str
        One of `FLAWS`.
    name : str
        The area.
    """
    if kind not in FLAWS:
        raise ValueError(f"flaw {kind!r} is none of {', '.join(FLAWS)}")
    return FLAWS[kind](card, name, rng)


def _drip_in(card: PaintedCard, name: str, rng: np.random.Generator) -> PaintedCard:
    """Thick paint of another film runs over one side of the box, 2 to 12 mm into its inner part, 2 to 5 mm wide."""
    # A film thinned with medium hides nothing: where it runs over another it only shines.
    others = [
        each
        for each in card.strokes
        if name not in each.layer.area_thickness
        and each.layer.area_thickness
        and not film_of(card, next(iter(each.layer.area_thickness))).startswith("thin")
    ]
    film = others[int(rng.integers(len(others)))]
    reach = BARE_INSIDE_MM + float(rng.uniform(2.0, 12.0))
    thickness = float(rng.uniform(1.2, 2.2)) * float(np.exp(film.high)) / 2.5
    side, start = int(rng.choice([0, 0, 1, 3])), float(rng.uniform(4.0, 10.0))
    return _run(card, name, film, thickness, side, (-start, reach), rng)


def _drip_out(card: PaintedCard, name: str, rng: np.random.Generator) -> PaintedCard:
    """The area's own paint gathers and runs over its lower edge, from 3 to 10 mm inside."""
    film = card.strokes[stroke_place(card, name)]
    thickness = float(rng.uniform(1.6, 2.4)) * film.layer.area_thickness[name]
    inside, beyond = BARE_INSIDE_MM + float(rng.uniform(3.0, 10.0)), float(rng.uniform(4.0, 9.0))
    return _run(card, name, film, thickness, 2, (-beyond, inside), rng)


def _run(
    card: PaintedCard,
    name: str,
    film: PaintedStroke,
    thickness: float,
    side: int,
    span_mm: tuple[float, float],
    rng: np.random.Generator,
) -> PaintedCard:
    """A tongue of paint over one side (0 upper, 1 right, 2 lower, 3 left) of a box, rounded at its end."""
    scale = card.sheet.px_per_mm
    x, y, width, height = box_of(card, name)
    broad, length = float(rng.uniform(2.0, 5.0)), span_mm[1] - span_mm[0]
    middle = float(rng.uniform(0.3, 0.7)) * (width if side in (0, 2) else height)
    rows, columns = np.mgrid[0 : round((length + 2) * scale), 0 : round((broad + 4) * scale)] / scale
    wander = 0.25 * np.sin(rows / 3.1 + rng.uniform(0, 6)) + 0.15 * np.sin(rows / 1.3 + rng.uniform(0, 6))
    half = 0.5 * broad * (1 + 0.1 * np.sin(rows / 2.3 + rng.uniform(0, 6)))
    aside = np.abs(columns - 0.5 * broad - 2 - wander)
    # Seen from the border into the box: it ends in a round nose that holds the most paint.
    nose = length - half
    inside = half - np.hypot(aside, np.maximum(rows - nose, 0))
    cover = np.clip(inside * scale + 0.5, 0, 1).astype(np.float32)
    bead = 1 + 0.5 * np.exp(-(((rows - nose) / 1.5) ** 2))
    film_map = (thickness * bead * np.clip(inside / 0.4, 0.3, 1)).astype(np.float32)
    cover, film_map = (np.ascontiguousarray(np.rot90(each, (0, 3, 2, 1)[side])) for each in (cover, film_map))
    tall, wide = np.array(cover.shape) / scale
    at = {
        0: (x + middle - wide / 2, y + span_mm[0]),
        1: (x + width - span_mm[0] - wide, y + middle - tall / 2),
        2: (x + middle - wide / 2, y + height - span_mm[0] - tall),
        3: (x + span_mm[0], y + middle - tall / 2),
    }[side]
    return lay_over(card, film, at, (film_map, cover))


def _pinholes(card: PaintedCard, name: str, rng: np.random.Generator) -> PaintedCard:
    """Air that burst: 8 to 60 round holes to the ground, 0.15 to 0.8 mm across their half."""
    scale = card.sheet.px_per_mm
    window = window_of(card, card.strokes[stroke_place(card, name)].layer, name)
    gone = np.zeros([part.stop - part.start for part in window], np.uint8)
    for _ in range(int(rng.integers(8, 61))):
        radius = float(np.clip(np.exp(rng.normal(np.log(0.3), 0.5)), 0.15, 0.8)) * scale
        x, y = rng.uniform(0, gone.shape[1]), rng.uniform(0, gone.shape[0])
        cv2.circle(gone, (int(x * 16), int(y * 16)), int(radius * 16), 255, -1, cv2.LINE_AA, 4)
    return uncover(card, name, gone.astype(np.float32) / 255)


def _dust(card: PaintedCard, name: str, rng: np.random.Generator) -> PaintedCard:
    """6 to 25 specks, dark or light, 0.15 to 0.6 mm across their half."""
    specks = _blank(card, name)
    for _ in range(int(rng.integers(6, 26))):
        radius = float(rng.uniform(0.15, 0.6)) * card.sheet.px_per_mm
        x, y = rng.uniform(0, specks.shape[1]), rng.uniform(0, specks.shape[0])
        turn = float(rng.uniform(0, 180))
        axes = (int(16 * radius), int(16 * radius * rng.uniform(0.4, 1.0)))
        cv2.ellipse(specks, (int(x * 16), int(y * 16)), axes, turn, 0, 360, 255, -1, cv2.LINE_AA, 4)
    return _lie(card, name, specks, float(rng.choice([0.07, 0.6])))


def _hair(card: PaintedCard, name: str, rng: np.random.Generator) -> PaintedCard:
    """One to three bristles or hairs, 0.1 to 0.35 mm thick, 10 to 25 mm long."""
    hairs = _blank(card, name)
    scale = card.sheet.px_per_mm
    for _ in range(int(rng.integers(1, 4))):
        length = float(rng.uniform(10, 25))
        along = np.linspace(0, length, 40)
        turn = rng.uniform(0, 2 * np.pi) + np.cumsum(rng.normal(0, 0.12, 40))
        steps = (along[1] - along[0]) * np.stack([np.cos(turn), np.sin(turn)], -1)
        line = np.cumsum(steps, axis=0) - steps.sum(axis=0) / 2 + np.array(hairs.shape[::-1]) / scale / 2
        line += rng.uniform(-4, 4, 2)
        thick = max(1, round(float(rng.uniform(0.1, 0.35)) * scale))
        cv2.polylines(
            hairs, [np.round(line * scale * 16).astype(np.int32)], False, 255, thick, cv2.LINE_AA, 4
        )
    return _lie(card, name, hairs, float(rng.choice([0.04, 0.12])))


def _blank(card: PaintedCard, name: str) -> NDArray[np.uint8]:
    _, _, width, height = box_of(card, name)
    scale = card.sheet.px_per_mm
    return np.zeros((round(height * scale), round(width * scale)), np.uint8)


def _lie(card: PaintedCard, name: str, mask: NDArray[np.uint8], reflectance: float) -> PaintedCard:
    x, y, _, _ = box_of(card, name)
    cover = mask.astype(np.float32) / 255
    height = np.full(mask.shape, 0.3, np.float32)
    return lay_over(card, solid(np.full(36, reflectance)), (x, y), (height, cover))


def _ridges(card: PaintedCard, name: str, rng: np.random.Generator) -> PaintedCard:
    """Ridges and furrows 0.3 to 4 mm wide, thickness off by 15 to 45 %."""
    window = window_of(card, card.strokes[stroke_place(card, name)].layer, name)
    shape = (window[0].stop - window[0].start, window[1].stop - window[1].start)
    scale = card.sheet.px_per_mm
    width = float(np.exp(rng.uniform(np.log(0.3), np.log(4.0)))) / 2
    field = grain(shape, 9.0 * scale, width * scale, rng, upright=bool(rng.random() < 0.3))
    return thicken(card, name, _to_mean_one(np.exp(float(rng.uniform(0.15, 0.45)) * field)))


def _half_thick(card: PaintedCard, name: str, rng: np.random.Generator) -> PaintedCard:
    """Seven to nine parts of ten of the paint in one half, going over into the other within 1 to 8 mm."""
    window = window_of(card, card.strokes[stroke_place(card, name)].layer, name)
    rows, columns = np.mgrid[window[0], window[1]].astype(float)
    rows, columns = (each - each.mean() for each in (rows, columns))
    turn, scale = float(rng.uniform(0, 2 * np.pi)), card.sheet.px_per_mm
    away = (np.cos(turn) * columns + np.sin(turn) * rows) / scale
    share = float(rng.uniform(0.7, 0.9))
    soft = float(rng.uniform(1.0, 8.0)) / 4
    return thicken(card, name, _to_mean_one(1 + (2 * share - 1) * np.tanh(away / soft)))


def _to_mean_one(factor: NDArray[np.floating]) -> Map:
    """The mean thickness of the inner part stays what it was: what was laid, not how evenly."""
    rim = np.array(factor.shape) * 4 // 23
    inner = factor[rim[0] : -rim[0], rim[1] : -rim[1]]
    return np.asarray(factor / inner.mean(), np.float32)


FLAWS: dict[str, Callable[[PaintedCard, str, np.random.Generator], PaintedCard]] = {
    "drip in": _drip_in,
    "drip out": _drip_out,
    "pinholes": _pinholes,
    "dust": _dust,
    "hair": _hair,
    "ridges": _ridges,
    "half thick": _half_thick,
}


def some_area(card: PaintedCard, rng: np.random.Generator, *, spared: set[str]) -> str:
    """A painted area that is neither spared nor of the same stroke as one that is, while there are such."""
    films = {film_of(card, name) for name in spared}
    apart = [name for name in painted_names(card) if film_of(card, name) not in films]
    names = apart or [name for name in painted_names(card) if name not in spared]
    return names[int(rng.integers(len(names)))]
