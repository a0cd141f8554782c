"""What answers are worth, when a thing comes again, how far a trainee is: against published values and other code."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.stats import binomtest, norm

from scumble.jobs.teach.ability import Tried, chance_right, estimate_ability
from scumble.jobs.teach.boxes import WAITS_DAYS, box_of
from scumble.jobs.teach.share_right import FEW, share_right

MONDAY = datetime(2026, 1, 5, 9, tzinfo=UTC)


@pytest.mark.parametrize(
    ("right", "asked", "low", "high"),
    [(81, 263, 0.2553, 0.3662), (15, 148, 0.0624, 0.1605), (0, 20, 0.0000, 0.1611), (1, 29, 0.0061, 0.1718)],
)
def test_wilson_interval_as_published(right: int, asked: int, low: float, high: float) -> None:
    """R. G. Newcombe, Statist. Med. 17, 857 (1998), table I, method 3 (*from memory*)."""
    found = share_right(right, asked)
    assert (found.low, found.high) == (pytest.approx(low, abs=5e-5), pytest.approx(high, abs=5e-5))


@given(st.integers(1, 400).flatmap(lambda asked: st.tuples(st.integers(0, asked), st.just(asked))))
def test_wilson_interval_as_scipy_has_it(counts: tuple[int, int]) -> None:
    found = share_right(*counts)
    other = binomtest(*counts).proportion_ci(0.95, method="wilson")
    assert (found.low, found.high) == (
        pytest.approx(other.low, abs=1e-9),
        pytest.approx(other.high, abs=1e-9),
    )


def test_few_answers_are_told_without_a_share() -> None:
    assert str(share_right(0, 0)) == "not asked yet"
    assert str(share_right(FEW - 1, FEW - 1)) == f"{FEW - 1} of {FEW - 1}"
    assert str(share_right(FEW, FEW)) == "5 of 5 (57% to 100%)"


def test_a_thing_climbs_box_by_box_when_it_is_due() -> None:
    answers, moment, boxes = [], MONDAY, []
    for _ in range(6):
        answers.append((moment, True))
        found = box_of(answers)
        assert found is not None
        boxes.append(found.box)
        assert found.due == moment + timedelta(days=WAITS_DAYS[found.box - 1])
        moment = found.due
    assert boxes == [2, 3, 4, 5, 5, 5]


def test_early_answers_leave_a_thing_where_it_is_and_wrong_ones_put_it_back() -> None:
    first = box_of([(MONDAY, True)])
    assert first == box_of([(MONDAY, True), (MONDAY + timedelta(hours=1), True)])
    back = box_of([(MONDAY, True), (MONDAY + timedelta(hours=1), False)])
    assert back is not None and back.box == 1 and back.due == MONDAY + timedelta(hours=1, days=1)
    assert box_of([]) is None


def test_chances_of_the_rasch_model() -> None:
    """Odds are e to the difference of ability and difficulty: 1 logit above is 73.1 %."""
    assert chance_right(1.0, 0.0, 0.0) == pytest.approx(1.0 / (1.0 + np.exp(-1.0)))
    assert chance_right(-9.0, 0.0, 0.25) == pytest.approx(0.25, abs=2e-4)


@given(
    st.lists(
        st.tuples(st.floats(-2, 1.5), st.sampled_from((0.25, 1 / 3, 0.5, 0.0)), st.booleans()), max_size=12
    )
)
def test_ability_is_the_mean_of_the_posterior(rows: list[tuple[float, float, bool]]) -> None:
    """Against scipy's adaptive quadrature of the same integral over -4 to 4."""
    tried = [Tried(*row) for row in rows]

    def weight(level: float) -> float:
        chances = [float(chance_right(level, each.difficulty, each.guessed)) for each in tried]
        return float(
            norm.pdf(level) * np.prod([p if t.right else 1 - p for p, t in zip(chances, tried, strict=True)])
        )

    whole = quad(weight, -4, 4)[0]
    mean = quad(lambda level: level * weight(level), -4, 4)[0] / whole
    assert estimate_ability(tried).level == pytest.approx(mean, abs=5e-3)


def test_right_answers_to_hard_questions_raise_ability_most_and_many_make_it_sure() -> None:
    easy, hard = (estimate_ability([Tried(at, 0.25, True)]) for at in (-2.0, 1.5))
    assert 0.0 < easy.level < hard.level
    assert estimate_ability([Tried(0.0, 0.0, True), Tried(0.0, 0.0, False)] * 20).deviation < 0.4
