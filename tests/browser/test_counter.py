"""A customer at the counter in a real browser: by touch, by keyboard, left alone; and staff who unlock it."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, Page, expect
from tests.jobs.shelves import illustrative_shelf
from tests.web.server import serving

from scumble.web.app import create_app

pytestmark = pytest.mark.browser

Visit = Callable[..., Page]
TABLET = {"viewport": {"width": 1180, "height": 820}, "has_touch": True, "is_mobile": True}
CODE = "271828"


@pytest.fixture(scope="module")
def kiosk(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    place = illustrative_shelf(tmp_path_factory.mktemp("kiosk") / "shelf.sqlite")
    with serving(create_app(place, counter_code=CODE)) as address:
        yield address


@pytest.fixture
def tablet(browser: Browser, kiosk: str) -> Iterator[Page]:
    context = browser.new_context(base_url=kiosk, **TABLET)
    complaints: list[str] = []
    page = context.new_page()
    page.set_default_timeout(10_000)
    page.on("console", lambda said: complaints.append(said.text) if said.type == "error" else None)
    page.on("pageerror", lambda error: complaints.append(str(error)))
    yield page
    context.close()
    assert complaints == []


def test_a_customer_asks_by_touch(tablet: Page) -> None:
    tablet.goto("/")
    expect(tablet).to_have_url("/counter")
    tablet.get_by_role("link", name="Glaze without muddying").tap()
    expect(tablet.locator(".tubes li")).to_have_count(3)
    tablet.get_by_role("link", name="blue", exact=True).tap()
    expect(tablet.locator(".narrow [aria-current]")).to_have_text("blue")
    broken = tablet.evaluate(
        "async () => { const all = [...document.querySelectorAll('.tubes img')];"
        " await Promise.all(all.map((each) => each.decode())); return all.length; }"
    )
    assert broken == 3
    tablet.get_by_role("link", name="Ask something else").tap()
    expect(tablet.get_by_role("heading", level=1)).to_have_text("What would you like to do?")


def test_targets_are_large(tablet: Page) -> None:
    for path in ("/counter", "/counter/cover", "/counter/unlock"):
        tablet.goto(path)
        small = tablet.evaluate(
            """[...document.querySelectorAll("a:not(.skip), button, input:not([type=hidden])")]
                .filter((target) => target.getClientRects().length)
                .map((target) => [target.textContent, target.getBoundingClientRect().height])
                .filter(([, height]) => height < 48)"""
        )
        assert small == []


def test_left_alone_it_asks_and_then_goes_back(tablet: Page) -> None:
    tablet.clock.install()
    tablet.goto("/counter/cover")
    tablet.clock.run_for(91_000)
    expect(tablet.get_by_role("dialog")).to_be_visible()
    expect(tablet.get_by_role("button", name="Stay here")).to_be_focused()
    tablet.get_by_role("button", name="Stay here").tap()
    expect(tablet.get_by_role("dialog")).to_be_hidden()
    tablet.clock.run_for(85_000)
    expect(tablet).to_have_url("/counter/cover")
    tablet.clock.run_for(30_000)
    expect(tablet).to_have_url("/counter")


def test_staff_unlock_and_lock_again(tablet: Page) -> None:
    tablet.goto("/counter")
    tablet.get_by_role("link", name="For staff").tap()
    tablet.get_by_label("Code").fill(CODE)
    tablet.get_by_role("button", name="Unlock").tap()
    expect(tablet.get_by_role("heading", level=1)).to_have_text("Shelf")
    tablet.get_by_role("navigation", name="Pages").get_by_role("link", name="Counter").tap()
    tablet.get_by_role("link", name="Lock again").tap()
    tablet.get_by_role("button", name="Lock this browser again").tap()
    expect(tablet.get_by_role("heading", level=1)).to_have_text("What would you like to do?")
    tablet.goto("/layers")
    expect(tablet).to_have_url("/counter")


def test_by_keyboard_alone(visit: Visit) -> None:
    page = visit("/counter")
    for _ in range(12):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.closest('.asks') !== null"):
            break
    page.keyboard.press("Enter")
    expect(page.get_by_role("heading", level=1)).to_have_text("Cover an old colour")


def test_the_pages_are_clean_and_fit(visit: Visit) -> None:
    for path in ("/counter", "/counter/black", "/counter/light", "/counter/unlock"):
        page = visit(path, reduced_motion="reduce")
        for room in ("light", "dark"):
            page.emulate_media(color_scheme=room)
            found = Axe().run(page)
            assert found.violations_count == 0, found.generate_report()
        for width in (2560, 1280, 820, 390, 360):
            page.set_viewport_size({"width": width, "height": 900})
            assert page.evaluate("document.documentElement.scrollWidth") <= width
