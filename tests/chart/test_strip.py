"""The painted strip: what it shows, how small it is, and that it is drawn the same way twice."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ElementTree

import numpy as np
import pytest

from scumble.chart.brush import Stroke, bristle_ridges, dab_outline, stroke_outline
from scumble.chart.strip import HANGING, LYING, NARROW, StripColours, StripShape, draw_steps, draw_strip

SVG = "{http://www.w3.org/2000/svg}"
RED, DARK, WHITE, BLACK = (np.array(each) for each in ((0.8, 0.1, 0.1), (0.2, 0, 0), (0.9,) * 3, (0.1,) * 3))


def colours(*, levels: int = 5, stops: int = 15, tints: int = 6) -> StripColours:
    share = np.linspace(0.0, 1.0, stops)[None, :, None] * np.linspace(0.8, 1.0, levels)[:, None, None]
    steps = np.linspace(0.0, 1.0, max(tints, 1))[:tints, None, None] * np.ones((1, 3, 1))
    return StripColours(
        over_white=RED + (WHITE - RED) * share,
        over_black=DARK + (BLACK - DARK) * share,
        tints=RED + (WHITE - RED) * steps,
        white=WHITE,
        black=BLACK,
    )


@pytest.mark.parametrize("shape", [HANGING, LYING, NARROW])
def test_it_is_a_small_whole_document_that_refers_to_nothing_outside(shape: StripShape) -> None:
    drawn = draw_strip(colours(), shape, seed=1)
    root = ElementTree.fromstring(drawn)
    assert root.tag == f"{SVG}svg"
    assert root.get("viewBox") == f"0 0 {shape.width:g} {shape.height:g}"
    assert len(drawn.encode()) < 15_000
    assert "style" not in drawn and "script" not in drawn and "url(http" not in drawn
    names = {element.get("id") for element in root.iter() if element.get("id")}
    used = set(re.findall(r"url\(#(\w+)\)", drawn)) | set(re.findall(r'href="#(\w+)"', drawn))
    assert used <= names


def test_the_same_seed_draws_the_same_strip_and_another_one_another() -> None:
    first, again, other = (draw_strip(colours(), HANGING, seed=seed) for seed in (4, 4, 5))
    assert first == again != other


def test_the_stroke_runs_through_the_colours_it_was_given() -> None:
    root = ElementTree.fromstring(draw_strip(colours(levels=1), HANGING, seed=1))
    gradient = next(each for each in root.iter(f"{SVG}linearGradient") if each.get("id") == "w0")
    stops = [stop.get("stop-color") for stop in gradient]
    assert stops[0] == "#cc1a1a" and len(stops) == 15
    assert (gradient.get("y1"), gradient.get("y2")) == ("16", "314")


def test_ground_and_bar_keep_their_own_colours() -> None:
    drawn = draw_strip(colours(), HANGING, seed=1)
    assert '<path d="M0 0h152v330h-152z" fill="#e6e6e6"/>' in drawn
    assert '<path d="M0 46h152v34h-152z" fill="#1a1a1a"/>' in drawn


def test_steps_into_white_are_drawn_only_where_there_are_any() -> None:
    with_steps, without = (draw_strip(colours(tints=tints), HANGING, seed=1) for tints in (6, 0))
    assert len(with_steps) > len(without) + 1000
    assert draw_steps(colours(), seed=1).count('fill="#cc1a1a"') >= 1
    assert len(draw_steps(colours(), seed=1)) < 8_000


def test_colours_that_do_not_change_need_no_stops() -> None:
    plain = colours()
    still = StripColours(
        np.broadcast_to(RED, plain.over_white.shape), plain.over_black, plain.tints, WHITE, BLACK
    )
    root = ElementTree.fromstring(draw_strip(still, HANGING, seed=1))
    gradient = next(each for each in root.iter(f"{SVG}linearGradient") if each.get("id") == "w0")
    assert len(list(gradient)) == 2


@pytest.mark.parametrize("runs_down", [True, False])
def test_edges_are_irregular_but_clean(runs_down: bool) -> None:
    stroke = Stroke(10, 20, 100, 300, runs_down) if runs_down else Stroke(10, 20, 300, 100, runs_down)
    for seed in range(20):
        path = stroke_outline(stroke, np.random.default_rng(seed))
        numbers = np.array([float(each) for each in re.findall(r"-?\d*\.?\d+", path)]).reshape(-1, 2)
        low, high = numbers.min(axis=0), numbers.max(axis=0)
        assert np.all(np.abs(low - [10, 20]) < 7)
        assert np.all(np.abs(high - [10 + stroke.width, 20 + stroke.height]) < 7)
        assert len({round(x, 1) for x in numbers[:, 0]}) > 10


def test_ridges_are_thick_at_both_edges_and_of_every_kind_between() -> None:
    ridges = bristle_ridges(Stroke(0, 0, 80, 300, True), 5, np.random.default_rng(2))
    assert ridges[0].level == ridges[-1].level == 4
    assert {ridge.level for ridge in ridges} == {0, 1, 3, 4}


def test_a_dab_stays_in_its_box() -> None:
    for seed in range(20):
        path = dab_outline(100, 50, 30, 20, np.random.default_rng(seed))
        numbers = np.array([float(each) for each in re.findall(r"-?\d*\.?\d+", path)]).reshape(-1, 2)
        assert np.all(numbers.min(axis=0) > [98, 48]) and np.all(numbers.max(axis=0) < [132, 72])
