"""A hand on the pages in a real Chromium: from the moment it moves to the moment the colour is seen."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager

import numpy as np
from playwright.sync_api import Page, expect, sync_playwright

BARE = ["--headless", "--no-sandbox", "--no-first-run", "--disable-background-networking", "--disable-quic"]
PLAIN = [*BARE, "--disable-gpu"]
SOFTWARE_CHIP = [*BARE, "--use-angle=swiftshader", "--enable-unsafe-swiftshader"]
"""WebGL worked out by the processor, where there is no graphics chip."""

LAYERS = "/layers?paint=viridian&paint=cadmium-yellow&coats=0.2&coats=1"
PAINTING = "/painting?paint=viridian&coats=0.3&medium=1"
DRAGS, MOVES, PAUSE_MS = 4, 60, 16

FRAMES = """async ([width, height, wide, tall]) => {
  const { openLayer } = await import("/static/lay.js");
  const canvas = Object.assign(document.createElement("canvas"), { width: wide, height: tall });
  const picture = new OffscreenCanvas(width, height);
  const paper = picture.getContext("2d");
  for (let at = 0; at < 400; at++) {
    paper.fillStyle = `hsl(${(at * 47) % 360} 60% ${20 + ((at * 13) % 60)}%)`;
    paper.fillRect(((at % 20) * width) / 20, (Math.floor(at / 20) * height) / 20, width / 20, height / 20);
  }
  const nodes = Number(document.querySelector(".painting").dataset.nodes);
  const layer = await openLayer(canvas, nodes);
  const asked = { layering: { films: [{ paint: "viridian", coats: 0.3 }] } };
  const headers = { "content-type": "application/json" };
  const answer = await fetch("/painting/table", { method: "POST", headers, body: JSON.stringify(asked) });
  layer.setPicture(picture);
  layer.setTable("after", new Uint16Array(await answer.arrayBuffer()));
  const gl = layer.gl;
  const took = [];
  for (let at = 0; at < 12; at++) {
    const start = performance.now();
    await layer.draw({ view: [0, 0, 1, 1], split: at / 1000 });
    gl.readPixels(0, 0, 1, 1, gl.RGBA, gl.UNSIGNED_BYTE, new Uint8Array(4));
    took.push(performance.now() - start);
  }
  return took.slice(2);
}"""


@contextmanager
def chromium(address: str, arguments: list[str]) -> Iterator[Page]:
    """A page of a browser that has nothing else to do."""
    program = shutil.which("chromium") or shutil.which("chromium-browser")
    assert program, "apt-get install chromium"
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=program, args=arguments)
        yield browser.new_page(base_url=address, viewport={"width": 1440, "height": 900})
        browser.close()


def measures(page: Page, name: str) -> list[float]:
    """What the page noted under a name [ms]."""
    found: list[float] = page.evaluate(
        "(name) => performance.getEntriesByName(name).map((each) => each.duration)", name
    )
    return found


def drag_on_bench(page: Page) -> tuple[list[float], list[float]]:
    """Milliseconds until the swatch is seen changed, and until the bench's whole answer is."""
    page.goto(LAYERS)
    page.wait_for_load_state("networkidle")
    for _ in range(DRAGS):
        box = page.locator("#grip-2 .knob").bounding_box()
        assert box
        x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
        page.mouse.move(x, y)
        page.mouse.down()
        for move in range(1, MOVES + 1):
            page.mouse.move(x, y - 1.5 * min(move, MOVES - move) - 2)
            page.wait_for_timeout(PAUSE_MS)
        page.mouse.up()
        page.wait_for_timeout(400)
    return measures(page, "at-once"), measures(page, "layers")


def drag_on_painting(page: Page) -> list[float]:
    """Milliseconds until the picture is seen changed."""
    page.goto(PAINTING)
    page.locator("#try").click()
    expect(page.locator("#said")).to_contain_text("is on the easel", timeout=30000)
    page.wait_for_load_state("networkidle")
    page.evaluate("performance.clearMeasures()")
    box = page.locator("#slide-1").bounding_box()
    assert box
    page.mouse.move(box["x"] + box["width"] * 0.4, box["y"] + 22)
    page.mouse.down()
    for move in range(1, 2 * MOVES):
        page.mouse.move(box["x"] + box["width"] * (0.4 + 0.004 * move), box["y"] + 22)
        page.wait_for_timeout(PAUSE_MS)
    page.mouse.up()
    page.wait_for_timeout(600)
    return measures(page, "painting")


def frames(page: Page, picture: tuple[int, int], shown: tuple[int, int]) -> list[float]:
    """Milliseconds of one frame of a picture on a canvas of a given size."""
    page.goto(PAINTING)
    page.wait_for_load_state("networkidle")
    took: list[float] = page.evaluate(FRAMES, [*picture, *shown])
    return took


def middle_and_high(numbers: list[float]) -> tuple[float, float]:
    """Median and 95th percentile."""
    return float(np.median(numbers)), float(np.quantile(numbers, 0.95))
