"""Curves in a frame: places, marks and words."""

from __future__ import annotations

import xml.etree.ElementTree as ElementTree

import numpy as np

from scumble.chart.curve import Curve, Dot, Frame, Haze, draw_curves


def test_places_run_from_the_lower_left_to_the_upper_right() -> None:
    frame = Frame(380, 730, 0, 1)
    assert frame.place([380, 730, 555], [0, 1, 0.5]).tolist() == [[0, 1000], [1000, 0], [500, 500]]


def test_a_log_axis_gives_every_doubling_the_same_room() -> None:
    frame = Frame(1 / 16, 8, 0, 1, x_is_log=True)
    steps = np.diff(frame.place(2.0 ** np.arange(-4, 4), np.zeros(8))[:, 0])
    assert np.allclose(steps, 1000 / 7)


def test_everything_asked_for_is_drawn_and_said() -> None:
    x = np.linspace(0, 1, 5)
    drawn = draw_curves(
        Frame(0, 1, 0, 1, x_marks=(0.5,), y_marks=(0.25, 0.75)),
        [Haze(x, x / 2, x), Curve(x, x, "#102030", is_dashed=True), Dot(0.5, 0.5, size=9.0)],
        words='A "red" & more',
    )
    root = ElementTree.fromstring(drawn)
    assert root.get("aria-label") == 'A "red" & more' and root.get("role") == "img"
    assert [path.get("class") for path in root] == ["grid", "haze", "curve", "dot"]
    assert root[2].get("stroke") == "#102030" and root[2].get("stroke-dasharray")
    assert root[0].get("d") == "M500 0V1000M0 750H1000M0 250H1000"
