"""Cards that a hand spoilt: what became of every area that went wrong."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from demo.snapshot import shown_colours
from numpy.typing import NDArray

from benchmarks.reading.cards import Shot
from scumble.card import PhotographedCard
from scumble.colour import delta_e_2000, white_point, xyz_to_lab

Floats = NDArray[np.float64]

BELIEVED = 0.5
FAR_OFF_DE00 = 7.0

HARMLESS_DE00 = 2.5
"""Change of an area's mean colour that is no error: the paint, its thickness or its mixture could as well be so."""

SEEN_SHARE = 0.5
"""The same as a share of the 95 % bound that the photograph allows: what moves an area by less cannot be told from what
the camera does."""

LEAVINGS = {"pinholes", "gap", "dust", "hair", "drip", "spot", "shine", "two colours"}
CONTRADICTIONS = {"disagrees", "thickness", "swapped", "unpainted", "glare"}

RIGHT_WORDS = {
    "drip in": {"drip", "spot", "two colours", "shine", "gap"},
    "drip out": {"drip", "spot", "two colours", "uneven"},
    "pinholes": {"pinholes", "gap", "two colours"},
    "dust": {"dust", "hair", "spot", "pinholes"},
    "hair": {"hair", "dust", "spot", "drip"},
    "ridges": {"uneven"},
    "half thick": {"uneven", "two colours", "gap"},
    "another tube": {"disagrees", "thickness", "swapped", "glare"},
    "swapped": {"swapped", "thickness", "disagrees"},
    "forgotten": {"unpainted"},
    "second coat": {"thickness", "swapped"},
    "unwashed brush": {"disagrees", "thickness", "swapped", "glare"},
}
"""What may be said of each kind: a painter who reads it looks at the right place for the right reason."""


@dataclass(frozen=True)
class HandScore:
    """One area that a hand spoilt.

    Parameters
    ----------
    effect : float [dE00]
        By which its mean colour changed.
    off : float [dE00]
        Of what was read, from the area as it was meant.
    claimed : float [dE00]
        95 % bound that the reader promised.
    """

    kind: str
    area: str
    effect: float
    off: float
    claimed: float
    weight: float
    faults: tuple[str, ...]
    sentence: str

    @property
    def outcome(self) -> str:
        """``left out``, ``repaired``, ``no harm``, ``missed`` or ``wrong``."""
        if self.weight < BELIEVED:
            return "left out"
        if self.off > FAR_OFF_DE00 and self.off > 2 * self.claimed:
            return "wrong"
        if self.named and self.off <= self.claimed:
            return "repaired"
        return "no harm" if self.effect <= max(HARMLESS_DE00, SEEN_SHARE * self.claimed) else "missed"

    @property
    def named(self) -> bool:
        """Whether the right thing was said."""
        return bool(RIGHT_WORDS[self.kind] & {*self.faults})


def score_hand(shot: Shot, true: Mapping[str, Floats], seen: PhotographedCard) -> tuple[HandScore, ...]:
    """Every area of a card that its hand spoilt; `true` are the colours that were meant."""
    if not shot.cases:
        return ()
    white, shown = white_point("D65", 2), shown_colours(shot.card)
    areas = {area.reading.area: area for area in seen.areas}

    def apart(first: Floats, second: Floats) -> float:
        return float(delta_e_2000(xyz_to_lab(first, white), xyz_to_lab(second, white)))

    return tuple(
        HandScore(
            case.kind,
            name,
            apart(shown[name], true[name]),
            apart(areas[name].reading.values, true[name]),
            areas[name].bound_de00,
            areas[name].reading.weight,
            tuple(fault.kind for fault in areas[name].faults),
            areas[name].verdict,
        )
        for case in shot.cases
        for name in case.areas
    )
