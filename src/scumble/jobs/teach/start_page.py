"""Where a round begins: who answers, what about, and how many tubes there are to ask about."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime

from scumble.jobs.teach.desk import desk_of
from scumble.jobs.teach.keep import past_of
from scumble.jobs.teach.practice import boxes_of
from scumble.paint.question.ask import THEME_KINDS, THEME_WORDS, Theme
from scumble.paint.question.question import KIND_WORDS
from scumble.store.shelf import Shelf
from scumble.store.trainee import Trainee

THEME_SAYS: dict[Theme, str] = {
    Theme.UNDERTONE: "What hides in a full coat, and what thinning brings out.",
    Theme.COVER: "Which tubes cover, which let the ground through, and in how many coats.",
    Theme.WHITE: "Brighter or duller with white, and how far a tube carries it.",
    Theme.GROUNDS: "One film over yellow, red, green, blue or black.",
    Theme.MIXING: "Two tubes in equal parts.",
    Theme.TWO_WAYS: "The same lightness thinned over white, or mixed with it.",
}


@dataclass(frozen=True, slots=True)
class ThemeChoice:
    """A theme to choose.

    Parameters
    ----------
    name, words, says : str
        For the address, its name, and what it is about.
    kinds : tuple of str
        What it asks.
    """

    name: str
    words: str
    says: str
    kinds: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class StartPage:
    """Where a round begins.

    Parameters
    ----------
    themes : tuple of ThemeChoice
        What it can be about.
    tubes : int
        Tubes on the shelf.
    trainees : tuple of (Trainee, int)
        Who learns here, each with how many things are due again.
    who : int
        Number of the one who is chosen, 0 for nobody.
    """

    themes: tuple[ThemeChoice, ...]
    tubes: int
    trainees: tuple[tuple[Trainee, int], ...]
    who: int


def show_start(shelf: Shelf, *, who: int = 0) -> StartPage:
    """What a round can be about, and who can answer.

    Parameters
    ----------
    shelf : Shelf
        Open.
    who : int
        Number of the trainee who is chosen.
    """
    themes = tuple(
        ThemeChoice(
            theme.value,
            THEME_WORDS[theme],
            THEME_SAYS[theme],
            tuple(KIND_WORDS[kind] for kind in THEME_KINDS[theme]),
        )
        for theme in Theme
    )
    several, now = shelf.trainees.load_answers(), datetime.now(UTC)
    trainees = tuple(
        (each, sum(boxed.due <= now for boxed in boxes_of(past_of(several.get(each.number, ()))).values()))
        for each in shelf.trainees.load_all()
    )
    known = who if who in {each.number for each, _ in trainees} else 0
    return StartPage(themes, len(desk_of(shelf).keys), trainees, known)
