"""Drips, pinholes, dust and hairs in an area: told from its film, named, and left out of its average."""

import numpy as np
import pytest
from scipy.ndimage import gaussian_filter

from scumble.card.areas.flaws import look_closely, place_in_words

CELL_MM = (0.5, 0.5)
FILM = np.array([0.35, 0.12, 0.08])
GROUND = np.array([1.0, 1.0, 1.0])


def film(*, ridges=0.05, noise=0.01, seed=1):
    """Thirty by thirty cells of one film with furrows along it."""
    rng = np.random.default_rng(seed)
    furrows = gaussian_filter(rng.standard_normal((30, 30)), (0.6, 8.0))
    lighter = np.exp(ridges * furrows / furrows.std())
    return FILM * lighter[..., None] * (1 + noise * rng.standard_normal((30, 30, 3)))


def kinds(closer):
    return {flaw.kind for flaw in closer.flaws}


@pytest.mark.parametrize("seed", range(8))
def test_a_film_with_furrows_has_no_flaw(seed):
    closer = look_closely(film(seed=seed), CELL_MM, ground=GROUND)
    assert closer.flaws == ()
    assert closer.left_out < 0.03


def test_holes_to_the_ground_are_pinholes_and_leave_the_mean():
    cells = film()
    clean = cells.mean(axis=(0, 1))
    for row, column in ((4, 5), (12, 20), (22, 9), (25, 25)):
        cells[row, column] = 0.5 * cells[row, column] + 0.5 * GROUND
    closer = look_closely(cells, CELL_MM, ground=GROUND)
    assert kinds(closer) == {"pinholes"}
    assert closer.flaws[0].count == 4
    np.testing.assert_allclose(cells[closer.film].mean(axis=0), clean, rtol=0.02)


def test_paint_that_runs_in_over_an_edge_is_a_drip_and_its_place_is_named():
    cells = film()
    clean = cells.mean(axis=(0, 1))
    cells[18:, 3:9] = [0.05, 0.05, 0.3]
    closer = look_closely(cells, CELL_MM, ground=GROUND)
    assert kinds(closer) == {"drip"}
    assert closer.flaws[0].where == "lower left edge"
    assert closer.flaws[0].share == pytest.approx(72 / 900, abs=0.01)
    np.testing.assert_allclose(cells[closer.film].mean(axis=0), clean, rtol=0.02)


def test_dark_specks_are_dust_and_a_long_thin_one_is_a_hair():
    cells = film()
    for row, column in ((4, 5), (12, 20), (22, 9)):
        cells[row, column] = 0.03
    assert kinds(look_closely(cells, CELL_MM, ground=GROUND)) == {"dust"}
    cells = film()
    for step in range(22):
        cells[4 + step, 5 + step // 2] = 0.03
    assert kinds(look_closely(cells, CELL_MM, ground=GROUND)) == {"hair"}


def test_a_place_that_is_seen_nowhere_is_no_film():
    cells = film()
    cells[:, :5] = np.nan
    closer = look_closely(cells, CELL_MM, ground=GROUND)
    assert not closer.film[:, :5].any()
    assert look_closely(np.full((6, 6, 3), np.nan), CELL_MM).left_out == 1.0


@pytest.mark.parametrize(
    ("rows", "columns", "words"),
    [((0, 5), (0, 5), "upper left part"), ((12, 18), (25, 30), "right part"), ((10, 20), (10, 20), "middle")],
)
def test_places_in_words(rows, columns, words):
    spot = np.zeros((30, 30), bool)
    spot[slice(*rows), slice(*columns)] = True
    assert place_in_words(spot) == words
