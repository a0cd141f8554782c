"""The room itself in a real browser: its doors, what is left of it on paper, and colours that somebody chose."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.browser

Visit = Callable[..., Page]


def colour(page: Page, selector: str, name: str) -> str:
    return str(
        page.evaluate(f"getComputedStyle(document.querySelector({selector!r})).getPropertyValue({name!r})")
    )


def test_all_doors_stand_on_one_ledge(visit: Visit) -> None:
    page = visit("/paints/class-blue", viewport={"width": 1280, "height": 900})
    tops = page.evaluate(
        "[...document.querySelectorAll('.doors a')].map((door) => door.getBoundingClientRect().top)"
    )
    assert len(tops) >= 9 and len(set(tops)) == 1
    # They are come to as they stand: after the search and the light, before the page.
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    expect(page.locator(".house")).to_be_focused()
    page.keyboard.press("Tab")
    expect(page.locator("#seek")).to_be_focused()
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    expect(page.locator(".doors a").first).to_be_focused()


@pytest.mark.parametrize("path", ["/paints/class-blue", "/layers", "/?find=class"])
def test_on_paper_every_room_is_white(visit: Visit, path: str) -> None:
    page = visit(path, color_scheme="dark")
    assert colour(page, "html", "color") == "rgb(240, 240, 240)"
    page.emulate_media(media="print")
    assert colour(page, "html", "color") == "rgb(0, 0, 0)"
    assert colour(page, "html", "background-color") == "rgb(255, 255, 255)"
    expect(page.locator(".doors")).to_be_hidden()
    expect(page.locator("h1")).to_be_visible()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_colours_that_somebody_chose_are_kept(visit: Visit, scheme: str) -> None:
    """Chromium's stand-in for a system whose colours were chosen: black on white, or white on black."""
    page = visit("/?find=class", color_scheme=scheme, forced_colors="active")
    ink, paper = (
        ("rgb(255, 255, 255)", "rgb(0, 0, 0)") if scheme == "dark" else ("rgb(0, 0, 0)", "rgb(255, 255, 255)")
    )
    assert (colour(page, "html", "color"), colour(page, "html", "background-color")) == (ink, paper)
    assert colour(page, ".house .bar", "fill") == ink
    # Which door is open, and by what the wall hangs, is seen from a line that the others do not have.
    for row in (".doors", ".orders"):
        assert colour(page, f"{row} a:not([aria-current])", "border-bottom-color") == paper
        assert colour(page, f"{row} a[aria-current]", "border-bottom-color") != paper
