"""Where a round begins: themes, what each asks, and how many tubes there are to ask about."""

from __future__ import annotations

from dataclasses import dataclass

from scumble.jobs.teach.desk import desk_of
from scumble.paint.question.ask import THEME_KINDS, THEME_WORDS, Theme
from scumble.paint.question.question import KIND_WORDS
from scumble.store.shelf import Shelf

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
    """

    themes: tuple[ThemeChoice, ...]
    tubes: int


def show_start(shelf: Shelf) -> StartPage:
    """What a round can be about.

    Parameters
    ----------
    shelf : Shelf
        Open.
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
    return StartPage(themes, len(desk_of(shelf).keys))
