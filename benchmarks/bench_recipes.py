"""Recipes against scipy's SLSQP on the same model, hidden recipes found again, and the time of whole shelves.

``./check bench`` prints the figures; those quoted elsewhere come from there.
"""

from __future__ import annotations

import os
import time
from itertools import combinations

import numpy as np
import pytest

from scumble.colour import delta_e_2000
from scumble.optics.film import film_response_and_slopes
from scumble.paint import Paint, paper_ground
from scumble.paint.covering import contrast_ratio
from scumble.paint.pigment import starter_shelf
from scumble.solve.recipe import Route, Wishes
from scumble.solve.recipe_find import find_recipes
from scumble.solve.recipe_search import Bounds, Search
from scumble.solve.recipe_target import target_of_lab

GROUND = paper_ground("white")
COVER = Bounds(0.9805, 1.0, 4.0)
STARTS = 5
RIVALS = 60
HIDDEN = 300


def report(benchmark, name: str, value: float, digits: int = 3) -> None:  # type: ignore[no-untyped-def]
    benchmark.extra_info[name] = round(value, digits)
    print(f"\n{name}: {value:,.{digits}f}  (load {os.getloadavg()[0]:.1f})")


def search_for(lab, tubes: tuple[Paint, ...]) -> Search:  # type: ignore[no-untyped-def]
    return Search(target_of_lab(lab), tubes, GROUND)


def hidden_recipe(rng: np.random.Generator, search: Search, number: int) -> tuple[np.ndarray, np.ndarray]:
    """A mixture that hides within 4 coats, and its CIELAB."""
    while True:
        members = rng.choice(len(search.tubes), number, replace=False)
        share = rng.dirichlet(np.ones(number)) / search.strength[members]
        coats = share / share.sum() * rng.uniform(0.5, 4.0)
        absorption, scattering = coats @ search.absorption[members], coats @ search.scattering[members]
        if contrast_ratio(absorption, scattering, 1.0) > 0.985:
            return np.sort(members), search.predict_labs([(absorption, scattering)])[0]


class Rival:
    """The same model for scipy: squared dE00, hiding and most coats as constraints, exact slopes of the film."""

    def __init__(self, search: Search, members: tuple[int, ...]) -> None:
        self.search = search
        self.absorption = search.absorption[list(members)]
        self.scattering = search.scattering[list(members)]

    def labs(self, x: np.ndarray) -> np.ndarray:
        return self.search.predict_labs([(np.exp(x) @ self.absorption, np.exp(x) @ self.scattering)])

    def cost(self, x: np.ndarray) -> float:
        return float(np.mean(delta_e_2000(self.search.target.labs, self.labs(x)) ** 2))

    def ratio(self, x: np.ndarray) -> float:
        amounts = np.exp(x)
        return float(contrast_ratio(amounts @ self.absorption, amounts @ self.scattering, 1.0)) - 0.9805

    def solve(self, rng: np.random.Generator) -> float:
        from scipy.optimize import minimize

        best = np.inf
        weak = -np.log(self.search.absorption.max(axis=1) + 1.0)[: len(self.absorption)]
        for _ in range(STARTS):
            start = weak + rng.uniform(-3.0, 2.0, len(self.absorption))
            answer = minimize(
                self.cost,
                start,
                method="SLSQP",
                bounds=[(-13.0, np.log(4.0))] * len(start),
                constraints=[
                    {"type": "ineq", "fun": self.ratio},
                    {"type": "ineq", "fun": lambda x: 4.0 - np.exp(x).sum()},
                ],
                options={"maxiter": 200, "ftol": 1e-9},
            )
            if self.ratio(answer.x) > -1e-4 and np.exp(answer.x).sum() < 4.001:
                best = min(best, float(np.sqrt(max(answer.fun, 0.0))))
        return best


def test_against_slsqp(benchmark) -> None:  # type: ignore[no-untyped-def]
    """Hidden colours, combinations drawn among those that come within dE00 10."""
    rng = np.random.default_rng(1)
    shelf = starter_shelf()
    worse, ratios = [], []
    for _ in range(6):
        whole = search_for([50, 0, 0], shelf)
        lab = hidden_recipe(rng, whole, 3)[1]
        search = search_for(lab, shelf)
        members = np.array(
            sorted(tuple(sorted(rng.choice(len(shelf), 3, replace=False))) for _ in range(3000))
        )
        quick = search.solve(members, (0, 0, 0), COVER)
        members = members[quick.difference < 10.0][: RIVALS // 6]
        start = time.perf_counter()
        ours = search.solve(members, (0, 0, 0), COVER, tries=3)
        middle = time.perf_counter()
        rival = [Rival(search, tuple(row)).solve(rng) for row in members]
        ratios.append((time.perf_counter() - middle) / (middle - start))
        worse += (ours.difference - rival).tolist()
    name = f"SLSQP from {STARTS} starts over ours from 3, time per combination"
    report(benchmark, name, float(np.median(ratios)), 0)
    report(benchmark, "worst of ours less SLSQP's best, dE00", max(worse))
    report(benchmark, "worst of SLSQP's best less ours, dE00", -min(worse))
    report(
        benchmark,
        "share of combinations where ours is at most 0.02 worse",
        float(np.mean(np.array(worse) <= 0.02)),
    )
    benchmark(search.solve, members, (0, 0, 0), COVER, tries=3)


@pytest.mark.parametrize("count", [40, 60])
def test_time_of_all_triples(benchmark, count: int) -> None:  # type: ignore[no-untyped-def]
    search = search_for([60, 20, 30], starter_shelf()[:count])
    members = np.array(list(combinations(range(count), 3)))
    search.solve(members[:10], (0, 0, 0), COVER)
    times = []
    for _ in range(3):
        start = time.perf_counter()
        search.solve(members, (0, 0, 0), COVER, worth=2.0)
        times.append(time.perf_counter() - start)
    report(benchmark, f"all {len(members)} triples of {count} tubes, s", min(times))
    benchmark.pedantic(search.solve, (members, (0, 0, 0), COVER), {"worth": 2.0}, rounds=1)


def test_hidden_recipes_are_found_again(benchmark) -> None:  # type: ignore[no-untyped-def]
    """300 hidden opaque recipes of 2 to 4 tubes of a shelf of 16; also what measurable parts cost."""
    rng = np.random.default_rng(2)
    tubes = starter_shelf()[::4]
    whole = search_for([50, 0, 0], tubes)
    wishes = Wishes(routes=(Route.COVER,), count=3, per_tube=0.0, per_pass=0.0, per_unevenness=0.0)
    exact, loss, first = [], [], []
    for number in range(HIDDEN):
        _, lab = hidden_recipe(rng, whole, 2 + number % 3)
        start = time.perf_counter()
        for answer in find_recipes(target_of_lab(lab), tubes, GROUND, wishes):
            if answer.share < 0.2:
                first.append(time.perf_counter() - start)
        exact.append(min(recipe.exact_difference for recipe in answer.recipes))
        loss.append(answer.recipes[0].rounding_loss)
    report(benchmark, "hidden recipes found within dE00 0.3, share", float(np.mean(np.array(exact) <= 0.3)))
    report(
        benchmark,
        "parts of the first recipe cost at most dE00 0.8, share",
        float(np.mean(np.array(loss) <= 0.8)),
    )
    report(benchmark, "median time to first answers, s", float(np.median(first)))
    benchmark.pedantic(lambda: list(find_recipes(target_of_lab(lab), tubes, GROUND, wishes)), rounds=1)


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
