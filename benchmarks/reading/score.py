"""Read one photograph and hold what was read against what is true."""

from __future__ import annotations

import time
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from demo.conditions import Conditions
from demo.painting import PaintedCard
from demo.scanner import scanner_profile
from demo.snapshot import PAPER_XYZ, Snapshot, photograph, true_colours
from numpy.typing import NDArray

from benchmarks.reading.cards import Shot
from benchmarks.reading.hand import BELIEVED, FAR_OFF_DE00, HandScore, score_hand
from scumble.card import PhotographedCard, read_photograph
from scumble.colour import delta_e_2000, white_point, xyz_to_lab
from scumble.errors import CardError

Floats = NDArray[np.float64]

WHITE = white_point("D65", 2)
GLARE_DE00 = 5.0
"""Difference that mirrored light makes by itself beyond which an area must not be believed as it looks."""


@dataclass(frozen=True)
class AreaScore:
    """One area: what it claimed and how far it is from the truth.

    Parameters
    ----------
    off : float [dE00]
        From the truth.
    off_to_paper : float [dE00]
        The same when the paper's true colour is known.
    claimed : float [dE00]
        95 % bound that the reader promised.
    glare : float [dE00]
        What mirrored light over all of it would make.
    """

    area: str
    film: str
    weight: float
    faults: tuple[str, ...]
    off: float
    off_to_paper: float
    claimed: float
    glare: float

    @property
    def believed(self) -> bool:
        """Whether a fit would lean on it."""
        return self.weight >= BELIEVED

    @property
    def confidently_wrong(self) -> bool:
        """Believed, far from the truth, and far beyond what was promised."""
        return self.believed and self.off > FAR_OFF_DE00 and self.off > 2 * self.claimed


@dataclass(frozen=True)
class PhotoScore:
    """One photograph: refused with a sentence, or placed and read.

    Parameters
    ----------
    misplaced_mm : float [mm]
        Of the worst corner of any area.
    promised_mm : float [mm]
        What the reader says of its placement.
    seconds : float [s]
        Of one processor.
    hand : tuple of HandScore
        Areas that a hand spoilt.
    """

    tube: str
    layout: str
    conditions: Conditions
    refusal: str
    misplaced_mm: float
    promised_mm: float
    areas: tuple[AreaScore, ...]
    warnings: tuple[str, ...]
    seconds: float
    hand: tuple[HandScore, ...] = ()

    @property
    def oriented(self) -> bool:
        """Found, and no area further off than half its side: a card read upside down is."""
        return not self.refusal and self.misplaced_mm < 10

    @property
    def outcome(self) -> str:
        """``refused``, ``wrong``, ``excluded`` (something was left out) or ``right``."""
        if self.refusal:
            return "refused"
        if not self.oriented or any(area.confidently_wrong for area in self.areas):
            return "wrong"
        return "right" if all(area.believed for area in self.areas) else "excluded"


def score_photograph(shot: Shot) -> tuple[PhotoScore, PhotographedCard | None]:
    """Photograph a card, read it, and score it; gives what was read too."""
    tube, card, conditions = shot.key, shot.card, shot.conditions
    taken = photograph(card, conditions, shot.seed)
    layout = card.sheet.card_map["layout"]
    profile = scanner_profile(conditions.session) if conditions.session.route == "scan" else None
    start = time.process_time()
    try:
        seen = read_photograph(taken.file, profile=profile)
    except CardError as error:
        seconds = time.process_time() - start
        return PhotoScore(tube, layout, conditions, str(error), np.nan, np.nan, (), (), seconds), None
    seconds = time.process_time() - start
    true = true_colours(shot.meant)
    score = PhotoScore(
        tube,
        layout,
        conditions,
        "",
        _misplaced_mm(card, taken, seen),
        seen.placement_error_mm,
        _areas(true, taken, seen),
        seen.warnings,
        seconds,
        score_hand(shot, true, seen),
    )
    return score, seen


def _misplaced_mm(card: PaintedCard, taken: Snapshot, seen: PhotographedCard) -> float:
    """Distance of the worst corner of an area that lies in the picture from where it truly is."""
    worst = 0.0
    for area in card.sheet.card_map["areas"]:
        x, y, width, height = area["box_mm"]
        true = np.array([[x, y], [x + width, y], [x + width, y + height], [x, y + height]], float)
        corners = np.array(seen.outlines[area["area"]], float)
        inside = np.all((corners >= 0) & (corners < taken.projection.size_px), axis=1)
        if inside.any():
            off = np.linalg.norm(taken.projection.to_mm(corners) - true, axis=1)
            worst = max(worst, float(off[inside].max()))
    return worst


def _areas(true: Mapping[str, Floats], taken: Snapshot, seen: PhotographedCard) -> tuple[AreaScore, ...]:
    # The reader takes the paper for a neutral white of its own lightness; its bare white tells which.
    paper_as_read = next(area.reading.values for area in seen.areas if area.reading.area == "white")
    scores = []
    for area in seen.areas:
        reading, expected = area.reading, true[area.reading.area]
        lab = xyz_to_lab(expected, WHITE)
        to_paper = reading.values * PAPER_XYZ / paper_as_read
        mirrored = xyz_to_lab(expected + taken.glare[reading.area] * WHITE, WHITE)
        scores.append(
            AreaScore(
                reading.area,
                reading.film,
                reading.weight,
                tuple(fault.kind for fault in area.faults),
                float(delta_e_2000(xyz_to_lab(reading.values, WHITE), lab)),
                float(delta_e_2000(xyz_to_lab(to_paper, WHITE), lab)),
                area.bound_de00,
                float(delta_e_2000(mirrored, lab)),
            )
        )
    return tuple(scores)
