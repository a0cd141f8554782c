"""Who learns to foretell, by a name or initials only, and what they answered."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from datetime import datetime

from scumble.errors import InputError

LONGEST_NAME = 40

_ROUND = re.compile(r"[0-9a-f]{1,16}")


def check_trainee_name(name: str) -> str:
    """A trainee's name without blanks around it.

    Raises
    ------
    InputError
        If it cannot be kept.

    Examples
    --------
    >>> check_trainee_name("  A. B. ")
    'A. B.'
    """
    plain = " ".join(name.split())
    if not plain or len(plain) > LONGEST_NAME or not plain.isprintable():
        hint = "Initials are enough; nothing else about the person is asked or kept."
        raise InputError("name", name, f"a name or initials of 1 to {LONGEST_NAME} letters on one line", hint)
    return plain


@dataclass(frozen=True, slots=True)
class Answer:
    """What was answered to one question.

    Parameters
    ----------
    kind : str
        Kind of question.
    paints : tuple of str
        Keys of the tubes in it, the one asked about first.
    right : bool
        Whether it counts as foretold.
    difficulty : float [logit]
        Of the question, as it was then.
    guessed : float [1]
        Chance to be right by guessing.
    round : str
        Which round it was part of.
    place : int
        Which question of it, from 1.
    slip : str
        What was in mind where it was wrong; may be empty.
    off_de00 : float, optional [dE00]
        How far a colour pointed out was off.
    answered_at : datetime, optional
        When, UTC; None for now.
    """

    kind: str
    paints: tuple[str, ...]
    right: bool
    difficulty: float
    guessed: float
    round: str
    place: int
    slip: str = ""
    off_de00: float | None = None
    answered_at: datetime | None = None

    def __post_init__(self) -> None:
        if not self.paints or not all(0 < len(key) <= 80 for key in self.paints):
            raise InputError("paints", ", ".join(self.paints), "keys of one tube or more")
        if not 0 < len(self.kind) <= 40 or len(self.slip) > 200:
            raise InputError("kind", self.kind, "a kind of question")
        if not _ROUND.fullmatch(self.round) or not 1 <= self.place <= 1000:
            raise InputError("round", f"{self.round}, {self.place}", "a round and a place in it, from 1")
        numbers = (self.difficulty, self.guessed, self.off_de00 or 0.0)
        if not all(math.isfinite(each) for each in numbers) or not 0.0 <= self.guessed < 1.0:
            raise InputError("answer", numbers, "finite numbers, and a chance of guessing from 0 to 1")

    @property
    def moment(self) -> datetime:
        """When it was given, for an answer that was kept."""
        if self.answered_at is None:
            raise ValueError("this answer was not kept yet")
        return self.answered_at


@dataclass(frozen=True, slots=True)
class Trainee:
    """Somebody who learns.

    Parameters
    ----------
    number : int
        By which pages name them; another one on another shelf.
    name : str
        A name or initials.
    added_at : datetime
        When they began, UTC.
    """

    number: int
    name: str
    added_at: datetime
