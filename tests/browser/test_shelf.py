"""The Shelf and what lies behind it, toured by keyboard, mouse and touch; axe finds nothing on any of its pages."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect
from tests.jobs.shelves import read_shelf
from tests.web.server import serving

from scumble.web.app import create_app

pytestmark = pytest.mark.browser

Visit = Callable[..., Page]

PHONE = {"viewport": {"width": 360, "height": 740}, "has_touch": True, "is_mobile": True}
PAGES = (
    "/",
    "/?mark=opaque&hue=red",
    "/?find=zebra",
    "/beside",
    "/beside?paint=class-blue&paint=viridian&paint=cadmium-red",
    "/paints/class-blue",
    "/paints/class-blue/papers",
    "/bin",
    "/import",
    "/export",
)
LIST = b"Name;CI name;Qty\nWindow blue;PB15:3;3\nClass white;PW6;many\n"


@pytest.fixture(scope="module")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """A shelf of this module's own, as it is written to."""
    with serving(create_app(read_shelf(tmp_path_factory.mktemp("shelf") / "shelf.sqlite"))) as served:
        yield served


def test_a_stroke_finds_paints_from_any_page(visit: Visit) -> None:
    page = visit("/layers")
    page.keyboard.press("/")
    expect(page.locator("#seek")).to_be_focused()
    page.keyboard.type("transparent warm yellow")
    page.keyboard.press("Enter")
    page.wait_for_url("**/?find=transparent+warm+yellow")
    expect(page.locator(".wall a", has_text="Nickel azo yellow")).to_be_visible()
    page.locator("h1").click()
    page.keyboard.press("/")
    expect(page.locator("#find")).to_be_focused()
    page.keyboard.type("pb15:3/")
    expect(page.locator("#find")).to_have_value("pb15:3/")


def test_the_wall_is_narrowed_and_picked_from(visit: Visit) -> None:
    page = visit("/")
    page.locator(".narrow summary").click()
    page.locator("select[name=mark]").select_option("opaque")
    expect(page.locator("#count")).to_contain_text("pass")
    expect(page).to_have_url(re.compile("mark=opaque"))
    expect(page.locator("select[name=mark]")).to_be_focused()
    page.locator("select[name=hue]").select_option("red")
    page.wait_for_url("**hue=red**")
    marks = page.locator(".wall .unseen", has_text="opaque")
    assert marks.count() == page.locator(".wall > li").count() >= 1
    page.locator("select[name=hue]").select_option("")
    page.wait_for_url(lambda address: "hue=red" not in address)
    for box in page.locator(".pick input").all()[:2]:
        box.check()
    page.get_by_role("button", name="Lay the picked side by side").click()
    page.wait_for_url("**/beside?**")
    expect(page.locator(".beside-strips > li")).to_have_count(2)
    expect(page.locator(".pairs b").first).to_be_visible()


@pytest.mark.parametrize("room", ["light", "dim"])
def test_picks_are_kept_while_pages_turn_and_put_back_by_keyboard(visit: Visit, room: str) -> None:
    page = visit("/?order=name")
    if room == "dim":
        page.get_by_role("button", name="Dim the room").click()
        expect(page.get_by_role("button", name="Light the room")).to_be_visible()
    bar = page.locator("#beside .picked")
    first = page.locator(".wall > li").first.locator("a").inner_text()
    page.locator(".pick input").first.focus()
    page.keyboard.press("Space")
    expect(bar.locator("span")).to_have_text("one picked; one more, at least")
    page.locator("#find").fill("ultramarine")
    expect(page.locator("#count")).to_contain_text("answer to")
    page.locator(".pick input").first.check()
    page.locator(".pick input").nth(1).check()
    expect(bar.locator("li")).to_have_count(3)
    expect(bar.locator("span")).to_have_text("3 picked")
    page.goto("/paints/viridian")
    page.goto("/?order=name")
    expect(page.locator(".pick input").first).to_be_checked()
    put_back = bar.get_by_role("button", name="Put Ultramarine").first
    put_back.focus()
    page.keyboard.press("Enter")
    expect(bar.locator("li")).to_have_count(2)
    expect(bar.locator("li button").nth(1)).to_be_focused()
    bar.get_by_role("button", name="Lay the picked side by side").press("Enter")
    page.wait_for_url("**/beside?**")
    expect(page.locator(".beside-strips > li")).to_have_count(2)
    expect(page.locator(".beside-strips a").first).to_have_text(first)


def test_more_than_six_have_no_room(visit: Visit) -> None:
    page = visit("/?order=name")
    for box in page.locator(".pick input").all()[:7]:
        box.check()
    lay = page.get_by_role("button", name="Lay the picked side by side")
    expect(lay).to_be_disabled()
    expect(page.locator(".picked span")).to_have_text("7 picked; six have room")
    page.locator(".pick input").first.uncheck()
    expect(lay).to_be_enabled()


def test_papers_are_written_and_undone_by_keyboard(visit: Visit) -> None:
    page = visit("/paints/class-blue/papers")
    page.locator("#f-price").focus()
    page.keyboard.type("8.90")
    page.keyboard.press("Tab")
    page.keyboard.type("EUR")
    page.keyboard.press("Enter")
    page.wait_for_url("**papers?version=1**")
    expect(page.locator("#f-price")).to_have_value("8.90")
    page.get_by_role("button", name="Undo").focus()
    page.keyboard.press("Enter")
    page.wait_for_url("**/papers")
    expect(page.locator("#f-price")).to_have_value("")
    expect(page.get_by_role("button", name="Go back to 1 of the shop's word")).to_be_visible()


def test_a_list_is_dropped_on_a_phone_and_its_wrong_cell_shown(visit: Visit) -> None:
    page = visit("/import", **PHONE)
    page.locator("#file").set_input_files({"name": "list.csv", "mimeType": "text/csv", "buffer": LIST})
    expect(page.locator("td.wrong")).to_contain_text("many")
    expect(page.get_by_role("button", name="Take all of it in")).to_have_count(0)
    page.locator("select[name=column]").nth(2).select_option("")
    page.get_by_role("button", name="Look again").tap()
    page.get_by_role("button", name="Take all of it in").tap()
    expect(page.locator(".said-so", has_text="All of it is on the")).to_be_visible()


@pytest.mark.parametrize("room", ["light", "dim"])
def test_axe_finds_nothing(visit: Visit, address: str, room: str) -> None:
    page = visit("/bin", reduced_motion="reduce")
    page.context.add_cookies([{"name": "room", "value": room, "url": address}])
    for path in PAGES:
        page.goto(path)
        page.evaluate("for (const each of document.querySelectorAll('details')) each.open = true")
        found = Axe().run(page).response["violations"]
        assert found == [], (
            path,
            [(each["id"], [node["html"] for node in each["nodes"]][:3]) for each in found],
        )


@pytest.mark.parametrize("width", [320, 360, 768, 1280, 3840])
def test_no_page_is_wider_than_its_screen(visit: Visit, width: int) -> None:
    page = visit("/bin", viewport={"width": width, "height": 800})
    for path in PAGES:
        page.goto(path)
        assert page.evaluate("document.documentElement.scrollWidth") <= width, path
