"""The block: every film has its place, thicker films stand higher, and the drawing is sound."""

from __future__ import annotations

import re
from itertools import pairwise
from xml.etree import ElementTree

import pytest

from scumble.chart.section import SHORTEST, Slab, Surface, draw_section, film_height

GREY = Surface("#808080", "#888888", "#909090")


def slab(coats: float, share: float = 1.0) -> Slab:
    return Slab(coats, "#445566", (("#112233", share),), GREY)


@pytest.mark.parametrize("films", [0, 1, 2, 5, 12])
def test_it_is_sound_and_has_an_edge_for_every_film(films: int) -> None:
    section = draw_section(GREY, tuple(slab(0.5) for _ in range(films)))
    ElementTree.fromstring(f"<svg>{section.svg}</svg>")
    assert "nan" not in section.svg and "inf" not in section.svg
    assert len(section.edges) == films
    assert section.svg.count("#445566") == films
    for (_, lower), (_, upper) in pairwise(section.edges):
        assert upper < lower
    assert all(0 < down < section.height and 0 < across < 50 for across, down in section.edges)


def test_a_thicker_film_stands_higher_by_its_height() -> None:
    thin, thick = draw_section(GREY, (slab(0.1),)), draw_section(GREY, (slab(1.0),))
    rise = thin.edges[0][1] - thick.edges[0][1]
    assert rise == pytest.approx(film_height(1.0) - film_height(0.1), abs=5)


def test_it_grows_only_when_films_need_the_room() -> None:
    assert draw_section(GREY, (slab(1.0),)).height == SHORTEST
    assert draw_section(GREY, (slab(8.0), slab(8.0))).height > 600


def test_the_same_films_are_drawn_the_same() -> None:
    assert draw_section(GREY, (slab(0.4), slab(0.2))) == draw_section(GREY, (slab(0.4), slab(0.2)))


def grains(svg: str) -> int:
    path = re.search(r'd="([^"]*)" fill="#112233"', svg)
    return path.group(1).count("M") if path else 0


def test_more_paint_shows_more_grains_and_medium_shows_fewer() -> None:
    full, thin, lean = (
        grains(draw_section(GREY, (each,)).svg) for each in (slab(1.0), slab(0.2), slab(1.0, 0.2))
    )
    assert full > thin > 0
    assert full > 3 * lean > 0


def test_grips_of_neighbours_do_not_cover_each_other() -> None:
    edges = draw_section(GREY, tuple(slab(0.01) for _ in range(4))).edges
    for (first, _), (second, _) in pairwise(edges):
        # 13.5 hundredths of the 328 pixels that a narrow phone leaves are a finger's 44.
        assert abs(first - second) >= 13.5
