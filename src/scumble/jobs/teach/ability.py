"""How far a trainee has come, from answers to questions of known difficulty, so that the next ones are neither dull
nor hopeless."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

WANTED_CHANCE: Final = 0.75
"""Chance of a right answer that the next question shall have. Scumble's own."""

NODES: Final = np.linspace(-4.0, 4.0, 161)
"""Abilities that are weighed [logit]."""


@dataclass(frozen=True, slots=True)
class Tried:
    """One answer.

    Parameters
    ----------
    difficulty : float [logit]
        Of the question.
    guessed : float [1]
        Chance to be right by guessing.
    right : bool
        Whether it was.
    """

    difficulty: float
    guessed: float
    right: bool


@dataclass(frozen=True, slots=True)
class Ability:
    """How far a trainee has come.

    Parameters
    ----------
    level : float [logit]
        0 for a beginner.
    deviation : float [logit]
        How sure that is.
    """

    level: float
    deviation: float


def chance_right(level: float | Floats, difficulty: float, guessed: float) -> float | Floats:
    """Chance of a right answer.

    Parameters
    ----------
    level : float or array [logit]
        Ability.
    difficulty : float [logit]
        Of the question.
    guessed : float [1]
        Chance to be right by guessing.

    Notes
    -----
    *Source:* G. Rasch, Probabilistic Models for Some Intelligence and Attainment Tests (1960), with a floor of
    guessing after A. Birnbaum in Lord & Novick, Statistical Theories of Mental Test Scores (1968), chapter 17, whose
    discrimination is 1 here.

    Examples
    --------
    >>> float(chance_right(0.0, 0.0, 0.0)), float(chance_right(0.0, 0.0, 0.5))
    (0.5, 0.75)
    """
    return guessed + (1.0 - guessed) / (1.0 + np.exp(difficulty - level))


def estimate_ability(answers: Sequence[Tried]) -> Ability:
    """Ability as the mean of what the answers leave likely, beginning from a standard normal.

    Parameters
    ----------
    answers : sequence of Tried
        In any order; difficulties are set by Scumble, not learned from answers.

    Notes
    -----
    *Source:* R. D. Bock & R. J. Mislevy, Adaptive EAP estimation of ability in a microcomputer environment, Appl.
    Psychol. Meas. 6, 431 (1982).

    Examples
    --------
    >>> estimate_ability([]).level
    0.0
    >>> round(estimate_ability([Tried(0.0, 0.25, True)] * 6).level, 2)
    1.08
    """
    log_weight = -(NODES**2) / 2.0
    for each in answers:
        chance = chance_right(NODES, each.difficulty, each.guessed)
        log_weight = log_weight + np.log(chance if each.right else 1.0 - chance)
    weight = np.exp(log_weight - log_weight.max())
    weight /= weight.sum()
    level = float(weight @ NODES)
    return Ability(round(level, 12) + 0.0, float(np.sqrt(weight @ (NODES - level) ** 2)))
