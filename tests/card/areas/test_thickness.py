"""A film half thick and half thin is set to what it would show at its mean thickness."""

import numpy as np
import pytest

from scumble.card.areas.judge import judge_thickness
from scumble.card.areas.thickness import endless_film, even_out

GROUND = np.array([1.0, 1.0, 1.0])
ENDLESS = np.array([0.30, 0.05, 0.02])
RATE = np.array([0.5, 1.2, 2.0])
"""Optical thickness of a film of mean thickness."""


def shown(thickness):
    return ENDLESS + (GROUND - ENDLESS) * np.exp(-RATE * np.asarray(thickness)[..., None])


def halves(share):
    thickness = np.full((30, 30), 2 * (1 - share))
    thickness[:, :15] = 2 * share
    return thickness


@pytest.mark.parametrize("share", [0.5, 0.6, 0.7, 0.85])
def test_the_mean_is_set_to_that_of_an_even_film(share):
    cells = shown(halves(share))
    even = even_out(cells, cells.mean(axis=(0, 1)), GROUND, ENDLESS)
    np.testing.assert_allclose(even.light, shown(1.0), rtol=0.02, atol=2e-3)
    assert even.spread == pytest.approx(2 * share - 1, abs=0.02)
    if share > 0.5:
        assert even.thick_side[0] < -0.8 and abs(even.thick_side[1]) < 0.05


def test_a_mean_without_it_would_be_too_light():
    cells = shown(halves(0.85))
    assert np.all(cells.mean(axis=(0, 1)) > 1.03 * shown(1.0))


def test_a_film_that_hides_its_ground_says_nothing_of_thickness():
    cells = ENDLESS * np.ones((30, 30, 3))
    even = even_out(cells, ENDLESS.copy(), GROUND, ENDLESS)
    assert even.spread == 0.0
    np.testing.assert_array_equal(even.light, ENDLESS)


def test_the_verdict_names_the_thick_side_and_doubts_more_what_varies_more():
    trusts = []
    for share in (0.62, 0.7, 0.9):
        cells = shown(halves(share))
        mean = cells.mean(axis=(0, 1))
        (fault,) = judge_thickness(even_out(cells, mean, GROUND, ENDLESS), mean, 0.1)
        assert fault.kind == "uneven"
        assert "thick at the left side and thin at the right side" in fault.sentence
        assert "darker than its mean" in fault.sentence
        trusts.append(fault.trust)
    assert trusts == sorted(trusts, reverse=True) and trusts[-1] < 0.5


def test_an_even_film_gets_no_word():
    cells = shown(np.ones((30, 30)) + 0.05 * np.random.default_rng(1).standard_normal((30, 30)))
    mean = cells.mean(axis=(0, 1))
    assert judge_thickness(even_out(cells, mean, GROUND, ENDLESS), mean, 0.02) == ()


def test_two_grounds_tell_the_endless_film():
    black = np.array([0.04, 0.05, 0.06])
    over = [ENDLESS + (ground - ENDLESS) * np.exp(-RATE) for ground in (GROUND, black)]
    np.testing.assert_allclose(endless_film(*over, GROUND, black), ENDLESS, atol=1e-9)
