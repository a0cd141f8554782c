"""Parts a hand can measure: small, distinct, near, and cheap in colour."""

from __future__ import annotations

import numpy as np
import pytest

from scumble.paint import paper_ground
from scumble.paint.pigment import starter_shelf
from scumble.solve.recipe.answer import Route, Wishes
from scumble.solve.recipe.find import find_recipes
from scumble.solve.recipe.rounding import PINCH, PINCHES, parts_to_try, say_parts
from scumble.solve.recipe.target import target_of_lab


@pytest.mark.parametrize("amounts", [(1.0, 3.0), (0.2, 0.1, 0.8), (1.0, 0.004), (0.3, 0.3, 0.3, 0.02)])
def test_parts_can_be_measured(amounts: tuple[float, ...]) -> None:
    measurable = {float(n) for n in range(1, 13)} | {PINCH * n for n in PINCHES}
    tried = parts_to_try(np.array(amounts))
    assert len(tried) > 5
    assert np.all(tried.sum(axis=1) <= 12.0)
    assert {min(measurable, key=lambda each: abs(each - part)) - part for part in tried.ravel()} == {0.0}
    ratios = {tuple(np.round(row / row.sum(), 9)) for row in tried}
    assert len(ratios) == len(tried)


@pytest.mark.parametrize("wanted", [(1, 3), (2, 1, 8), (1, 1), (5, 2, 3, 1)])
def test_a_mixture_in_whole_parts_stays_itself(wanted: tuple[int, ...]) -> None:
    assert parts_to_try(np.array(wanted) * 0.37)[0] == pytest.approx(np.array(wanted))


def test_traces_go_by_the_pinch() -> None:
    best = parts_to_try(np.array([1.0, 0.005]))[0]
    assert best[1] == PINCH
    assert best[1] / best[0] == pytest.approx(0.005, rel=0.15)


def test_words() -> None:
    assert say_parts((1.0, 0.05, 0.3, 0.5, 12.0)) == (
        "1 part",
        "a pinch",
        "6 pinches",
        "half a part",
        "12 parts",
    )


def test_rounding_costs_little() -> None:
    """At most dE00 0.8 for the first recipe of 9 of 10 colours drawn within what opaque paint reaches."""
    rng = np.random.default_rng(3)
    tubes, loss = starter_shelf()[::5], []
    for _ in range(20):
        lab = rng.uniform([35, -25, -25], [80, 30, 40])
        *_, answer = find_recipes(
            target_of_lab(lab), tubes, paper_ground("white"), Wishes(routes=(Route.COVER,), count=1)
        )
        loss.append(answer.recipes[0].rounding_loss)
        assert all(
            sum(part for _, part in film.parts) <= 12.0
            for one in answer.recipes
            for film in one.layering.films
        )
    assert np.mean(np.array(loss) <= 0.8) >= 0.9
