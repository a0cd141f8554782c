"""Cards of one white solved together: the white comes nearer to the truth, and nothing counts twice."""

from __future__ import annotations

import numpy as np
import pytest
from benchmarks.accuracy.card import WHITE_CARD, paint_card
from benchmarks.accuracy.population import FAMILIES, white_paint

from scumble.paint import Optics
from scumble.solve.fit.one_card import fit_optics, fit_white
from scumble.solve.fit.prior import covariance_factor
from scumble.solve.fit.together import DIRECTIONS, _message_of, _sharpened, fit_together


def shelf(seed: int, paints: int = 3):
    rng = np.random.default_rng(seed)
    white = white_paint(rng)
    cards = [paint_card(FAMILIES["edges and bands"](rng), white, rng) for _ in range(paints)]
    return white, fit_white(paint_card(white, white, rng, layout=WHITE_CARD)).optics, cards


@pytest.fixture(scope="module")
def found():
    return [(white, own, cards, fit_together(cards, white=own)) for white, own, cards in map(shelf, range(6))]


def test_the_white_comes_nearer_to_the_truth(found):
    def off(optics: Optics, true: Optics) -> float:
        return float(np.mean(np.log(optics.scattering / true.scattering)) ** 2)

    alone = np.sqrt(np.mean([off(own, true) for true, own, _, _ in found]))
    together = np.sqrt(np.mean([off(result.white, true) for true, _, _, result in found]))
    assert together < 0.85 * alone


def test_the_white_is_never_less_certain_and_its_covariance_is_one(found):
    for _, own, _, result in found:
        values = np.linalg.eigvalsh(result.white.covariance)
        assert values.min() > -1e-9
        assert np.all(np.diag(result.white.covariance) <= np.diag(own.covariance) + 1e-9)


def test_the_order_of_the_cards_hardly_matters(found):
    _, own, cards, result = found[0]
    turned = fit_together(cards[::-1], white=own)
    np.testing.assert_allclose(turned.white.scattering, result.white.scattering, rtol=0.01)
    np.testing.assert_allclose(turned.fits[0].optics.absorption, result.fits[-1].optics.absorption, rtol=0.1)


def test_one_card_alone_is_fitted_as_by_itself():
    _, own, cards = shelf(8, paints=1)
    together, alone = fit_together(cards, white=own), fit_optics(cards[0], white=own)
    np.testing.assert_allclose(together.fits[0].optics.absorption, alone.optics.absorption, rtol=1e-3)
    assert np.trace(together.white.covariance) < np.trace(own.covariance)


def test_an_exact_white_stays_as_it_is():
    white, _, cards = shelf(9, paints=2)
    result = fit_together(cards, white=white)
    np.testing.assert_array_equal(result.white.scattering, white.scattering)
    np.testing.assert_array_equal(
        result.fits[1].optics.absorption, fit_optics(cards[1], white=white).optics.absorption
    )


def test_messages_are_those_of_the_normal_distribution():
    """A linear world: what two messages and a prior say together is the product of three normal distributions."""
    rng = np.random.default_rng(4)
    spread = rng.normal(size=(72, 72))
    first = Optics(np.ones(36), np.full(36, 2.0), 1e-3 * spread @ spread.T)
    factor = covariance_factor(first.covariance, rank=DIRECTIONS)
    # A card that reads five combinations of the white's directions, with noise 1.
    reads = [rng.normal(size=(5, DIRECTIONS)) for _ in range(2)]
    seen = [rng.normal(size=5) for _ in range(2)]
    from scumble.solve.fit.one_card import WhiteSeen

    messages = []
    for matrix, values in zip(reads, seen, strict=True):
        spread_after = np.linalg.inv(np.eye(DIRECTIONS) + matrix.T @ matrix)
        mean = spread_after @ matrix.T @ values
        messages.append(
            _message_of(WhiteSeen(factor @ mean, factor @ spread_after @ factor.T), first, first, factor)
        )
    both, all_values = np.vstack(reads), np.concatenate(seen)
    spread_after = np.linalg.inv(np.eye(DIRECTIONS) + both.T @ both)
    expected = factor @ spread_after @ both.T @ all_values
    found = _sharpened(first, factor, messages)
    moved = np.log(np.concatenate([found.absorption, found.scattering / 2.0]))
    np.testing.assert_allclose(moved, expected, atol=1e-6)
    rest = first.covariance - factor @ factor.T
    np.testing.assert_allclose(found.covariance, rest + factor @ spread_after @ factor.T, atol=1e-8)
