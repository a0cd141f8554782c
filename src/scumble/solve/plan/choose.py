"""Which stack each area gets, when a mixture that serves several areas is stirred once and every pass has its price.

For each number of passes the choice starts from every area's own best and from few mixtures that serve all, and is
improved by giving areas other stacks and by doing without mixtures until neither helps. The number of passes is then
chosen by its price; as what each number can reach does not depend on that price, a higher one never adds a pass.

*Source:* Kuehn & Hamburger, Manage. Sci. 9, 643 (1963), adding and dropping; the problem is that of the uncapacitated
facility location with groups of facilities.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]
Flags = NDArray[np.bool_]

LEAST_GAIN = 1e-9
ROUNDS = 50
"""Rounds of improvement at most; a handful is usual."""


@dataclass(frozen=True, slots=True)
class Pool:
    """Stacks to choose from.

    Parameters
    ----------
    costs : array, shape (stacks, areas) [dE00]
        What each stack costs on each area, weighed by the area; infinity where it must not lie.
    uses : array of bool, shape (stacks, mixtures)
        Which mixtures each needs.
    glazes : int array, shape (stacks,)
        Passes of glazes or scumbles in each.
    is_laid_in : array of bool, shape (stacks,)
        Whether it needs the opaque pass.
    """

    costs: Floats
    uses: Flags
    glazes: Whole
    is_laid_in: Flags


@dataclass(frozen=True, slots=True)
class Choice:
    """A stack for every area.

    Parameters
    ----------
    stacks : int array, shape (areas,)
        Places in the pool.
    cost : float [dE00]
        Of colours and mixtures; passes left out.
    passes : int
        That it takes.
    """

    stacks: Whole
    cost: float
    passes: int


def choose_stacks(pool: Pool, *, per_mixture: float, per_pass: float) -> Choice:
    """The choice of least cost, passes counted.

    Parameters
    ----------
    pool : Pool
        At least one stack can lie on every area.
    per_mixture, per_pass : float [dE00]
        Price of a mixture and of a pass.
    """
    found = list(_by_passes(pool, per_mixture))
    return min(found, key=lambda each: (each.cost + per_pass * each.passes, each.passes))


def _by_passes(pool: Pool, per_mixture: float) -> list[Choice]:
    """The best found with the lay-in or without, and with at most so many passes of glazes."""
    found = []
    for lay_in in sorted(set(pool.is_laid_in.tolist())):
        for depth in sorted(set(pool.glazes.tolist())):
            open_ = (pool.glazes <= depth) & (lay_in | ~pool.is_laid_in)
            if not open_.any() or not np.isfinite(pool.costs[open_].min(axis=0)).all():
                continue
            own = np.flatnonzero(open_)
            chosen, cost = _improve_all(pool.costs[own], pool.uses[own], per_mixture)
            stacks = own[chosen]
            passes = int(pool.is_laid_in[stacks].any()) + int(pool.glazes[stacks].max())
            found.append(Choice(stacks, cost, passes))
    return found


def _improve_all(costs: Floats, uses: Flags, per_mixture: float) -> tuple[Whole, float]:
    starts = [costs.argmin(axis=0), _few(costs, uses, per_mixture)]
    ends = [_improve(costs, uses, per_mixture, start) for start in starts]
    return min(((end, cost_of(costs, uses, per_mixture, end)) for end in ends), key=lambda each: each[1])


def cost_of(costs: Floats, uses: Flags, per_mixture: float, chosen: Whole) -> float:
    """Cost of a choice, passes left out [dE00]."""
    colours = costs[chosen, np.arange(costs.shape[1])].sum()
    return float(colours + per_mixture * uses[chosen].any(axis=0).sum())


def _few(costs: Floats, uses: Flags, per_mixture: float) -> Whole:
    """Add stacks one by one, each with all its mixtures, as long as that pays."""
    areas = np.arange(costs.shape[1])
    first = int(np.argmin(costs.sum(axis=1) + per_mixture * uses.sum(axis=1)))
    if not np.isfinite(costs[first]).all():
        return np.asarray(costs.argmin(axis=0))
    chosen = np.full(len(areas), first)
    held = uses[first].copy()
    for _ in range(ROUNDS):
        now = costs[chosen, areas]
        gain = np.maximum(now - costs, 0.0).sum(axis=1) - per_mixture * (uses & ~held).sum(axis=1)
        best = int(np.argmax(gain))
        if gain[best] <= LEAST_GAIN:
            break
        chosen = np.where(costs[best] < now, best, chosen)
        held |= uses[best]
    return chosen


def _improve(costs: Floats, uses: Flags, per_mixture: float, start: Whole) -> Whole:
    chosen = start.copy()
    for _ in range(ROUNDS):
        before = cost_of(costs, uses, per_mixture, chosen)
        chosen = _give_others(costs, uses, per_mixture, chosen)
        chosen = _do_without(costs, uses, per_mixture, chosen)
        if cost_of(costs, uses, per_mixture, chosen) > before - LEAST_GAIN:
            break
    return chosen


def _give_others(costs: Floats, uses: Flags, per_mixture: float, chosen: Whole) -> Whole:
    """Give each area in turn the stack that costs least, mixtures in use elsewhere being free."""
    chosen = chosen.copy()
    count = uses[chosen].sum(axis=0)
    for area in range(costs.shape[1]):
        count = count - uses[chosen[area]]
        whole = costs[:, area] + per_mixture * (uses & (count == 0)).sum(axis=1)
        best = int(np.argmin(whole))
        if whole[best] < whole[chosen[area]] - LEAST_GAIN:
            chosen[area] = best
        count = count + uses[chosen[area]]
    return chosen


def _do_without(costs: Floats, uses: Flags, per_mixture: float, chosen: Whole) -> Whole:
    """Do without one mixture, or put another in its place, where that pays; the areas that used it go elsewhere."""
    for mixture in np.flatnonzero(uses[chosen].any(axis=0)):
        now = cost_of(costs, uses, per_mixture, chosen)
        held: Flags = np.array(uses[chosen].any(axis=0), dtype=np.bool_)
        held[mixture] = False
        without = np.flatnonzero(~uses[:, mixture])
        if len(without) == 0:
            continue
        missing = (uses[without] & ~held).sum(axis=1)
        trials = [without[missing == 0]]
        # One stack more than what is held already, together with all that it opens.
        near = without[(missing > 0) & (missing <= 2)]
        needed = uses[chosen, mixture]
        if len(near) and needed.any():
            worth = costs[near][:, needed].sum(axis=1)
            trials += [np.append(trials[0], near[at]) for at in np.argsort(worth)[:8]]
        for rows in trials:
            if len(rows) == 0:
                continue
            other = chosen.copy()
            other[needed] = rows[costs[rows][:, needed].argmin(axis=0)]
            if cost_of(costs, uses, per_mixture, other) < now - LEAST_GAIN:
                chosen, now = other, cost_of(costs, uses, per_mixture, other)
    return chosen
