"""When something is asked again: five boxes, each waiting twice as long as the one before."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Final

WAITS_DAYS: Final = (1, 2, 4, 8, 16)
"""How long a thing waits in each box [day]; doubling is common practice, no source."""


@dataclass(frozen=True, slots=True)
class Boxed:
    """Where a thing lies.

    Parameters
    ----------
    box : int
        From 1, asked often, to 5.
    due : datetime
        When it is asked again.
    """

    box: int
    due: datetime


def box_of(answers: Iterable[tuple[datetime, bool]]) -> Boxed | None:
    """Where a thing lies after all its answers.

    Parameters
    ----------
    answers : iterable of (datetime, bool)
        When it was answered, and whether rightly; oldest first.

    Returns
    -------
    Boxed or None
        None where it was never asked.

    Notes
    -----
    A right answer moves it one box on, but only when it was due: answers in a row on one day say nothing of the next
    week. A wrong one puts it back into the first.
    *Source:* the learning box of S. Leitner, So lernt man lernen (1972), *from memory*; its waits in days are ours.

    Examples
    --------
    >>> monday = datetime(2026, 1, 5)
    >>> box_of([(monday, True), (monday, True)]).box, box_of([(monday, True), (datetime(2026, 1, 8), True)]).box
    (2, 3)
    """
    found: Boxed | None = None
    for moment, right in answers:
        if not right:
            found = _into(1, moment)
        elif found is None:
            found = _into(2, moment)
        elif moment >= found.due:
            found = _into(min(found.box + 1, len(WAITS_DAYS)), moment)
    return found


def _into(box: int, moment: datetime) -> Boxed:
    return Boxed(box, moment + timedelta(days=WAITS_DAYS[box - 1]))
