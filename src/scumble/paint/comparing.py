"""Two paints compared in sentences that a painter would say, as firmly as their uncertainty allows."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from scumble.colour import delta_e_2000
from scumble.paint.behaviour import Behaviour
from scumble.paint.estimate import Estimate
from scumble.paint.words import Sentence, write_number

Floats = NDArray[np.float64]

ALIKE_RATIO, ALIKE_CHROMA, ALIKE_SHARE, ALIKE_STRENGTH = 0.03, 4.0, 0.05, 1.15
"""Differences that no painter would act on: of contrast ratio, of CIELAB chroma, of lightness kept over black, and
the factor of tinting strength. Scumble's own."""

TOLD_APART = (
    (2.0, "can hardly be told apart"),
    (6.0, "are close"),
    (15.0, "differ"),
    (np.inf, "differ clearly"),
)
"""CIEDE2000 up to which two colours side by side have their words. Scumble's own."""


@dataclass(frozen=True, slots=True)
class Pair:
    """Two paints by name, with how they behave.

    Parameters
    ----------
    first_name, second_name : str
        What they are called.
    first, second : Behaviour
        How they behave.
    """

    first_name: str
    second_name: str
    first: Behaviour
    second: Behaviour


def compare_behaviour(pair: Pair) -> tuple[Sentence, ...]:
    """Say in what two paints differ.

    Parameters
    ----------
    pair : Pair
        The two; each behaviour with intervals or without.

    Returns
    -------
    tuple of Sentence
        Cover first, then transparency, the two colours, thinning, over black, with white.
    """
    one, two = pair.first, pair.second
    sentences = [
        _more(
            pair,
            "cover",
            (one.contrast_ratio, two.contrast_ratio),
            ("covers better", "They cover about as well"),
            ALIKE_RATIO,
            "Y over black / Y over white of one coat (ISO 6504-3, ASTM D2805).",
            told="contrast ratio",
        ),
        _more(
            pair,
            "transparency",
            (_turned(one.opacity), _turned(two.opacity)),
            ("is the more transparent", "They are about as transparent"),
            ALIKE_RATIO,
            "Contrast ratio of half a coat.",
            told="half a coat has",
            shown=(one.opacity, two.opacity),
        ),
        _apart("masstones", one.thinning.masstone, two.thinning.masstone),
        _apart("undertones", one.thinning.undertone, two.thinning.undertone),
        _more(
            pair,
            "thinning",
            (one.thinning.thinned_chroma, two.thinning.thinned_chroma),
            ("gains more chroma when thinned", "Thinning does about the same to both"),
            ALIKE_CHROMA,
            "Change of CIELAB chroma from one coat to a quarter of a coat over white.",
            told="chroma changes by",
            digits=0,
        ),
        _more(
            pair,
            "over black",
            (one.black_lightness, two.black_lightness),
            ("stands out more over black", "Over black they stand out about as much"),
            ALIKE_SHARE,
            "CIELAB lightness of one coat over black as a share of that over white.",
            told="keeps of its lightness",
        ),
    ]
    if one.tinting is not None and two.tinting is not None:
        sentences.append(_stronger(pair, one.tinting.strength_parts, two.tinting.strength_parts))
    return tuple(sentences)


def _more(
    pair: Pair,
    topic: str,
    values: tuple[Estimate, Estimate],
    words: tuple[str, str],
    alike: float,
    meaning: str,
    *,
    told: str,
    shown: tuple[Estimate, Estimate] | None = None,
    digits: int = 2,
) -> Sentence:
    """Which of two has more of something."""
    first, second = values
    numbers = f"{told} {' and '.join(write_number(each, digits) for each in shown or values)}"
    if abs(first.value - second.value) <= alike:
        return Sentence(topic, words[1], numbers, meaning)
    leads, follows = (first, second) if first.value > second.value else (second, first)
    name = pair.first_name if leads is first else pair.second_name
    return Sentence(topic, _firmly(name, words[0], leads, follows), numbers, meaning)


def _firmly(name: str, words: str, leads: Estimate, follows: Estimate) -> str:
    """A statement flatly where the intervals part, with *probably* where neither holds the other's value.

    Examples
    --------
    >>> _firmly("Red", "covers better", Estimate(0.9, 0.85, 0.95), Estimate(0.5, 0.4, 0.6))
    'Red covers better'
    >>> _firmly("Red", "covers better", Estimate(0.9, 0.6, 0.95), Estimate(0.5, 0.4, 0.7))
    'Red probably covers better'
    >>> _firmly("Red", "covers better", Estimate(0.9, 0.4, 0.95), Estimate(0.5, 0.4, 0.92))
    "Can't tell whether Red covers better"
    """
    if leads.low > follows.high or (leads.is_exact and follows.is_exact):
        return f"{name} {words}"
    if leads.value > follows.high and leads.low > follows.value:
        return f"{name} probably {words}"
    return f"Can't tell whether {name} {words}"


def _stronger(pair: Pair, first: Estimate, second: Estimate) -> Sentence:
    meaning = "Parts of white by volume that one part takes down to a pastel, after the manner of ASTM D4838."
    digits = 0 if min(first.value, second.value) >= 10.0 else 1
    numbers = f"{write_number(first, digits)} and {write_number(second, digits)} parts of white to a pastel"
    leads, follows = (first, second) if first.value > second.value else (second, first)
    times = leads.value / max(follows.value, 1e-6)
    if times <= ALIKE_STRENGTH:
        return Sentence("strength", "In white they are about as strong", numbers, meaning)
    name = pair.first_name if leads is first else pair.second_name
    claim = _firmly(name, "is the stronger in white", leads, follows)
    if not claim.startswith("Can't") and times < 100.0:
        claim += f", about {times:.1f} times" if times < 10.0 else f", about {times:.0f} times"
    return Sentence("strength", claim, numbers, meaning)


def _apart(topic: str, first: Floats, second: Floats) -> Sentence:
    """How far two colours lie apart."""
    distance = float(delta_e_2000(first, second))
    words = next(said for bound, said in TOLD_APART if distance <= bound)
    number = f"dE00 {distance:.1f}"
    return Sentence(topic, f"Their {topic} {words}", number, "CIEDE2000 over white, D65, 2 degrees.")


def _turned(estimate: Estimate) -> Estimate:
    """The estimate of what is left to 1."""
    return Estimate(1.0 - estimate.value, 1.0 - estimate.high, 1.0 - estimate.low)
