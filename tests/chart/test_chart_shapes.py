"""Washes, clipping, signs and painted strokes: the shapes that charts are made of."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.jobs.printed import PX_PER_MM, colour_at, render

from scumble.chart.box import Box
from scumble.chart.clip import clip_ring, path_rings
from scumble.chart.painted import Zone, draw_dab, draw_painted_stroke
from scumble.chart.sheet import Polygon, Rectangle, Sheet, Wash
from scumble.chart.sheet_pdf import draw_pdf
from scumble.chart.sheet_svg import draw_svg
from scumble.chart.signs import FILM_TONES, draw_beyond, draw_transparency
from scumble.chart.triangle import cell_centre, triangle_parts

RED, YELLOW, BLUE = (1.0, 0.0, 0.0), (1.0, 1.0, 0.0), (0.0, 0.0, 1.0)
SQUARE = ((5.0, 5.0), (20.0, 5.0), (20.0, 35.0), (5.0, 35.0))


def turned(ring) -> float:
    """Area, negative where the ring runs the other way round."""
    return 0.5 * sum(a[0] * b[1] - b[0] * a[1] for a, b in zip(ring, (*ring[1:], *ring[:1]), strict=True))


def test_wash_runs_through_its_stops() -> None:
    wash = Wash((SQUARE,), (5.0, 5.0), (5.0, 35.0), ((0.0, RED), (0.5, YELLOW), (1.0, BLUE)))
    picture = render(draw_pdf([Sheet(40.0, 40.0, (wash,))], title="wash"))
    for y, expected in (
        (5.2, RED),
        (12.5, (1.0, 0.5, 0.0)),
        (20.0, YELLOW),
        (27.5, (0.5, 0.5, 0.5)),
        (34.8, BLUE),
    ):
        np.testing.assert_allclose(colour_at(picture, 12.0, y), expected, atol=0.04)
    np.testing.assert_array_equal(colour_at(picture, 30.0, 20.0), 1.0)
    drawn = draw_svg(Sheet(40.0, 40.0, (wash,)), title="wash")
    assert '<stop offset="0.5" stop-color="#ffff00"/>' in drawn


def test_flat_wash_fills_overlapping_rings_without_a_hole() -> None:
    inner = ((8.0, 8.0), (18.0, 8.0), (18.0, 30.0), (8.0, 30.0))
    wash = Wash((SQUARE, inner), (0.0, 0.0), (1.0, 0.0), ((0.0, BLUE),))
    picture = render(draw_pdf([Sheet(40.0, 40.0, (wash,))], title="flat"))
    np.testing.assert_allclose(colour_at(picture, 12.0, 20.0), BLUE, atol=1e-6)
    assert "<linearGradient" not in draw_svg(Sheet(40.0, 40.0, (wash,)), title="flat")


corners = st.lists(st.tuples(st.floats(-9, 9), st.floats(-9, 9)), min_size=3, max_size=9)


@given(corners, st.floats(-5, 5), st.floats(-5, 5))
def test_clipped_rings_stay_in_the_box(points, x: float, y: float) -> None:
    box = Box(x, y, 4.0, 3.0)
    for px, py in clip_ring(tuple(points), box):
        assert box.x_mm - 1e-9 <= px <= box.right_mm + 1e-9
        assert box.y_mm - 1e-9 <= py <= box.bottom_mm + 1e-9


@given(corners, st.floats(-8, 8), st.booleans())
def test_two_halves_of_a_ring_make_up_the_whole(points, cut: float, upright: bool) -> None:
    ring = tuple(points)
    halves = (
        (Box(-10.0, -10.0, 10.0 + cut, 20.0), Box(cut, -10.0, 10.0 - cut, 20.0))
        if upright
        else (Box(-10.0, -10.0, 20.0, 10.0 + cut), Box(-10.0, cut, 20.0, 10.0 - cut))
    )
    assert sum(turned(clip_ring(ring, half)) for half in halves) == pytest.approx(turned(ring), abs=1e-6)


def test_clipping_a_square_keeps_what_they_share() -> None:
    assert turned(clip_ring(SQUARE, Box(10.0, 0.0, 100.0, 20.0))) == pytest.approx(10.0 * 15.0)
    assert clip_ring(SQUARE, Box(50.0, 50.0, 5.0, 5.0)) == ()


def test_curves_of_path_data_end_where_they_are_written() -> None:
    (ring,) = path_rings("M0,0C.5 -1,1.5 -1,2 0Q3,1 2,2L0 2z", scale=2.0, x_mm=1.0)
    assert (
        ring[0] == (1.0, 0.0) and ring[4] == (5.0, 0.0) and ring[8] == (5.0, 4.0) and ring[-1] == (1.0, 4.0)
    )
    # The middle of the first curve, by de Casteljau: (1, -0.75).
    assert ring[2] == pytest.approx((3.0, -1.5))


def strip_zones(box: Box) -> list[Zone]:
    over = np.linspace(0.2, 0.9, 5)[None, :, None] * np.ones((3, 1, 3))
    bar = np.full((3, 1, 3), 0.1)
    return [Zone(box, over), Zone(Box(0.0, 12.0, 40.0, 5.0), bar)]


def test_stroke_shows_each_zone_in_its_colours_and_keeps_to_its_box() -> None:
    box = Box(10.0, 5.0, 12.0, 30.0)
    shapes = draw_painted_stroke(box, strip_zones(Box(0.0, 0.0, 40.0, 40.0)), runs_down=True, seed=4)
    picture = render(draw_pdf([Sheet(40.0, 40.0, shapes)], title="stroke"))
    np.testing.assert_allclose(colour_at(picture, 16.0, 14.0), 0.1, atol=0.01)
    assert colour_at(picture, 16.0, 7.0)[0] < colour_at(picture, 16.0, 25.0)[0]
    xs = [x for shape in shapes for ring in shape.rings for x, _ in ring]
    assert min(xs) > box.x_mm - 0.06 * box.width_mm and max(xs) < box.right_mm + 0.06 * box.width_mm


def test_the_same_seed_draws_the_same_hand() -> None:
    box = Box(10.0, 5.0, 12.0, 30.0)
    one, same, other = (
        draw_painted_stroke(box, strip_zones(box), runs_down=False, seed=n) for n in (1, 1, 2)
    )
    assert one == same and one != other
    dabs = [draw_dab(box, np.array([[0.1] * 3, [0.5] * 3, [0.9] * 3]), seed=n) for n in (1, 1, 2)]
    assert dabs[0] == dabs[1] and dabs[0] != dabs[2]


def test_one_ruled_line_less_is_seen_at_each_step_of_the_mark() -> None:
    films = [draw_transparency(0.0, 0.0, 10.0, step=step) for step in range(4)]
    # Three lines under the film, the film, and the lines seen through it.
    assert [len(shapes) for shapes in films] == [7, 6, 5, 4]
    assert [shapes[3].fill for shapes in films] == list(FILM_TONES)
    for shapes in films:
        assert all(isinstance(shape, Rectangle) for shape in shapes)
        assert min(shape.x_mm for shape in shapes) >= 0.0
        assert max(shape.x_mm + shape.width_mm for shape in shapes) <= 10.0


def test_the_corner_lies_in_the_top_right_of_its_swatch() -> None:
    (corner,) = draw_beyond(Box(2.0, 3.0, 10.0, 8.0), side_mm=2.0)
    assert isinstance(corner, Polygon)
    assert set(corner.rings[0]) == {(10.0, 3.0), (12.0, 3.0), (12.0, 5.0)}


def test_triangle_has_every_mixture_once_and_neighbours_at_one_distance() -> None:
    parts = triangle_parts(6)
    assert len(parts) == len(set(parts)) == 28
    assert all(sum(each) == 6 for each in parts)
    place = {each: cell_centre(Box(0.0, 0.0, 100.0, 100.0), each, radius_mm=5.0) for each in parts}
    for one in ((6, 0, 0), (2, 2, 2), (1, 3, 2)):
        for step in ((-1, 1, 0), (-1, 0, 1), (0, -1, 1)):
            other = tuple(a + b for a, b in zip(one, step, strict=True))
            if other in place:
                assert math.dist(place[one], place[other]) == pytest.approx(5.0 * math.sqrt(3.0))


def test_rendered_size_is_true_to_scale() -> None:
    sheet = Sheet(40.0, 30.0, (Rectangle(10.0, 5.0, 20.0, 10.0, fill=(0.0, 0.0, 0.0)),))
    dark = render(draw_pdf([sheet], title="scale"))[..., 0] < 128
    rows, columns = np.flatnonzero(dark.any(axis=1)), np.flatnonzero(dark.any(axis=0))
    assert len(columns) / PX_PER_MM == pytest.approx(20.0, abs=0.2)
    assert len(rows) / PX_PER_MM == pytest.approx(10.0, abs=0.2)
    assert columns[0] / PX_PER_MM == pytest.approx(10.0, abs=0.2)
