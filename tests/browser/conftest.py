"""A real Chromium on the pages of a small shelf; what it complains of and where it asks is kept."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from typing import Any
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import Browser, Page, expect, sync_playwright
from tests.browser.hands import HASTY, PATIENCE_MS, make_patient
from tests.jobs.shelves import read_shelf
from tests.web.server import serving

from scumble.web.app import create_app

QUIET = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


WITHOUT_A_CHIP = "GPU stall due to ReadPixels"
"""What Chromium says of its own composing where no graphics chip draws a page's WebGL; there is none in a test."""


@pytest.fixture(scope="session", autouse=True)
def patience() -> Iterator[None]:
    """Nothing is touched before its page stands, and what is expected may take its time."""
    with pytest.MonkeyPatch.context() as patch:
        make_patient(patch)
        expect.set_options(timeout=PATIENCE_MS)
        yield


@pytest.fixture(scope="session")
def address(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    with serving(create_app(read_shelf(tmp_path_factory.mktemp("browser") / "shelf.sqlite"))) as served:
        yield served


@pytest.fixture(scope="session")
def browser() -> Iterator[Browser]:
    program = shutil.which("chromium") or shutil.which("chromium-browser")
    assert program, "these tests need Chromium: apt-get install chromium, or run ./check"
    with sync_playwright() as playwright:
        # Playwright gives every launch a user-data folder of its own and removes it.
        launched = playwright.chromium.launch(executable_path=program, args=QUIET)
        yield launched
        launched.close()


@pytest.fixture
def visit(browser: Browser, address: str) -> Iterator[Callable[..., Page]]:
    """Open a page in a context of its own; at the end nothing may have been complained of or asked elsewhere.

    A hasty page is not gone to yet: its test wants to be faster than the page's scripts.
    """
    contexts, complaints, elsewhere = [], [], []

    def open_page(path: str = "/", *, hasty: bool = False, **options: Any) -> Page:
        # Contrast is looked at and places are measured when nothing moves, unless a test is about motion.
        options.setdefault("reduced_motion", "reduce")
        context = browser.new_context(base_url=address, **options)
        contexts.append(context)
        page = context.new_page()
        page.set_default_timeout(PATIENCE_MS)
        page.on(
            "console",
            lambda said: (
                complaints.append(said.text)
                if said.type in ("error", "warning") and WITHOUT_A_CHIP not in said.text
                else None
            ),
        )
        page.on("pageerror", lambda error: complaints.append(str(error)))
        page.on(
            "response",
            lambda got: complaints.append(f"{got.status} {got.url}") if got.status >= 400 else None,
        )
        page.on(
            "request",
            lambda asked: (
                elsewhere.append(asked.url) if urlsplit(asked.url).hostname != "127.0.0.1" else None
            ),
        )
        if hasty:
            HASTY.add(page)
        else:
            page.goto(path)
        return page

    yield open_page
    for context in contexts:
        context.close()
    assert complaints == []
    assert elsewhere == []
