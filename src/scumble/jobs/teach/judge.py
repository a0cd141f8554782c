"""An answer judged: right or not, what was in mind, and what is said of it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from scumble.errors import InputError
from scumble.jobs.teach.pointing import read_pointed
from scumble.paint.question.pointed import compare_pointed
from scumble.paint.question.question import Question


@dataclass(frozen=True, slots=True)
class Judged:
    """What became of an answer.

    Parameters
    ----------
    right : bool
        Whether it counts as foretold.
    verdict : str
        In a few words.
    slip : str
        What was in mind, empty for a right answer.
    off_de00 : float or None [dE00]
        How far a colour pointed out was off.
    chosen : int or None
        Place of the choice taken, from 0.
    """

    right: bool
    verdict: str
    slip: str = ""
    off_de00: float | None = None
    chosen: int | None = None


def judge_answer(question: Question, said: str) -> Judged:
    """Judge an answer.

    Parameters
    ----------
    question : Question
        What was asked.
    said : str
        Number of a choice from 1, or a colour as lightness, chroma and hue with commas.

    Raises
    ------
    InputError
        If it is no answer to this question.
    """
    if "," in said:
        if question.wanted is None:
            raise InputError("answer", said, f"a number from 1 to {len(question.choices)}")
        given = read_pointed(said)
        compared = compare_pointed(np.array(question.wanted), given, interval_de00=question.interval_de00)
        return Judged(
            compared.is_near,
            compared.words,
            "" if compared.is_near else _direction(compared.words),
            compared.difference,
        )
    if not (said.isdecimal() and 1 <= int(said[:3]) <= len(question.choices)):
        raise InputError("answer", said, f"a number from 1 to {len(question.choices)}")
    chosen = int(said) - 1
    if chosen == question.right:
        return Judged(True, "Right.", chosen=chosen)
    slip = question.choices[chosen].slip
    return Judged(False, f"Not so: that answer {slip}." if slip else "Not so.", slip, chosen=chosen)


def _direction(words: str) -> str:
    """The first fault that a comparison names."""
    said = words.partition("too ")[2]
    return f"pointed too {said.split(' ')[0].rstrip(',')}" if said else ""
