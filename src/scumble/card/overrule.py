"""A person's word on an area stands over the reader's: accept it, leave it out, or say what lies there instead."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Final

from scumble.card.photographed import AreaSeen, Fault, PhotographedCard
from scumble.card.promise import reading_bounds
from scumble.card.sheet.words import FILMS
from scumble.errors import InputError
from scumble.paint.reading import CardReadings, Reading

ACCEPT: Final = "accept"
LEAVE_OUT: Final = "leave out"
OWN_THICKNESS: Final = "own thickness"
"""Words besides the names of films."""


def overrule_readings(
    readings: CardReadings, words: Mapping[str, str]
) -> tuple[CardReadings, dict[str, str]]:
    """Readings as a person has them, and a sentence for each area they spoke of.

    Parameters
    ----------
    readings : CardReadings
        As read.
    words : mapping of str to str
        By area: ``accept``, ``leave out``, ``own thickness`` (the right paint, laid thicker or thinner than its
        stroke), or the name of the film that lies there, such as ``thin2``. Hyphens may stand for spaces.

    Raises
    ------
    InputError
        If there is no such area, or the word is none of these.

    Examples
    --------
    >>> from scumble.paint import Quantity
    >>> import numpy as np
    >>> one = Reading("thin1-white", "thin1", 1.0, 0.0, "white", np.ones(3), weight=0.3)
    >>> changed, said = overrule_readings(CardReadings((one,), Quantity.XYZ), {"thin1-white": "accept"})
    >>> changed.readings[0].weight, said
    (1.0, {'thin1-white': 'Accepted by hand.'})
    """
    known = {each.area for each in readings.readings}
    for area in words:
        if area not in known:
            raise InputError("overrule", area, ", ".join(sorted(known)))
    changed, said = [], {}
    for each in readings.readings:
        if each.area in words:
            each, said[each.area] = _overruled(each, words[each.area].strip(), readings)
        changed.append(each)
    return replace(readings, readings=tuple(changed)), said


def _overruled(reading: Reading, word: str, card: CardReadings) -> tuple[Reading, str]:
    plain = word.replace("-", " ").casefold()
    if plain == ACCEPT:
        return replace(reading, weight=1.0), "Accepted by hand."
    if plain == LEAVE_OUT:
        return replace(reading, weight=0.0), "Left out by hand."
    if not reading.is_bare and plain == OWN_THICKNESS:
        own = f"{reading.film} of its own"
        return replace(reading, film=own, weight=1.0), "Taken by hand for a film of a thickness of its own."
    films = {each.film: each for each in card.readings if not each.is_bare}
    if reading.is_bare or word not in films:
        others = [] if reading.is_bare else [OWN_THICKNESS, *films]
        raise InputError("overrule", f"{reading.area}={word}", ", ".join([ACCEPT, LEAVE_OUT, *others]))
    like = films[word]
    meant = replace(
        reading, film=word, paint_parts=like.paint_parts, white_parts=like.white_parts, weight=1.0
    )
    return meant, f"Taken by hand for the film called {FILMS.get(word, word)}."


def overrule_card(card: PhotographedCard, words: Mapping[str, str]) -> PhotographedCard:
    """A photographed card as a person has it; what the reader said stays beside their word.

    Raises
    ------
    InputError
        If there is no such area, or the word is none of those of `overrule_readings`.
    """
    readings, said = overrule_readings(card.readings, words)
    bounds = reading_bounds(readings)
    areas = tuple(
        _with_word(area, reading, said.get(reading.area, ""), bound)
        for area, reading, bound in zip(card.areas, readings.readings, bounds, strict=True)
    )
    return replace(card, readings=readings, areas=areas)


def _with_word(area: AreaSeen, reading: Reading, said: str, bound: float) -> AreaSeen:
    if not said:
        return area
    fault = Fault("by hand", said, reading.weight)
    return replace(area, reading=reading, faults=(*area.faults, fault), bound_de00=round(bound, 2))
