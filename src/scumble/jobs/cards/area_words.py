"""What a person may say of an area, in words."""

from __future__ import annotations

from collections.abc import Sequence

from scumble.card.sheet.words import FILMS
from scumble.jobs.cards.tray import CHOICES, Choice
from scumble.paint import Reading


def choice_words(choice: Choice) -> str:
    """A choice as it is read.

    Examples
    --------
    >>> choice_words("accept"), choice_words("own thickness"), choice_words("as thin2")
    ('accept', 'of a thickness of its own', 'as very thin')
    """
    if choice == "own thickness":
        return "of a thickness of its own"
    film = choice.removeprefix("as ")
    return f"as {FILMS.get(film, film)}" if choice.startswith("as ") else choice


def choices_for(reading: Reading, readings: Sequence[Reading]) -> tuple[tuple[str, str], ...]:
    """Choices that make sense at an area, each with its words: no film on a bare ground, none that the card has not."""
    films = {each.film for each in readings if not each.is_bare and each.film != reading.film}
    return tuple(
        (choice, choice_words(choice))
        for choice in CHOICES
        if choice in ("accept", "leave out", "retake")
        or (not reading.is_bare and (choice == "own thickness" or choice.removeprefix("as ") in films))
    )
