"""Choosing tubes: against linear programming and against trying everything, within the wishes."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from scipy.optimize import Bounds as Box
from scipy.optimize import LinearConstraint, milp
from scipy.sparse import lil_array

from scumble.errors import InputError
from scumble.paint import paper_ground
from scumble.paint.pigment import starter_shelf
from scumble.solve import supply
from scumble.solve.recipe.search import Search
from scumble.solve.recipe.sketch import sketch_misses
from scumble.solve.recipe.target import target_of_lab
from scumble.solve.supply import (
    COVER,
    WORST,
    SupplyWishes,
    Table,
    build_table,
    choose_supply,
    judge_choice,
    solve_misses,
)

SHELF = starter_shelf()


def invented_table(tubes: int, wants: int, seed: int) -> Table:
    """Misses at random: mixtures of more tubes come nearer more often."""
    rng = np.random.default_rng(seed)
    groups = [list(combinations(range(tubes), k)) for k in (1, 2, 3)]
    sizes = np.concatenate([np.full(len(group), k) for k, group in enumerate(groups)])
    misses = np.minimum(rng.gamma(2.0, 12.0, (len(sizes), wants)) / (1.0 + sizes[:, None]), WORST)
    pairs = np.full((tubes,) * 2, -1, dtype=np.int64)
    triples = np.full((tubes,) * 3, -1, dtype=np.int64)
    pairs[tuple(np.array(groups[1]).T)] = tubes + np.arange(len(groups[1]))
    triples[tuple(np.array(groups[2]).T)] = tubes + len(groups[1]) + np.arange(len(groups[2]))
    return Table(tubes, pairs, triples, misses.astype(np.float32), True)


def programme(table: Table, wishes: SupplyWishes) -> float:
    """The least mean miss by HiGHS: a tube is chosen or not, each want is met by one mixture of chosen tubes."""
    tubes, wants = table.tubes, table.misses.shape[1]
    mixtures = [group for k in (1, 2, 3) for group in combinations(range(tubes), k)]
    useful = [(m, w) for w in range(wants) for m in range(len(mixtures)) if table.misses[m, w] < WORST - 1e-6]
    count = tubes + len(useful) + wants
    cost = np.zeros(count)
    cost[tubes : tubes + len(useful)] = [table.misses[m, w] / wants for m, w in useful]
    cost[tubes + len(useful) :] = WORST / wants
    met = lil_array((wants, count))
    ties = lil_array((sum(len(mixtures[m]) for m, _ in useful), count))
    row = 0
    for at, (m, w) in enumerate(useful):
        met[w, tubes + at] = 1.0
        for tube in mixtures[m]:
            ties[row, tubes + at], ties[row, tube] = 1.0, -1.0
            row += 1
    for w in range(wants):
        met[w, tubes + len(useful) + w] = 1.0
    number = np.concatenate([np.ones(tubes), np.zeros(count - tubes)])
    rules = [
        LinearConstraint(met.tocsr(), 1.0, 1.0),
        LinearConstraint(ties.tocsr(), -np.inf, 0.0),
        LinearConstraint(number[None], wishes.count, wishes.count),
    ]
    if np.isfinite(wishes.budget):
        rules.append(
            LinearConstraint(np.r_[wishes.prices, np.zeros(count - tubes)][None], 0.0, wishes.budget)
        )
    if wishes.whites:
        white = np.isin(np.arange(count), list(wishes.whites)).astype(float)
        rules.append(LinearConstraint(white[None], 1.0, np.inf))
    low, high = np.zeros(count), np.ones(count)
    low[list(wishes.must_have)] = 1.0
    high[list(wishes.must_not)] = 0.0
    whole = (np.arange(count) < tubes).astype(int)
    answer = milp(
        cost, constraints=rules, integrality=whole, bounds=Box(low, high), options={"mip_rel_gap": 0.0}
    )
    assert answer.success
    return float(answer.fun)


@pytest.mark.parametrize(
    ("tubes", "count", "seed"),
    [(6, 2, 1), (8, 3, 2), (9, 4, 3), (10, 5, 4), (11, 4, 5), (12, 6, 6), (14, 5, 7), (14, 7, 8)],
)
def test_the_choice_is_the_linear_programme_s(tubes: int, count: int, seed: int) -> None:
    table = invented_table(tubes, 9, seed)
    rng = np.random.default_rng(seed)
    prices = tuple(rng.uniform(3.0, 20.0, tubes).round(2).tolist())
    wishes = SupplyWishes(
        count, frozenset({1}), frozenset({2}), frozenset({0, 3}), prices, budget=16.0 * count
    )
    choice = choose_supply(table, wishes)
    assert choice.is_proven
    assert choice.miss == pytest.approx(programme(table, wishes), abs=1e-5)
    assert 1 in choice.tubes and 2 not in choice.tubes and {0, 3} & set(choice.tubes)
    assert sum(prices[tube] for tube in choice.tubes) <= 16.0 * count + 1e-9


@pytest.mark.parametrize("seed", range(6))
def test_exchange_is_near_the_proven_best(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Of invented tables, which are rougher than any shelf; never better, at most a tenth worse."""
    table, wishes = invented_table(14, 12, seed), SupplyWishes(6, whites=frozenset({0, 1}))
    proven = choose_supply(table, wishes)
    monkeypatch.setattr(supply, "MOST_CHOICES", 0)
    good = choose_supply(table, wishes)
    assert not good.is_proven
    assert proven.miss - 1e-9 <= good.miss <= 1.1 * proven.miss


@pytest.mark.parametrize("seed", [1, 2])
def test_exchange_keeps_to_a_budget(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    table = invented_table(14, 12, seed)
    prices = tuple(np.random.default_rng(seed).uniform(3.0, 20.0, 14).tolist())
    wishes = SupplyWishes(6, whites=frozenset({0, 1}), prices=prices, budget=50.0)
    proven = choose_supply(table, wishes)
    monkeypatch.setattr(supply, "MOST_CHOICES", 0)
    good = choose_supply(table, wishes)
    assert sum(prices[tube] for tube in good.tubes) <= 50.0
    assert {0, 1} & set(good.tubes)
    assert proven.miss - 1e-9 <= good.miss <= 1.15 * proven.miss


def search_of(*, step: int) -> Search:
    return Search(target_of_lab([50, 0, 0]), SHELF[::step], paper_ground("white"))


def test_the_sketch_is_near_what_solving_finds() -> None:
    search, rng = search_of(step=6), np.random.default_rng(1)
    wanted = rng.uniform([30, -35, -35], [85, 45, 55], (12, 3))
    members = np.array(list(combinations(range(len(search.tubes)), 3)))
    rough = sketch_misses(search, members, wanted, coats=4.0)
    exact = solve_misses(search, members, (0, 0, 0), COVER, wanted)
    near = exact < 8.0
    assert near.sum() > 50
    assert np.median(np.abs(rough - exact)[near]) < 0.5
    assert np.mean(rough[near] - exact[near] < 4.0) > 0.95
    assert np.min(rough[near] - exact[near]) > -1.5
    clear = np.flatnonzero(search.scattering.mean(axis=1) < 3.0)
    pairs = np.array(list(combinations(clear.tolist(), 2)))
    rough = sketch_misses(search, pairs, wanted, coats=0.0)
    exact = solve_misses(search, pairs, (0, 1), supply.GLAZE, wanted)
    near = (exact < 8.0) & (rough < 90.0)
    assert near.sum() > 5
    assert np.median(np.abs(rough - exact)[near]) < 1.0


def test_colours_made_of_a_few_tubes_choose_those_tubes() -> None:
    """Wanted: mixtures of four tubes of twelve. The four are found, and every colour is reached."""
    search = search_of(step=5)
    hidden, rng = [0, 3, 6, 9], np.random.default_rng(4)
    labs = []
    for _ in range(10):
        pair = rng.choice(hidden, 2, replace=False)
        coats = 4.0 * rng.dirichlet(np.ones(2))
        labs.append(
            search.predict_labs([(coats @ search.absorption[pair], coats @ search.scattering[pair])])[0]
        )
    table = build_table(search, np.array(labs), (), routes=("cover",))
    choice = choose_supply(table, SupplyWishes(4))
    assert table.is_exact and choice.is_proven
    assert choice.miss <= judge_choice(table, hidden).miss + 1e-6
    assert choice.miss < 1.0


def test_both_routes_count_alike_and_only_clear_tubes_glaze() -> None:
    search = search_of(step=8)
    wanted = np.array([[60.0, 30.0, 30.0], [40.0, -20.0, 10.0]])
    both = build_table(search, wanted, (2, 3))
    assert both.misses.shape[1] == 4
    assert (both.misses[[0, 1, 4, 5], 2:] == WORST).all()
    cover = build_table(search, wanted, (2, 3), routes=("cover",))
    assert both.misses[:, :2] == pytest.approx(cover.misses)


def test_stopping_half_way_stops() -> None:
    class StoppedError(Exception):
        pass

    def stop(_words: str, _share: float) -> None:
        raise StoppedError

    with pytest.raises(StoppedError):
        build_table(search_of(step=8), np.array([[50.0, 0, 0]]), (), routes=("cover",), progress=stop)


@pytest.mark.parametrize(
    ("changes", "said"),
    [({"budget": 0.0}, "budget: saw '0'; allowed is more than 0"),
     ({"budget": 5.0}, "budget: saw '5'; allowed is at least 9.00, what the cheapest 3 tubes"),
     ({"count": 9}, "tubes: saw '9'; allowed is at most the 8"),
     ({"must_have": frozenset(range(5))}, "must have: saw '5 tubes'; allowed is at most the 3"),
     ({"must_have": frozenset({1}), "must_not": frozenset({1})}, "not excluded at the same time"),
     ({"whites": frozenset({1}), "must_not": frozenset({1})}, "white: saw 'none left'")],
)  # fmt: skip
def test_wishes_that_leave_nothing_are_named(changes: dict[str, object], said: str) -> None:
    table = invented_table(8, 3, 1)
    wishes = {"count": 3, "prices": (3.0,) * 8, **changes}
    with pytest.raises(InputError, match=said):
        choose_supply(table, SupplyWishes(**wishes))  # type: ignore[arg-type]
