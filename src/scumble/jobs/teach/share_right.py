"""What a share of right answers is worth: little when few were given, and its interval says so."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from scumble.paint.track_record import wilson_interval

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
    """A share with its interval, as :func:`scumble.paint.track_record.wilson_interval` has it.

    Parameters
    ----------
    right, asked : int
        Answers.

    Examples
    --------
    >>> str(share_right(2, 3)), str(share_right(15, 20))
    ('2 of 3', '15 of 20 (53% to 89%)')
    """
    return ShareRight(right, asked, *wilson_interval(right, asked))
