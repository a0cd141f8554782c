"""Plan in a real browser: the slider in words, followed while it works, clean in both rooms, whole without script."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect
from tests.web.test_plan import TUBES, sketch

pytestmark = pytest.mark.browser

Visit = Callable[..., Page]


@pytest.fixture(scope="module")
def picture(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("plan") / "two.png"
    path.write_bytes(sketch())
    return path


def ask(page: Page, picture: Path) -> None:
    page.get_by_label("The picture to paint from").set_input_files(picture)
    page.get_by_label("Only these tubes").fill(TUBES)
    page.get_by_label("Colour areas").fill("2")
    page.get_by_role("button", name="Plan the painting").click()


def test_a_painting_is_planned_while_one_watches(visit: Visit, picture: Path) -> None:
    page = visit("/plan", reduced_motion="reduce")
    slider = page.get_by_label("From all transparent to all opaque")
    expect(slider).to_have_attribute("aria-valuetext", "glazed over a coloured underpainting")
    slider.focus()
    page.keyboard.press("End")
    expect(slider).to_have_attribute("aria-valuetext", "all opaque")
    expect(page.locator(".stops .here")).to_contain_text("all opaque")
    ask(page, picture)
    expect(page.locator("#chosen")).to_have_text("two.png, all opaque, on white paper", timeout=90_000)
    page.reload()
    expect(page.locator("#chosen")).to_be_visible()
    page.get_by_role("link", name="All transparent").click()
    expect(page.locator("#chosen")).to_have_text("two.png, all transparent, on white paper")
    for room in ("light", "dark"):
        page.emulate_media(color_scheme=room)
        found = Axe().run(page)
        assert found.violations_count == 0, found.generate_report()
    for width in (2560, 1280, 820, 390, 360):
        page.set_viewport_size({"width": width, "height": 900})
        assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_without_script_the_page_looks_again_by_itself(visit: Visit, picture: Path) -> None:
    page = visit("/plan", java_script_enabled=False)
    ask(page, picture)
    expect(page.locator("#chosen")).to_be_visible(timeout=90_000)
    expect(page.locator(".passes > li").first).to_be_visible()
