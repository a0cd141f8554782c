"""A first day with Scumble in a real browser: first run, a card's photograph, its paint, layers, a painting, print.

Once with a mouse on a desk, once with a thumb on a tablet, once with the keyboard alone; every page clean, nothing
complained of, nothing asked for from elsewhere.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
import pytest
from axe_playwright_python.sync_playwright import Axe
from PIL import Image
from playwright.sync_api import Locator, Page, expect
from tests.browser.hands import WORK_MS
from tests.jobs.shelves import read_shelf
from tests.web.server import serving

from scumble.web.app import create_app

pytestmark = [pytest.mark.browser, pytest.mark.slow]

Visit = Callable[..., Page]
Press = Callable[[Locator], None]

CARD = Path(__file__).parents[2] / "demo" / "cards" / "classroom-magenta.jpg"

DESK = {"viewport": {"width": 1440, "height": 900}}
TABLET = {"viewport": {"width": 820, "height": 1180}, "has_touch": True, "is_mobile": True}


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """A shelf of this module's own: what is kept here must not hang on another's."""
    with serving(create_app(read_shelf(tmp_path_factory.mktemp("day") / "shelf.sqlite"))) as served:
        yield served


@pytest.fixture(scope="module")
def painting(tmp_path_factory: pytest.TempPathFactory) -> Path:
    shades = np.linspace(30, 230, 240, dtype=np.uint8)
    place = tmp_path_factory.mktemp("day") / "painting.png"
    Image.fromarray(np.stack([np.tile(shades, (160, 1))] * 3, axis=-1)).save(place)
    return place


def click(target: Locator) -> None:
    target.click()


def tap(target: Locator) -> None:
    target.tap()


def type_enter(target: Locator) -> None:
    """By keyboard: reach it, and press it as a person would."""
    target.focus()
    expect(target).to_be_focused()
    target.press("Enter")


def is_clean(page: Page) -> None:
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()


MANNERS = [("a mouse", DESK, click), ("a thumb", TABLET, tap), ("the keyboard", DESK, type_enter)]


@pytest.mark.parametrize(("manner", "screen", "press"), MANNERS, ids=[manner for manner, _, _ in MANNERS])
def test_a_first_day(
    visit: Visit, painting: Path, manner: str, screen: dict[str, object], press: Press
) -> None:
    page = visit("/", **screen)
    doors = page.get_by_role("navigation", name="Pages")
    walk = page.get_by_role("complementary", name="A walk through the pages")
    expect(walk).to_contain_text("New here?")
    is_clean(page)
    press(walk.get_by_role("button", name="Begin the walk"))
    expect(walk).to_contain_text("A wall of strips")
    press(walk.get_by_role("button", name="Leave the walk"))
    expect(walk).to_have_count(0)

    label = f"Magenta by {manner}"
    press(doors.get_by_role("link", name="Cards"))
    page.get_by_label("Photographs, scans or instrument files", exact=True).set_input_files(CARD)
    press(page.get_by_role("button", name="Read them"))
    read = page.locator("#tray .tray > li", has_text=CARD.name).first
    expect(read).to_contain_text("16 painted areas were read", timeout=WORK_MS)
    press(read.get_by_role("link").first)
    expect(page.locator(".found polygon")).to_have_count(22)
    page.get_by_role("combobox", name="Name", exact=True).fill(label)
    page.get_by_label("Pigments").fill("PV19")
    page.get_by_label("Pigments").blur()
    expect(page.get_by_role("heading", level=1)).to_have_text(label)
    is_clean(page)
    press(page.get_by_role("button", name="Keep it on the shelf"))
    expect(page.get_by_role("status")).to_contain_text(f"{label} is on the shelf")

    press(page.get_by_role("link", name="Its page"))
    expect(page.get_by_role("heading", level=1)).to_contain_text(label)
    is_clean(page)

    press(page.get_by_role("link", name="Lay it over something"))
    expect(page.get_by_role("heading", level=1)).to_have_text("Layers")
    expect(page.locator(".films")).to_contain_text("1")
    grip = page.locator("#grip-1")
    before = grip.get_attribute("aria-valuetext")
    grip.focus()
    grip.press("ArrowUp")
    expect(grip).not_to_have_attribute("aria-valuetext", before or "")
    is_clean(page)

    press(doors.get_by_role("link", name="On a painting"))
    page.wait_for_url("**/painting*")
    page.locator("#file").set_input_files(painting)
    expect(page.locator("#said")).to_contain_text("240 by 160 pixels, is on the easel")
    page.locator("#lay").fill(label)
    expect(page.locator("#films [role=option]")).to_have_count(1)
    page.keyboard.press("Enter")
    expect(page.locator("[id^=paint-]").first).to_have_value(label)
    is_clean(page)

    press(doors.get_by_role("link", name="Print"))
    page.wait_for_url("**/print*")
    kind = page.get_by_label("Handout")
    kind.focus()
    kind.press("Space") if press is type_enter else kind.check()
    expect(page.get_by_role("img", name="Handout of")).to_be_visible()
    page.get_by_label("Another paint").fill(label)
    page.get_by_label("Another paint").press("Enter")
    expect(page.get_by_role("img", name=f"Handout of {label}")).to_be_visible()
    is_clean(page)
    with page.expect_download() as taken:
        press(page.get_by_role("link", name="Take the PDF"))
    assert Path(taken.value.path()).read_bytes().startswith(b"%PDF")
