"""The pictures of the README's tour: printed, painted, photographed, read, and shown, by Scumble run as a program."""

from __future__ import annotations

import io
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import numpy as np
import pypdfium2
from PIL import Image, ImageCms

from demo.camera import CAMERAS
from demo.painting import lay_card
from demo.paints import TUBES, Tube
from demo.sheet import fetch_sheet, serial_of

LARGEST = 150_000
"""Bytes of a picture in the repository."""

DEMO = Path(__file__).parent / "cards"
WHITE, TUBE = "classroom-white", "classroom-magenta"
SCREEN = {"width": 1280, "height": 860}
PATIENCE_MS = 90_000


def write_tour(folder: Path, *, seed: int) -> None:
    """Write `1-print.png` to `5-know.jpg`; the last two need Chromium and playwright."""
    folder.mkdir(parents=True, exist_ok=True)
    number = next(number for number, tube in enumerate(TUBES) if tube.key == TUBE)
    serial = serial_of(1000 * seed + number)
    _keep(folder / "1-print.png", _printed(serial))
    _keep(folder / "2-paint.jpg", _painted(TUBES[number], serial, np.random.default_rng([seed, number])))
    _keep(folder / "3-photograph.jpg", _smaller(_as_shown(DEMO / f"{TUBE}.jpg"), 620))
    with tempfile.TemporaryDirectory() as home:
        shelf = Path(home, "shelf.sqlite")
        _scumble(
            "read",
            DEMO / f"{WHITE}.jpg",
            "-l",
            "Classroom white",
            "--pigment",
            "PW6",
            shelf=shelf,
        )
        with _pages(shelf) as address:
            for name, screen in _screens(address).items():
                _keep(folder / name, screen)


def _printed(serial: str) -> Image.Image:
    """The full card as it comes out of the printer, with a grey edge so that it is seen on a white page."""
    with tempfile.TemporaryDirectory() as folder:
        pdf = Path(folder, "card.pdf")
        _scumble("card", "--serial", serial, "--count", "1", "--out", pdf)
        document = pypdfium2.PdfDocument(pdf)
        try:
            page = document[0].render(scale=620 / document[0].get_width()).to_pil().convert("RGB")
        finally:
            document.close()
    return _edged(page)


def _painted(tube: Tube, serial: str, rng: np.random.Generator) -> Image.Image:
    """The same card with the tube on it, in even light from straight above."""
    card = lay_card(fetch_sheet("full", px_per_mm=6.0, serial=serial), tube, rng)
    camera = CAMERAS["srgb"]
    codes = camera.encode(np.clip(card.seen_by(camera.weights()), 0, 1))
    return _edged(_smaller(Image.fromarray(np.round(255 * codes).astype(np.uint8)), 620))


def _as_shown(path: Path) -> Image.Image:
    """A photograph in the colours of a screen."""
    picture = Image.open(path)
    own = ImageCms.ImageCmsProfile(io.BytesIO(picture.info["icc_profile"]))
    return ImageCms.profileToProfile(picture, own, ImageCms.createProfile("sRGB"))


@contextmanager
def _pages(shelf: Path) -> Iterator[str]:
    """The pages of a shelf, open for as long as they are looked at."""
    command = [_program(), "open", "--shelf", str(shelf), "--port", "0", "--no-browser"]
    running = subprocess.Popen(command, stdout=subprocess.PIPE, text=True)
    try:
        assert running.stdout is not None
        said = running.stdout.readline()
        found = re.search(r"http://\S+", said)
        if found is None:
            raise RuntimeError(f"`scumble open` said: {said}")
        yield found[0].rstrip("/")
    finally:
        running.terminate()
        running.wait(20)


def _screens(address: str) -> dict[str, Image.Image]:
    """A card that was just read, and the page of its paint."""
    from playwright.sync_api import sync_playwright

    program = shutil.which("chromium") or shutil.which("chromium-browser")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=program, args=["--headless", "--no-sandbox"])
        page = browser.new_page(base_url=address, viewport=SCREEN, color_scheme="light")
        page.set_default_timeout(PATIENCE_MS)
        page.goto("/")
        leave = page.get_by_role("button", name="Leave the walk").or_(
            page.get_by_role("button", name="Not now")
        )
        if leave.count():
            leave.first.click()
        page.goto("/cards")
        page.locator("#files").set_input_files(DEMO / f"{TUBE}.jpg")
        page.get_by_role("button", name="Read them").click()
        page.locator('#tray li[data-state="done"] .open').first.click()
        page.get_by_label("Name", exact=True).fill("Magenta")
        page.get_by_label("Pigments").fill("PR122")
        page.get_by_label("Pigments").blur()
        page.get_by_role("heading", level=1, name="Magenta", exact=True).wait_for()
        page.set_viewport_size({"width": SCREEN["width"], "height": 1180})
        page.wait_for_load_state("networkidle")
        read = _screen(page)
        page.set_viewport_size(SCREEN)
        page.get_by_role("button", name="Keep it on the shelf").click()
        page.get_by_role("link", name="Its page").click()
        page.locator(".sheet img").first.wait_for()
        page.wait_for_load_state("networkidle")
        know = _screen(page)
        browser.close()
    return {"4-read.jpg": read, "5-know.jpg": know}


def _screen(page: Any) -> Image.Image:
    return Image.open(io.BytesIO(page.screenshot())).convert("RGB")


def _program() -> str:
    return str(Path(sys.executable).with_name("scumble"))


def _scumble(*words: object, shelf: Path | None = None) -> None:
    """Run Scumble as any person would."""
    more = ("--shelf", str(shelf)) if shelf else ()
    subprocess.run([_program(), *map(str, words), *more], check=True, capture_output=True, text=True)


def _smaller(picture: Image.Image, width: int) -> Image.Image:
    return picture.resize((width, round(picture.height * width / picture.width)), Image.Resampling.LANCZOS)


def _edged(page: Image.Image) -> Image.Image:
    """A sheet of paper on grey."""
    framed = Image.new("RGB", (page.width + 24, page.height + 24), (160, 160, 160))
    framed.paste(page, (12, 12))
    return framed


def _keep(path: Path, picture: Image.Image) -> None:
    """Write a picture, a JPEG as good as its bound allows."""
    if path.suffix == ".png":
        picture.quantize(64).save(path, optimize=True)
        return
    for quality in range(88, 30, -4):
        file = io.BytesIO()
        picture.save(file, "JPEG", quality=quality, optimize=True, progressive=True)
        if len(file.getvalue()) <= LARGEST:
            break
    path.write_bytes(file.getvalue())
