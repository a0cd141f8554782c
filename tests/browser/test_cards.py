"""Cards toured in a real browser: by mouse, by touch, by keyboard alone; left and come back to."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from demo.target import reference_file
from playwright.sync_api import Browser, Locator, Page, expect
from tests.browser.hands import PATIENCE_MS, WORK_MS
from tests.card.marked.test_read_marked import photograph
from tests.card.test_by_target import scene
from tests.jobs.cards.test_desk import DEMO, SAMPLES
from tests.jobs.shelves import read_shelf
from tests.web.server import serving

from scumble.web.app import create_app

pytestmark = pytest.mark.browser

Visit = Callable[..., Page]

PHONE = {"viewport": {"width": 360, "height": 740}, "has_touch": True, "is_mobile": True}
MAGENTA = DEMO / "cards" / "classroom-magenta.jpg"


@pytest.fixture
def address(tmp_path: Path) -> Iterator[str]:
    """A shelf and a tray of each test's own: a file that lies on the tray already is not put there twice."""
    with serving(create_app(read_shelf(tmp_path / "shelf.sqlite"))) as served:
        yield served


@pytest.fixture(autouse=True)
def while_cards_are_read() -> Iterator[None]:
    """More patience: while a card is read, the computer that reads it is the one that also draws the pages."""
    expect.set_options(timeout=WORK_MS)
    yield
    expect.set_options(timeout=PATIENCE_MS)


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Path]:
    folder = tmp_path_factory.mktemp("dropped")
    made = {"chart": folder / "old chart.png", "samples": folder / "instrument.csv"}
    made["chart"].write_bytes(photograph(slope=0.2, noise=0.01))
    made["samples"].write_bytes(SAMPLES)
    return made


@pytest.fixture(scope="module")
def target(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """A target's reference text, and a photograph of a card with the target beside it."""
    folder = tmp_path_factory.mktemp("target")
    text, picture = folder / "class target.txt", folder / "beside a target.jpg"
    text.write_text(reference_file(measured_error=0.0), encoding="utf-8")
    picture.write_bytes(scene()[1])
    return text, picture


def hand_in(page: Page, *paths: Path) -> None:
    page.get_by_label("Photographs, scans or instrument files", exact=True).set_input_files(list(paths))
    page.get_by_role("button", name="Read them").click()
    are_handed_in(page)


def are_handed_in(page: Page) -> None:
    """All of them have arrived: the field is empty again."""
    expect(page.get_by_label("Photographs, scans or instrument files", exact=True)).to_have_value("")


def item(page: Page, name: str) -> Locator:
    return page.locator("#tray .tray > li", has_text=name).first


def is_accessible(page: Page) -> None:
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()


def test_first_card_by_mouse(visit: Visit) -> None:
    page = visit("/cards", viewport={"width": 1280, "height": 900})
    expect(page.get_by_text("Nothing lies on the tray")).to_be_visible()
    is_accessible(page)
    hand_in(page, MAGENTA)
    expect(item(page, "classroom-magenta.jpg")).to_be_visible()
    # It is read while the page is left, and found again.
    page.goto("/")
    page.get_by_role("link", name="Cards").first.click()
    expect(item(page, "classroom-magenta.jpg")).to_contain_text("16 painted areas were read")
    item(page, "classroom-magenta.jpg").get_by_role("link").first.click()
    expect(page.locator(".found polygon")).to_have_count(22)
    page.locator(".found a", has_text="Thin on red").first.hover()
    expect(page.locator("tr.shown")).to_contain_text("Thin on red")
    page.get_by_label("Your word on Thin on red").select_option("leave out")
    expect(page.locator(".found text", has_text="left out")).to_have_count(1)
    expect(page.locator("tr.out", has_text="Thin on red")).to_have_count(1)
    page.get_by_label("Name", exact=True).fill("Tour magenta")
    page.get_by_label("Pigments").fill("PV19")
    page.get_by_label("Pigments").blur()
    expect(page.get_by_role("heading", level=1)).to_have_text("Tour magenta")
    is_accessible(page)
    page.get_by_role("button", name="Keep it on the shelf").click()
    expect(page.get_by_role("status")).to_contain_text("Tour magenta is on the shelf, version 1")
    page.get_by_role("link", name="Its page").click()
    expect(page.get_by_role("heading", level=1)).to_contain_text("Tour magenta")
    page.go_back()
    page.get_by_role("button", name="Take it back").click()
    expect(page.get_by_role("button", name="Keep it on the shelf")).to_be_visible()


def test_a_word_is_undone_and_a_read_colour_leads_on(visit: Visit) -> None:
    page = visit("/cards", viewport={"width": 1280, "height": 900})
    hand_in(page, MAGENTA)
    link = page.locator('#tray li[data-state="done"] .open', has_text="classroom-magenta.jpg").first
    expect(link).to_be_visible()
    link.click()
    page.get_by_label("Your word on Thin on cyan").select_option("leave out")
    expect(page.locator("tr.out", has_text="Thin on cyan")).to_have_count(1)
    page.get_by_role("button", name="Undo your last word").click()
    expect(page.get_by_label("Your word on Thin on cyan")).to_have_value("")
    expect(page.get_by_role("button", name="Undo your last word")).to_have_count(0)
    page.get_by_role("link", name="Reach Very thin on white with other tubes").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Match")


def test_a_target_is_handed_in_and_its_corners_are_pointed_at(
    visit: Visit, target: tuple[Path, Path]
) -> None:
    page = visit("/cards#colour", viewport={"width": 1280, "height": 1400}, reduced_motion="reduce")
    page.get_by_label("A target's text or a profile").set_input_files(target[0])
    page.get_by_role("button", name="Keep it").click()
    expect(page.get_by_label("Target in the picture")).to_contain_text("96 patches")
    is_accessible(page)
    hand_in(page, target[1])
    item(page, "beside a target.jpg").get_by_role("link").first.click()
    expect(page.locator("#route")).to_contain_text("By the target that lies in the picture")
    is_accessible(page)
    page.get_by_role("button", name="Point at them").click()
    picture = page.locator("#found svg")
    picture.scroll_into_view_if_needed()
    expect(page.locator("#corners-help")).to_contain_text("the outer corner of the first patch")
    box = picture.bounding_box()
    assert box
    for x, y in ((0.6, 0.2), (0.9, 0.2), (0.9, 0.7), (0.6, 0.7)):
        page.mouse.click(box["x"] + x * box["width"], box["y"] + y * box["height"])
    said = page.get_by_label("Corners of the target").input_value()
    corners = [[int(part) for part in pair.split(",")] for pair in said.split()]
    assert len(corners) == 4 and corners[0][0] < corners[1][0] and corners[0][1] < corners[3][1]
    page.get_by_label("Target in the picture").select_option("none")
    page.get_by_label("Corners of the target").fill("")
    page.get_by_role("button", name="Read it like this").click()
    expect(page.locator("#route")).to_contain_text("By guess")
    page.goto("/cards#colour")
    page.get_by_role("button", name="Put class target.txt away").click()
    expect(page.locator("#colour")).to_contain_text("1 put away")


def test_many_files_go_in_parcels_and_can_be_left(visit: Visit, tmp_path: Path) -> None:
    page = visit("/cards", viewport={"width": 1280, "height": 900})
    many = []
    for number in range(23):
        many.append(tmp_path / f"parcel {number}.csv")
        many[-1].write_bytes(SAMPLES)
    sent: list[str] = []
    page.on("request", lambda asked: sent.append(asked.method) if asked.url.endswith("/cards") else None)
    hand_in(page, *many)
    expect(page.locator("#tray .tray > li", has_text="parcel")).to_have_count(23)
    assert sent.count("POST") == 2
    page.goto("/")
    page.goto("/cards")
    expect(page.locator('#tray li[data-state="waiting"], #tray li[data-state="running"]')).to_have_count(0)
    expect(item(page, "parcel 22.csv")).to_contain_text("painted areas were read")


def test_a_chart_is_marked_up_by_mouse_and_read(visit: Visit, files: dict[str, Path]) -> None:
    page = visit("/cards", viewport={"width": 1280, "height": 900})
    hand_in(page, files["chart"])
    expect(item(page, "old chart.png")).to_contain_text("No sample card was found")
    item(page, "old chart.png").get_by_role("link", name="Mark it up by hand").click()
    draw(page, 10, 10, 90, 90)
    draw(page, 110, 10, 190, 90)
    page.get_by_label("What lies in box 2").select_option("bare")
    page.locator("#over-1").fill("black")
    page.locator("#over-1").blur()
    draw(page, 210, 10, 290, 90)
    page.get_by_label("What lies in box 3").select_option("masstone")
    page.locator("#over-2").fill("white")
    page.locator("#over-2").blur()
    draw(page, 110, 110, 190, 190)
    page.locator("#over-3").fill("black")
    page.locator("#over-3").blur()
    draw(page, 210, 110, 290, 190)
    page.get_by_label("What lies in box 5").select_option("tint")
    page.locator("#more-4").fill("4")
    page.locator("#over-4").fill("white")
    page.locator("#over-4").blur()
    is_accessible(page)
    page.get_by_role("button", name="Read the chart").click()
    expect(page.locator(".found polygon")).to_have_count(5)
    expect(page.locator("#areas")).to_contain_text("1 to 4 on white")
    expect(page.locator("#areas")).to_contain_text("Full on black")


def test_a_chart_is_marked_up_by_keyboard_alone(visit: Visit, files: dict[str, Path]) -> None:
    page = visit("/cards", viewport={"width": 1024, "height": 900})
    hand_in(page, files["chart"])
    expect(item(page, "old chart.png")).to_contain_text("No sample card was found")
    item(page, "old chart.png").get_by_role("link", name="Mark it up by hand").press("Enter")
    page.locator("#picture").focus()
    page.keyboard.press("Enter")
    for _ in range(80):
        page.keyboard.press("ArrowUp")
        page.keyboard.press("ArrowLeft")
    expect(page.locator("#told")).to_contain_text("Box 1: 0, 0")
    page.keyboard.press("Shift+ArrowRight")
    page.keyboard.press("Enter")
    expect(page.locator("#drawn g")).to_have_count(2)
    page.keyboard.press("Delete")
    expect(page.locator("#drawn g")).to_have_count(1)
    page.keyboard.press("Control+z")
    expect(page.locator("#drawn g")).to_have_count(2)
    page.get_by_label("What lies in box 2").focus()
    page.keyboard.press("f")
    expect(page.get_by_label("What lies in box 2")).to_have_value("masstone")
    page.get_by_role("button", name="Read the chart").press("Enter")
    expect(page.locator(".found polygon, #wrong:visible").first).to_be_visible()


def test_samples_are_placed_by_clicking(visit: Visit, files: dict[str, Path]) -> None:
    page = visit("/cards", viewport={"width": 1280, "height": 900})
    hand_in(page, files["samples"])
    expect(item(page, "instrument.csv")).to_contain_text("painted areas were read")
    item(page, "instrument.csv").get_by_role("link").first.click()
    expect(page.locator(".samples li.shown")).to_contain_text("something")
    page.get_by_role("button", name="Thin on black").click()
    expect(page.locator("#placing-said")).to_contain_text("something was read on: Thin on black")
    page.get_by_label("Condition").select_option("M1")
    page.get_by_label("Backing").select_option("black")
    is_accessible(page)
    page.get_by_role("button", name="Read it like this").click()
    expect(page.locator("main")).to_contain_text("condition M1")
    expect(page.locator("#areas")).to_contain_text("Thin on black")


@pytest.mark.parametrize("room", ["light", "dark"])
def test_on_a_phone_by_touch(visit: Visit, files: dict[str, Path], room: str) -> None:
    page = visit("/cards", color_scheme=room, **PHONE)
    hand_in(page, MAGENTA, files["samples"])
    expect(page.locator('#tray li[data-state="running"], #tray li[data-state="waiting"]')).to_have_count(0)
    is_accessible(page)
    item(page, "classroom-magenta.jpg").get_by_role("link").first.tap()
    expect(page.locator(".found polygon")).to_have_count(22)
    assert page.evaluate("document.documentElement.scrollWidth") <= 360
    small = page.evaluate(
        "[...document.querySelectorAll('#card button, #card select, #card input')]"
        ".filter(e => e.offsetParent && e.type !== 'checkbox' && e.getBoundingClientRect().height < 44)"
        ".map(e => e.outerHTML)"
    )
    assert small == []
    is_accessible(page)
    page.get_by_role("button", name="Take it off the tray").tap()
    expect(page.locator("#tray")).to_contain_text("taken off")


def test_by_keyboard_alone(visit: Visit) -> None:
    page = visit("/cards", viewport={"width": 1024, "height": 800})
    page.get_by_label("Photographs, scans or instrument files", exact=True).set_input_files(MAGENTA)
    page.get_by_label("Photographs, scans or instrument files", exact=True).focus()
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    are_handed_in(page)
    link = page.locator('#tray li[data-state="done"] .open', has_text="classroom-magenta.jpg").first
    expect(link).to_be_visible()
    link.focus()
    page.keyboard.press("Enter")
    expect(page.locator(".found polygon")).to_have_count(22)
    word = page.get_by_label("Your word on Full on white")
    word.focus()
    page.keyboard.press("l")
    expect(page.locator("tr.out", has_text="Full on white")).to_have_count(1)
    expect(page.get_by_label("Your word on Full on white")).to_be_focused()


def test_without_script_the_same_can_be_done(browser: Browser, address: str) -> None:
    context = browser.new_context(base_url=address, java_script_enabled=False)
    page = context.new_page()
    page.goto("/cards")
    hand_in(page, MAGENTA)
    for _ in range(360):
        if page.locator('#tray li[data-state="running"], #tray li[data-state="waiting"]').count() == 0:
            break
        page.wait_for_timeout(500)
        page.reload()
    page.locator('#tray li[data-state="done"] .open', has_text="classroom-magenta.jpg").first.click()
    page.get_by_label("Your word on Full on black").select_option("leave out")
    page.get_by_role("button", name="Work it out again").click()
    expect(page.get_by_label("Your word on Full on black")).to_have_value("leave out")
    context.close()


def draw(page: Page, left: float, top: float, right: float, bottom: float) -> None:
    """Pull a box over the chart, in points of its picture."""
    picture = page.locator("#picture")
    picture.scroll_into_view_if_needed()
    box = picture.bounding_box()
    assert box
    share = min(box["width"] / 500, box["height"] / 400)
    places = [(box["x"] + x * share, box["y"] + y * share) for x, y in ((left, top), (right, bottom))]
    page.mouse.move(*places[0])
    page.mouse.down()
    page.mouse.move(*places[1], steps=5)
    page.mouse.up()
