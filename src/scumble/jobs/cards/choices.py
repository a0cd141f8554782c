"""What is left of a card's readings once a person decided area by area, and its pictures were put together."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from scumble.card.overrule import LEAVE_OUT, overrule_readings
from scumble.jobs.cards.reading import CardRead
from scumble.jobs.cards.tray import Choice
from scumble.paint import CardReadings

if TYPE_CHECKING:
    from scumble.card.combine import CombinedCard


def combine_reads(pictures: Sequence[tuple[str, CardRead]]) -> CombinedCard | None:
    """Several pictures of one card as one; None where there is one, or one that is no printed card's.

    Parameters
    ----------
    pictures : sequence of (str, CardRead)
        What each is called, and what was read of it.

    Raises
    ------
    CardError
        If they show different cards.
    """
    seen = [read.seen for _, read in pictures if read.seen is not None]
    if len(pictures) < 2 or len(seen) < len(pictures):
        return None
    from scumble.card.combine import combine_photographs

    return combine_photographs([name for name, _ in pictures], seen)


def choose(readings: CardReadings, choices: Mapping[str, Choice]) -> CardReadings:
    """Readings as a person has them: accepted, left out until retaken, or with another film or thickness there."""
    known = {each.area for each in readings.readings}
    words = {
        area: LEAVE_OUT if choice == "retake" else choice.removeprefix("as ")
        for area, choice in choices.items()
        if area in known
    }
    return overrule_readings(readings, words)[0]


def replace_areas(readings: CardReadings, again: CardReadings, choices: Mapping[str, Choice]) -> CardReadings:
    """Readings with the areas to be retaken from a second picture, where that shows them."""
    newer = {each.area: each for each in again.readings}
    return replace(
        readings,
        readings=tuple(
            newer[each.area] if choices.get(each.area) == "retake" and each.area in newer else each
            for each in readings.readings
        ),
        noise=max(readings.noise, again.noise),
    )


def words_behind(readings: CardReadings, trusted: Mapping[str, float]) -> dict[str, Choice]:
    """What a person must have said of a card whose areas stood on the shelf with other weights than the reader's."""
    words: dict[float, Choice] = {1.0: "accept", 0.0: "leave out"}
    return {
        each.area: words[trusted[each.area]]
        for each in readings.readings
        if trusted.get(each.area, each.weight) != each.weight and trusted[each.area] in words
    }
