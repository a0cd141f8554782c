"""Recipes against scipy's SLSQP on the same model, and the time of whole shelves.

``./check bench`` prints the figures; ``python -m benchmarks.recipes`` scores many hidden recipes and writes the page.
"""

from __future__ import annotations

import os
import time
from itertools import combinations

import numpy as np
import pytest

from benchmarks.recipes.rival import COVER, STARTS, race
from scumble.optics.film import film_response_and_slopes
from scumble.paint import paper_ground
from scumble.paint.pigment import starter_shelf
from scumble.solve.recipe.answer import Wishes
from scumble.solve.recipe.find import find_recipes
from scumble.solve.recipe.search import Search
from scumble.solve.recipe.target import target_of_lab

GROUND = paper_ground("white")


def report(benchmark, name: str, value: float, digits: int = 3) -> None:  # type: ignore[no-untyped-def]
    benchmark.extra_info[name] = round(value, digits)
    print(f"\n{name}: {value:,.{digits}f}  (load {os.getloadavg()[0]:.1f})")


def test_against_slsqp(benchmark) -> None:  # type: ignore[no-untyped-def]
    """Hidden colours, combinations drawn among those that come within dE00 10."""
    race(starter_shelf()[::4], GROUND)
    result = benchmark.pedantic(race, (starter_shelf(), GROUND), rounds=1)
    name = f"SLSQP from {STARTS} starts over ours from 3, time per combination"
    report(benchmark, name, result.faster, 0)
    report(benchmark, "worst of ours less SLSQP's best, dE00", float(result.worse.max()))
    report(benchmark, "worst of SLSQP's best less ours, dE00", -float(result.worse.min()))
    assert result.worse.max() <= 0.02
    assert result.faster >= 100.0


@pytest.mark.parametrize("count", [40, 60])
def test_time_of_all_triples(benchmark, count: int) -> None:  # type: ignore[no-untyped-def]
    search = Search(target_of_lab([60, 20, 30]), starter_shelf()[:count], GROUND)
    members = np.array(list(combinations(range(count), 3)))
    search.solve(members[:10], (0, 0, 0), COVER)
    times = []
    for _ in range(3):
        start = time.perf_counter()
        search.solve(members, (0, 0, 0), COVER, worth=2.0)
        times.append(time.perf_counter() - start)
    report(benchmark, f"all {len(members)} triples of {count} tubes, s", min(times))
    benchmark.pedantic(search.solve, (members, (0, 0, 0), COVER), {"worth": 2.0}, rounds=1)


def test_time_to_first_answers(benchmark) -> None:  # type: ignore[no-untyped-def]
    """The starter shelf, all routes."""
    wishes, times = Wishes(), []
    target = target_of_lab([60, 20, 30])
    list(find_recipes(target, starter_shelf(), GROUND, wishes))
    for _ in range(5):
        start = time.perf_counter()
        next(find_recipes(target, starter_shelf(), GROUND, wishes))
        times.append(time.perf_counter() - start)
    report(benchmark, f"first answers from {len(starter_shelf())} tubes, all routes, s", min(times))
    benchmark.pedantic(lambda: list(find_recipes(target, starter_shelf(), GROUND, wishes)), rounds=1)


def test_film_with_slopes(benchmark) -> None:  # type: ignore[no-untyped-def]
    """What one evaluation costs at least: 36 bands with slopes through the public table."""
    depth = np.full(36, 0.5)
    benchmark(film_response_and_slopes, depth, depth)
