"""The layer bench in a real browser: by mouse, by keyboard alone, and without script."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, Route, expect
from tests.browser.hands import wait_for

from scumble.colour import delta_e_2000, srgb_to_xyz, white_point, xyz_to_lab

pytestmark = pytest.mark.browser

Visit = Callable[..., Page]

START = "/layers?paint=viridian&paint=cadmium-yellow&coats=0.2&coats=1"
CHOSEN = '.swatch.chosen rect[data-fill="chosen.colour"]'


def drag(page: Page, film: int, up: int) -> None:
    box = page.locator(f"#grip-{film} .knob").bounding_box()
    assert box
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    for step in range(1, 31):
        page.mouse.move(x, y - up * step / 30)
    page.mouse.up()


def test_films_are_laid_by_hand(visit: Visit) -> None:
    page = visit(START)
    swatch = page.locator(CHOSEN)
    before = swatch.get_attribute("fill")
    drag(page, 2, 60)
    expect(page.locator("#undo")).to_be_enabled()
    coats = float(page.locator("#coats-2").input_value())
    # A film of 0.2 coats stands 35 pixels high; 60 more are 1.06 coats.
    assert coats == pytest.approx(((92 * 0.2**0.6 + 60) / 92) ** (1 / 0.6), rel=0.02)
    expect(page.locator("#grip-2")).to_have_attribute("aria-valuetext", f"{coats:.3g} coats")
    after = swatch.get_attribute("fill")
    assert after != before
    expect(page).to_have_url(re.compile(f"coats={coats:g}"))
    took = page.evaluate("performance.getEntriesByName('layers').map((each) => each.duration)")
    took = sorted(took)
    print(f"\n{len(took)} answers; from input to swatch p50 {took[len(took) // 2]:.0f} ms, ", end="")
    print(f"p95 {took[int(0.95 * len(took))]:.0f} ms, best {took[0]:.0f} ms")
    assert took

    page.locator("#undo").click()
    expect(page.locator("#coats-2")).to_have_value("0.2")
    assert page.locator(CHOSEN).get_attribute("fill") == before
    page.locator("#redo").click()
    expect(page.locator("#coats-2")).to_have_value(f"{coats:g}")
    page.reload()
    assert page.locator(CHOSEN).get_attribute("fill") == after


def test_the_bench_needs_nothing_but_a_keyboard(visit: Visit) -> None:
    page = visit(START)
    page.locator("#redo, #undo").first.evaluate("(each) => each.ownerDocument.querySelector('#main').focus()")
    for _ in range(4):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.id") == "grip-1":
            break
    grip = page.locator("#grip-1")
    expect(grip).to_be_focused()
    assert (
        page.evaluate("getComputedStyle(document.querySelector('#grip-1 .ring')).stroke")
        != "rgba(0, 0, 0, 0)"
    )
    page.keyboard.press("PageDown")
    expect(grip).to_have_attribute("aria-valuetext", "0.5 coat")
    page.keyboard.press("ArrowUp")
    expect(page.locator("#coats-1")).to_have_value("0.54")
    expect(page.locator("#said")).to_contain_text("contrast ratio")
    page.keyboard.press("Shift+ArrowUp")
    expect(page.locator("#paint-2")).to_have_value("Cadmium yellow")
    expect(page.locator("#grip-2")).to_be_focused()
    page.keyboard.press("Control+z")
    expect(page.locator("#paint-1")).to_have_value("Cadmium yellow")

    page.locator("#lay").focus()
    page.keyboard.type("pb15 class")
    expect(page.locator("#bench [role=option]")).to_have_count(1)
    page.keyboard.press("ArrowDown")
    page.keyboard.press("Enter")
    expect(page.locator("#paint-3")).to_have_value("Class blue")
    expect(page.locator("#coats-3")).to_be_focused()
    page.keyboard.type("0.1")
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    expect(page.locator("#white-3")).to_be_focused()
    bare = page.locator(CHOSEN).get_attribute("fill")
    page.keyboard.type("4")
    page.keyboard.press("Enter")
    expect(page.locator(".words").first).to_contain_text("1 Class blue : 4 Class white, 0.1 coat")
    assert page.locator(CHOSEN).get_attribute("fill") != bare
    page.locator("#grip-3").focus()
    page.keyboard.press("Delete")
    expect(page.locator(".films > li")).to_have_count(2)


def test_two_layerings_are_compared_and_one_is_saved(visit: Visit) -> None:
    page = visit("/layers?paint=viridian&coats=0.2")
    page.get_by_role("button", name="Keep this and change another").click()
    expect(page.locator(".compared")).to_contain_text("No eye tells them apart")
    page.locator("#ground-own").check()
    page.locator("#own").fill("20, 4, 6")
    page.keyboard.press("Enter")
    expect(page.locator(".compared")).to_contain_text("than the kept one")
    page.locator("#light-A").check()
    expect(page.locator(".words").last.locator("xpath=following-sibling::p").first).to_contain_text(
        "lamplight"
    )
    page.get_by_label("wet").check()
    expect(page.locator("#words ~ p").first).to_contain_text("still wet")
    page.get_by_role("button", name="Change the kept one").click()
    expect(page.locator('#layering input[name="ground"]:checked')).to_have_value("white")
    page.get_by_role("button", name="Stop comparing").click()
    expect(page.locator(".compared")).to_have_count(0)
    page.get_by_label("Save this as").fill("Leaf in shade")
    page.get_by_role("button", name="Save", exact=True).click()
    expect(page.get_by_role("link", name="Leaf in shade")).to_have_attribute("aria-current", "true")


def test_the_bench_works_without_script(visit: Visit) -> None:
    page = visit(START, java_script_enabled=False)
    before = page.locator(CHOSEN).get_attribute("fill")
    page.locator("#coats-2").fill("0.8")
    page.locator("#lay").fill("Burnt umber")
    page.get_by_role("button", name="Lay it").click()
    expect(page.locator(".films > li")).to_have_count(3)
    expect(page.locator("#coats-2")).to_have_value("0.8")
    page.get_by_role("button", name="Take film 3 off").click()
    page.get_by_role("button", name="Show what was changed").click()
    assert page.locator(CHOSEN).get_attribute("fill") != before
    expect(page.locator("#undo")).to_be_hidden()


def test_it_fits_a_phone_and_a_finger(visit: Visit) -> None:
    page = visit(START + "&kept=paint%3Dviridian", viewport={"width": 390, "height": 844}, has_touch=True)
    for width in (2560, 1280, 820, 390, 360):
        page.set_viewport_size({"width": width, "height": 900})
        assert page.evaluate("document.documentElement.scrollWidth") <= width
    small = page.evaluate(
        """[...document.querySelectorAll("button, #bench input:not([type=hidden]), .grip rect, .doors a")]
            .filter((target) => target.getClientRects().length && target.type !== "checkbox")
            .map((target) => [target.id, target.getBoundingClientRect().height])
            .filter(([, height]) => height < 44)"""
    )
    assert small == []


def test_a_dragged_film_is_followed_before_the_bench_answers(visit: Visit) -> None:
    """The swatch moves between colours fetched when the film was taken hold of; the answer then agrees."""
    page = visit(START)
    page.locator("#grip-2").focus()
    wait_for(page, "performance.getEntriesByName('fan').length")
    held: list[Route] = []
    page.route("**/layers/look", lambda route: route.continue_() if held else held.append(route))
    before = page.locator(CHOSEN).get_attribute("fill")
    page.keyboard.down("PageUp")
    expect(page.locator(CHOSEN)).not_to_have_attribute("fill", str(before))
    followed = page.locator(CHOSEN).get_attribute("fill")
    expect(page.locator("#grip-2")).to_have_attribute("aria-valuetext", "0.2 coat")
    held[0].continue_()
    page.keyboard.up("PageUp")
    expect(page.locator("#grip-2")).to_have_attribute("aria-valuetext", "0.4 coat")
    answered = page.locator(CHOSEN).get_attribute("fill")
    rgb = [[int(str(colour)[at : at + 2], 16) / 255 for at in (1, 3, 5)] for colour in (followed, answered)]
    assert delta_e_2000(*(xyz_to_lab(srgb_to_xyz(each), white_point()) for each in rgb)) < 1.0


def test_a_dry_ground_is_chosen_and_leads_to_a_painting(visit: Visit) -> None:
    page = visit("/layers?paint=viridian&coats=0.2")
    page.locator("#ground-dry").check()
    expect(page.locator("#dry")).to_be_focused()
    page.keyboard.type("burnt umber")
    expect(page.locator("#bench [role=option]")).to_have_count(1)
    page.keyboard.press("Enter")
    expect(page.locator("#words ~ p").first).to_contain_text("on dry Burnt umber")
    expect(page.locator("#ground-dry")).to_be_checked()
    page.get_by_role("link", name="These films on the photograph of a painting").click()
    expect(page.locator("#paint-1")).to_have_value("Viridian")


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_nothing_is_wrong_for_those_who_cannot_see_it(visit: Visit, scheme: str) -> None:
    page = visit(START + "&kept=paint%3Dviridian", color_scheme=scheme)
    found = Axe().run(page)
    assert found.violations_count == 0, found.generate_report()
