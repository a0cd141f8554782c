"""The track record claims no more than its counts allow."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binomtest, ttest_1samp

from scumble.paint.proof import Comparison
from scumble.paint.track_record import mean_shift, say_bias, say_promise, tally_proofs, wilson_interval


def proofs(*shifts: tuple[float, float, float], interval: float = 2.0, off: float = 1.0) -> list[Comparison]:
    middle = np.array([50.0, 0.0, 0.0])
    return [Comparison(middle, middle + each, off, interval) for each in shifts]


@pytest.mark.parametrize(
    ("inside", "count", "low", "high"),
    [
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0.0, 0.1611),
        (1, 29, 0.0061, 0.1718),
    ],
)
def test_wilson_as_published(inside: int, count: int, low: float, high: float) -> None:
    """Newcombe, Statistics in Medicine 17, 857 (1998), table I, method 3 (digits from memory, held by scipy below)."""
    assert wilson_interval(inside, count) == pytest.approx((low, high), abs=5e-5)


@given(st.integers(1, 400).flatmap(lambda count: st.tuples(st.integers(0, count), st.just(count))))
def test_wilson_as_scipy_has_it(pair: tuple[int, int]) -> None:
    inside, count = pair
    said = binomtest(inside, count).proportion_ci(method="wilson")
    assert wilson_interval(inside, count) == pytest.approx((said.low, said.high), abs=1e-12)


def test_of_nothing_nothing_is_claimed() -> None:
    tally = tally_proofs([])
    assert (tally.count, tally.share_low, tally.share_high) == (0, 0.0, 1.0)
    assert not tally.is_contradicted and say_promise(tally) == "Nothing was proved yet."


def test_few_proofs_claim_nothing() -> None:
    tally = tally_proofs(proofs(*[(1.0, 0.0, 0.0)] * 5))
    assert tally.inside == 5 and "so few" in say_promise(tally)
    assert tally.percentile_95_de00 is None


def test_a_promise_that_is_broken_too_often_is_called_so() -> None:
    bad = proofs(*[(1.0, 0.0, 0.0)] * 12, off=3.0)
    tally = tally_proofs(bad)
    assert tally.is_contradicted and "no longer by chance" in say_promise(tally)


def test_a_promise_that_holds_is_called_so() -> None:
    tally = tally_proofs(proofs(*[(0.1, 0.0, 0.0)] * 40))
    assert "holds as far as can be told" in say_promise(tally)
    assert tally.percentile_95_de00 == pytest.approx(1.0)


def test_a_common_direction_is_told_only_beyond_chance() -> None:
    rng = np.random.default_rng(3)
    shifts = rng.normal(0.0, 1.0, (12, 3)) + np.array([0.0, -2.0, 0.0])
    mean, sure = mean_shift(shifts)
    level = ttest_1samp(shifts, 0.0).pvalue
    assert sure == tuple((level < 0.05 / 3) & (np.abs(mean) >= 0.5))
    assert sure[1] and not sure[0]
    tally = tally_proofs(proofs(*map(tuple, shifts)))
    assert say_bias(tally, np.array([50.0, 0.0, 0.0])) == "greener"


def test_two_that_agree_are_no_direction() -> None:
    tally = tally_proofs(proofs((0.0, -3.0, 0.0), (0.0, -3.1, 0.0)))
    assert say_bias(tally, np.array([50.0, 0.0, 0.0])) == ""


def test_chance_is_seldom_taken_for_a_direction() -> None:
    """1 in 20 sets of proofs without any, no more (2000 sets: three deviations of that count are 1.5 %)."""
    rng = np.random.default_rng(8)
    told = [any(mean_shift(rng.normal(0.0, 3.0, (8, 3)))[1]) for _ in range(2000)]
    assert np.mean(told) < 0.05 + 0.015
