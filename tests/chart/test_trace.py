"""Outlines of areas against the points they were traced from."""

from __future__ import annotations

import numpy as np
import pytest

from scumble.chart.box import Box
from scumble.chart.sheet import Polygon
from scumble.chart.trace import Ring, draw_areas, trace_areas


def area_of(rings: tuple[Ring, ...]) -> float:
    """Signed by turn, so that holes count against: the shoelace formula."""
    return sum(
        0.5 * sum(x * ny - nx * y for (x, y), (nx, ny) in zip(ring, (*ring[1:], ring[0]), strict=True))
        for ring in rings
    )


@pytest.mark.parametrize("seed", range(6))
def test_outlines_hold_the_whole_map_and_leave_no_gap(seed: int) -> None:
    """What one area loses at a corner its neighbour gains: together they are the map, crossings aside."""
    rng = np.random.default_rng(seed)
    places = np.kron(rng.integers(0, 3, (5, 7)), np.ones((6, 6), dtype=np.int64))
    outlines = trace_areas(places)
    assert sum(area_of(rings) for rings in outlines.values()) == pytest.approx(places.size, rel=0.01)
    for area, rings in outlines.items():
        assert area_of(rings) == pytest.approx((places == area).sum(), rel=0.04)


def test_a_hole_is_a_ring_of_its_own_and_a_point_is_a_diamond() -> None:
    places = np.zeros((5, 5), dtype=np.int64)
    places[2, 2] = 1
    outlines = trace_areas(places)
    assert len(outlines[0]) == 2 and len(outlines[1]) == 1
    assert sorted(outlines[1][0]) == [(2.0, 2.5), (2.5, 2.0), (2.5, 3.0), (3.0, 2.5)]
    assert area_of(outlines[0]) == pytest.approx(25.0 - 0.5)


def test_corners_that_touch_stay_apart() -> None:
    places = np.array([[1, 0], [0, 1]])
    outlines = trace_areas(places)
    assert len(outlines[1]) == 2 and len(outlines[0]) == 2


def test_a_drawn_map_fills_its_box() -> None:
    places = np.array([[0, 1], [0, 1], [2, 2]])
    shapes = draw_areas(
        Box(10.0, 20.0, 40.0, 60.0), trace_areas(places), (2, 3), [(0.1,) * 3, (0.5,) * 3, (0.9,) * 3]
    )
    points = [
        point for shape in shapes if isinstance(shape, Polygon) for ring in shape.rings for point in ring
    ]
    assert min(x for x, _ in points) == 10.0 and max(x for x, _ in points) == 50.0
    assert min(y for _, y in points) == 20.0 and max(y for _, y in points) == 80.0
