"""The forward model's derivatives, checked by moving each unknown."""

from __future__ import annotations

import numpy as np
import pytest
from benchmarks.accuracy.card import paint_card
from benchmarks.accuracy.population import edges_and_bands, white_paint

from scumble.optics import kubelka_munk
from scumble.optics.film import film_response_and_slopes
from scumble.paint.paint import Optics
from scumble.paint.reading import Quantity
from scumble.solve.fit.card_model import CardModel
from scumble.solve.fit.gauss_newton import Linearised
from scumble.solve.fit.prior import covariance_factor, matern_covariance, paint_prior


@pytest.mark.parametrize("quantity", list(Quantity))
@pytest.mark.parametrize("film_model", [film_response_and_slopes, kubelka_munk.film_response_and_slopes])
def test_jacobian_is_the_derivative(quantity: Quantity, film_model) -> None:  # type: ignore[no-untyped-def]
    rng = np.random.default_rng(9)
    white = white_paint(rng)
    uncertain = Optics(white.absorption, white.scattering, 0.01 * np.eye(72))
    card = paint_card(edges_and_bands(rng), white, rng, quantity=quantity)
    model = CardModel(card, paint_prior(), uncertain, 1.5, film_model)
    x = 0.5 * rng.standard_normal(model.unknowns.count)
    _, jacobian = model.predict_with_jacobian(x)
    step = 1e-5
    for place in range(model.unknowns.count):
        moved = np.zeros_like(x)
        moved[place] = step
        expected = (model.predict(x + moved) - model.predict(x - moved)) / (2 * step)
        np.testing.assert_allclose(jacobian[..., place], expected, atol=2e-6, err_msg=f"unknown {place}")


@pytest.mark.parametrize("shape", [(12, 30), (40, 9)])
def test_both_sides_of_the_linear_solve_agree_with_the_definition(shape: tuple[int, int]) -> None:
    rng = np.random.default_rng(2)
    jacobian, residual, x = (
        rng.standard_normal(shape),
        rng.standard_normal(shape[0]),
        rng.standard_normal(shape[1]),
    )
    hessian = np.eye(shape[1]) + jacobian.T @ jacobian
    linear = Linearised(jacobian)
    np.testing.assert_allclose(
        linear.target(residual, x), np.linalg.solve(hessian, jacobian.T @ (residual + jacobian @ x))
    )
    np.testing.assert_allclose(linear.covariance(), np.linalg.inv(hessian), atol=1e-12)
    np.testing.assert_allclose(linear.covariance(4), np.linalg.inv(hessian)[:4, :4], atol=1e-12)
    used = np.trace(jacobian @ np.linalg.inv(hessian) @ jacobian.T)
    assert linear.freedom() == pytest.approx(shape[0] - used)


def test_factor_gives_the_covariance_back() -> None:
    covariance = matern_covariance(80.0, 1.3)
    factor = covariance_factor(covariance)
    np.testing.assert_allclose(factor @ factor.T, covariance, atol=1e-6)
    assert covariance_factor(covariance, rank=5).shape == (36, 5)
