"""Parts that a hand can measure, chosen so that rounding costs least.

Everything stirred into a film, the medium included, becomes a small whole number of parts. What is needed in traces
goes by the pinch.
"""

from __future__ import annotations

from itertools import product
from math import gcd

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

PINCH = 0.05
"""A pinch, in parts: what a knife's tip takes up when a part is a brush-load. *Scumble's own.*"""

TRACE = 0.25
"""Ratio to the largest part below which a paint may go by the pinch."""

PINCHES = (1, 2, 3, 4, 6, 10)
"""Amounts that can be told apart by the pinch; ten are half a part."""

NEIGHBOURS = 3
"""Amounts nearest to the wanted one that are tried for each thing in the mixture."""

PER_PART = 0.008
"""dE00 that one part more must gain, so that 1:3 is said where 4:11 is no better."""


def parts_to_try(amounts: Floats, *, most_parts: int = 12) -> Floats:
    """Measurable parts near a mixture.

    Parameters
    ----------
    amounts : array, shape (things,)
        Wanted amounts in any unit, all above 0.
    most_parts : int
        Largest sum of all parts.

    Returns
    -------
    array, shape (mixtures, things)
        Whole parts, or pinches for traces; no two stand for the same mixture.

    Examples
    --------
    >>> parts_to_try(np.array([1.0, 3.1]), most_parts=5).tolist()[:3]
    [[1.0, 3.0], [1.0, 4.0], [1.0, 2.0]]
    """
    ratios = np.asarray(amounts, dtype=np.float64) / np.max(amounts)
    found: dict[tuple[float, ...], tuple[float, ...]] = {}
    for largest in range(1, most_parts + 1):
        choices = [_near(ratio * largest, trace=ratio < TRACE, most_parts=most_parts) for ratio in ratios]
        for parts in product(*choices):
            if sum(parts) <= most_parts:
                ratio, short = _ratio(parts), _shortest(parts)
                if ratio not in found or _in_pinches(found[ratio]) > _in_pinches(short):
                    found[ratio] = short
    tried = np.array(list(found.values()) or [(1.0,) * len(ratios)])
    away = np.abs(np.log(tried / tried.sum(axis=1, keepdims=True)) - np.log(ratios / ratios.sum())).sum(
        axis=1
    )
    return np.asarray(tried[np.lexsort((tried.sum(axis=1), away.round(9)))])


def _near(wanted: float, *, trace: bool, most_parts: int) -> list[float]:
    """Measurable amounts nearest to a wanted one, on a log scale."""
    measurable = [float(n) for n in range(1, most_parts + 1)]
    if trace:
        measurable = [PINCH * n for n in PINCHES] + measurable
    return sorted(measurable, key=lambda amount: abs(np.log(amount / max(wanted, 1e-9))))[:NEIGHBOURS]


def _pinches(parts: tuple[float, ...]) -> list[int]:
    return [round(part / PINCH) for part in parts]


def _in_pinches(parts: tuple[float, ...]) -> bool:
    return any(part < 1.0 for part in parts)


def _ratio(parts: tuple[float, ...]) -> tuple[float, ...]:
    whole = _pinches(parts)
    shared = gcd(*whole)
    return tuple(part / shared for part in whole)


def _shortest(parts: tuple[float, ...]) -> tuple[float, ...]:
    """The same mixture with the fewest whole parts; left as it is when something goes by the pinch."""
    if _in_pinches(parts):
        return parts
    shared = gcd(*(round(part) for part in parts))
    return tuple(part / shared for part in parts)


def say_parts(parts: tuple[float, ...]) -> tuple[str, ...]:
    """Parts in words.

    Examples
    --------
    >>> say_parts((2.0, 1.0, 0.05, 0.15))
    ('2 parts', '1 part', 'a pinch', '3 pinches')
    """
    return tuple(_say(part) for part in parts)


def _say(part: float) -> str:
    if part < 1.0:
        pinches = round(part / PINCH)
        return "a pinch" if pinches == 1 else "half a part" if pinches == 10 else f"{pinches} pinches"
    return f"{part:g} part" + ("" if part == 1.0 else "s")
