"""The tone curve of a picture without a profile, from the card's own black-white checker steps.

Where squares are too fine to be seen apart, a point of the picture holds the mean of black and white, whose light is
known; its code is a place on the tone curve. Ink spreads over its edges and darkens fine squares more than coarse ones
of the same share; the coarse ones, where they are seen apart, show their mean whatever the curve, and so the spread.
What the steps do not tell - all squares sharp, or all blurred - is left as it was assumed, and as doubtful.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from scumble.card.find.placement import Placement
from scumble.card.light.lighting import Lighting
from scumble.card.light.tone_bend import MOST, bend_light
from scumble.card.picture.points import Picture
from scumble.card.sheet.tone_steps import COARSE_MM, ToneStep

Floats = NDArray[np.float64]

USUAL_BENDS: Final = np.array([0.15, 0.04])
"""Standard deviations of the bends of phones' tone curves (*common practice, no source*)."""

SPREAD_MM: Final = 0.012
SPREAD_DEVIATION_MM: Final = 0.012
"""How far ink runs over an edge: 5 to 20 % of added area in fine halftones of plain paper come from about as much
(*common practice, no source*)."""

MEAN_ERROR: Final = 0.005
"""Error of the mean light of a step against the paper: fibres, sharpening, what the lens scatters."""

RIM_MM: Final = 2 * COARSE_MM
"""Left off around each step: one coarse period."""

LEAST_BEND: Final = 0.08
"""Bends smaller than this are left alone: squares that are half seen apart lose contrast in a JPEG, which looks like
one of 0.05."""

MOST_MISFIT: Final = 3.0
"""Root-mean-square misfit in standard deviations beyond which the steps are not believed: splashed or shaded."""

LEAST_POINTS: Final = 60
ROUNDS: Final = 12


@dataclass(frozen=True, slots=True)
class ToneCurve:
    """What the steps say about a tone curve.

    Parameters
    ----------
    bends : array, shape (2,)
        For `scumble.card.light.tone_bend.bend_light`.
    known : float [1]
        Share of the doubt about the curve that is left, 1 where the steps say nothing.
    spread_mm : float [mm]
        How far the ink runs over its edges.
    """

    bends: Floats
    known: float
    spread_mm: float


@dataclass(frozen=True, slots=True)
class _Step:
    """Points of one step, the paper there, and how its share of black grows with the spread of the ink."""

    light: Floats
    paper: Floats
    share: float
    growth: float


def read_tone_curve(picture: Picture, placement: Placement, lighting: Lighting) -> ToneCurve | None:
    """Bends of the tone curve; ``None`` where the card has no steps, they cannot be seen, or show no bend.

    Parameters
    ----------
    picture, placement, lighting : Picture, Placement, Lighting
        The photograph, the card in it, and the light on its paper as the file claims it.
    """
    steps = placement.geometry.steps
    seen = [
        each
        for step in steps
        if 0.0 < step.black_share < 1.0 and (each := _see(picture, placement, lighting, step))
    ]
    black = next(
        (_see(picture, placement, lighting, step) for step in steps if step.black_share == 1.0), None
    )
    if black is None or len(seen) < 4:
        return None
    found, misfit = _fit(seen, black)
    return found if np.abs(found.bends).max() > LEAST_BEND and misfit < MOST_MISFIT else None


def _see(picture: Picture, placement: Placement, lighting: Lighting, step: ToneStep) -> _Step | None:
    """Linear light of all points of the middle of a step, as the file claims it."""
    box = step.box.shrunk(RIM_MM)
    corners = placement.outline_px(box)
    if np.any(corners < 0) or np.any(corners >= np.array(picture.size_px)):
        return None
    left, top = np.floor(corners.min(axis=0)).astype(int)
    right, bottom = np.ceil(corners.max(axis=0)).astype(int) + 1
    rows, columns = np.mgrid[top:bottom, left:right]
    places = placement.to_mm(np.stack([columns.ravel(), rows.ravel()], axis=-1)) - (box.x_mm, box.y_mm)
    inside = np.all((places >= 0.0) & (places < (box.width_mm, box.height_mm)), axis=1)
    codes = picture.codes[top:bottom, left:right].reshape(-1, 3)[inside]
    if len(codes) < LEAST_POINTS:
        return None
    middle = np.array([[box.x_mm + box.width_mm / 2, box.y_mm + box.height_mm / 2]])
    light = np.asarray(picture.encoding.to_linear(codes), dtype=np.float64)
    # Squares of one colour in four have as much edge a square as squares of two in four have for each of theirs.
    edges = 2.0 if step.black_share == 0.5 else 1.0
    return _Step(light, lighting.paper_at(middle)[0], step.black_share, edges / step.square_mm)


def _fit(seen: Sequence[_Step], black: _Step) -> tuple[ToneCurve, float]:
    """Most probable bends and spread of the ink, by Gauss-Newton steps from none; and what is left of the misfit."""
    usual = np.append(USUAL_BENDS, SPREAD_DEVIATION_MM)
    guess = np.zeros(3)
    for _ in range(ROUNDS):
        missed, slopes = _missed(seen, black, guess, usual)
        normal = slopes.T @ slopes + np.eye(3)
        step = np.linalg.solve(normal, slopes.T @ missed - guess)
        guess = np.clip(guess + step, -2.5, 2.5)
        if np.abs(step).max() < 1e-3:
            break
    deviation = np.sqrt(np.diag(np.linalg.inv(normal)))
    bends = np.clip(guess[:2] * USUAL_BENDS, -MOST, MOST)
    misfit = float(np.sqrt(np.mean(_missed(seen, black, guess, usual)[0] ** 2)))
    spread = float(SPREAD_MM + guess[2] * SPREAD_DEVIATION_MM)
    return ToneCurve(bends, float(deviation[:2].max()), spread), misfit


def _missed(seen: Sequence[_Step], black: _Step, guess: Floats, usual: Floats) -> tuple[Floats, Floats]:
    """What is expected less what the picture shows, in standard deviations, and its slopes by the guess."""
    middle = _off(seen, black, guess * usual)
    step = 0.02
    slopes = [(_off(seen, black, (guess + step * unit) * usual) - middle) / step for unit in np.eye(3)]
    return -middle / MEAN_ERROR, np.stack(slopes, axis=-1) / MEAN_ERROR


def _off(seen: Sequence[_Step], black: _Step, values: Floats) -> Floats:
    """Mean light of each step against the paper, the three channels together, less what its share of black gives."""
    bends, spread = values[:2], SPREAD_MM + values[2]
    dark = float((bend_light(black.light, bends).mean(axis=0) / bend_light(black.paper, bends)).mean())
    off = []
    for step in seen:
        light = float((bend_light(step.light, bends).mean(axis=0) / bend_light(step.paper, bends)).mean())
        share = np.clip(step.share + spread * step.growth, 0.0, 1.0)
        off.append(light - (1.0 - share * (1.0 - dark)))
    return np.array(off)
