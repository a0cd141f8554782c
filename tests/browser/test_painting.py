"""On a painting in a real browser: by mouse, by touch, by keyboard alone, and without a graphics chip."""

from __future__ import annotations

import io
import re
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from axe_playwright_python.sync_playwright import Axe
from PIL import Image
from playwright.sync_api import Page, expect
from tests.browser.hands import wait_for

pytestmark = pytest.mark.browser

Visit = Callable[..., Page]

START = "/painting?paint=viridian&coats=0.3&medium=1"

NO_CHIP = """
const get = HTMLCanvasElement.prototype.getContext;
HTMLCanvasElement.prototype.getContext = function (kind, ...more) {
  return kind === "webgl2" ? null : get.call(this, kind, ...more);
};
"""


@pytest.fixture(scope="module")
def photograph(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Sixteen flat patches, 40 pixels each, losslessly."""
    patches = np.random.default_rng(4).integers(20, 240, (4, 4, 3), dtype=np.uint8)
    path = tmp_path_factory.mktemp("photograph") / "patches.png"
    Image.fromarray(patches.repeat(40, axis=0).repeat(40, axis=1)).save(path)
    return path


def put_up(page: Page, photograph: Path) -> None:
    page.locator("#file").set_input_files(photograph)
    expect(page.locator("#said")).to_contain_text("160 by 160 pixels, is on the easel")


def click_at(page: Page, u: float, v: float) -> None:
    """Click on a place of the picture, in shares of its width and height."""
    picture = page.locator("#picture")
    picture.scroll_into_view_if_needed()
    box = picture.bounding_box()
    assert box
    page.mouse.click(box["x"] + u * box["width"], box["y"] + v * box["height"])


def saved(page: Page) -> np.ndarray:
    with page.expect_download() as download:
        page.get_by_role("button", name="Save the picture").click()
    return np.asarray(Image.open(io.BytesIO(Path(download.value.path()).read_bytes())).convert("RGB")).astype(
        int
    )


def expected(page: Page, colour: list[int]) -> list[int]:
    """What the server says one colour becomes."""
    answer = page.request.post(
        "/painting/point",
        data={
            "layering": {"films": [{"paint": "viridian", "coats": 0.3, "medium": 1}]},
            "colour": [each / 255 for each in colour],
        },
    ).json()
    return [int(answer["after"]["colour"][at : at + 2], 16) for at in (1, 3, 5)]


@pytest.mark.parametrize("chip", ["chip", "worker"])
def test_the_saved_picture_is_what_the_server_says(visit: Visit, photograph: Path, chip: str) -> None:
    page = visit(START)
    if chip == "worker":
        page.context.add_init_script(NO_CHIP)
    page.goto(START)
    put_up(page, photograph)
    laid = saved(page)
    before = np.asarray(Image.open(photograph)).astype(int)
    assert laid.shape == before.shape == (160, 160, 3)
    for at in ((20, 20), (60, 100), (140, 60)):
        seen, wanted = laid[at], expected(page, before[at].tolist())
        np.testing.assert_allclose(seen, wanted, atol=4)


def test_films_are_laid_and_changed_by_mouse(visit: Visit, photograph: Path) -> None:
    page = visit(START)
    put_up(page, photograph)
    slide = page.locator("#slide-1")
    box = slide.bounding_box()
    assert box
    page.mouse.move(box["x"] + box["width"] / 2, box["y"] + 22)
    page.mouse.down()
    for step in range(1, 21):
        page.mouse.move(box["x"] + box["width"] * (0.5 + 0.02 * step), box["y"] + 22)
    page.mouse.up()
    coats = float(page.locator("#coats-1").input_value())
    assert coats > 1
    expect(slide).to_have_attribute("aria-valuetext", f"{coats:g} coats")
    expect(page).to_have_url(re.compile(f"coats={coats:g}"))
    page.get_by_role("button", name="Undo").click()
    expect(page.locator("#coats-1")).to_have_value("0.3")
    page.get_by_role("button", name="Redo").click()
    expect(page.locator("#coats-1")).to_have_value(f"{coats:g}")

    page.locator("#manner-block").check()
    page.locator("#lay").fill("titanium")
    expect(page.locator("#films [role=option]")).not_to_have_count(0)
    page.keyboard.press("Enter")
    expect(page.locator("#paint-2")).to_have_value("Titanium white")
    click_at(page, 0.7, 0.05)
    expect(page.locator("#point")).to_contain_text("It turns lighter")
    page.get_by_role("link", name="These films over this colour").click()
    expect(page.locator("#ground-own")).to_be_checked()
    page.go_back()
    expect(page.locator("#said")).to_contain_text("is on the easel")
    page.get_by_label("Save the films as").fill("Sea glaze")
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.get_by_role("link", name="Sea glaze")).to_have_attribute("aria-current", "true")
    expect(page.locator("#said")).to_contain_text("is on the easel")
    page.get_by_role("button", name="Forget this one").click()
    expect(page.get_by_text("Drop a photograph of the painting here")).to_be_visible()


def test_an_area_is_brushed_dries_and_comes_back(visit: Visit, photograph: Path) -> None:
    page = visit(START)
    put_up(page, photograph)
    before = np.asarray(Image.open(photograph)).astype(int)
    page.locator("#pointer-brush").check()
    expect(page.locator("#area-brush")).to_be_checked()
    box = page.locator("#picture").bounding_box()
    assert box
    page.mouse.move(box["x"] + 0.1 * box["width"], box["y"] + 0.125 * box["height"])
    page.mouse.down()
    page.mouse.move(box["x"] + 0.9 * box["width"], box["y"] + 0.125 * box["height"], steps=12)
    page.mouse.up()
    laid = saved(page)
    np.testing.assert_allclose(laid[20, 60], expected(page, before[20, 60].tolist()), atol=4)
    np.testing.assert_allclose(laid[100, 60], before[100, 60], atol=1)

    page.locator("#inverted").check()
    turned = saved(page)
    np.testing.assert_allclose(turned[20, 60], before[20, 60], atol=1)
    np.testing.assert_allclose(turned[100, 60], expected(page, before[100, 60].tolist()), atol=4)
    page.locator("#inverted").uncheck()

    page.get_by_role("button", name="Let it dry").click()
    expect(page.locator("#said")).to_contain_text("has dried into the picture")
    expect(page.locator("li.film")).to_have_count(0)
    np.testing.assert_allclose(saved(page), laid, atol=1)
    page.get_by_role("button", name="Undo").click()
    expect(page.locator("#paint-1")).to_have_value("Viridian")
    expect(page.locator("#area-brush")).to_be_checked()
    np.testing.assert_allclose(saved(page)[20, 60], laid[20, 60], atol=1)
    page.get_by_role("button", name="Wipe everything off").click()
    np.testing.assert_allclose(saved(page), before, atol=1)


def test_one_colour_and_its_like_and_a_white(visit: Visit, photograph: Path) -> None:
    page = visit(START)
    put_up(page, photograph)
    before = np.asarray(Image.open(photograph)).astype(int)
    page.locator("#area-alike").check()
    expect(page.locator("#pointer-alike")).to_be_checked()
    click_at(page, 0.625, 0.375)
    expect(page.locator("#taken-words")).to_have_text("This colour and its like.")
    page.locator("#reach").fill("2")
    page.locator("#edge").fill("1")
    laid = saved(page)
    changed = np.abs(laid - before).max(axis=2)[20::40, 20::40] > 3
    assert changed[1, 2], changed
    assert changed.sum() <= 3, changed

    lightest = before[20::40, 20::40].min(axis=2)
    page.locator("#area-whole").check()
    page.locator("#pointer-white").check()
    pale, dark = (tuple(np.argwhere(lightest == pick)[0]) for pick in (lightest.max(), lightest.min()))
    click_at(page, (dark[1] + 0.5) / 4, (dark[0] + 0.5) / 4)
    expect(page.locator("#said")).to_contain_text("too dark or too coloured to be white")
    expect(page.locator("#white-words")).to_contain_text("as the photograph has it")
    click_at(page, (pale[1] + 0.5) / 4, (pale[0] + 0.5) / 4)
    expect(page.locator("#white-words")).to_contain_text("taken as white")
    page.get_by_role("button", name="Take film 1 off").click()
    expect(page.locator("li.film")).to_have_count(0)
    white = saved(page)[tuple(40 * each + 20 for each in pale)]
    assert np.ptp(white) <= 3 and white.mean() > 225


def test_a_dragged_film_is_broken_the_same_on_chip_and_in_worker(visit: Visit, photograph: Path) -> None:
    pictures = []
    before = np.asarray(Image.open(photograph)).astype(int)
    for script in ("", NO_CHIP):
        page = visit(START)
        page.context.add_init_script(script)
        page.goto(START)
        put_up(page, photograph)
        page.locator("#broken").fill("60")
        laid = saved(page)
        share = (np.abs(laid - before).max(axis=2) > 3).mean()
        assert 0.1 < share < 0.9
        pictures.append(laid)
    apart = np.abs(pictures[0] - pictures[1]).max(axis=2)
    assert np.quantile(apart, 0.99) <= 3


def test_everything_is_done_by_keyboard(visit: Visit, photograph: Path) -> None:
    page = visit(START)
    put_up(page, photograph)
    page.locator("#seam").focus()
    page.keyboard.press("Home")
    expect(page.locator("#seam")).to_have_attribute("aria-valuetext", "all after")
    page.locator("#picture").focus()
    for key in ("ArrowRight", "ArrowUp", "Enter"):
        page.keyboard.press(key)
    expect(page.locator("#cross")).to_have_attribute("visibility", "visible")
    expect(page.locator("#point")).to_contain_text("give or take")
    page.keyboard.press("b")
    expect(page.locator("#peek")).to_have_attribute("aria-pressed", "true")
    page.keyboard.press("b")
    page.locator("#pointer-look").focus()
    page.keyboard.press("ArrowRight")
    expect(page.locator("#pointer-brush")).to_be_checked()
    page.locator("#picture").focus()
    page.keyboard.press("Enter")
    for _ in range(8):
        page.keyboard.press("Shift+ArrowLeft")
    laid = saved(page)
    before = np.asarray(Image.open(photograph)).astype(int)
    assert np.abs(laid - before)[75, 70].max() > 5
    assert np.abs(laid - before)[20, 20].max() <= 1
    page.locator("#picture").focus()
    page.keyboard.press("Control+z")
    page.locator("#slide-1").focus()
    page.keyboard.press("PageUp")
    assert float(page.locator("#coats-1").input_value()) > 0.3
    page.locator("#lay").focus()
    page.keyboard.type("burnt umber")
    expect(page.locator("#films [role=option]")).to_have_count(1)
    page.keyboard.press("Enter")
    expect(page.locator("#paint-2")).to_have_value("Burnt umber")
    expect(page.locator("#slide-2")).to_be_focused()


def test_a_finger_paints_and_the_page_fits(visit: Visit, photograph: Path) -> None:
    page = visit(START, viewport={"width": 820, "height": 1180}, has_touch=True)
    put_up(page, photograph)
    page.locator("#pointer-brush").tap()
    box = page.locator("#picture").bounding_box()
    assert box
    page.touchscreen.tap(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    expect(page.get_by_role("button", name="Undo")).to_be_enabled()
    for width in (2560, 1280, 820, 390, 360):
        page.set_viewport_size({"width": width, "height": 900})
        wait_for(page, "document.documentElement.scrollWidth <= innerWidth")
    small = page.evaluate(
        """[...document.querySelectorAll("button, #seam, .side input:not([type=hidden])")]
            .filter((target) => target.getClientRects().length && target.type !== "checkbox")
            .map((target) => [target.id, target.getBoundingClientRect().height])
            .filter(([, height]) => height < 44)"""
    )
    assert small == []


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_nothing_is_wrong_for_those_who_cannot_see_it(visit: Visit, photograph: Path, scheme: str) -> None:
    page = visit(START, color_scheme=scheme)
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()
    put_up(page, photograph)
    page.locator("#area-brush").check()
    page.locator("details summary").click()
    page.locator("#picture").focus()
    page.keyboard.press("Enter")
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()


def test_a_file_that_is_no_picture_is_refused_in_words(visit: Visit, tmp_path: Path) -> None:
    page = visit(START)
    path = tmp_path / "notes.png"
    path.write_text("not a picture")
    page.locator("#file").set_input_files(path)
    expect(page.locator("#said")).to_contain_text("notes.png is no picture that this browser opens")


def test_a_tiff_is_opened_with_the_servers_help(visit: Visit, photograph: Path, tmp_path: Path) -> None:
    page = visit(START)
    scan = tmp_path / "scan.tif"
    Image.open(photograph).resize((640, 640)).save(scan)
    page.locator("#file").set_input_files(scan)
    expect(page.locator("#said")).to_contain_text("scan.tif, 640 by 640 pixels, is on the easel")


def test_the_grisaille_is_painted(visit: Visit) -> None:
    page = visit("/painting")
    page.get_by_role("button", name="Try it on a grisaille").click()
    expect(page.locator("#said")).to_contain_text("The grisaille, 1440 by 1080")
    page.get_by_role("button", name="Take film 1 off").click()
    expect(page.locator("li.film")).to_have_count(0)
    grey = saved(page)
    assert np.ptp(grey, axis=2).max() <= 2
    assert grey.min() < 40 and grey.max() > 215
