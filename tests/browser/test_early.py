"""A person who is faster than the scripts: what was typed, chosen or ticked before a page listens is not lost."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager

import pytest
from playwright.sync_api import Page, Route, expect

pytestmark = pytest.mark.browser

Visit = Callable[..., Page]


@contextmanager
def before_scripts(page: Page, path: str) -> Iterator[None]:
    """Inside the block the page stands, but its scripts are still on their way."""
    held: list[Route] = []
    is_over = False
    page.route("**/static/*.js", lambda asked: asked.continue_() if is_over else held.append(asked))
    page.goto(path, wait_until="commit")
    expect(page.locator("footer")).to_be_attached()
    yield
    is_over = True
    for each in held:
        each.continue_()


def test_a_word_typed_into_the_shelf(visit: Visit) -> None:
    page = visit(hasty=True)
    with before_scripts(page, "/"):
        page.locator("#find").fill("transparent blue")
    expect(page.locator("#count")).to_contain_text("answer to “transparent blue”")


def test_a_choice_and_a_pick_on_the_wall(visit: Visit) -> None:
    page = visit(hasty=True)
    with before_scripts(page, "/?order=name"):
        page.locator(".pick input").nth(0).check()
        page.locator(".pick input").nth(2).check()
        page.locator(".narrow summary").click()
        page.locator("select[name=hue]").select_option("blue")
    expect(page.locator(".picked span")).to_have_text("2 picked")
    expect(page.locator("#count")).to_contain_text("pass")


def test_numbers_a_light_and_a_paint_on_the_bench(visit: Visit) -> None:
    page = visit(hasty=True)
    with before_scripts(page, "/layers?paint=viridian&coats=0.2"):
        page.locator("#coats-1").fill("0.7")
        page.locator("#state-wet").check()
    expect(page.locator("#grip-1")).to_have_attribute("aria-valuetext", "0.7 coat")
    expect(page.locator("#words ~ p").first).to_contain_text("still wet")
    expect(page.locator("#undo")).to_be_enabled()
    with before_scripts(page, "/layers?paint=viridian&coats=0.2"):
        page.locator("#light-A").check()
        page.locator("#lay").fill("burnt umb")
    expect(page.locator("#words ~ p").first).to_contain_text("lamplight")


def test_a_paint_begun_on_the_bench_is_offered(visit: Visit) -> None:
    page = visit(hasty=True)
    with before_scripts(page, "/layers"):
        page.locator("#lay").fill("burnt umb")
    expect(page.get_by_role("option", name="Burnt umber")).to_be_visible()
    page.keyboard.press("Enter")
    expect(page.locator("[id^=paint-]").first).to_have_value("Burnt umber")


def test_a_wish_beside_a_wanted_colour(visit: Visit) -> None:
    page = visit(hasty=True)
    with (
        page.expect_request(re.compile("/match/answers.*ground=black")),
        before_scripts(page, "/match?tubes=2&films=1&coats=4&colour=60,20,30"),
    ):
        page.get_by_label("black paper").check()
    expect(page).to_have_url(re.compile("ground=black"))


@pytest.mark.parametrize("kind", ["Handout", "Mixing grid"])
def test_a_kind_of_chart(visit: Visit, kind: str) -> None:
    page = visit(hasty=True)
    with before_scripts(page, "/print"):
        page.get_by_label("Blank, to paint by hand").check()
        page.get_by_label(kind).check()
    expect(page.get_by_role("img", name=f"{kind} of")).to_be_visible()


def test_a_size_of_paper(visit: Visit) -> None:
    page = visit(hasty=True)
    with before_scripts(page, "/print"):
        page.get_by_label("Size").fill("A3")
        page.get_by_label("Heading").focus()
    expect(page.locator(".take")).to_contain_text("297 × 420 mm")


def test_a_film_over_a_painting(visit: Visit) -> None:
    page = visit(hasty=True)
    with before_scripts(page, "/painting?paint=viridian&coats=0.2"):
        page.locator("#coats-1").fill("0.7")
        page.locator("#light-A").check()
    expect(page).to_have_url(re.compile("light=A.*coats=0.7"))


def test_a_list_that_was_chosen(visit: Visit) -> None:
    page = visit(hasty=True)
    with before_scripts(page, "/import"):
        page.locator("#file").set_input_files(
            {"name": "list.csv", "mimeType": "text/csv", "buffer": b"Name;Qty\nClass blue;3\n"}
        )
    expect(page.get_by_role("heading", name="Row by row")).to_be_visible()


def test_what_is_typed_while_the_bench_is_laid_out_anew(visit: Visit) -> None:
    """The light is answered late; a number typed and a film lifted meanwhile are not lost."""
    page = visit("/layers?paint=viridian&paint=burnt-umber&coats=0.2&coats=1")
    held: list[Route] = []
    page.route("**/layers?**", lambda asked: held.append(asked) if not held else asked.continue_())
    page.locator("#light-A").check()
    page.locator("#coats-1").fill("0.6")
    page.locator("#up-1").click()
    expect(page.locator("#paint-1")).to_have_value("Burnt umber")
    held[0].continue_()
    expect(page.locator("#paint-1")).to_have_value("Viridian")
    expect(page.locator("#light-A")).to_be_checked()
    expect(page.locator("#coats-2")).to_have_value("0.6")
