"""A question about paint: what is asked, what can be answered, what is true, and what is painted to show it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

Lab = tuple[float, float, float]


class Kind(StrEnum):
    """What a question is about."""

    COVER = "cover"
    COVERS_BETTER = "covers-better"
    COATS = "coats"
    TRANSPARENCY = "transparency"
    UNDERTONE = "undertone"
    THINNING = "thinning"
    WITH_WHITE = "with-white"
    LITTLE_WHITE = "little-white"
    PULLS_WHITE = "pulls-white"
    OVER_GROUND = "over-ground"
    WARMER = "warmer"
    LIGHTER = "lighter"
    MIXING = "mixing"
    TWO_WAYS = "two-ways"


KIND_WORDS: dict[Kind, str] = {
    Kind.COVER: "Does one coat cover black",
    Kind.COVERS_BETTER: "Which of two covers better",
    Kind.COATS: "How many coats to hide",
    Kind.TRANSPARENCY: "Transparent or opaque",
    Kind.UNDERTONE: "The undertone in a masstone",
    Kind.THINNING: "What thinning does",
    Kind.WITH_WHITE: "Brighter or duller with white",
    Kind.LITTLE_WHITE: "The colour with white",
    Kind.PULLS_WHITE: "Which of two pulls more white",
    Kind.OVER_GROUND: "A glaze over a ground",
    Kind.WARMER: "Warmer or cooler over a ground",
    Kind.LIGHTER: "Lighter or darker over a ground",
    Kind.MIXING: "Two tubes mixed",
    Kind.TWO_WAYS: "Glazed or covered, which is brighter",
}

EASIEST, HARDEST = -2.0, 1.5
"""Difficulties of the question with the widest and with the narrowest margin [logit]. Scumble's own."""


@dataclass(frozen=True, slots=True)
class Choice:
    """One answer that can be given.

    Parameters
    ----------
    words : str
        What it says; of a swatch its colour in plain words.
    lab : tuple of float, optional
        CIELAB of a swatch (D65, 2 degrees).
    slip : str
        What somebody has in mind who takes it though it is wrong; empty for the right one.
    """

    words: str
    lab: Lab | None = None
    slip: str = ""


@dataclass(frozen=True, slots=True)
class Shown:
    """A swatch with its words.

    Parameters
    ----------
    words : str
        What was painted.
    lab : tuple of float
        CIELAB (D65, 2 degrees).
    """

    words: str
    lab: Lab


@dataclass(frozen=True, slots=True)
class Laid:
    """A film on a ground, to be looked at elsewhere.

    Parameters
    ----------
    ground : str
        Its name.
    parts : tuple of (str, float)
        Keys of the paints and parts by volume; the one asked about first.
    coats : float [coat]
        Thickness.
    """

    ground: str
    parts: tuple[tuple[str, float], ...]
    coats: float


@dataclass(frozen=True, slots=True)
class Question:
    """A question with its truth.

    Parameters
    ----------
    kind : Kind
        What it is about.
    paints : tuple of str
        Keys of the tubes in it, the one asked about first.
    asks : str
        The question.
    given : tuple of Shown
        What is seen before answering.
    choices : tuple of Choice
        What can be answered.
    right : int
        Place of the right one, from 0.
    margin : float [1]
        How far the truth is from being open, 1 where it is only just asked.
    why : str
        One sentence, in a painter's words.
    number, meaning : str
        The figure behind it with its interval, and how it is meant.
    painted : tuple of Shown
        What is shown afterwards.
    laid : Laid, optional
        The film that was painted.
    wanted : tuple of float, optional
        Colour to be pointed out where that can be asked instead.
    interval_de00 : float [dE00]
        The true colour lies within this distance of it 19 times out of 20.
    """

    kind: Kind
    paints: tuple[str, ...]
    asks: str
    given: tuple[Shown, ...]
    choices: tuple[Choice, ...]
    right: int
    margin: float
    why: str
    number: str
    meaning: str
    painted: tuple[Shown, ...]
    laid: Laid | None = None
    wanted: Lab | None = None
    interval_de00: float = 0.0

    @property
    def difficulty(self) -> float:
        """How hard it is taken to be [logit]: half the margin is one step harder."""
        return float(np.clip(HARDEST - np.log2(max(self.margin, 1.0)), EASIEST, HARDEST))

    @property
    def guessed(self) -> float:
        """Share that is right by guessing [1]."""
        return 1.0 / len(self.choices)


def plain_lab(lab: object) -> Lab:
    """A colour as three plain numbers, to a hundredth.

    Examples
    --------
    >>> plain_lab(np.array([50.0, 1.234, -2.0]))
    (50.0, 1.23, -2.0)
    """
    lightness, a, b = np.asarray(lab, dtype=np.float64).round(2).tolist()
    return lightness, a, b
