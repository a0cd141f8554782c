"""Numbers with intervals, from possible optics."""

from __future__ import annotations

import numpy as np
import pytest

from scumble.paint import Optics
from scumble.paint.estimate import FARTHEST, estimate_of, possible_optics


def test_possible_optics_scatter_as_the_covariance_says() -> None:
    rng = np.random.default_rng(2)
    root = rng.standard_normal((72, 3)) * 0.1
    optics = Optics(np.full(36, 2.0), np.full(36, 0.5), root @ root.T)
    absorption, scattering = possible_optics(optics, rng.standard_normal((20_000, 72)))
    drawn = np.log(np.concatenate([absorption, scattering], axis=1)[1:])
    assert np.allclose(np.cov(drawn.T), root @ root.T, atol=0.003)
    assert np.allclose(absorption[0], 2.0) and np.allclose(scattering[0], 0.5)


def test_exact_optics_and_no_draws_have_one_row() -> None:
    exact = Optics(np.ones(36), np.ones(36))
    doubtful = Optics(np.ones(36), np.ones(36), np.eye(72))
    assert possible_optics(exact, np.ones((5, 72)))[0].shape == (1, 36)
    assert possible_optics(doubtful, np.ones((0, 72)))[0].shape == (1, 36)


def test_hopeless_doubt_stays_finite() -> None:
    lost = Optics(np.ones(36), np.ones(36), 1e6 * np.eye(72))
    absorption, _ = possible_optics(lost, np.ones((5, 72)) * 3)
    assert np.all(np.isfinite(absorption)) and absorption.max() == pytest.approx(np.exp(FARTHEST))


def test_an_interval_holds_95_in_100_and_may_be_open() -> None:
    numbers = np.concatenate([[0.0], np.random.default_rng(0).standard_normal(40_000)])
    found = estimate_of(numbers)
    assert (found.low, found.high) == (pytest.approx(-1.96, abs=0.03), pytest.approx(1.96, abs=0.03))
    assert estimate_of([3.0, *[3.0] * 50, *[np.inf] * 50]).high == np.inf


def test_the_value_is_always_inside_its_interval() -> None:
    found = estimate_of([5.0, 1.0, 2.0, 3.0])
    assert found.low <= found.value <= found.high
