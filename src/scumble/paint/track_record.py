"""The track record of predictions: how far off they were, how often the promise held, and how much so few can say."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri, stdtrit

from scumble.paint.proof import Comparison, say_ways

Floats = NDArray[np.float64]

PROMISED: Final = 0.95
"""Share of proofs that shall lie inside their intervals."""

PERCENTILE_FROM: Final = 20
"""Proofs from which a 95th percentile is told; of fewer it would be their worst."""

BIAS_FROM: Final = 3
"""Proofs from which a common direction is looked for."""

SMALL_BIAS: Final = 0.5
"""Mean difference of a coordinate below which none is told, however sure. Scumble's own."""


@dataclass(frozen=True, slots=True)
class Tally:
    """What some proofs say together.

    Parameters
    ----------
    count : int
        How many.
    mean_de00, worst_de00 : float [dE00]
        Of their differences; 0 without any.
    percentile_95_de00 : float or None [dE00]
        ``None`` of fewer than :data:`PERCENTILE_FROM`.
    inside : int
        How many lie within their intervals.
    share_low, share_high : float [1]
        Between which the true share inside lies 19 times out of 20.
    bias : array, shape (3,)
        Mean of painted less promised, L*, a*, b*.
    bias_sure : tuple of bool
        Which of the three lie away from 0 beyond chance.
    """

    count: int
    mean_de00: float
    worst_de00: float
    percentile_95_de00: float | None
    inside: int
    share_low: float
    share_high: float
    bias: Floats
    bias_sure: tuple[bool, bool, bool]

    @property
    def is_contradicted(self) -> bool:
        """Whether the promise was broken too often for it to be chance."""
        return self.share_high < PROMISED


def wilson_interval(inside: int, count: int, *, level: float = 0.95) -> tuple[float, float]:
    """Between which shares the true one lies, when so many of so many were counted.

    Parameters
    ----------
    inside, count : int
        How many of how many.
    level : float [1]
        How surely.

    Returns
    -------
    low, high : float [1]
        0 and 1 where nothing was counted.

    Notes
    -----
    *Source:* E. B. Wilson, Probable inference, the law of succession, and statistical inference, J. Am. Stat. Assoc.
    22, 209 (1927); recommended for small counts by R. G. Newcombe, Statistics in Medicine 17, 857 (1998), method 3.

    Examples
    --------
    >>> [round(end, 4) for end in wilson_interval(81, 263)]
    [0.2553, 0.3662]
    """
    if count == 0:
        return 0.0, 1.0
    z = float(ndtri(0.5 + level / 2.0))
    share, wide = inside / count, z * z / count
    middle = (share + wide / 2.0) / (1.0 + wide)
    reach = z / (1.0 + wide) * float(np.sqrt(share * (1.0 - share) / count + wide / (4.0 * count)))
    low = 0.0 if inside == 0 else max(middle - reach, 0.0)
    return low, 1.0 if inside == count else min(middle + reach, 1.0)


def tally_proofs(proofs: Sequence[Comparison]) -> Tally:
    """Sum up proofs; of none, nothing is claimed."""
    count = len(proofs)
    off = np.array([each.difference_de00 for each in proofs])
    inside = sum(each.is_within for each in proofs)
    shifts = np.array([each.shift for each in proofs]).reshape(count, 3)
    bias, sure = mean_shift(shifts)
    return Tally(
        count,
        float(off.mean()) if count else 0.0,
        float(off.max()) if count else 0.0,
        float(np.quantile(off, 0.95)) if count >= PERCENTILE_FROM else None,
        inside,
        *wilson_interval(inside, count),
        bias,
        sure,
    )


def mean_shift(shifts: Floats) -> tuple[Floats, tuple[bool, bool, bool]]:
    """Mean of differences, and which of its three coordinates chance does not explain.

    Parameters
    ----------
    shifts : array, shape (proofs, 3)
        Painted less promised.

    Notes
    -----
    Student's t for each coordinate, at a level of 5 % for the three together (Bonferroni). *Source:* Student,
    Biometrika 6, 1 (1908).
    """
    count = len(shifts)
    if count == 0:
        return np.zeros(3), (False, False, False)
    mean = np.asarray(shifts.mean(axis=0))
    if count < BIAS_FROM:
        return mean, (False, False, False)
    error = shifts.std(axis=0, ddof=1) / np.sqrt(count)
    reach = stdtrit(count - 1, 1.0 - 0.05 / 6.0) * error
    sure = (np.abs(mean) > reach) & (np.abs(mean) >= SMALL_BIAS)
    return mean, (bool(sure[0]), bool(sure[1]), bool(sure[2]))


def say_bias(tally: Tally, at: Floats) -> str:
    """In which direction proofs stray together, in words; empty where chance explains it.

    Parameters
    ----------
    tally : Tally
        Of the proofs.
    at : array, shape (3,)
        Mean of what was promised, CIELAB.
    """
    return say_ways(np.where(tally.bias_sure, tally.bias, 0.0), at) if any(tally.bias_sure) else ""


def say_promise(tally: Tally) -> str:
    """What became of the promise, with no more confidence than the count allows.

    Examples
    --------
    >>> near = [Comparison(np.zeros(3), np.zeros(3), 0.5, 1.0)] * 4
    >>> say_promise(tally_proofs(near))
    '4 of 4 inside; with so few the true share may be anything from 51 to 100 %.'
    >>> say_promise(tally_proofs([]))
    'Nothing was proved yet.'
    """
    if tally.count == 0:
        return "Nothing was proved yet."
    ends = f"{100 * tally.share_low:.0f} to {100 * tally.share_high:.0f} %"
    head = f"{tally.inside} of {tally.count} inside"
    if tally.is_contradicted:
        return f"{head}: fewer than the 19 in 20 that were promised, and no longer by chance ({ends})."
    if tally.share_low < 0.75:
        return f"{head}; with so few the true share may be anything from {ends}."
    return f"{head}: the promise of 19 in 20 holds as far as can be told ({ends})."
