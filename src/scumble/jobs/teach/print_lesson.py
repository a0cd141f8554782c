"""Print a lesson: how it is given, the questions with boxes to paint in, and the answers on pages of their own."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from scumble.chart.box import Box
from scumble.chart.frame import HAIR, SOFT, Frame, draw_lines, fit_words
from scumble.chart.page import page_of
from scumble.chart.painted import as_colour
from scumble.chart.patch import BLANK_DASH, Patch, draw_patch, readable_on
from scumble.chart.sheet import BLACK, Line, Rectangle, Shape, Text
from scumble.colour import lab_to_xyz, white_point, xyz_to_srgb
from scumble.errors import InputError
from scumble.jobs.charts.print_chart import Chart, open_chart
from scumble.jobs.grounds import bare_colour
from scumble.jobs.teach.lesson import Exercise, Lesson
from scumble.paint.question.question import Kind, Lab, Question, Shown
from scumble.paint.question.wrong import say_colour

QUESTION_MM, ANSWER_MM = 57.0, 38.0
"""Height of a question and of an answer on A4 [mm]."""

PAINT_MM = (46.0, 30.0)
"""Box to paint in, the same on every page [mm]: what is painted can be laid beside the answer."""

LETTERS = "abcd"

NOTE = (
    "Colours are computed from the tubes' optics for daylight (D65). Tick what you foretell before you paint."
)
ANSWER_NOTE = "For the teacher. The box is as large as that of the questions: lay the painted one beside it."


def print_lesson(lesson: Lesson, *, page: str = "A4") -> Chart:
    """Draw a lesson.

    Parameters
    ----------
    lesson : Lesson
        From :func:`scumble.jobs.teach.lesson.make_lesson`.
    page : str
        Size of paper.

    Raises
    ------
    InputError
        For an unknown page, or one too small.
    """
    paper = page_of(page)
    subtitle = f"{_say_count(lesson)} · seed {lesson.seed}: the same shelf prints the same sheet again"
    asks = Frame(paper, lesson.plan.title, subtitle, (NOTE,))
    tells = Frame(paper, f"{lesson.plan.title}: answers", subtitle, (ANSWER_NOTE,))
    asks, legend = open_chart(asks, blank=False)
    tells, _ = open_chart(tells, blank=False)
    if asks.inner.width_mm < 160.0 or asks.inner.height_mm < QUESTION_MM * asks.scale:
        raise InputError(
            "page", page, "a page of A4 upright or more", "The boxes to paint in keep their size."
        )
    plan = _draw_plan(asks, lesson)
    questions = _in_pages(asks, lesson.exercises, QUESTION_MM * asks.scale, _draw_question)
    answers = _in_pages(tells, lesson.exercises, ANSWER_MM * tells.scale, _draw_answer)
    count = 1 + len(questions) + len(answers)
    sheets = [asks.draw(plan, number=1, count=count)]
    sheets += [
        asks.draw((*shapes, *_draw_name(asks), *legend), number=2 + at, count=count)
        for at, shapes in enumerate(questions)
    ]
    sheets += [
        tells.draw((*shapes, *legend), number=2 + len(questions) + at, count=count)
        for at, shapes in enumerate(answers)
    ]
    subject = (
        f"Lesson: {lesson.plan.title.lower()}, {_say_count(lesson)} with boxes to paint in, and answers."
    )
    told = {
        "theme": lesson.theme,
        "seed": lesson.seed,
        "questions": [str(each.asked) for each in lesson.exercises],
        "right": [LETTERS[each.question.right] for each in lesson.exercises],
        "tubes": list(lesson.tubes),
        "answers_from_page": 2 + len(questions),
    }
    return Chart("lesson", lesson.plan.title, subject, paper, tuple(sheets), told)


def _say_count(lesson: Lesson) -> str:
    count = len(lesson.exercises)
    return "one question" if count == 1 else f"{count} questions"


def _draw_name(frame: Frame) -> list[Shape]:
    """A line for a name, at the right of the heading."""
    size, right = 2.7 * frame.scale, frame.inner.right_mm
    base = frame.margin_mm + 5.4 * frame.scale
    left = right - PAINT_MM[0]
    return [
        Text(left, base, "Name", size, fill=SOFT),
        Line(((left + 10.0 * frame.scale, base + 0.6), (right, base + 0.6)), HAIR, 0.2),
    ]


Draw = Callable[[Frame, Box, Exercise, int], list[Shape]]


def _in_pages(
    frame: Frame, exercises: tuple[Exercise, ...], tall_mm: float, draw: Draw
) -> list[tuple[Shape, ...]]:
    """Blocks of one height, as many on a page as there is room for."""
    inner = frame.inner
    most = max(int(inner.height_mm // tall_mm), 1)
    pages: list[tuple[Shape, ...]] = []
    for first in range(0, len(exercises), most):
        shapes: list[Shape] = []
        for at, each in enumerate(exercises[first : first + most]):
            box = Box(inner.x_mm, inner.y_mm + at * tall_mm, inner.width_mm, tall_mm)
            shapes += draw(frame, box, each, first + at + 1)
        pages.append(tuple(shapes))
    return pages


def _draw_plan(frame: Frame, lesson: Lesson) -> tuple[Shape, ...]:
    """How the lesson is given, on its first page."""
    inner, size = frame.inner, 3.1 * frame.scale
    shapes: list[Shape] = []
    y = inner.y_mm
    parts = (
        ("Aim", (lesson.plan.aim,)),
        ("Bring", (*lesson.plan.bring, f"tubes: {', '.join(lesson.tubes)}")),
        ("How it goes", tuple(f"{at}. {step}" for at, step in enumerate(lesson.plan.steps, 1))),
        ("What to look for", lesson.plan.look_for),
        ("Care", lesson.cautions),
    )
    for heading, sentences in parts:
        shapes.append(Text(inner.x_mm, y + 4.2 * frame.scale, heading, 4.0 * frame.scale, "bold"))
        y += 6.4 * frame.scale
        for sentence in sentences:
            body = 0.88 * size if heading == "Care" else size
            lines, y = draw_lines(sentence, Box(inner.x_mm, y, inner.width_mm, 0.0), size_mm=body)
            shapes += lines
            y += 0.9 * frame.scale
        y += 3.2 * frame.scale
    if y > frame.page.height_mm - frame.margin_mm:
        raise InputError("page", frame.page.name, "a larger page")
    return tuple(shapes)


def patch_of(lab: Lab, words: str = "") -> Patch:
    """A swatch as it is printed, marked where the paint is fuller than that."""
    srgb, inside = xyz_to_srgb(lab_to_xyz(np.array(lab), white_point("D65", 2)))
    return Patch(as_colour(srgb), words, beyond=not bool(inside))


def _rule(box: Box) -> Line:
    return Line(((box.x_mm, box.y_mm), (box.right_mm, box.y_mm)), HAIR, 0.2)


def _draw_question(frame: Frame, box: Box, each: Exercise, number: int) -> list[Shape]:
    scale, size = frame.scale, 3.1 * frame.scale
    wide = box.width_mm - PAINT_MM[0] - 8.0
    top = box.y_mm + 2.0 * scale
    shapes: list[Shape] = [_rule(box)]
    lines, y = draw_lines(
        f"{number}. {each.question.asks}", Box(box.x_mm, top, wide, 0.0), size_mm=size, face="bold", most=3
    )
    shapes += lines
    y += 1.5 * scale
    shapes += _draw_given(each.question.given, Box(box.x_mm, y, wide, 11.0 * scale), 2.3 * scale)
    y += 16.0 * scale
    shapes += _draw_choices(each.question, Box(box.x_mm, y, wide, box.bottom_mm - y - 3.0 * scale), scale)
    return shapes + _draw_paint_box(each, Box(box.right_mm - PAINT_MM[0], top, *PAINT_MM), scale)


def _draw_given(given: tuple[Shown, ...], box: Box, size: float) -> list[Shape]:
    """What is known: swatches side by side with their words under them."""
    each_wide = min(box.width_mm / len(given), 52.0)
    shapes: list[Shape] = []
    for at, shown in enumerate(given):
        own = Box(box.x_mm + at * each_wide, box.y_mm, each_wide - 1.5, box.height_mm)
        shapes += draw_patch(own, patch_of(shown.lab))
        words = fit_words(shown.words, width_mm=own.width_mm, size_mm=size)
        shapes.append(Text(own.x_mm, own.bottom_mm + 1.25 * size, words, size, fill=SOFT))
    return shapes


def _draw_choices(question: Question, box: Box, scale: float) -> list[Shape]:
    """Swatches or words, each with a letter and a square to tick."""
    shapes: list[Shape] = []
    size, tick = 2.7 * scale, 3.2 * scale
    each_wide = box.width_mm / len(question.choices) if question.wanted is not None else box.width_mm / 2.0
    for at, choice in enumerate(question.choices):
        if choice.lab is not None:
            own = Box(box.x_mm + at * each_wide, box.y_mm, each_wide - 1.5, 11.0 * scale)
            shapes += draw_patch(own, patch_of(choice.lab))
            left, base = own.x_mm, own.bottom_mm + 4.2 * scale
        else:
            left = box.x_mm + (at % 2) * each_wide
            base = box.y_mm + 4.0 * scale + (at // 2) * 6.0 * scale
        shapes.append(Rectangle(left, base - 0.8 * tick, tick, tick, stroke=BLACK, line_mm=0.2))
        words = f"{LETTERS[at]}" if choice.lab is not None else f"{LETTERS[at]}  {choice.words}"
        words = fit_words(words, width_mm=each_wide - tick - 3.0, size_mm=size)
        shapes.append(Text(left + tick + 1.4 * scale, base + 0.05 * tick, words, size))
    return shapes


def _draw_paint_box(each: Exercise, box: Box, scale: float) -> list[Shape]:
    """The box to paint in, on its ground, and what to stir."""
    size = 2.3 * scale
    shapes: list[Shape] = [*_draw_ground(each.question, box)]
    ink = SOFT if _is_pale(each.question) else readable_on(as_colour(bare_colour(_ground_of(each.question))))
    shapes.append(Text(box.x_mm + 1.2, box.y_mm + 1.3 * size, "paint it here", size, fill=ink))
    lines, _ = draw_lines(
        each.paint_it,
        Box(box.x_mm, box.bottom_mm + 1.2 * scale, box.width_mm, 0.0),
        size_mm=size,
        fill=SOFT,
        most=6,
    )
    return shapes + list(lines)


def _ground_of(question: Question) -> str:
    return "white" if question.laid is None else question.laid.ground


def _is_pale(question: Question) -> bool:
    return _ground_of(question) in ("white", "black")


def _draw_ground(question: Question, box: Box) -> list[Shape]:
    """Bare paper, a black half, or a printed ground."""
    name = _ground_of(question)
    shapes: list[Shape] = []
    if name == "black":
        half = box.inside(box.width_mm / 2.0, 0.0, box.width_mm / 2.0, box.height_mm)
        shapes.append(half.drawn(fill=as_colour(bare_colour("black"))))
    elif name != "white":
        shapes.append(box.drawn(fill=as_colour(bare_colour(name))))
    shapes.append(Line((*box.ring, box.ring[0]), SOFT, 0.15, dash_mm=BLANK_DASH))
    return shapes


def _draw_answer(frame: Frame, box: Box, each: Exercise, number: int) -> list[Shape]:
    question, scale = each.question, frame.scale
    wide, size = box.width_mm - PAINT_MM[0] - 8.0, 2.8 * scale
    top = box.y_mm + 2.0 * scale
    right = question.choices[question.right]
    shapes: list[Shape] = [_rule(box)]
    y = top
    heading, y = draw_lines(
        f"{number}. {LETTERS[question.right]}: {right.words}",
        Box(box.x_mm, y, wide, 0.0),
        size_mm=1.1 * size,
        face="bold",
        most=2,
    )
    shapes += heading
    for words, body, fill in (
        (question.why, size, BLACK),
        (f"{question.number}. {question.meaning}", 0.82 * size, SOFT),
    ):
        lines, y = draw_lines(
            words, Box(box.x_mm, y + 0.8 * scale, wide, 0.0), size_mm=body, fill=fill, most=4
        )
        shapes += lines
    return shapes + _draw_painted(question, Box(box.right_mm - PAINT_MM[0], top, *PAINT_MM), scale)


def _draw_painted(question: Question, box: Box, scale: float) -> list[Shape]:
    """The film as it is predicted, in a box as large as that to paint in."""
    both = _ground_of(question) == "black" or question.kind in IN_HALVES
    painted = question.painted[-2:] if both else question.painted[-1:]
    shapes: list[Shape] = []
    for own, shown in zip(_parts_of(box, question, len(painted)), painted, strict=True):
        shapes += draw_patch(own, patch_of(shown.lab))
    named = [f"{shown.words}, {say_colour(shown.lab)}" for shown in painted]
    words = named[0] if len(named) == 1 else " | ".join(shown.words for shown in painted)
    lines, _ = draw_lines(
        words,
        Box(box.x_mm, box.bottom_mm + 0.6 * scale, box.width_mm, 0.0),
        size_mm=2.0 * scale,
        fill=SOFT,
        most=2,
    )
    return shapes + list(lines)


def _parts_of(box: Box, question: Question, count: int) -> list[Box]:
    """The box whole, in a left and a right half, or in an upper and a lower one where two tubes are compared."""
    if question.kind in (Kind.COVERS_BETTER, Kind.PULLS_WHITE):
        tall = box.height_mm / count
        return [box.inside(0.0, at * tall, box.width_mm, tall) for at in range(count)]
    wide = box.width_mm / count
    return [box.inside(at * wide, 0.0, wide, box.height_mm) for at in range(count)]


IN_HALVES = frozenset({Kind.TWO_WAYS, Kind.COVERS_BETTER, Kind.PULLS_WHITE})
"""Kinds whose answer is two films."""
