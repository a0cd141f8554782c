"""SLSQP of scipy on the same model, from several starts: what the search is measured against."""

from __future__ import annotations

import time
from dataclasses import dataclass

import numpy as np

from benchmarks.recipes.hidden import hide_cover
from scumble.colour import delta_e_2000
from scumble.paint import Ground, Paint
from scumble.paint.covering import contrast_ratio
from scumble.solve.recipe.search import Bounds, Search
from scumble.solve.recipe.target import target_of_lab

COVER = Bounds(0.9805, 1.0, 4.0)
STARTS = 5
RIVALS = 60
COLOURS = 6


class Rival:
    """The same model for scipy: squared dE00, hiding and most coats as constraints, exact slopes of the film."""

    def __init__(self, search: Search, members: tuple[int, ...]) -> None:
        self.search = search
        self.absorption = search.absorption[list(members)]
        self.scattering = search.scattering[list(members)]

    def labs(self, x: np.ndarray) -> np.ndarray:
        """Colour of log coats."""
        return self.search.predict_labs([(np.exp(x) @ self.absorption, np.exp(x) @ self.scattering)])

    def cost(self, x: np.ndarray) -> float:
        """Squared difference."""
        return float(np.mean(delta_e_2000(self.search.target.labs, self.labs(x)) ** 2))

    def ratio(self, x: np.ndarray) -> float:
        """Contrast ratio above its bound."""
        amounts = np.exp(x)
        return float(contrast_ratio(amounts @ self.absorption, amounts @ self.scattering, 1.0)) - 0.9805

    def solve(self, rng: np.random.Generator) -> float:
        """Least difference from several starts [dE00]."""
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


@dataclass(frozen=True, slots=True)
class Race:
    """The search beside its rival.

    Parameters
    ----------
    faster : float [1]
        Median ratio of times per combination.
    worse : array [dE00]
        Ours less the rival's best, for each combination.
    """

    faster: float
    worse: np.ndarray


def race(shelf: tuple[Paint, ...], ground: Ground) -> Race:
    """Hidden colours, combinations that come within dE00 10: ours all at once, as in use, the rival's a few."""
    rng = np.random.default_rng(1)
    worse, ratios = [], []
    whole = Search(target_of_lab([50, 0, 0]), shelf, ground)
    for _ in range(COLOURS):
        search = Search(hide_cover(rng, whole, 3).target, shelf, ground)
        members = np.array(
            sorted(tuple(sorted(rng.choice(len(shelf), 3, replace=False))) for _ in range(3000))
        )
        quick = search.solve(members, (0, 0, 0), COVER)
        near = members[quick.difference < 10.0]
        start = time.perf_counter()
        ours = search.solve(near, (0, 0, 0), COVER, tries=3)
        middle = time.perf_counter()
        few = near[: RIVALS // COLOURS]
        rival = [Rival(search, tuple(row)).solve(rng) for row in few]
        spent = time.perf_counter() - middle
        ratios.append(spent / len(few) / ((middle - start) / len(near)))
        worse += (ours.difference[: len(few)] - rival).tolist()
    return Race(float(np.median(ratios)), np.array(worse))
