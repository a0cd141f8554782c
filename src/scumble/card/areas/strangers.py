"""Areas that the rest of their card does not lead to expect, and what may lie there instead."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

import numpy as np
from numpy.typing import NDArray

from scumble.card.areas.expect import CardGuess
from scumble.card.photographed import Fault
from scumble.card.sheet.words import FILMS
from scumble.colour import delta_e_2000, white_point, xyz_to_lab
from scumble.paint.camera_doubt import CameraDoubt
from scumble.paint.reading import Reading

Floats = NDArray[np.float64]

STRANGE: Final = 4.0
"""Standard deviations beyond which an area is not what the others lead to expect: no good area in some 600 simulated
ones (benchmarks/reading), where a normal law would have one in 30,000."""

SURELY: Final = 5.5
"""Standard deviations from which nothing is left of its weight."""

IN_DOUBT: Final = 0.3

EXPLAINED: Final = 2.5
"""Standard deviations within which another thickness or film explains what was read."""

TOGETHER: Final = 2.5
"""Standard deviations from which each area of a stroke counts as strange with the others."""

VISIBLE_DE00: Final = 1.0
"""Difference below which no area is called strange."""

BARE_DE00: Final = 2.5
LEAST_PAINTED: Final = 5
MOST: Final = 6
"""Areas or strokes that are left out of one card before the rest is no longer a card."""

GLARE_EVEN: Final = 0.5
GLARE_LEAST: Final = 0.02
"""How unequal the light added to X, Y and Z may be, and how much there must be, for it to be a lamp's reflection."""

MOST_STRANGE: Final = 0.25
"""Share of the painted areas beyond which nobody can tell the strange from the right."""

THICKER: Final = (0.15, 0.25, 0.35, 0.45, 0.55, 0.65, 1.45, 1.7, 2.0, 2.4, 3.0, 4.0)
"""Times as thick, tried as explanations."""


def find_strangers(readings: Sequence[Reading], noise: float, camera: CameraDoubt) -> dict[str, Fault]:
    """Areas that the others, through the optics of films, do not lead to expect.

    Parameters
    ----------
    readings : sequence of Reading
        Of one card, in XYZ under D65, 2 degrees; those without weight are passed over.
    noise : float [1]
        Relative scatter of one reading.
    camera : CameraDoubt
        What all readings share.

    Returns
    -------
    dict of str to Fault
        By area.

    Notes
    -----
    The strangest area, or stroke, is left out, the card is explained anew, and so on until nothing surprises any more.
    Then those that were left out are judged by the others once again.
    """
    usable = _usable(readings)
    if sum(not each.is_bare for each in usable) < LEAST_PAINTED:
        return {}
    guess = CardGuess(usable, noise, camera).search()
    out: list[str] = []
    for _ in range(MOST):
        worst = _worst(guess, usable, out)
        if not worst:
            break
        out += worst
        guess.search(out)
    read = {each.area: each for each in usable}
    found = {name: fault for name in out if (fault := _judge(guess, read[name], read, out)) is not None}
    return _contradiction(usable) if _is_contradictory(usable, found) else found


def _is_contradictory(readings: Sequence[Reading], found: dict[str, Fault]) -> bool:
    """Whether so much of a card is strange, in more than one stroke, that it cannot be told which side is right."""
    painted = [each for each in readings if not each.is_bare]
    strange = [each for each in painted if each.area in found]
    return len({each.film for each in strange}) > 1 and len(strange) > MOST_STRANGE * len(painted)


def _contradiction(readings: Sequence[Reading]) -> dict[str, Fault]:
    """All painted areas in doubt: a paint that most of a card shows may be the wrong one."""
    sentence = (
        "The strokes of this card are not of one paint: which of them is another, or from an unwashed brush?"
    )
    return {each.area: Fault("disagrees", sentence, IN_DOUBT) for each in readings if not each.is_bare}


def _usable(readings: Sequence[Reading]) -> list[Reading]:
    """Areas with some weight whose ground has some too."""
    kept = {each.area for each in readings if each.weight > 0.0}
    return [each for each in readings if each.area in kept and each.ground in kept]


def _worst(guess: CardGuess, readings: Sequence[Reading], out: Sequence[str]) -> list[str]:
    """The area, or the whole stroke, that surprises most; none where none does."""
    left = [each for each in readings if each.area not in out]
    alone = {each.area: guess.expect([each.area]).surprise for each in left}
    worst = max(alone, key=lambda name: alone[name], default="")
    best, chosen = (alone[worst], [worst]) if worst else (0.0, [])
    for film in dict.fromkeys(each.film for each in left if not each.is_bare):
        stroke = [each.area for each in left if each.film == film]
        if len(stroke) > 1 and _is_strange_throughout(guess, stroke):
            surprise = guess.expect(stroke).surprise
            if surprise > best:
                best, chosen = surprise, stroke
    return chosen if best > STRANGE else []


def _is_strange_throughout(guess: CardGuess, stroke: Sequence[str]) -> bool:
    """Whether a stroke is strange as such, and not by one of its areas: each is, when all of them are left out."""
    others = {name: [other for other in stroke if other != name] for name in stroke}
    return all(guess.expect([name], without=others[name]).surprise > TOGETHER for name in stroke)


def _judge(
    guess: CardGuess, reading: Reading, readings: dict[str, Reading], out: Sequence[str]
) -> Fault | None:
    """What is said of an area that was left out, seen from what remains."""
    expected = guess.expect([reading.area])
    off = _difference(reading.values, expected.xyz[0])
    if expected.surprise < STRANGE or off < VISIBLE_DE00:
        return None
    trust = 0.0 if expected.surprise > SURELY else IN_DOUBT
    kind, why = _explain(guess, reading, readings, expected.xyz[0], out)
    return Fault(kind, f"{why} It is dE00 {off:.0f} from what the other areas lead to expect.", trust)


def _explain(
    guess: CardGuess,
    reading: Reading,
    readings: dict[str, Reading],
    expected: Floats,
    out: Sequence[str],
) -> tuple[str, str]:
    """Kind and sentence of what may lie there."""
    if reading.is_bare:
        return "disagrees", "It does not look like what lies under the films on it: is there paint on it?"
    if _difference(reading.values, readings[reading.ground].values) < BARE_DE00:
        return "unpainted", "It looks unpainted."
    film, as_film = _nearest_film(guess, reading, readings)
    factors = {factor: guess.surprise_if(reading.area, thicker=factor) for factor in THICKER}
    factor = min(factors, key=lambda each: factors[each])
    # Two boxes that were swapped are both strange; one that is only thicker is alone.
    also = any(readings[name].film == film for name in out)
    if as_film < EXPLAINED and (also or as_film < factors[factor] - 1.0):
        return "swapped", f"It looks like the film called {FILMS.get(film, film)}: were two boxes swapped?"
    if factors[factor] < EXPLAINED:
        meant = "a second coat?" if factor > 1 else "was it thinned more, or wiped?"
        return "thickness", f"It looks {factor:g} times as thick as it should be: {meant}"
    added = (reading.values - expected) / white_point("D65", 2)
    if added.min() > GLARE_LEAST and np.ptp(added) < GLARE_EVEN * added.max():
        return "glare", "It is lighter in every colour than it can be: glare, another paint, or a gap?"
    return (
        "disagrees",
        "It does not look like the paint of this card: another paint, an unwashed brush, or a gap?",
    )


def _nearest_film(guess: CardGuess, reading: Reading, readings: dict[str, Reading]) -> tuple[str, float]:
    """Which other film of the card an area looks most like, and how well that explains it."""
    films = dict.fromkeys(each.film for each in readings.values() if not each.is_bare)
    tried = {film: guess.surprise_if(reading.area, film=film) for film in films if film != reading.film}
    nearest = min(tried, key=lambda film: tried[film], default="")
    return nearest, tried.get(nearest, np.inf)


def _difference(first: Floats, second: Floats) -> float:
    white = white_point("D65", 2)
    pair = xyz_to_lab(np.maximum(np.stack([first, second]), 1e-3 * white), white)
    return float(delta_e_2000(*pair))
