"""What a share of right answers is worth: little when few were given, and its interval says so."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

Z_95: Final = 1.959963984540054
"""Two-sided 95 % point of the standard normal."""

FEW: Final = 5
"""Answers below which no share is told, only how many were right. Scumble's own."""


@dataclass(frozen=True, slots=True)
class ShareRight:
    """How many were right, and what that says.

    Parameters
    ----------
    right, asked : int
        Answers.
    low, high : float [1]
        Wilson's 95 % interval of the share; 0 and 1 where nothing was asked.
    """

    right: int
    asked: int
    low: float
    high: float

    def __str__(self) -> str:
        if not self.asked:
            return "not asked yet"
        said = f"{self.right} of {self.asked}"
        return said if self.asked < FEW else f"{said} ({self.low:.0%} to {self.high:.0%})"


def share_right(right: int, asked: int) -> ShareRight:
    """A share with its score interval.

    Parameters
    ----------
    right, asked : int
        Answers.

    Notes
    -----
    *Source:* E. B. Wilson, Probable inference, the law of succession, and statistical inference, J. Am. Stat. Assoc.
    22, 209 (1927); in the form of R. G. Newcombe, Statist. Med. 17, 857 (1998), method 3.

    Examples
    --------
    >>> str(share_right(2, 3)), str(share_right(15, 20))
    ('2 of 3', '15 of 20 (53% to 89%)')
    """
    if asked == 0:
        return ShareRight(0, 0, 0.0, 1.0)
    share, z2 = right / asked, Z_95 * Z_95
    middle = (share + z2 / (2 * asked)) / (1 + z2 / asked)
    half = Z_95 * (share * (1 - share) / asked + z2 / (4 * asked * asked)) ** 0.5 / (1 + z2 / asked)
    return ShareRight(right, asked, max(middle - half, 0.0), min(middle + half, 1.0))
