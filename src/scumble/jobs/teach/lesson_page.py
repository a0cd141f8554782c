"""A lesson as pages and commands ask for it: looked through, printed, or made into a file."""

from __future__ import annotations

import secrets
from dataclasses import dataclass
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

from pydantic import BaseModel, Field

from scumble.jobs.charts.print_chart import chart_pdf, check_format, save_chart
from scumble.jobs.files import shelf_path
from scumble.jobs.teach.asked import MOST_SEED
from scumble.jobs.teach.lesson import MOST_QUESTIONS, Lesson, make_lesson
from scumble.jobs.teach.print_lesson import LETTERS, print_lesson
from scumble.jobs.teach.round_query import RoundQuery
from scumble.store.shelf import Shelf, open_shelf


class LessonQuery(BaseModel):
    """What a lesson shall be."""

    theme: str = Field(default="", max_length=20, description="what it is about; everything when empty")
    seed: int = Field(
        default=-1, ge=-1, le=MOST_SEED, description="the same makes the same lesson; -1 takes one by chance"
    )
    count: int = Field(default=6, ge=1, le=MOST_QUESTIONS, description="how many questions")
    page: str = Field(default="A4", max_length=30, description="size of paper")

    def with_seed(self) -> str:
        """The query of its address, with a seed by chance where it has none."""
        seed = self.seed if self.seed >= 0 else secrets.randbelow(MOST_SEED + 1)
        return urlencode({**self.model_dump(), "seed": seed})


@dataclass(frozen=True, slots=True)
class LessonTask:
    """One question of a lesson as its page lists it.

    Parameters
    ----------
    asks, paint_it : str
        The question, and what to paint.
    answer, why : str
        The right answer with its letter, and the sentence that goes with it.
    address : str
        Where it can be tried, nothing kept.
    """

    asks: str
    paint_it: str
    answer: str
    why: str
    address: str


@dataclass(frozen=True, slots=True)
class LessonPage:
    """A lesson to look through.

    Parameters
    ----------
    query : LessonQuery
        As it was asked for.
    lesson : Lesson
        How it is given.
    tasks : tuple of LessonTask
        Its questions.
    file, another : str
        Addresses of its PDF, and of another lesson of the kind.
    """

    query: LessonQuery
    lesson: Lesson
    tasks: tuple[LessonTask, ...]
    file: str
    another: str


def show_lesson(shelf: Shelf, query: LessonQuery) -> LessonPage:
    """A lesson to look through.

    Raises
    ------
    InputError
        For an unknown theme, or a shelf that has nothing to ask.
    """
    lesson = _made(shelf, query)
    tasks = tuple(
        LessonTask(
            asks=each.question.asks,
            paint_it=each.paint_it,
            answer=f"{LETTERS[each.question.right]}: {each.question.choices[each.question.right].words}",
            why=each.question.why,
            address=RoundQuery(seed=lesson.seed, of=1, round="0").address(ask=str(each.asked)),
        )
        for each in lesson.exercises
    )
    another = urlencode(query.model_copy(update={"seed": -1}).model_dump())
    file = f"/teach/lesson.pdf?{urlencode(query.model_dump())}"
    return LessonPage(query, lesson, tasks, file, f"/teach/lesson?{another}")


def lesson_pdf(shelf: Shelf, query: LessonQuery) -> tuple[bytes, str]:
    """A lesson as PDF, and a name for the file.

    Raises
    ------
    InputError
        For an unknown theme or page, or a shelf that has nothing to ask.
    """
    lesson = _made(shelf, query)
    return chart_pdf(print_lesson(lesson, page=query.page)), lesson_name(lesson)


def lesson_to_file(query: LessonQuery, shelf: Path | None, out: Path | None) -> dict[str, Any]:
    """Make a lesson and write it.

    Parameters
    ----------
    query : LessonQuery
        What it shall be.
    shelf : Path, optional
        The shelf's file; the person's own by default.
    out : Path, optional
        PDF or SVG; a PDF with a name of its own by default.

    Returns
    -------
    dict
        What was drawn, and the ``files`` written.

    Raises
    ------
    InputError, StoreError
        For anything that cannot be made, read or written.
    """
    if out is not None:
        check_format(out)
    with open_shelf(shelf_path(shelf)) as opened:
        lesson = _made(opened, query)
    chart = print_lesson(lesson, page=query.page)
    files = save_chart(chart, out or Path(lesson_name(lesson)))
    return {**chart.as_data(), "files": [str(file) for file in files]}


def lesson_name(lesson: Lesson) -> str:
    """Name of a lesson's file."""
    return f"lesson-{lesson.theme or 'everything'}-{lesson.seed}.pdf"


def _made(shelf: Shelf, query: LessonQuery) -> Lesson:
    seed = query.seed if query.seed >= 0 else secrets.randbelow(MOST_SEED + 1)
    return make_lesson(shelf, theme=query.theme, seed=seed, count=query.count)
