"""A round in a real browser: by keyboard alone, by touch on the counter's tablet, without script; clean and fitting."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect
from tests.jobs.shelves import illustrative_shelf, read_shelf
from tests.web.server import serving

from scumble.web.app import create_app

pytestmark = pytest.mark.browser

Visit = Callable[..., Page]
TABLET = {"viewport": {"width": 1180, "height": 820}, "has_touch": True, "is_mobile": True}
CODE = "161803"
ASKED = re.compile(r"ask=[^&#]+$")
TOLD = re.compile(r"said=[^#]+#verdict$")


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """A shelf of this module's own, as records are written to it."""
    with serving(create_app(read_shelf(tmp_path_factory.mktemp("teach") / "shelf.sqlite"))) as served:
        yield served


def test_a_round_by_keyboard_alone(visit: Visit) -> None:
    page = visit("/teach/round?theme=cover&of=2&seed=9", reduced_motion="reduce")
    for place in (1, 2):
        expect(page).to_have_url(ASKED)
        expect(page.locator(".place")).to_contain_text(f"question {place} of 2")
        page.keyboard.press("2")
        expect(page.locator('button[value="2"]')).to_be_focused()
        page.keyboard.press("1")
        expect(page.locator('button[value="1"]')).to_be_focused()
        page.keyboard.press("Enter")
        expect(page).to_have_url(TOLD)
        expect(page.locator("#verdict")).to_be_visible()
        expect(page.locator(".told .yours")).to_have_count(1)
        expect(page.locator(".told .right")).to_have_count(1)
        page.keyboard.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_contain_text("of 2 foretold")


def test_the_verdict_is_in_sight_and_in_hand(visit: Visit) -> None:
    page = visit("/teach/round?theme=grounds&of=1&seed=9", reduced_motion="reduce")
    page.locator(".answers button").first.click()
    expect(page).to_have_url(TOLD)
    expect(page.locator("#verdict")).to_be_in_viewport()
    page.keyboard.press("Tab")
    expect(page.locator(".reveal a").first).to_be_focused()


def test_a_colour_is_pointed_out_on_the_sliders(visit: Visit) -> None:
    page = visit("/teach/round?theme=mixing&manner=point&of=1&seed=3", reduced_motion="reduce")
    expect(page.locator("#finer")).to_be_visible()
    before = page.locator("#expected rect").get_attribute("fill")
    page.locator(".spot input").nth(20).check(force=True)
    expect(page.locator("#expected rect")).not_to_have_attribute("fill", before or "")
    page.locator("#lightness").focus()
    for _ in range(5):
        page.keyboard.press("ArrowRight")
    expect(page.locator(".spot input:checked")).to_have_count(0)
    page.get_by_role("button", name="That is what I expect").click()
    expect(page).to_have_url(TOLD)
    expect(page.locator("#verdict")).to_contain_text("dE00")
    expect(page.get_by_text("as you pointed it out")).to_be_visible()


def test_the_sliders_show_what_the_palette_shows(visit: Visit) -> None:
    """The page's own small formula against the engine's: the same screen colour to a step of 2 in 255."""
    page = visit("/teach/round?theme=mixing&manner=point&of=1&seed=3")
    expect(page.locator("#finer")).to_be_visible()
    for at in (0, 14, 28, 40, 52, 64):
        spot = page.locator(".spot").nth(at)
        spot.locator("input").check(force=True)
        own = spot.locator("rect").get_attribute("fill") or ""
        shown = page.locator("#expected rect").get_attribute("fill") or ""
        parts = [[int(each[place : place + 2], 16) for place in (1, 3, 5)] for each in (own, shown)]
        if max(parts[0]) < 250 and min(parts[0]) > 5:
            assert max(abs(one - two) for one, two in zip(*parts, strict=True)) <= 2


def test_without_script(browser: Browser, address: str) -> None:
    context = browser.new_context(base_url=address, java_script_enabled=False)
    page = context.new_page()
    page.goto("/teach")
    page.get_by_label("Into white").check()
    page.locator("#of").fill("1")
    page.get_by_role("button", name="Begin", exact=True).click()
    expect(page).to_have_url(ASKED)
    page.locator(".answers button").first.click()
    expect(page.locator("#verdict")).to_be_visible()
    page.get_by_role("link", name="To the end").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("of 1 foretold")
    context.close()


def test_staff_practise_on_the_counters_tablet(
    browser: Browser, tmp_path_factory: pytest.TempPathFactory
) -> None:
    place = illustrative_shelf(tmp_path_factory.mktemp("tablet") / "shelf.sqlite")
    with serving(create_app(place, counter_code=CODE)) as kiosk:
        context = browser.new_context(base_url=kiosk, **TABLET)  # type: ignore[arg-type]
        tablet = context.new_page()
        tablet.goto("/teach")
        expect(tablet).to_have_url("/counter")
        tablet.goto("/counter/unlock")
        tablet.get_by_label("Code").fill(CODE)
        tablet.get_by_role("button", name="Unlock").tap()
        expect(tablet.get_by_role("heading", level=1)).to_have_text("Shelf")
        tablet.goto("/counter")
        tablet.get_by_role("link", name="Practise").tap()
        expect(tablet).to_have_url("/teach")
        tablet.goto("/teach/round?theme=cover&of=1&seed=2")
        tablet.locator(".answers button").first.tap()
        expect(tablet).to_have_url(TOLD)
        low = tablet.evaluate(
            """[...document.querySelectorAll("main a.go, main .answers button, main .answers li")]
                .filter((each) => each.getBoundingClientRect().height < 48).length"""
        )
        assert low == 0
        context.close()


def test_a_record_begins_and_ends(visit: Visit) -> None:
    page = visit("/teach")
    page.get_by_label("A name or initials").fill("B. R.")
    page.get_by_role("button", name="Begin a record").click()
    expect(page).to_have_url(re.compile(r"/teach\?who=\d+$"))
    page.get_by_role("link", name="B. R.").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("B. R.")
    page.get_by_label("Erase B. R. and all answers for good").check()
    page.get_by_role("button", name="Erase").click()
    expect(page.get_by_role("status")).to_contain_text("Erased, with all answers")


def test_the_pages_are_clean_and_fit(visit: Visit) -> None:
    asks = [
        "/teach",
        "/teach/round?round=ab&seed=1&ask=over-ground.ultramarine-blue.2.7",
        "/teach/round?round=ab&seed=1&ask=over-ground.ultramarine-blue.2.7&said=1",
        "/teach/round?round=ab&seed=1&ask=cover.ultramarine-blue.2.7&said=1",
        "/teach/round?round=ab&seed=1&manner=point&ask=over-ground.ultramarine-blue.2.7",
        "/teach/done?round=ab&had=cover.ultramarine-blue.2.7&so=0",
        "/teach/record",
        "/teach/lesson?theme=cover&count=3&seed=2",
    ]
    for path in asks:
        page = visit(path, reduced_motion="reduce")
        for room in ("light", "dark"):
            page.emulate_media(color_scheme=room)
            found = Axe().run(page)
            assert found.violations_count == 0, found.generate_report()
        for width in (2560, 1280, 820, 390, 360):
            page.set_viewport_size({"width": width, "height": 900})
            assert page.evaluate("document.documentElement.scrollWidth") <= width, (path, width)
