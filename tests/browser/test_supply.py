"""What to buy, in a real browser: followed while it is worked out, clean in both rooms, whole without script."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect
from tests.browser.hands import WORK_MS

pytestmark = pytest.mark.browser

Visit = Callable[..., Page]


def choose(page: Page) -> None:
    page.get_by_label("Wanted colours, one a line").fill("60 20 30\n5R 4/10\nmasstone class-blue")
    page.get_by_label("Tubes, white included").fill("3")
    page.get_by_label("glazing").uncheck()
    page.get_by_role("button", name="Choose the tubes").click()


def test_tubes_are_chosen_while_one_watches(visit: Visit) -> None:
    page = visit("/supply")
    choose(page)
    expect(page.locator(".tubes tbody tr")).to_have_count(3, timeout=WORK_MS)
    page.reload()
    expect(page.locator(".tubes tbody tr")).to_have_count(3)
    for room in ("light", "dark"):
        page.emulate_media(color_scheme=room)
        found = Axe().run(page)
        assert found.violations_count == 0, found.generate_report()
    for width in (2560, 1280, 820, 390, 360):
        page.set_viewport_size({"width": width, "height": 900})
        assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_without_script_the_page_looks_again_by_itself(visit: Visit) -> None:
    page = visit("/supply", java_script_enabled=False)
    choose(page)
    expect(page.locator(".tubes tbody tr")).to_have_count(3, timeout=WORK_MS)


@pytest.mark.parametrize("path", ["/instead?paint=class-blue", "/batch", "/subject"])
def test_pages_beside_match_are_clean_and_fit(visit: Visit, path: str) -> None:
    page = visit(path)
    if path == "/batch":
        page.get_by_label("What it should be").fill("40 -10 -30")
        page.get_by_label("What it was read at, dry").fill("44 -10 -30")
        page.get_by_label("tube 1", exact=True).fill("Class blue")
        page.get_by_label("tube 2", exact=True).fill("Class white")
        page.get_by_role("button", name="What to add").click()
    if path == "/subject":
        page.get_by_label("or its colours, one a line").fill("60 20 30\n40 -10 -30")
        page.get_by_label("Only these tubes").fill("class-white, class-blue, burnt-sienna, yellow-ochre")
        page.get_by_role("button", name="Paint it both ways").click()
    expect(page.locator("#chosen")).to_be_visible(timeout=WORK_MS)
    for room in ("light", "dark"):
        page.emulate_media(color_scheme=room)
        found = Axe().run(page)
        assert found.violations_count == 0, found.generate_report()
    for width in (2560, 1280, 820, 390, 360):
        page.set_viewport_size({"width": width, "height": 900})
        assert page.evaluate("document.documentElement.scrollWidth") <= width
