"""Every kind of question by its name, and the themes that lessons gather them in."""

from __future__ import annotations

from collections.abc import Callable
from enum import StrEnum

from scumble.paint.question.about_cover import ask_coats, ask_cover, ask_covers_better, ask_transparency
from scumble.paint.question.about_ground import ask_lighter, ask_over_ground, ask_warmer
from scumble.paint.question.about_mixing import ask_mixing, ask_two_ways
from scumble.paint.question.about_undertone import ask_thinning, ask_undertone
from scumble.paint.question.about_white import ask_little_white, ask_pulls_white, ask_with_white
from scumble.paint.question.question import Kind, Question
from scumble.paint.question.tray import Tray

ASK: dict[Kind, Callable[[Tray], Question | None]] = {
    Kind.COVER: ask_cover,
    Kind.COVERS_BETTER: ask_covers_better,
    Kind.COATS: ask_coats,
    Kind.TRANSPARENCY: ask_transparency,
    Kind.UNDERTONE: ask_undertone,
    Kind.THINNING: ask_thinning,
    Kind.WITH_WHITE: ask_with_white,
    Kind.LITTLE_WHITE: ask_little_white,
    Kind.PULLS_WHITE: ask_pulls_white,
    Kind.OVER_GROUND: ask_over_ground,
    Kind.WARMER: ask_warmer,
    Kind.LIGHTER: ask_lighter,
    Kind.MIXING: ask_mixing,
    Kind.TWO_WAYS: ask_two_ways,
}
"""What makes a question of each kind; it answers None where the tubes or the interval leave nothing to ask."""


class Theme(StrEnum):
    """What a lesson is about."""

    UNDERTONE = "undertone"
    COVER = "cover"
    WHITE = "white"
    GROUNDS = "grounds"
    MIXING = "mixing"
    TWO_WAYS = "two-ways"


THEME_KINDS: dict[Theme, tuple[Kind, ...]] = {
    Theme.UNDERTONE: (Kind.UNDERTONE, Kind.THINNING),
    Theme.COVER: (Kind.COVER, Kind.COVERS_BETTER, Kind.TRANSPARENCY, Kind.COATS),
    Theme.WHITE: (Kind.WITH_WHITE, Kind.LITTLE_WHITE, Kind.PULLS_WHITE),
    Theme.GROUNDS: (Kind.OVER_GROUND, Kind.WARMER, Kind.LIGHTER),
    Theme.MIXING: (Kind.MIXING,),
    Theme.TWO_WAYS: (Kind.TWO_WAYS,),
}
"""Kinds of question by theme."""

THEME_WORDS: dict[Theme, str] = {
    Theme.UNDERTONE: "Masstone and undertone",
    Theme.COVER: "Transparency and hiding",
    Theme.WHITE: "Into white",
    Theme.GROUNDS: "Over grounds",
    Theme.MIXING: "Mixing",
    Theme.TWO_WAYS: "Glaze or cover",
}


def ask_question(kind: Kind, tray: Tray) -> Question | None:
    """Make a question.

    Parameters
    ----------
    kind : Kind
        What it shall be about.
    tray : Tray
        What it is made from; the same tray with the same random numbers makes the same question.

    Returns
    -------
    Question or None
        None where these tubes leave nothing to ask, or the prediction's interval leaves the answer open.
    """
    return ASK[kind](tray)
