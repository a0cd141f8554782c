"""Films over a photograph: the table, one colour of it, and the manners of laying a film."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import pytest
from tests.jobs.shelves import illustrative_shelf

from scumble.colour import delta_e_2000, srgb_to_xyz, white_point, xyz_to_lab
from scumble.errors import InputError
from scumble.jobs.bench.build import Tubes
from scumble.jobs.bench.fan import FAN_COATS, FanAsk, fan_out
from scumble.jobs.bench.look_at_layering import Ask, look
from scumble.jobs.bench.painting import NODES, PaintingAsk, PointAsk, Sheen, draw_table, look_at_point
from scumble.jobs.bench.painting_page import (
    PaintingQuery,
    change_painting,
    example_films,
    lay_in_manner,
    show_painting,
)
from scumble.jobs.bench.request import Bench, BenchFilm, parse_address
from scumble.paint.covering import HIDING_RATIO
from scumble.store.shelf import Shelf, open_shelf

GLAZE = Bench(films=(BenchFilm(paint="viridian", coats=0.3, medium=1),))
TWO = Bench(films=(BenchFilm(paint="cadmium-yellow", coats=0.5), BenchFilm(paint="viridian", coats=0.2)))


@pytest.fixture(scope="module")
def shelf(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shelf]:
    with open_shelf(illustrative_shelf(tmp_path_factory.mktemp("painting") / "shelf.sqlite")) as opened:
        yield opened


def table(shelf: Shelf, layering: Bench, sheen: Sheen | None = None) -> np.ndarray:
    """Values by blue, green, red and channel."""
    drawn = draw_table(shelf, Tubes(shelf), PaintingAsk(layering=layering, sheen=sheen or Sheen()))
    return np.frombuffer(drawn, "<f2").astype(float).reshape(NODES, NODES, NODES, 3)


def between_nodes(values: np.ndarray, rgb: np.ndarray) -> np.ndarray:
    """What a graphics chip does: straight lines between the eight nodes around a colour."""
    place = rgb * (NODES - 1)
    low = np.minimum(place.astype(int), NODES - 2)
    share = place - low
    found = np.zeros_like(rgb)
    for corner in np.ndindex(2, 2, 2):
        weight = np.prod(np.where(corner, share, 1 - share), axis=-1, keepdims=True)
        red, green, blue = (low + corner).T
        found += weight * values[blue, green, red]
    return found


def apart(rgb: np.ndarray, other: np.ndarray) -> np.ndarray:
    white = white_point()
    return delta_e_2000(xyz_to_lab(srgb_to_xyz(rgb), white), xyz_to_lab(srgb_to_xyz(other), white))


def test_without_films_every_colour_stays(shelf: Shelf) -> None:
    step = np.linspace(0, 1, NODES)
    same = np.stack(np.meshgrid(step, step, step, indexing="ij")[::-1], axis=-1)
    np.testing.assert_allclose(table(shelf, Bench()), same, atol=4e-3)


@pytest.mark.parametrize("layering", [GLAZE, TWO, TWO.model_copy(update={"state": "matte", "light": "A"})])
def test_between_nodes_it_is_what_each_colour_becomes(shelf: Shelf, layering: Bench) -> None:
    """Issue 5: the table's path against each colour for itself, mean dE00 below 0.3."""
    rgb = np.random.default_rng(5).uniform(0, 1, (400, 3))
    tubes = Tubes(shelf)
    asked = [PointAsk(layering=layering, colour=tuple(each)) for each in rgb[:40].tolist()]
    exact = [look_at_point(shelf, tubes, each).after.colour for each in asked]
    exact_rgb = np.array([[int(each[at : at + 2], 16) / 255 for at in (1, 3, 5)] for each in exact])
    missed = apart(between_nodes(table(shelf, layering), rgb[:40]), exact_rgb)
    assert missed.mean() < 0.3 and missed.max() < 1.5


def test_the_place_pointed_at_becomes_white(shelf: Shelf) -> None:
    sheen = Sheen(white=(0.7, 0.62, 0.5), white_is=0.8)
    values = table(shelf, Bench(), sheen)
    seen = between_nodes(values, np.array([[0.7, 0.62, 0.5]]))[0]
    assert np.ptp(seen) < 0.01
    luminance = srgb_to_xyz(seen)[1] / 100
    assert luminance == pytest.approx(0.8, abs=0.01)


def test_a_dark_place_is_no_white(shelf: Shelf) -> None:
    with pytest.raises(InputError, match="white: saw '#333300'; allowed is a pale place"):
        table(shelf, Bench(), Sheen(white=(0.2, 0.2, 0.0)))


def test_a_surface_matters_where_a_film_lies(shelf: Shelf) -> None:
    glossy, matte, bare = (
        table(shelf, GLAZE, Sheen(surface=surface))[12, 12, 12, 1] for surface in ("glossy", "matte", "bare")
    )
    assert max(matte, bare) < glossy - 0.01


def test_one_colour_is_told_before_and_after(shelf: Shelf) -> None:
    answer = look_at_point(shelf, Tubes(shelf), PointAsk(layering=GLAZE, colour=(0.8, 0.75, 0.7)))
    assert answer.before.colour == "#ccbfb3"
    assert "green" in answer.after.name and "give or take" not in answer.before.says
    assert answer.difference.startswith("It turns darker")
    bench = parse_address(answer.ground)
    assert (bench.ground, bench.own, bench.painted) == ("own", "#ccbfb3", True)
    assert bench.films == GLAZE.films
    on_bench, _ = look(shelf, Tubes(shelf), Ask(layering=bench))
    named = [
        np.array([int(c[at : at + 2], 16) / 255 for at in (1, 3, 5)])
        for c in (on_bench.chosen.colour, answer.after.colour)
    ]
    assert apart(*named) < 2.0


def test_a_film_is_laid_in_its_manner(shelf: Shelf) -> None:
    tubes = Tubes(shelf)
    glaze = lay_in_manner(tubes, "Viridian", "glaze")
    assert (glaze.coats, glaze.medium) == (0.25, 2.0)
    assert lay_in_manner(tubes, "viridian", "scumble").white == 1.0
    assert lay_in_manner(tubes, "titanium-white", "scumble").white == 0.0
    block = lay_in_manner(tubes, "cadmium-yellow", "block")
    answer, _ = look(shelf, tubes, Ask(layering=Bench(films=(block,))))
    assert answer.contrast_ratio == pytest.approx(HIDING_RATIO, abs=0.005)
    with pytest.raises(InputError, match="manner: saw 'drip'; allowed is glaze, scumble, block"):
        lay_in_manner(tubes, "viridian", "drip")


def test_buttons_change_the_films(shelf: Shelf) -> None:
    query = PaintingQuery(paint=["viridian"], coats=["0.3"], add="Titanium white", manner="block", do="add")
    changed = parse_address(change_painting(shelf, query))
    assert [film.paint for film in changed.films] == ["viridian", "titanium-white"]
    assert changed.films[1].coats > 0.5
    removed = PaintingQuery(paint=["viridian"], coats=["0.3"], do="remove-1")
    assert parse_address(change_painting(shelf, removed)).films == ()


def test_the_page_lists_films_from_the_top(shelf: Shelf) -> None:
    page = show_painting(shelf, PaintingQuery(paint=["viridian", "cadmium-yellow"], coats=["0.2", "1"]))
    assert [(film.number, film.label) for film in page.films] == [(2, "Viridian"), (1, "Cadmium yellow")]
    assert page.films[0].white == "Titanium white" and page.films[0].colour.startswith("#")
    with pytest.raises(InputError, match="manner: saw 'drip'"):
        show_painting(shelf, PaintingQuery(manner="drip"))


def test_the_example_is_a_glaze(shelf: Shelf) -> None:
    (film,) = parse_address(example_films(shelf)).films
    assert film.medium == 2.0


@pytest.mark.parametrize("film", [1, 2])
def test_a_fan_is_what_the_bench_answers(shelf: Shelf, film: int) -> None:
    fan = fan_out(shelf, Tubes(shelf), FanAsk(layering=TWO, film=film))
    for at in (0, 15, 32):
        films = list(TWO.films)
        films[film - 1] = films[film - 1].model_copy(update={"coats": float(FAN_COATS[at])})
        answer, _ = look(shelf, Tubes(shelf), Ask(layering=Bench(films=tuple(films))))
        assert (fan.chosen[at], fan.black[at]) == (answer.chosen.colour, answer.black.colour)
    with pytest.raises(InputError, match="film: saw '3'; allowed is 1 to 2"):
        fan_out(shelf, Tubes(shelf), FanAsk(layering=TWO, film=3))
