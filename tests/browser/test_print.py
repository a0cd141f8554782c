"""Charts chosen, looked at and taken in a real browser; by keyboard, by touch, without script."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
from axe_playwright_python.sync_playwright import Axe
from PIL import Image
from playwright.sync_api import Browser, Page, expect
from tests.browser.hands import WORK_MS
from tests.chart.profiles import muted_profile
from tests.web.server import serving

from scumble.jobs.charts import page as print_page
from scumble.web.app import create_app

pytestmark = pytest.mark.browser

Visit = Callable[..., Page]


def holding(words: str) -> re.Pattern[str]:
    return re.compile(re.escape(words))


TRIO = "paint=cobalt-blue&paint=raw-umber&paint=cadmium-red"


def test_from_a_wall_chart_to_a_grid_of_one_s_own_paints(visit: Visit) -> None:
    page = visit("/print")
    expect(page.get_by_role("img", name="Wall chart of")).to_be_visible()
    page.get_by_label("Mixing grid").check()
    expect(page.get_by_role("img", name="Mixing grid of")).to_be_visible()
    chosen = page.locator("#chosen li")
    expect(chosen).to_have_count(4)
    chosen.first.get_by_role("button").click()
    expect(chosen).to_have_count(3)
    page.get_by_label("Add a paint").fill("class bl")
    page.get_by_role("option", name="Class blue").click()
    expect(page.locator("#chosen")).to_contain_text("Class blue")
    expect(page.get_by_role("img", name="Class blue")).to_be_visible()
    page.get_by_label("Steps into white").fill("2:8")
    page.get_by_label("Blank, to paint by hand").check()
    both = re.compile(r"(?=.*ladder=2%3A8)(?=.*blank=true)")
    expect(page.locator(".look figure img")).to_have_attribute("src", both)
    with page.expect_download() as taken:
        page.get_by_role("link", name="Take the PDF").click()
    assert taken.value.suggested_filename == "mix-blank.pdf"
    assert Path(taken.value.path()).read_bytes().startswith(b"%PDF")
    page.reload()
    expect(page.get_by_label("Steps into white")).to_have_value("2:8")


def test_the_look_is_the_pdf_s_own_page(browser: Browser, address: str, tmp_path: Path) -> None:
    """The picture on the page beside the PDF's page drawn by another program: the same but for the edges of letters."""
    page = browser.new_context(base_url=address, viewport={"width": 700, "height": 900}).new_page()
    page.goto(f"/print/page-1.svg?kind=triangle&{TRIO}&page=A5")
    page.screenshot(path=tmp_path / "look.png", clip={"x": 0, "y": 0, "width": 559, "height": 793})
    content = page.request.get(f"/print/chart.pdf?kind=triangle&{TRIO}&page=A5").body()
    page.context.close()
    document = pypdfium2.PdfDocument(content)
    printed = document[0].render(scale=96 / 72).to_pil().convert("RGB").crop((0, 0, 559, 793))
    document.close()
    shown = Image.open(tmp_path / "look.png").convert("RGB")
    # Over two millimetres the different ways to smooth an edge even out; a shape elsewhere would not.
    coarse = [np.asarray(each.resize((74, 105), Image.Resampling.BOX), float) for each in (shown, printed)]
    away = np.abs(coarse[0] - coarse[1]).max(axis=-1)
    assert away.max() < 60 and away.mean() < 2.0
    assert coarse[1].min() < 60, "something is drawn"


def test_a_profile_is_handed_in_and_chosen(visit: Visit, tmp_path: Path) -> None:
    (tmp_path / "muted.icc").write_bytes(muted_profile())
    page = visit(f"/print?kind=mix&{TRIO}")
    page.get_by_label("A printer's own profile").set_input_files(tmp_path / "muted.icc")
    page.get_by_role("button", name="Hand it in").click()
    expect(page.get_by_label("Colours for").locator("option:checked")).to_have_text("Invented muted printer")
    expect(page.get_by_label("Brought in by")).to_be_visible()
    expect(page.locator(".look")).to_contain_text("than this printer can give")


def test_what_cannot_be_drawn_is_said_and_mended(browser: Browser, address: str) -> None:
    page = browser.new_context(base_url=address).new_page()
    page.goto("/print")
    page.get_by_label("Size").fill("A9")
    page.keyboard.press("Tab")
    expect(page.get_by_role("alert")).to_contain_text("page: saw 'A9'; allowed is A5, A4")
    expect(page.get_by_label("Size")).to_have_attribute("aria-invalid", "true")
    page.get_by_label("Size").fill("A4")
    page.keyboard.press("Tab")
    expect(page.get_by_role("img", name="Wall chart of").first).to_be_visible()
    page.context.close()


def test_by_keyboard_alone(visit: Visit) -> None:
    page = visit("/print")
    for _ in range(30):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.id") == "kind-wall":
            break
    ring = page.evaluate("getComputedStyle(document.querySelector('#kind-wall + label')).outlineStyle")
    assert ring == "solid"
    page.keyboard.press("ArrowDown")
    expect(page.get_by_role("img", name="Handout of")).to_be_visible()
    assert page.evaluate("document.activeElement.id") == "kind-handout"
    for _ in range(40):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.textContent") == "Take the PDF":
            break
    with page.expect_download() as taken:
        page.keyboard.press("Enter")
    assert taken.value.suggested_filename == "handout.pdf"


def test_everything_works_without_script(visit: Visit) -> None:
    page = visit("/print", java_script_enabled=False)
    page.get_by_label("Triangle").check()
    page.get_by_role("button", name="Show this").click()
    expect(page.locator(".look figure img")).to_have_attribute("alt", holding("Triangle of"))
    page.get_by_label("Parts in all").fill("4")
    page.get_by_role("button", name="Show this").click()
    expect(page.locator(".look figure img")).to_have_attribute("src", holding("steps=4"))
    page.goto("/print?kind=mix")
    page.locator("#chosen button").first.click()
    expect(page.locator("#chosen li")).to_have_count(3)


def test_the_page_is_clean_and_fits(visit: Visit) -> None:
    for query in ("", "?kind=glaze", "?kind=labels"):
        page = visit(f"/print{query}", reduced_motion="reduce")
        for room in ("light", "dark"):
            page.emulate_media(color_scheme=room)
            found = Axe().run(page)
            assert found.violations_count == 0, found.generate_report()
        for width in (2560, 1280, 820, 390, 360):
            page.set_viewport_size({"width": width, "height": 900})
            assert page.evaluate("document.documentElement.scrollWidth") <= width
    small = page.evaluate(
        """[...document.querySelectorAll("main button, main select, main .go, main input:not([type=hidden])")]
            .filter((target) => target.getClientRects().length && target.type !== "checkbox")
            .map((target) => [target.id || target.textContent, target.getBoundingClientRect().height])
            .filter(([, height]) => height < 44)"""
    )
    assert small == []


@pytest.fixture
def many(browser: Browser, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Page]:
    """The page where a chart of the starter shelf already counts as large."""
    from tests.jobs.shelves import illustrative_shelf

    monkeypatch.setattr(print_page, "LARGE", 20)
    with serving(create_app(illustrative_shelf(tmp_path / "shelf.sqlite"))) as served:
        context = browser.new_context(base_url=served)
        yield context.new_page()
        context.close()


def test_a_large_chart_is_drawn_in_the_background(many: Page) -> None:
    many.goto("/print")
    expect(many.get_by_role("img", name="Wall chart of 61 paints")).to_be_visible(timeout=WORK_MS)
    expect(many.locator("#waits")).to_have_count(0)
    many.reload()
    expect(many.get_by_role("img", name="Wall chart of 61 paints")).to_be_visible()
