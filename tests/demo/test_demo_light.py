"""The simulator's engine against numbers from elsewhere and against the laws light keeps."""

import numpy as np
import pytest
from demo.light import FilmTable, film_response, stack_response

FACE = 0.04  # Fresnel reflectance of n = 1.5 at normal incidence, ((n - 1) / (n + 1))^2

# Film of n = 1.5 in optical contact with a Lambertian ground, total reflectance with the face, normal incidence.
# Converged to 1e-6 by a solver of its own (azimuth-averaged doubling, Fresnel-mapped double-Gauss nodes, which
# reproduces the slab tables of van de Hulst 1980, Multiple Light Scattering, to their last digit).
FILM_ON_GROUND = [
    # albedo, optical thickness, g, ground, reflectance
    (0.9, 2, 0.0, 0.0, 0.221077),
    (0.9, 2, 0.0, 0.8, 0.308491),
    (0.9, 2, 0.6, 0.0, 0.104578),
    (0.9, 2, 0.6, 0.8, 0.265033),
    (0.99, 5, 0.6, 0.0, 0.306490),
    (0.99, 5, 0.6, 0.8, 0.520235),
    (0.999, 10, 0.0, 0.0, 0.726240),
    (0.999, 10, 0.0, 0.85, 0.801948),
    (0.5, 1, 0.0, 0.0, 0.075617),
    (0.5, 1, 0.0, 0.8, 0.146200),
    (0.0, 0.5, 0.0, 0.8, 0.154774),
]


@pytest.mark.parametrize(("albedo", "depth", "g", "ground", "expected"), FILM_ON_GROUND)
def test_film_on_a_ground(albedo, depth, g, ground, expected):
    absorption, scattering = np.array([depth * (1 - albedo)]), np.array([depth * albedo * (1 - g)])
    seen = film_response(absorption, scattering, anisotropy=g).over(np.array([ground]))
    # 32 quadrature points leave iadpython within 3e-5 of the converged value.
    assert seen[0] + FACE == pytest.approx(expected, abs=4e-5)


def test_semi_infinite_isotropic():
    """Giovanelli 1955, Optica Acta 2, 153-162: albedo 0.9, n = 1.5, normal incidence, 0.2600."""
    thick = film_response(np.array([20.0]), np.array([180.0]), anisotropy=0.0)
    assert thick.over(np.array([0.0]))[0] + FACE == pytest.approx(0.2600, abs=2e-4)


def test_clear_film_is_its_face():
    """Diffuse internal reflectance of n = 1.5 is 0.5963458 (closed form of Walsh 1926, as in Duntley 1942)."""
    clear = film_response(np.array([0.0]), np.array([0.0]))
    assert clear.from_below[0] == pytest.approx(0.5963458, abs=6e-5)
    assert clear.up[0] == pytest.approx(1 - 0.5963458, abs=6e-5)
    assert clear.down[0] == pytest.approx(1 - FACE, abs=1e-6)
    assert clear.from_air[0] == pytest.approx(0, abs=1e-6)


def test_energy_is_kept_without_absorption():
    scattering = np.geomspace(0.01, 100, 7)
    film = film_response(np.zeros(7), scattering)
    np.testing.assert_allclose(film.from_air + film.down, 1 - FACE, atol=2e-5)
    np.testing.assert_allclose(film.up + film.from_below, 1, atol=2e-5)
    np.testing.assert_allclose(film.over(np.ones(7)), 1 - FACE, atol=5e-5)


def test_splitting_a_film_changes_nothing():
    absorption, scattering = np.geomspace(0.01, 10, 6), np.geomspace(8, 0.1, 6)
    whole = film_response(absorption, scattering).over(0.7)
    split = stack_response([(0.2 * absorption, 0.2 * scattering), (0.8 * absorption, 0.8 * scattering)]).over(
        0.7
    )
    np.testing.assert_allclose(split, whole, atol=1e-6)


def test_films_are_listed_from_the_ground_up():
    white, dark = (np.array([0.01]), np.array([15.0])), (np.array([3.0]), np.array([0.1]))
    assert stack_response([white, dark]).over(0.5)[0] < 0.1
    assert stack_response([dark, white]).over(0.5)[0] > 0.6


def test_table_between_its_nodes():
    rng = np.random.default_rng(4)
    absorption, scattering = 10 ** rng.uniform(-2, 1.3, 5), 10 ** rng.uniform(-1, 1.3, 5)
    table = FilmTable(absorption, scattering, thinnest=0.05, thickest=2.5)
    for coats in (0.061, 0.3, 1.07, 2.3):
        direct = film_response(absorption * coats, scattering * coats)
        for ground in (0.0, 0.4, 0.9):
            np.testing.assert_allclose(table.response(coats).over(ground), direct.over(ground), atol=2e-5)
