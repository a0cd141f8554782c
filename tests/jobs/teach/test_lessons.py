"""Lessons on paper: the same bytes for the same seed, true to scale, answers apart, and no task that gives one away."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest
from tests.jobs.printed import bounds, colour_at, dark_run_mm, fonts_embedded, page_sizes_mm, render, words_of
from tests.jobs.shelves import illustrative_shelf

from scumble.errors import InputError
from scumble.jobs.charts.print_chart import chart_pdf
from scumble.jobs.teach.lesson import make_lesson, say_how
from scumble.jobs.teach.lesson_plan import PLANS, lesson_plan
from scumble.jobs.teach.print_lesson import LETTERS, PAINT_MM, print_lesson
from scumble.paint.caution import ALWAYS
from scumble.paint.question.ask import Theme
from scumble.paint.question.question import Kind
from scumble.store.shelf import Shelf, open_shelf


@pytest.fixture(scope="module")
def shelf(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shelf]:
    with open_shelf(illustrative_shelf(tmp_path_factory.mktemp("lesson") / "shelf.sqlite")) as opened:
        yield opened


@pytest.mark.parametrize("theme", ["", *Theme])
def test_every_theme_has_a_lesson(shelf: Shelf, theme: str) -> None:
    lesson = make_lesson(shelf, theme=theme, seed=4, count=3)
    assert 1 <= len(lesson.exercises) <= 3
    assert lesson.cautions[-len(ALWAYS) :] == ALWAYS
    chart = print_lesson(lesson)
    for sheet in chart.sheets:
        left, right, top, bottom = bounds(sheet)
        assert left >= 0.0 and right <= 210.0 and top >= 0.0 and bottom <= 297.0
    assert chart.told["answers_from_page"] <= len(chart.sheets)


def test_the_same_seed_prints_the_same_bytes_and_another_others(shelf: Shelf) -> None:
    first, again, other = (
        chart_pdf(print_lesson(make_lesson(shelf, seed=seed, count=3))) for seed in (7, 7, 8)
    )
    assert first == again != other


def test_answers_stand_on_pages_of_their_own(shelf: Shelf) -> None:
    lesson = make_lesson(shelf, theme="mixing", seed=4, count=6)
    chart = print_lesson(lesson)
    content, answers = chart_pdf(chart), chart.told["answers_from_page"]
    assert all(fonts_embedded(content))
    assert page_sizes_mm(content)[0] == pytest.approx((210.0, 297.0), abs=0.1)
    asked = "".join(words_of(content, page) for page in range(answers - 1))
    told = "".join(words_of(content, page) for page in range(answers - 1, len(chart.sheets)))
    for each in lesson.exercises:
        assert each.question.why.split()[0] in told
        assert each.question.number.split(",")[0] not in asked
    assert "answers" in words_of(content, answers - 1) and "50 mm" in asked
    for number, right in enumerate(chart.told["right"], 1):
        assert f"{number}. {right}:" in told


def test_the_box_to_paint_in_is_as_large_as_the_answer(shelf: Shelf) -> None:
    """46 x 30 mm on every page: the right ends of the answers' swatches, measured on the picture of the page."""
    lesson = make_lesson(shelf, theme="white", seed=4, count=4)
    chart = print_lesson(lesson)
    content = chart_pdf(chart)
    page = render(content, chart.told["answers_from_page"] - 1)
    right, top = 210.0 - 12.0, 28.5 + 2.0
    x = right - PAINT_MM[0] / 2.0
    inside = colour_at(page, x, top + PAINT_MM[1] - 1.0)
    assert np.abs(inside - colour_at(page, x, top + 2.0)).max() < 0.02
    assert colour_at(page, right - PAINT_MM[0] + 1.0, top + 5.0) == pytest.approx(inside, abs=0.02)
    assert colour_at(page, right - PAINT_MM[0] - 1.0, top + 5.0).min() > 0.98
    assert dark_run_mm(page, 297.0 - 12.0, 12.0, 62.5) == pytest.approx(50.0, abs=0.4)


def test_no_task_tells_the_answer(shelf: Shelf) -> None:
    for seed in range(2):
        for each in make_lesson(shelf, theme="cover", seed=seed, count=5).exercises:
            question = each.question
            if question.kind is Kind.COATS:
                assert "count them" in each.paint_it
            if question.kind is Kind.COVERS_BETTER:
                upper, lower = (choice.words for choice in question.choices)
                assert each.paint_it.startswith(f"Upper half {upper}, lower half {lower}")


def test_tasks_name_amounts_and_cautions(shelf: Shelf) -> None:
    lesson = make_lesson(shelf, theme="white", seed=2, count=6)
    told = " ".join(each.paint_it for each in lesson.exercises)
    assert "part" in told and "Titanium white" in lesson.tubes
    assert any(said.startswith("PW6:") for said in lesson.cautions)
    assert say_how(0.1) == "1 part to 9 parts of clear medium, one full stroke"


@pytest.mark.parametrize(
    ("options", "words"),
    [
        ({"theme": "dance"}, "theme: saw 'dance'; allowed is undertone, cover"),
        ({"count": 0}, "count: saw '0'; allowed is 1 to 24 questions"),
        ({"seed": -4}, "seed: saw '-4'; allowed is a whole number"),
    ],
)
def test_what_is_no_lesson_is_refused(shelf: Shelf, options: dict[str, object], words: str) -> None:
    with pytest.raises(InputError, match=words):
        make_lesson(shelf, **options)  # type: ignore[arg-type]


def test_a_small_page_and_an_empty_shelf_are_refused(
    shelf: Shelf, tmp_path_factory: pytest.TempPathFactory
) -> None:
    with pytest.raises(InputError, match="a page of A4 upright or more"):
        print_lesson(make_lesson(shelf), page="A5")
    with (
        open_shelf(tmp_path_factory.mktemp("none") / "none.sqlite") as empty,
        pytest.raises(InputError, match="nothing more to ask"),
    ):
        make_lesson(empty)


@pytest.mark.parametrize("page", ["Letter", "A3", "A4-landscape"])
def test_other_pages(shelf: Shelf, page: str) -> None:
    for sheet in print_lesson(make_lesson(shelf, seed=3, count=4), page=page).sheets:
        left, right, top, bottom = bounds(sheet)
        assert left >= 0.0 and right <= sheet.width_mm and top >= 0.0 and bottom <= sheet.height_mm


def test_plans_say_how_the_hour_goes() -> None:
    assert set(PLANS) == set(Theme)
    for theme in ("", *Theme):
        plan = lesson_plan(theme)
        assert plan.aim.endswith(".") and len(plan.steps) >= 4 and len(plan.look_for) >= 3
    assert LETTERS == "abcd"
