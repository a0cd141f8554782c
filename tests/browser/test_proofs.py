"""Proofs in a real browser: from the bench to a verdict, by keyboard too, clean in both rooms, whole without script."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect
from tests.jobs.shelves import read_shelf
from tests.web.server import serving

from scumble.web.app import create_app

pytestmark = pytest.mark.browser

Visit = Callable[..., Page]


@pytest.fixture
def address(tmp_path: Path) -> Iterator[str]:
    """A shelf of each test's own: what is kept to prove, and what sharpens a paint, is no other test's."""
    with serving(create_app(read_shelf(tmp_path / "shelf.sqlite"))) as served:
        yield served


def assert_clean(page: Page) -> None:
    for room in ("light", "dark"):
        page.emulate_media(color_scheme=room, reduced_motion="reduce")
        found = Axe().run(page)
        assert found.violations_count == 0, found.generate_report()
    for width in (2560, 1280, 820, 390, 360):
        page.set_viewport_size({"width": width, "height": 900})
        assert page.evaluate("document.documentElement.scrollWidth") <= width
    page.set_viewport_size({"width": 1280, "height": 900})


def keep_from_the_bench(page: Page) -> None:
    page.get_by_role("button", name="Keep it to prove").click()
    page.wait_for_url("**/proofs#proof-*")
    expect(page.get_by_role("heading", name="To be painted")).to_be_visible()


def type_in(page: Page, lab: str) -> None:
    page.get_by_role("link", name="Type in what was measured").first.click()
    page.wait_for_url("**/proofs/*")
    page.get_by_label("L* a* b* of the painted swatch").fill(lab)
    page.get_by_role("button", name="Keep the reading").click()
    expect(page.get_by_role("heading", name="Every reading")).to_be_visible()


def test_from_the_bench_to_a_verdict_and_into_the_paint(visit: Visit) -> None:
    page = visit("/layers?paint=class-blue&coats=0.3")
    keep_from_the_bench(page)
    assert_clean(page)
    type_in(page, "35 -34 -36")
    expect(page.locator("#became")).to_contain_text("than promised")
    assert_clean(page)
    page.goto("/proofs")
    expect(page.get_by_role("heading", name="Promised, and painted")).to_be_visible()
    expect(page.locator("figure svg.curves")).to_have_count(2)
    assert_clean(page)
    page.locator("table a", has_text="Sharpen it").first.click()
    expect(page.get_by_role("heading", name="What would change")).to_be_visible()
    assert_clean(page)
    page.get_by_role("button", name="Let them sharpen it").click()
    expect(page.get_by_role("button", name="Take the last sharpening back")).to_be_visible()
    page.get_by_role("button", name="Take the last sharpening back").click()
    expect(page.get_by_role("button", name="Let them sharpen it")).to_be_visible()


def test_it_is_whole_without_script(visit: Visit) -> None:
    page = visit("/paints/class-blue", java_script_enabled=False)
    page.get_by_label("Is it true? Keep one to prove").select_option("dark")
    page.get_by_role("button", name="Keep it", exact=True).click()
    page.wait_for_url("**/proofs#proof-*")
    type_in(page, "7 -6 -18")
    expect(page.locator("main")).to_contain_text("the one that counts")


def test_boxes_are_ticked_at_once_and_a_file_is_dropped(visit: Visit, tmp_path: Path) -> None:
    page = visit("/layers?paint=class-blue&coats=0.7")
    keep_from_the_bench(page)
    ticked = page.locator('input[name="proof"]:checked')
    count = ticked.count()
    assert count > 0
    page.get_by_role("button", name="Tick all or none").click()
    expect(ticked).to_have_count(0)
    page.get_by_role("button", name="Tick all or none").click()
    expect(ticked).to_have_count(count)
    label = page.locator(".pick label").first.inner_text()
    file = tmp_path / "read.csv"
    file.write_text(f'SAMPLE_ID,L,a,b\n"{label}",20,-20,-30\n')
    page.get_by_label("A photograph of the sheet, or an instrument's file").set_input_files(file)
    page.get_by_role("button", name="Read it", exact=True).click()
    page.wait_for_url("**/proofs#proved")
    expect(page.locator("#proved")).to_contain_text(label)


def test_the_page_is_walked_by_keyboard(visit: Visit) -> None:
    page = visit("/proofs")
    page.get_by_label("Keep another to prove").fill("Class blue")
    page.get_by_label("Keep another to prove").press("Enter")
    page.wait_for_url("**/proofs#proof-*")
    summary = page.locator(".waiting summary").last
    summary.focus()
    summary.press("Enter")
    expect(page.locator(".uncovered").last).to_be_visible()
