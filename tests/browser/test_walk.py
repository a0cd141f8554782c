"""First steps in a real browser: the walk by mouse and by keyboard, and the pattern page with its motion."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.browser

Visit = Callable[..., Page]


def test_the_walk_is_taken_left_and_remembered(visit: Visit) -> None:
    page = visit("/")
    walk = page.get_by_role("complementary", name="A walk through the pages")
    expect(walk).to_contain_text("New here?")
    walk.get_by_role("button", name="Begin the walk").click()
    expect(walk).to_contain_text("1 of")
    page.get_by_role("searchbox", name="Find").fill("transparent blue")
    expect(page.locator("#count")).to_contain_text("answer to")
    walk.get_by_role("button", name="Walk on").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Class blue")
    page.reload()
    expect(walk).to_contain_text("2 of")
    walk.get_by_role("button", name="Back").click()
    expect(walk).to_contain_text("1 of")
    walk.get_by_role("button", name="Leave the walk").click()
    expect(walk).to_have_count(0)
    page.goto("/layers")
    page.goto("/")
    expect(page.locator(".wall li").first).to_be_visible()
    expect(walk).to_have_count(0)
    page.get_by_role("button", name="Take the walk").click()
    expect(walk).to_contain_text("1 of")


def test_the_walk_by_keyboard_to_its_end(visit: Visit) -> None:
    page = visit("/")
    walk = page.get_by_role("complementary", name="A walk through the pages")
    walk.get_by_role("button", name="Begin the walk").focus()
    page.keyboard.press("Enter")
    for number in range(1, 12):
        expect(walk).to_contain_text(f"{number} of")
        on = walk.locator(".on")
        last = on.text_content() == "That was all"
        on.focus()
        page.keyboard.press("Enter")
        if last:
            break
    expect(walk).to_have_count(0)
    assert last


def test_nothing_is_hidden_for_good_behind_the_walk(visit: Visit) -> None:
    """It lies at the foot of the page, so that the last line can be scrolled above it."""
    page = visit("/?find=class", viewport={"width": 390, "height": 844})
    gap = page.evaluate(
        """() => { scrollTo({ top: document.body.scrollHeight, behavior: "instant" });
            const sill = document.querySelector(".sill").getBoundingClientRect();
            return document.querySelector(".walk").getBoundingClientRect().top - sill.bottom; }"""
    )
    assert gap >= -1


def test_what_has_the_focus_is_not_hidden_behind_the_walk(visit: Visit) -> None:
    """WCAG 2.2, success criterion 2.4.11."""
    page = visit("/?order=name", viewport={"width": 390, "height": 844}, reduced_motion="reduce")
    for _ in range(60):
        page.keyboard.press("Tab")
        covered = page.evaluate(
            """() => { const focused = document.activeElement, walk = document.querySelector(".walk");
                if (focused === document.body || walk.contains(focused)) return false;
                return focused.getBoundingClientRect().top >= walk.getBoundingClientRect().top; }"""
        )
        assert not covered, page.evaluate("document.activeElement.outerHTML")


def test_the_walk_is_clean(visit: Visit) -> None:
    page = visit("/?find=class")
    for room in ("light", "dark"):
        page.emulate_media(color_scheme=room)
        found = Axe().run(page)
        assert found.violations_count == 0, found.generate_report()


def test_patterns_are_clean_and_fit(visit: Visit) -> None:
    page = visit("/room/patterns")
    expect(page.locator("[data-measures='type-p']")).to_have_text("17 px, 400")
    for room in ("light", "dark"):
        page.emulate_media(color_scheme=room)
        found = Axe().run(page)
        assert found.violations_count == 0, found.generate_report()
    for width in (2560, 1280, 820, 390, 360):
        page.set_viewport_size({"width": width, "height": 900})
        assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_a_film_settles_unless_less_motion_is_asked_for(visit: Visit) -> None:
    running = "document.querySelector('.wet').getAnimations().length"
    page = visit("/room/patterns", reduced_motion="no-preference")
    page.locator("#settling").scroll_into_view_if_needed()
    expect(page.locator("#settling")).to_have_class("settling laid")
    expect(page.get_by_role("button", name="Lay it again")).to_be_visible()
    # In one breath: the film has dried by the time a slow computer asks a second time.
    assert page.evaluate(f"document.querySelector('#lay-again').click(), {running}") == 1
    still = visit("/room/patterns")
    still.locator("#settling").scroll_into_view_if_needed()
    assert still.evaluate(running) == 0
    expect(still.get_by_role("button", name="Lay it again")).to_be_hidden()
