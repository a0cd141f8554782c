"""What light must do in any films: conserve energy, be reversible, and not notice where a film is cut in two."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scumble.optics.film import film_response, film_response_and_slopes
from scumble.optics.fresnel import diffuse_reflectance_inside
from scumble.optics.response import Response, bare_face
from scumble.optics.stack import stack_response

INDICES = (1.47, 1.48, 1.5)
depth = st.floats(1e-6, 300.0)
reflectance = st.floats(0.0, 1.0)


def numbers(response: Response) -> np.ndarray:
    return np.stack([response.reflected, response.inward, response.outward, response.returned])


def column(*films: float) -> np.ndarray:
    return np.array(films)[:, None]


@pytest.mark.parametrize("index", INDICES)
@given(depths=st.lists(depth, min_size=1, max_size=6))
@settings(max_examples=40, deadline=None)
def test_nothing_is_lost_where_nothing_absorbs(index: float, depths: list[float]) -> None:
    films = stack_response(column(*[0.0] * len(depths)), column(*depths), index=index)
    let_in = bare_face(index).inward
    # The table of modes starts at an absorption of 1e-9 of the scattering, which a film 300 deep can just feel.
    np.testing.assert_allclose(films.reflected + films.inward, let_in, atol=1e-5)
    np.testing.assert_allclose(films.outward + films.returned, 1.0, atol=1e-5)
    np.testing.assert_allclose(films.over(1.0), let_in, atol=2e-5)


@given(absorption=st.lists(depth, min_size=1, max_size=5), scattering=depth, ground=reflectance)
@settings(max_examples=60, deadline=None)
def test_nothing_is_gained(absorption: list[float], scattering: float, ground: float) -> None:
    films = stack_response(column(*absorption), scattering)
    assert np.all(numbers(films) >= -1e-9)
    assert films.reflected.item() + films.inward.item() <= 0.96 + 1e-9
    assert 0.0 <= films.over(ground).item() <= 0.96 + 1e-9


@given(absorption=depth, scattering=depth, share=st.floats(0.01, 0.99))
@settings(max_examples=60, deadline=None)
def test_a_film_may_be_cut_in_two(absorption: float, scattering: float, share: float) -> None:
    whole = stack_response(column(absorption), column(scattering))
    cut = stack_response(
        column(share * absorption, (1 - share) * absorption),
        column(share * scattering, (1 - share) * scattering),
    )
    np.testing.assert_allclose(numbers(cut), numbers(whole), atol=2e-7)


@given(films=st.lists(st.tuples(depth, depth), min_size=2, max_size=4))
@settings(max_examples=40, deadline=None)
def test_light_is_reversible(films: list[tuple[float, float]]) -> None:
    """Films between two white layers that forget direction let the same light through when turned over."""
    absorption, scattering = np.array(films).T
    ends = np.array([[0.0, 300.0]])
    order = np.vstack([ends, np.stack([absorption, scattering], axis=1), ends])
    there = stack_response(order[:, :1], order[:, 1:])
    back = stack_response(order[::-1, :1], order[::-1, 1:])
    np.testing.assert_allclose(there.inward, back.inward, rtol=1e-3, atol=1e-12)
    np.testing.assert_allclose(there.outward, back.outward, rtol=1e-3, atol=1e-12)


@pytest.mark.parametrize("index", INDICES)
def test_no_film_is_a_bare_face(index: float) -> None:
    thin = stack_response(column(1e-12), column(1e-12), index=index)
    face = bare_face(index)
    np.testing.assert_allclose(numbers(thin)[:, 0], numbers(face), atol=1e-7)
    assert thin.returned.item() == pytest.approx(diffuse_reflectance_inside(index), abs=1e-7)


def test_an_endless_film_forgets_its_ground() -> None:
    thick = film_response(np.array([5.0, 50.0]), 100.0)
    np.testing.assert_allclose(thick.over(0.0), thick.over(1.0), atol=1e-6)


def test_endless_films_depend_on_the_ratio_alone() -> None:
    np.testing.assert_allclose(
        film_response(100.0, 400.0).over(0.5), film_response(250.0, 1000.0).over(0.5), atol=1e-6
    )
    np.testing.assert_allclose(
        film_response(1e4, 4e4).over(0.5), film_response(250.0, 1000.0).over(0.5), atol=1e-6
    )


@given(absorption=st.floats(1e-4, 50.0), scattering=st.floats(1e-4, 100.0), ground=reflectance)
@settings(max_examples=80, deadline=None)
def test_more_absorption_is_darker(absorption: float, scattering: float, ground: float) -> None:
    _, by_absorption, _ = film_response_and_slopes(absorption, scattering)
    film = film_response(absorption, scattering)
    assert film.slope_over(by_absorption, ground).item() <= 1e-6


def test_slopes_are_those_of_the_film() -> None:
    rng = np.random.default_rng(4)
    absorption, scattering = 10 ** rng.uniform(-3, 1.5, (2, 500))
    step = 1e-6
    _, by_absorption, by_scattering = film_response_and_slopes(absorption, scattering)
    for slope, moved in (
        (by_absorption, lambda h: film_response(absorption * (1 + h), scattering)),
        (by_scattering, lambda h: film_response(absorption, scattering * (1 + h))),
    ):
        expected = (numbers(moved(step)) - numbers(moved(-step))) / (2 * step)
        depth = absorption if slope is by_absorption else scattering
        np.testing.assert_allclose(numbers(slope) * depth, expected, atol=1e-6)


def test_slope_over_a_ground_is_the_derivative() -> None:
    film, by_absorption, _ = film_response_and_slopes(0.7, 1.3)
    step = 1e-6
    more, less = film_response(0.7 + step, 1.3), film_response(0.7 - step, 1.3)
    expected = (more.over(0.6) - less.over(0.6)) / (2 * step)
    assert film.slope_over(by_absorption, 0.6).item() == pytest.approx(expected.item(), rel=1e-4)
    ground = (film.over(0.6 + step) - film.over(0.6 - step)) / (2 * step)
    assert film.ground_slope(0.6).item() == pytest.approx(ground.item(), rel=1e-6)
