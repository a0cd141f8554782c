"""A colour looked for in a real browser: typed, picked from a photograph, by keyboard, without script."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from axe_playwright_python.sync_playwright import Axe
from PIL import Image
from playwright.sync_api import Page, expect
from tests.browser.hands import WORK_MS

pytestmark = pytest.mark.browser

Visit = Callable[..., Page]
FEW = "tubes=2&films=1&coats=4"


def test_recipes_come_while_one_watches(visit: Visit) -> None:
    page = visit(f"/match?{FEW}")
    page.get_by_label("The wanted colour", exact=True).fill("60 20 30")
    page.keyboard.press("Enter")
    expect(page.locator(".way").first).to_be_visible(timeout=WORK_MS)
    expect(page.locator("#said")).to_contain_text("The search is done", timeout=WORK_MS)
    expect(page).to_have_url(re.compile(r"colour=60\+20\+30"))
    page.get_by_label("black paper").check()
    expect(page.locator("#route-scumble")).to_be_visible()
    expect(page.locator("#said")).to_contain_text("The search is done", timeout=WORK_MS)
    page.get_by_role("link", name="Lay it on the bench").first.click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Layers")


def test_a_point_of_a_photograph_is_wanted(visit: Visit, tmp_path: Path) -> None:
    halves = np.full((200, 300, 3), (180, 120, 60), np.uint8)
    halves[:, 150:] = (40, 90, 60)
    Image.fromarray(halves).save(tmp_path / "leaf.png")
    page = visit(f"/match?{FEW}")
    page.locator("#photo").set_input_files(tmp_path / "leaf.png")
    picture = page.locator("#picture")
    expect(picture).to_be_focused()
    picture.click(position={"x": 40, "y": 40})
    expect(page.get_by_label("The wanted colour", exact=True)).to_have_value("#b4783c")
    for _ in range(12):
        picture.press("Shift+ArrowRight")
    picture.press("Enter")
    expect(page.get_by_label("The wanted colour", exact=True)).to_have_value("#285a3c")
    expect(page.locator("#said")).to_contain_text("The search is done", timeout=WORK_MS)


def test_a_picture_that_browsers_do_not_open_is_opened_for_them(visit: Visit, tmp_path: Path) -> None:
    Image.fromarray(np.full((600, 900, 3), (180, 120, 60), np.uint8)).save(tmp_path / "leaf.tif")
    (tmp_path / "words.txt").write_text("no picture", encoding="utf-8")
    page = visit(f"/match?{FEW}")
    page.locator("#photo").set_input_files(tmp_path / "words.txt")
    expect(page.locator("#said")).to_contain_text("words.txt is no picture that this browser opens")
    page.locator("#photo").set_input_files(tmp_path / "leaf.tif")
    picture = page.locator("#picture")
    expect(picture).to_be_focused(timeout=WORK_MS)
    expect(page.locator("#said")).to_have_text("")
    picture.press("Enter")
    expect(page.get_by_label("The wanted colour", exact=True)).to_have_value(re.compile("#b[34]7[789]3[bcd]"))
    expect(page.locator("#said")).to_contain_text("The search is done", timeout=WORK_MS)


def test_the_page_is_clean_and_fits(visit: Visit) -> None:
    page = visit(f"/match?whole=true&colour=60,20,30&{FEW}")
    page.locator(".wishes summary").click()
    for room in ("light", "dark"):
        page.emulate_media(color_scheme=room)
        found = Axe().run(page)
        assert found.violations_count == 0, found.generate_report()
    for width in (2560, 1280, 820, 390, 360):
        page.set_viewport_size({"width": width, "height": 900})
        assert page.evaluate("document.documentElement.scrollWidth") <= width


def test_without_script_the_whole_answer_comes_at_once(visit: Visit) -> None:
    page = visit(f"/match?{FEW}", java_script_enabled=False)
    page.get_by_label("The wanted colour", exact=True).fill("60 20 30")
    page.get_by_role("button", name="Look for it").click()
    expect(page.locator(".way").first).to_be_visible(timeout=WORK_MS)


def test_a_swatch_anywhere_leads_here(visit: Visit) -> None:
    page = visit("/layers?paint=viridian&coats=0.3")
    page.locator("#coats-1").fill("0.6")
    page.locator("#coats-1").press("Tab")
    expect(page.locator("#grip-1")).to_have_attribute("aria-valuetext", "0.6 coat")
    page.get_by_role("link", name="Reach this colour another way").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Match")
    expect(page.locator(".way").first).to_be_visible(timeout=WORK_MS)
    page.goto("/paints/viridian")
    page.get_by_role("link", name="Reach its undertone with other tubes").click()
    expect(page.get_by_label("The wanted colour", exact=True)).to_have_value("undertone viridian")
    expect(page.locator(".way").first).to_be_visible(timeout=WORK_MS)
