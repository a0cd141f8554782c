"""Lesson plans by theme: what is aimed at, what to bring, how the hour goes, and what to look for."""

from __future__ import annotations

from dataclasses import dataclass

from scumble.errors import InputError
from scumble.paint.question.ask import THEME_WORDS, Theme


@dataclass(frozen=True, slots=True)
class LessonPlan:
    """How a lesson is given.

    Parameters
    ----------
    title, aim : str
        What it is called, and what a trainee can do afterwards.
    bring : tuple of str
        What lies ready.
    steps : tuple of str
        In the order they are taken.
    look_for : tuple of str
        What to say while looking at what was painted.
    """

    title: str
    aim: str
    bring: tuple[str, ...]
    steps: tuple[str, ...]
    look_for: tuple[str, ...]


BRING = (
    "the sheet of questions printed at 100 % for everybody, the answers for the teacher alone",
    "the tubes named on the sheet, clear medium of their binder, a flat brush, a measuring spoon, rags",
)

STEPS = (
    "Everybody foretells all questions alone, in pencil, before a tube is opened.",
    "Two and two compare and say why; nobody changes an answer.",
    "Paint the boxes with the amounts beside them. Let them dry: a wet film is not the answer.",
    "Hand the answers out. Lay the painted box beside the printed one and name the difference: lighter or darker, "
    "fuller or duller, and which way the hue is off.",
    "Everybody writes down the one answer that surprised them most, and foretells it again next week.",
)
"""*Common practice, no source.*"""

PLANS: dict[Theme, LessonPlan] = {
    Theme.UNDERTONE: LessonPlan(
        THEME_WORDS[Theme.UNDERTONE],
        "To see in a full coat the colour that thinning will bring out of it.",
        BRING,
        STEPS,
        (
            "Which masstones look alike and part when they are thinned?",
            "Towards which neighbour does the hue turn, warmer or cooler?",
            "Where does the colour stop getting fuller and only get paler?",
        ),
    ),
    Theme.COVER: LessonPlan(
        THEME_WORDS[Theme.COVER],
        "To tell a film that covers from one that is only dark, and to say how many coats it takes.",
        BRING,
        STEPS,
        (
            "Look at half a coat: a dark clear colour gives itself away there, not in a full coat.",
            "Look at the edge of the black bar, not at its middle.",
            "Does the second coat add as much as the first?",
        ),
    ),
    Theme.WHITE: LessonPlan(
        THEME_WORDS[Theme.WHITE],
        "To foretell what white does to a colour: bring it to life, make it pale, or chalk it.",
        BRING,
        STEPS,
        (
            "Which tubes get brighter before they get pale?",
            "Does the hue stay, or does it turn with the white?",
            "Measure: a strong tube needs a pin's head where a weak one needs a spoon.",
        ),
    ),
    Theme.GROUNDS: LessonPlan(
        THEME_WORDS[Theme.GROUNDS],
        "To see a thin film and its ground as one colour before the film is laid.",
        BRING,
        STEPS,
        (
            "Ask first what the film takes out of the light, then what the ground had left.",
            "Over dark: does the film sink in, or lie on it like a mist?",
            "Does the ground turn warmer or cooler, and by which of the two?",
        ),
    ),
    Theme.MIXING: LessonPlan(
        THEME_WORDS[Theme.MIXING],
        "To foretell two tubes in equal parts: which one carries the mixture, and what is left of the colour.",
        BRING,
        STEPS,
        (
            "Equal parts are seldom an equal say: which tube is the stronger?",
            "Is the mixture darker than half way between the two? It nearly always is.",
            "How much colour is left, and which of the two could be swapped to keep more of it?",
        ),
    ),
    Theme.TWO_WAYS: LessonPlan(
        THEME_WORDS[Theme.TWO_WAYS],
        "To choose between a thin film and a mixture with white when both are equally light.",
        BRING,
        STEPS,
        (
            "Hold both at the same lightness by squinting: which is the fuller?",
            "Which tubes glow when they are thinned, and which only get weak?",
            "What does each way cost: an even hand, a wait, a white ground?",
        ),
    ),
}

EVERYTHING = LessonPlan(
    "Foretell and paint",
    "To say what a film of this shelf will look like before it is laid.",
    BRING,
    STEPS,
    (
        "What does the film take out of the light?",
        "What do its grains throw back?",
        "What did the ground or the white leave it to work with?",
    ),
)


def lesson_plan(theme: str) -> LessonPlan:
    """The plan of a theme; of everything where it is empty.

    Raises
    ------
    InputError
        For an unknown theme.
    """
    if not theme:
        return EVERYTHING
    if theme not in set(Theme):
        raise InputError("theme", theme, ", ".join(each.value for each in Theme))
    return PLANS[Theme(theme)]
