"""Which tubes answer a question at the counter: the best first, and none that is another in another jar."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from typing import Final

from scumble.jobs.counter.asks import ASKS, Tube
from scumble.jobs.remember import Remembered, stamp_of
from scumble.jobs.shelf.show_shelf import show_shelf
from scumble.jobs.white import white_for
from scumble.paint.behaviour import Behaviour, predict_behaviour
from scumble.store.shelf import Shelf
from scumble.store.tube_facts import TubeFacts

TUBES: Final = 3
"""How many are shown: enough to choose from, few enough to compare on one screen."""

APART: Final = 25.0
"""Hue angle by which tubes of one answer lie apart where no colour was asked for [degree]. Scumble's own."""


def rank_tubes(shelf: Shelf, asked: str, colour: str = "", binder: str = "") -> list[tuple[float, Tube]]:
    """Tubes that will do for a question, the best first; discontinued ones and those out of stock are not offered."""
    ranked = []
    for tube in _tubes(shelf, colour):
        if binder and tube.binder.value != binder:
            continue
        if tube.facts.discontinued or tube.facts.stock == 0:
            continue
        rank = ASKS[asked].rank(tube)
        if rank is not None:
            ranked.append((rank, tube))
    return sorted(ranked, key=lambda each: (-each[0], each[1].strip.label.casefold()))


def spread(tubes: Sequence[Tube], *, apart: float) -> tuple[Tube, ...]:
    """The first tubes of a ranking that are not one another in another jar: other pigments, and hues apart.

    Parameters
    ----------
    tubes : sequence of Tube
        The best first.
    apart : float [degree]
        Least difference of hue, as far as there are enough tubes.
    """
    taken: list[Tube] = []
    for least in (apart, 0.0):
        for tube in tubes:
            if len(taken) < TUBES and all(_differs(tube, other, least) for other in taken):
                taken.append(tube)
    return tuple(taken)


def _differs(tube: Tube, other: Tube, apart: float) -> bool:
    if tube.strip.key == other.strip.key:
        return False
    if tube.strip.pigments and tube.strip.pigments == other.strip.pigments:
        return False
    (grey, hue), (other_grey, other_hue) = tube.strip.hue, other.strip.hue
    if grey or other_grey:
        return grey != other_grey or apart == 0.0
    return abs((hue - other_hue + 180.0) % 360.0 - 180.0) >= apart


def _tubes(shelf: Shelf, colour: str) -> list[Tube]:
    """Tubes of a colour with their behaviour, worked out where their version was not met before."""
    strips = show_shelf(shelf, find=colour).strips
    entries = {entry.key: entry for entry in shelf.load_entries()}
    whites = {key: white_for(entry, entries.values()) for key, entry in entries.items()}
    stamps = {key: stamp_of(entry, whites[key]) for key, entry in entries.items()}
    unknown = any(stamps[strip.key] not in _behaviours for strip in strips)
    paints = {paint.key: paint for paint in shelf.load_paints()} if unknown else {}
    facts = shelf.tubes.load_all()

    def work(key: str) -> Behaviour:
        white = whites[key]
        return predict_behaviour(paints[key], white=paints[white.key] if white else None)

    return [
        Tube(
            strip,
            entries[strip.key].binder,
            _behaviours.recall(stamps[strip.key], partial(work, strip.key)),
            facts.get(strip.key, TubeFacts()),
        )
        for strip in strips
    ]


_behaviours: Remembered[Behaviour] = Remembered()
