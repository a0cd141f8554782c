"""The look: greys without colour, sizes a hand and an eye need, and the chart's own white and black."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import scumble.web
from scumble.chart.strip import write_colour
from scumble.jobs.shelf.paint_strip import BAR_BLACK, screen_colour
from scumble.paint.drawdown import CHART_WHITE

FOLDER = Path(scumble.web.__file__).parent
CSS = (FOLDER / "static" / "room.css").read_text(encoding="utf-8")
BENCH = "".join(
    (FOLDER / "static" / name).read_text(encoding="utf-8") for name in ("bench.css", "painting.css")
)
FILES = sorted([*(FOLDER / "static").iterdir(), *(FOLDER / "templates").iterdir()])


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.name)
def test_the_room_has_no_colour_of_its_own(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    for colour in re.findall(r"#([0-9a-fA-F]{6}|[0-9a-fA-F]{3})\b(?![^<]*</code>)", text):
        parts = re.findall("..", colour) if len(colour) == 6 else list(colour)
        assert len(set(parts)) == 1, colour
    assert not re.search(r"\b(rgb|hsl|hwb|lab|lch|oklab|oklch|color)\(", text)


def variables(block: str) -> dict[str, int]:
    body = CSS[CSS.index(block) :]
    return {
        name: int(grey, 16) for name, grey in re.findall(r"--(\w+): #([0-9a-f]{2})", body[: body.index("}")])
    }


def luminance(grey: int) -> float:
    share = grey / 255
    return share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4


def contrast(first: int, second: int) -> float:
    """Contrast of WCAG 2.2, success criterion 1.4.3."""
    light, dark = sorted((luminance(first), luminance(second)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.parametrize(
    "block", [":root {", ':root[data-room="dim"] {', ':root[data-room="as the screen"] {']
)
def test_words_stand_out_from_every_surface(block: str) -> None:
    grey = variables(block)
    for surface in ("wall", "raised"):
        assert contrast(grey["ink"], grey[surface]) >= 7
        assert contrast(grey["quiet"], grey[surface]) >= 4.5
        assert contrast(grey["edge"], grey["wall"]) >= 3


def test_both_ways_to_the_dim_room_are_the_same() -> None:
    assert variables(':root[data-room="dim"] {') == variables(':root[data-room="as the screen"] {')


def test_no_words_are_smaller_than_16_pixels_and_no_target_than_44() -> None:
    sizes = re.findall(r"font(?:-size)?:[^;]*?(\d*\.?\d+)(rem|px|em)", CSS + BENCH)
    assert sizes and all(float(size) >= (16 if unit == "px" else 1.0) for size, unit in sizes)
    for target in ("button", ".house", ".orders a", ".back"):
        body = CSS[CSS.index(f"{target} {{") :]
        assert re.search(r"min-height: 4[4-9]px", body[: body.index("}")]), target


def test_the_sheet_is_the_white_that_strips_are_drawn_on() -> None:
    grey = dict(re.findall(r"--(sheet|bar): (#[0-9a-f]{6})", CSS))
    assert grey["sheet"] == write_colour(screen_colour([CHART_WHITE] * 36))
    assert grey["bar"] == write_colour(screen_colour([BAR_BLACK] * 36))


def test_motion_can_be_refused_and_focus_is_seen() -> None:
    assert "prefers-reduced-motion: no-preference" in CSS
    still = CSS[: CSS.index("@media (prefers-reduced-motion")]
    assert "transition" not in still and "animation" not in still
    assert re.search(r":focus-visible \{ outline: 3px solid", CSS)
