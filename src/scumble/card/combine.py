"""Several photographs of one card: weighted by what each is worth, shared errors kept, disagreement named."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from scumble.card.photographed import AreaSeen, PhotographedCard
from scumble.card.promise import reading_bounds
from scumble.colour import delta_e_2000, white_point, xyz_to_lab
from scumble.errors import CardError
from scumble.paint.camera_doubt import CameraDoubt
from scumble.paint.reading import CardReadings, Reading

Floats = NDArray[np.float64]

LEAST_BOUND_DE00: Final = 2.0
"""Difference that two photographs of one area may always have: the light falls otherwise into the brush's furrows."""

BLIND_SHARE: Final = 0.1
"""Weight of an area with a lost channel against one that was seen whole."""

SAME_HAND: Final = 0.5
"""Share of the noise of one photograph that all of them have in common: ridges and furrows do not change."""


@dataclass(frozen=True, slots=True)
class CombinedCard:
    """One card from several photographs.

    Parameters
    ----------
    readings : CardReadings
        Of all of them.
    shares : tuple of float [1]
        What each photograph adds to the whole, in order; they sum to 1.
    remarks : tuple of str
        What disagrees, and what was left out.
    """

    readings: CardReadings
    shares: tuple[float, ...]
    remarks: tuple[str, ...]


def combine_photographs(names: Sequence[str], cards: Sequence[PhotographedCard]) -> CombinedCard:
    """Make one card of what several photographs of it show.

    Parameters
    ----------
    names : sequence of str
        What the photographs are called, for remarks.
    cards : sequence of PhotographedCard
        What was read from each.

    Raises
    ------
    CardError
        If they show cards of different kinds, or of different serials.

    Notes
    -----
    Weights fall with the square of each area's promised bound. What one camera in one light does to all areas is the
    same again in its next photograph: such doubts are averaged, never made smaller by number.
    """
    _check_one_card(names, cards)
    every = [[card.areas[number] for card in cards] for number in range(len(cards[0].areas))]
    merged, remarks, weights = [], [], []
    for seen in every:
        reading, used, said = _merge(names, seen)
        merged.append(reading)
        weights.append(used)
        remarks += said
    shares = np.mean(weights, axis=0)
    shares = shares / max(float(shares.sum()), 1e-12)
    readings = _together(merged, [card.readings for card in cards], shares)
    return CombinedCard(
        readings, tuple(float(share) for share in shares), (*_odd_ones(names, every), *remarks)
    )


def _check_one_card(names: Sequence[str], cards: Sequence[PhotographedCard]) -> None:
    first = cards[0]
    for name, card in zip(names[1:], cards[1:], strict=True):
        if card.layout != first.layout:
            raise CardError(
                f"{names[0]} shows a {first.layout} card and {name} a {card.layout} card.",
                "Give photographs of one card; other cards are read by themselves.",
            )
        serials = {card.readings.serial, first.readings.serial} - {""}
        if len(serials) > 1:
            raise CardError(
                f"{names[0]} and {name} show two cards: their serials are {' and '.join(sorted(serials))}.",
                "Give photographs of one card; other cards are read by themselves.",
            )


def _merge(names: Sequence[str], seen: Sequence[AreaSeen]) -> tuple[Reading, Floats, list[str]]:
    """One area of all photographs: its reading, the weight of each, and what is to be said."""
    worth = np.array([_worth(area) for area in seen])
    first = seen[0].reading
    if not worth.any():
        return replace(first, weight=0.0), np.zeros(len(seen)), []
    values = np.array([area.reading.values for area in seen])
    kept, said = _agreeing(names, values, worth, seen)
    disagree = np.count_nonzero(kept) == 2 and _off(values, kept, seen).max() > 1.0
    if disagree:
        both = " and ".join(name for name, own in zip(names, kept, strict=True) if own)
        said.append(f"{both} disagree on area {first.area}; it counts half.")
    shares = kept / kept.sum()
    trust = max(area.reading.weight for area, own in zip(seen, kept, strict=True) if own)
    if disagree:
        trust *= 0.5
    whole = [area.reading for area, own in zip(seen, kept, strict=True) if own]
    blind = () if any(not reading.blind for reading in whole) else whole[0].blind
    return replace(first, values=shares @ values, weight=float(trust), blind=blind), shares, said


def _agreeing(
    names: Sequence[str], values: Floats, worth: Floats, seen: Sequence[AreaSeen]
) -> tuple[Floats, list[str]]:
    """Weights without the photographs that differ from the others, the farthest first while more than two are left."""
    kept, said = worth.copy(), []
    while np.count_nonzero(kept) > 2:
        off = _off(values, kept, seen)
        farthest = int(np.argmax(off))
        if off[farthest] <= 1.0:
            break
        kept[farthest] = 0.0
        area = seen[0].reading.area
        said.append(f"{names[farthest]} is left out of area {area}: it differs from the others there.")
    return kept, said


def _worth(area: AreaSeen) -> float:
    """Reciprocal variance, by the bound that was promised."""
    bound = area.bound_de00 if np.isfinite(area.bound_de00) else 10.0
    own = BLIND_SHARE if area.reading.blind else 1.0
    return float(own * area.reading.weight / max(bound, LEAST_BOUND_DE00) ** 2)


def _off(values: Floats, worth: Floats, seen: Sequence[AreaSeen]) -> Floats:
    """Distance of each photograph from what the others say, over what both allow; 0 where nothing is said."""
    white = white_point("D65", 2)
    found = np.zeros(len(values))
    for number in range(len(values)):
        others = [at for at in range(len(values)) if at != number and worth[at] > 0]
        if not others or not worth[number]:
            continue
        middle = np.median(values[others], axis=0)
        between = float(delta_e_2000(xyz_to_lab(values[number], white), xyz_to_lab(middle, white)))
        allowed = np.hypot(seen[number].bound_de00, np.median([seen[at].bound_de00 for at in others]))
        found[number] = between / max(float(allowed), LEAST_BOUND_DE00)
    return found


def _odd_ones(names: Sequence[str], every: Sequence[Sequence[AreaSeen]]) -> list[str]:
    """Photographs that differ from the others nearly everywhere."""
    if len(names) < 3:
        return []
    off = np.array(
        [
            _off(
                np.array([area.reading.values for area in seen]),
                np.array([_worth(area) for area in seen]),
                seen,
            )
            for seen in every
        ]
    )
    return [
        f"{name} differs from the others all over the card: is it the same card, in the same light?"
        for name, own in zip(names, np.median(off, axis=0), strict=True)
        if own > 1.0
    ]


def _together(merged: Sequence[Reading], cards: Sequence[CardReadings], shares: Floats) -> CardReadings:
    """The readings as one card, with the noise and the doubt that are left."""
    noise = np.array([card.noise for card in cards])
    common = SAME_HAND * float(shares @ noise)
    own = np.sqrt(1.0 - SAME_HAND**2) * float(np.sqrt(shares**2 @ noise**2))
    doubts = [card.camera or CameraDoubt() for card in cards]
    fields = ("sensor", "paper", "tint", "veil", "tone", "chroma", "apart")
    camera = CameraDoubt(
        **{
            field: float(np.sqrt(shares @ [getattr(doubt, field) ** 2 for doubt in doubts]))
            for field in fields
        }
    )
    return replace(cards[0], readings=tuple(merged), noise=float(np.hypot(common, own)), camera=camera)


def combined_bounds(card: CombinedCard) -> tuple[float, ...]:
    """95 % bound of each area [dE00]."""
    return reading_bounds(card.readings)
