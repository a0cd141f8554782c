"""Hands that wait: nothing is touched, measured or typed before the page and its scripts are here.

Playwright acts on a page as soon as an element stands, which on a slow computer is before the page's modules have
run. `load` comes after them: modules in the head are run before the document counts as parsed.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any
from weakref import WeakSet

import pytest
from playwright.sync_api import Locator, Page

PATIENCE_MS = 30_000
"""How long a person may have to wait on a slow computer that does other things beside."""

WORK_MS = 180_000
"""How long work may take that a page follows: reading a card, looking for recipes, choosing tubes."""

HASTY: WeakSet[Page] = WeakSet()
"""Pages whose tests want to be faster than the scripts."""

ON_ELEMENTS = (
    "blur",
    "bounding_box",
    "check",
    "clear",
    "click",
    "count",
    "dispatch_event",
    "evaluate",
    "evaluate_all",
    "fill",
    "focus",
    "get_attribute",
    "hover",
    "inner_text",
    "input_value",
    "press",
    "press_sequentially",
    "scroll_into_view_if_needed",
    "select_option",
    "set_input_files",
    "tap",
    "text_content",
    "type",
    "uncheck",
)
ON_PAGES = ("evaluate", "screenshot")
BY_HAND = ("keyboard", "mouse", "touchscreen")


def wait_until_it_stands(page: Page) -> None:
    if page not in HASTY:
        page.wait_for_load_state("load")


def wait_for(page: Page, condition: str) -> None:
    """Until something is so in the page that no element shows; Playwright's own way to wait asks for `unsafe-eval`."""
    page.evaluate(
        f"""async () => {{
            const until = performance.now() + {PATIENCE_MS};
            while (!({condition})) {{
                if (performance.now() > until) throw new Error("still not so");
                await new Promise((done) => setTimeout(done, 20));
            }}
        }}"""
    )


def patient(act: Callable[..., Any]) -> Callable[..., Any]:
    @wraps(act)
    def wait_and_act(self: Locator | Page, *given: Any, **options: Any) -> Any:
        wait_until_it_stands(self if isinstance(self, Page) else self.page)
        return act(self, *given, **options)

    return wait_and_act


def make_patient(patch: pytest.MonkeyPatch) -> None:
    """Every hand on a page waits for it from now on."""
    for name in ON_ELEMENTS:
        patch.setattr(Locator, name, patient(getattr(Locator, name)))
    for name in ON_PAGES:
        patch.setattr(Page, name, patient(getattr(Page, name)))
    for name in BY_HAND:
        patch.setattr(Page, name, property(patient(getattr(Page, name).fget)))
