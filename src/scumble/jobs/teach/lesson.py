"""A lesson made from the shelf: its questions, the films to paint with their amounts, and the cautions."""

from __future__ import annotations

from dataclasses import dataclass

from scumble.errors import InputError
from scumble.jobs.teach.asked import MOST_SEED, Asked
from scumble.jobs.teach.desk import QuestionDesk, desk_of
from scumble.jobs.teach.lesson_plan import LessonPlan, lesson_plan
from scumble.jobs.teach.practice import next_asked
from scumble.jobs.teach.round_page import NOTHING_LEFT
from scumble.jobs.teach.round_query import kinds_of
from scumble.paint.caution import ALWAYS, pigment_cautions
from scumble.paint.covering import MOST_COATS
from scumble.paint.question.question import Kind, Laid, Question
from scumble.store.shelf import Shelf

MOST_QUESTIONS = 24


@dataclass(frozen=True, slots=True)
class Exercise:
    """One question with the film to paint.

    Parameters
    ----------
    asked : Asked
        Its name.
    question : Question
        What is asked.
    paint_it : str
        What to stir and how to lay it, empty where there is nothing to paint.
    """

    asked: Asked
    question: Question
    paint_it: str


@dataclass(frozen=True, slots=True)
class Lesson:
    """A lesson.

    Parameters
    ----------
    theme : str
        What it is about; everything when empty.
    seed : int
        From which the same shelf makes it again.
    plan : LessonPlan
        How it is given.
    exercises : tuple of Exercise
        Its questions.
    tubes : tuple of str
        Labels of the tubes to bring.
    cautions : tuple of str
        Of their pigments, and what is always said.
    """

    theme: str
    seed: int
    plan: LessonPlan
    exercises: tuple[Exercise, ...]
    tubes: tuple[str, ...]
    cautions: tuple[str, ...]


def make_lesson(shelf: Shelf, *, theme: str = "", seed: int = 1, count: int = 6) -> Lesson:
    """Make a lesson; the same shelf and seed make the same one.

    Parameters
    ----------
    shelf : Shelf
        Open.
    theme : str
        What it is about; everything when empty.
    seed : int
        Decides which tubes and questions.
    count : int
        Questions, 1 to :data:`MOST_QUESTIONS`; fewer where the shelf has no more.

    Raises
    ------
    InputError
        For an unknown theme, another count, or a shelf that has nothing to ask.
    """
    if not 1 <= count <= MOST_QUESTIONS:
        raise InputError("count", count, f"1 to {MOST_QUESTIONS} questions")
    if not 0 <= seed <= MOST_SEED:
        raise InputError("seed", seed, f"a whole number from 0 to {MOST_SEED}")
    plan, kinds, desk = lesson_plan(theme), kinds_of(theme), desk_of(shelf)
    had: list[Asked] = []
    while len(had) < count:
        asked = next_asked(desk, kinds, seed=seed, had=had)
        if asked is None:
            break
        had.append(asked)
    if not had:
        raise InputError("shelf", f"{len(desk.keys)} tubes", "a shelf with something to ask", NOTHING_LEFT)
    exercises = tuple(_exercise(desk, asked) for asked in had)
    keys = list(
        dict.fromkeys(
            key for each in exercises for key in (*each.question.paints, *_laid_keys(each.question))
        )
    )
    return Lesson(
        theme=theme,
        seed=seed,
        plan=plan,
        exercises=exercises,
        tubes=tuple(desk.label(key) for key in keys),
        cautions=(
            *dict.fromkeys(said for key in keys for said in pigment_cautions(desk.entry(key).pigments)),
            *ALWAYS,
        ),
    )


def _laid_keys(question: Question) -> tuple[str, ...]:
    return () if question.laid is None else tuple(key for key, _ in question.laid.parts)


def _exercise(desk: QuestionDesk, asked: Asked) -> Exercise:
    question = desk.question(asked)
    assert question is not None
    return Exercise(asked, question, _say_task(desk, question))


def _say_task(desk: QuestionDesk, question: Question) -> str:
    """What to paint, told so that it does not give the answer away."""
    laid = question.laid
    if laid is None:
        return ""
    if question.kind is Kind.COATS:
        return "One full stroke after the other, each dry before the next, until the bar is gone: count them."
    if question.kind is Kind.TWO_WAYS:
        return f"Left half: {say_film(desk, laid)} Right half: with white stirred in until it covers and is as light."
    if question.kind in (Kind.COVERS_BETTER, Kind.PULLS_WHITE):
        upper, lower = (choice.words for choice in question.choices)
        beside = [f"1 part to {amount:g} of {desk.label(key)}" for key, amount in laid.parts[1:]]
        how = ", ".join([*beside, say_how(laid.coats)])
        return f"Upper half {upper}, lower half {lower}, each alike: {how}{_say_where(laid.ground)}."
    return say_film(desk, laid)


def say_film(desk: QuestionDesk, laid: Laid) -> str:
    """What to stir and how to lay it, as a hand can measure it."""
    named = [(desk.label(key), amount) for key, amount in laid.parts]
    stirred = " and ".join(
        f"{amount:g} part{'s' * (amount != 1)} {label}" if len(named) > 1 else label
        for label, amount in named
    )
    return f"{stirred}, {say_how(laid.coats)}{_say_where(laid.ground)}."


def say_how(coats: float) -> str:
    """How a film of some coats is laid.

    Examples
    --------
    >>> say_how(1.0), say_how(8.0), say_how(3.0)
    ('one full stroke', 'thick, until nothing shows through', '3 full strokes, each dry before the next')
    >>> say_how(0.25), say_how(0.5)
    ('1 part to 3 parts of clear medium, one full stroke', '1 part to 1 part of clear medium, one full stroke')
    """
    if coats >= MOST_COATS:
        return "thick, until nothing shows through"
    if coats > 1.0:
        return f"{coats:g} full strokes, each dry before the next"
    if coats == 1.0:
        return "one full stroke"
    medium = 1.0 / coats - 1.0
    parts = round(medium, 1 if medium < 5.0 else None)
    return f"1 part to {parts:g} part{'s' * (parts != 1)} of clear medium, one full stroke"


def _say_where(ground: str) -> str:
    return ", across white and black" if ground == "black" else f", over {ground}"
