"""A walk through the pages in a real browser: from the wall to one tube and back."""

from __future__ import annotations

import re
from collections.abc import Callable
from itertools import pairwise

import pytest
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.browser

Visit = Callable[..., Page]


def test_from_the_wall_to_one_tube(visit: Visit) -> None:
    page = visit("/")
    expect(page.get_by_role("heading", level=1)).to_have_text("Shelf")
    total = page.locator(".wall li").count()
    page.get_by_label("Find").type("class blue")
    expect(page.locator("#count")).to_contain_text(f"1 of {total}")
    expect(page).to_have_url(re.compile(r"find=class\+blue"))
    page.get_by_role("link", name="strength").click()
    expect(page.locator(".orders [aria-current]")).to_have_text("strength")
    page.get_by_role("link", name="Class blue").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Class blue")

    first = page.locator("details").first
    first.locator("summary").click()
    expect(first).to_contain_text("ASTM D2805")
    page.get_by_role("link", name="Thin on yellow", exact=True).click()
    expect(page).to_have_url(re.compile("#area-thin1-yellow$"))
    row = page.locator("#area-thin1-yellow")
    expect(row).to_be_in_viewport()
    row.hover()
    expect(page.locator('.photograph a[href="#area-thin1-yellow"]')).to_have_class("shown")

    page.locator(".back").click()
    expect(page.locator(".wall li")).to_have_count(total)
    page.get_by_role("navigation", name="Pages").get_by_role("link", name="Layers").click()
    expect(page.locator("#section")).to_be_visible()


def test_going_back_brings_back_what_was_found(visit: Visit) -> None:
    page = visit("/?order=name&find=cadmium")
    found = page.locator(".wall li").count()
    page.get_by_role("link", name="show all").click()
    expect(page.locator("#count")).to_contain_text("All")
    page.go_back()
    expect(page.locator(".wall li")).to_have_count(found)
    expect(page.get_by_label("Find")).to_have_value("cadmium")


def test_every_strip_is_drawn(visit: Visit) -> None:
    page = visit("/")
    broken = page.evaluate(
        """async () => {
            const strips = [...document.querySelectorAll(".wall img")];
            for (const strip of strips) strip.loading = "eager";
            await Promise.all(strips.map((strip) => strip.decode()));
            return strips.filter((strip) => !strip.naturalWidth).length;
        }"""
    )
    assert broken == 0


def test_bars_of_a_row_are_one(visit: Visit) -> None:
    """Strips of a row touch, at one height, so that their black bars join."""
    page = visit("/")
    boxes = page.evaluate(
        """[...document.querySelectorAll(".wall img")].slice(0, 4).map((strip) => {
            const box = strip.getBoundingClientRect();
            return [box.left, box.right, box.top, box.height];
        })"""
    )
    for (_, right, top, height), (left, _, next_top, next_height) in pairwise(boxes):
        assert -0.01 <= right - left <= 1.0
        assert (top, height) == (next_top, next_height)


def test_the_keyboard_reaches_every_strip(visit: Visit) -> None:
    page = visit("/?order=name&find=class")
    page.keyboard.press("Tab")
    expect(page.get_by_role("link", name="Skip to the page")).to_be_visible()
    for _ in range(40):
        if page.evaluate("document.activeElement.closest('.wall') !== null"):
            break
        page.keyboard.press("Tab")
    expect(page.get_by_role("link", name="Class blue")).to_be_focused()
    ring = page.evaluate("getComputedStyle(document.activeElement, '::after').outline")
    assert "solid" in ring and "3px" in ring
    page.keyboard.press("Tab")
    expect(page.get_by_role("checkbox", name="pick Class blue")).to_be_focused()
    page.keyboard.press("Tab")
    expect(page.get_by_role("link", name="Class white")).to_be_focused()
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_have_text("Class white")


def test_the_room_can_be_dimmed_and_stays_dim(visit: Visit) -> None:
    page = visit("/?find=blue", color_scheme="light")
    wall = "getComputedStyle(document.documentElement).backgroundColor"
    light = page.evaluate(wall)
    page.get_by_role("button", name="Dim the room").click()
    expect(page.get_by_role("button", name="Light the room")).to_be_visible()
    expect(page).to_have_url(re.compile(r"/\?find=blue$"))
    dim = page.evaluate(wall)
    assert light == "rgb(196, 196, 196)" and dim == "rgb(58, 58, 58)"
    page.goto("/paints/class-blue")
    assert page.evaluate(wall) == dim


def test_without_a_choice_the_room_follows_the_screen(visit: Visit) -> None:
    page = visit("/paints/class-white", color_scheme="dark")
    assert page.evaluate("getComputedStyle(document.documentElement).backgroundColor") == "rgb(58, 58, 58)"
    expect(page.get_by_role("button", name="Light the room")).to_be_visible()


def test_everything_works_without_script(visit: Visit) -> None:
    page = visit("/", java_script_enabled=False)
    page.get_by_label("Find").fill("class")
    page.get_by_role("button", name="Find").click()
    expect(page.locator(".wall li")).to_have_count(2)
    page.get_by_role("link", name="opacity").click()
    expect(page.locator(".orders [aria-current]")).to_have_text("opacity")
    expect(page.locator(".wall li")).to_have_count(2)
    page.get_by_role("link", name="Class blue").click()
    expect(page.locator("table tbody tr")).to_have_count(16)


@pytest.mark.parametrize("path", ["/", "/paints/class-blue"])
def test_nothing_sticks_out_sideways(visit: Visit, path: str) -> None:
    page = visit(path)
    for width in (2560, 1280, 820, 390, 360):
        page.set_viewport_size({"width": width, "height": 900})
        assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_targets_are_large_enough_for_a_finger(visit: Visit) -> None:
    for path in ("/", "/paints/class-blue"):
        page = visit(path, viewport={"width": 390, "height": 844}, has_touch=True)
        small = page.evaluate(
            """[...document.querySelectorAll(
                    "button, input:not([type=hidden]), summary, .orders a, .wall li, .house, .back")]
                .filter((target) => target.getClientRects().length)
                .map((target) => (target.type === "checkbox" ? target.closest("label") : null) ?? target)
                .map((target) => [target.textContent, target.getBoundingClientRect().height])
                .filter(([, height]) => height < 44)"""
        )
        assert small == []
