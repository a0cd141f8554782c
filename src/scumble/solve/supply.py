"""Which few tubes of a shelf reach a set of wanted colours best.

A table says how near every mixture of up to three tubes, and every one or two clear films, comes to every wanted
colour. A choice of tubes has all mixtures made of them alone; what it misses a colour by is the least of theirs. Where
the choices are few (:data:`MOST_CHOICES`) all are tried, which proves the best; where they are many, tubes are added
one by one and then exchanged until no exchange helps, from several beginnings.

*Source:* Teitz & Bart, Oper. Res. 16, 955 (1968), for the exchange of one member at a time; the problem is that of
the p-median with groups in place of sites.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from itertools import combinations
from math import comb

import numpy as np
from numba import njit
from numpy.typing import NDArray

from scumble.errors import InputError
from scumble.paint.covering import contrast_ratio
from scumble.solve.recipe.search import Bounds, Search
from scumble.solve.recipe.sketch import FARTHEST, HIDES, Rough, sketch_misses

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]
Progress = Callable[[str, float], None]

WORST = 20.0
"""Miss beyond which a colour is simply not reached; further away counts no more [dE00]."""

MOST_CHOICES = 60_000
"""Choices of tubes that are all tried."""

MOST_SOLVED = 60_000
"""Mixtures times colours that are solved exactly; of more, a table is sketched."""

BEGINNINGS = 5
"""First tubes that a choice is built up from."""

COVER = Bounds(0.9805, 1.0, 4.0)
GLAZE = Bounds(most_ratio=0.90, most_coats=1.0)


@dataclass(frozen=True, slots=True)
class SupplyWishes:
    """What a choice of tubes must keep to.

    Parameters
    ----------
    count : int
        Tubes to choose, white included.
    must_have, must_not : frozenset of int
        Places on the shelf.
    whites : frozenset of int
        Places of the whites, of which one is chosen; empty where none is asked for.
    prices : tuple of float
        Of each tube of the shelf; empty where cost does not matter.
    budget : float
        Most that the chosen tubes may cost together.
    """

    count: int
    must_have: frozenset[int] = frozenset()
    must_not: frozenset[int] = frozenset()
    whites: frozenset[int] = frozenset()
    prices: tuple[float, ...] = ()
    budget: float = np.inf


@dataclass(frozen=True, slots=True)
class Table:
    """How near every mixture comes to every wanted colour.

    Parameters
    ----------
    tubes : int
        On the shelf.
    pairs, triples : int array, shape (tubes, tubes) and (tubes, tubes, tubes)
        Row of every pair and triple, in the shelf's order, in ``misses``; single tubes have the first rows.
    misses : array, shape (mixtures, wants) [dE00]
        No more than :data:`WORST`.
    is_exact : bool
        Whether every mixture was solved.
    """

    tubes: int
    pairs: Whole
    triples: Whole
    misses: Rough
    is_exact: bool


@dataclass(frozen=True, slots=True)
class Choice:
    """Chosen tubes and what they reach.

    Parameters
    ----------
    tubes : tuple of int
        Places on the shelf, in its order.
    miss : float [dE00]
        Mean over the wants, each no more than :data:`WORST`.
    misses : array, shape (wants,) [dE00]
        Of each.
    is_proven : bool
        Whether no other choice does better in the same table.
    """

    tubes: tuple[int, ...]
    miss: float
    misses: Floats = field(repr=False)
    is_proven: bool


def build_table(
    search: Search,
    wanted: Floats,
    clear: Sequence[int],
    *,
    routes: Sequence[str] = ("cover", "glaze"),
    progress: Progress | None = None,
) -> Table:
    """How near all mixtures of a shelf come to all wanted colours, by each route.

    Parameters
    ----------
    search : Search
        The tubes, the ground and the light.
    wanted : array, shape (colours, 3)
        CIELAB.
    clear : sequence of int
        Places of tubes that make glazes.
    routes : sequence of str
        ``cover``, ``glaze``; with both, every colour is wanted twice.
    progress : callable, optional
        Told what is being done and the share; may raise to stop.
    """
    tell = progress or (lambda _words, _share: None)
    count = len(search.tubes)
    groups = [np.array(list(combinations(range(count), k)), dtype=np.int64).reshape(-1, k) for k in (1, 2, 3)]
    rows = sum(len(group) for group in groups)
    exact = rows * len(wanted) <= MOST_SOLVED
    columns = []
    if "cover" in routes:
        columns.append(_cover(search, groups, wanted, exact, tell))
    if "glaze" in routes:
        columns.append(_glaze(search, groups, wanted, clear, exact, tell))
    misses = np.minimum(np.concatenate(columns, axis=1), np.float32(WORST))
    pairs = np.full((count, count), -1, dtype=np.int64)
    triples = np.full((count, count, count), -1, dtype=np.int64)
    pairs[tuple(groups[1].T)] = count + np.arange(len(groups[1]))
    triples[tuple(groups[2].T)] = count + len(groups[1]) + np.arange(len(groups[2]))
    return Table(count, pairs, triples, np.ascontiguousarray(misses), exact)


def _cover(
    search: Search, groups: list[Whole], wanted: Floats, exact: bool, tell: Callable[[str, float], None]
) -> Rough:
    found = []
    for group in groups:
        k, share = group.shape[1], {1: 0.0, 2: 0.02, 3: 0.1}[group.shape[1]]
        if exact:
            tell("mixing", share)
            found.append(solve_misses(search, group, (0,) * k, COVER, wanted))
        else:
            found.append(
                sketch_misses(
                    search,
                    group,
                    wanted,
                    coats=COVER.most_coats,
                    tell=lambda done, k=k, share=share: tell(  # type: ignore[misc]
                        f"mixing {'one tube' if k == 1 else f'{k} tubes'}", share + done * 0.6 * (k == 3)
                    ),
                )
            )
    return np.concatenate(found)


def _glaze(
    search: Search,
    groups: list[Whole],
    wanted: Floats,
    clear: Sequence[int],
    exact: bool,
    tell: Callable[[str, float], None],
) -> Rough:
    found = [np.full((len(group), len(wanted)), FARTHEST, dtype=np.float32) for group in groups]
    is_clear = np.isin(np.arange(len(search.tubes)), list(clear))
    tell("glazing", 0.75)
    for group, own in zip(groups[:2], found, strict=False):
        fine = is_clear[group].all(axis=1)
        film_of = tuple(range(group.shape[1]))
        if exact:
            own[fine] = solve_misses(search, group[fine], film_of, GLAZE, wanted)
            if group.shape[1] == 2:
                own[fine] = np.minimum(
                    own[fine], solve_misses(search, group[fine][:, ::-1].copy(), film_of, GLAZE, wanted)
                )
        else:
            own[fine] = sketch_misses(search, group[fine], wanted, coats=0.0)
    return np.concatenate(found)


def solve_misses(
    search: Search, members: Whole, film_of: tuple[int, ...], bounds: Bounds, wanted: Floats
) -> Rough:
    """How near combinations come to wanted colours, each solved; shape (combinations, colours) [dE00]."""
    if len(members) == 0:
        return np.empty((0, len(wanted)), dtype=np.float32)
    every = np.repeat(members, len(wanted), axis=0)
    labs = np.tile(wanted, (len(members), 1))[:, None, :]
    solved = search.solve(every, film_of, bounds, worth=WORST, labs=labs)
    missed = solved.difference.copy()
    if bounds.least_ratio > 0.0:
        ratio = contrast_ratio(*search.depths(solved)[0], 1.0, index=search.index)
        missed[ratio < HIDES] = FARTHEST
    return np.asarray(missed.reshape(len(members), len(wanted)), dtype=np.float32)


@njit(cache=True, nogil=True)
def _miss_of(pairs, triples, misses, chosen, room):  # type: ignore[no-untyped-def]
    """Fill what a choice misses each want by; the mean."""
    k, wants = chosen.size, misses.shape[1]
    for w in range(wants):
        room[w] = WORST
    for i in range(k):
        for w in range(wants):
            room[w] = min(room[w], misses[chosen[i], w])
        for j in range(i + 1, k):
            row = pairs[chosen[i], chosen[j]]
            for w in range(wants):
                room[w] = min(room[w], misses[row, w])
            for m in range(j + 1, k):
                row = triples[chosen[i], chosen[j], chosen[m]]
                for w in range(wants):
                    room[w] = min(room[w], misses[row, w])
    whole = 0.0
    for w in range(wants):
        whole += room[w]
    return whole / wants


@njit(cache=True, nogil=True)
def _miss_of_many(pairs, triples, misses, choices, answers):  # type: ignore[no-untyped-def]
    room = np.empty(misses.shape[1])
    for row in range(choices.shape[0]):
        answers[row] = _miss_of(pairs, triples, misses, choices[row], room)


def judge_choice(table: Table, tubes: Sequence[int], *, is_proven: bool = False) -> Choice:
    """What a choice of tubes reaches."""
    chosen = np.array(sorted(tubes), dtype=np.int64)
    room = np.empty(table.misses.shape[1])
    miss = _miss_of(table.pairs, table.triples, table.misses, chosen, room) if len(chosen) else WORST
    return Choice(tuple(chosen.tolist()), float(miss), room, is_proven)


def judge_choices(table: Table, choices: Whole) -> Floats:
    """Mean miss of many choices of as many tubes, each row in the shelf's order [dE00]."""
    answers = np.empty(len(choices))
    _miss_of_many(table.pairs, table.triples, table.misses, np.ascontiguousarray(choices), answers)
    return answers


def choose_supply(table: Table, wishes: SupplyWishes, *, progress: Progress | None = None) -> Choice:
    """The best tubes within the wishes.

    Raises
    ------
    InputError
        If no choice keeps to them.
    """
    tell = progress or (lambda _words, _share: None)
    free = _free_tubes(table.tubes, wishes)
    open_places = wishes.count - len(wishes.must_have)
    number = comb(len(free), open_places)
    if number <= MOST_CHOICES:
        tell(f"trying all {number} choices", 0.9)
        return _try_all(table, wishes, free, open_places)
    return _exchange(table, wishes, free, tell)


def _free_tubes(tubes: int, wishes: SupplyWishes) -> list[int]:
    """Tubes that may be chosen beside those that must be.

    Raises
    ------
    InputError
        If the wishes leave nothing to choose.
    """
    both = wishes.must_have & wishes.must_not
    if both:
        raise InputError("must have", len(both), "tubes that are not excluded at the same time")
    free = [tube for tube in range(tubes) if tube not in wishes.must_have | wishes.must_not]
    if len(wishes.must_have) > wishes.count:
        raise InputError(
            "must have", f"{len(wishes.must_have)} tubes", f"at most the {wishes.count} that are wanted"
        )
    if len(free) + len(wishes.must_have) < wishes.count:
        left = len(free) + len(wishes.must_have)
        raise InputError("tubes", wishes.count, f"at most the {left} that are left to choose from")
    if wishes.whites and not (wishes.whites & (set(free) | wishes.must_have)):
        raise InputError("white", "none left", "at least one white that is not excluded")
    if not np.isfinite(wishes.budget):
        return free
    if wishes.budget <= 0.0:
        raise InputError(
            "budget", f"{wishes.budget:g}", "more than 0", "Leave it out if cost does not matter."
        )
    least = _least_cost(wishes, free)
    if least > wishes.budget:
        raise InputError(
            "budget",
            f"{wishes.budget:g}",
            f"at least {least:.2f}, what the cheapest {wishes.count} tubes that keep to the rest cost together",
        )
    return free


def _least_cost(wishes: SupplyWishes, free: Sequence[int]) -> float:
    held = sum(wishes.prices[tube] for tube in wishes.must_have)
    places = wishes.count - len(wishes.must_have)
    cheap = sorted(free, key=lambda tube: wishes.prices[tube])
    if wishes.whites and not wishes.whites & wishes.must_have and places:
        white = next(tube for tube in cheap if tube in wishes.whites)
        rest = [tube for tube in cheap if tube != white][: places - 1]
        return held + wishes.prices[white] + sum(wishes.prices[tube] for tube in rest)
    return held + sum(wishes.prices[tube] for tube in cheap[:places])


def _keeps(wishes: SupplyWishes, choices: Whole) -> NDArray[np.bool_]:
    """Which choices have a white and keep to the budget."""
    fine = np.ones(len(choices), dtype=np.bool_)
    if wishes.whites:
        fine &= np.isin(choices, list(wishes.whites)).any(axis=1)
    if np.isfinite(wishes.budget):
        fine &= np.array(wishes.prices)[choices].sum(axis=1) <= wishes.budget + 1e-9
    return fine


def _try_all(table: Table, wishes: SupplyWishes, free: Sequence[int], places: int) -> Choice:
    held = tuple(sorted(wishes.must_have))
    choices = np.array(
        [sorted((*held, *rest)) for rest in combinations(free, places)], dtype=np.int64
    ).reshape(-1, wishes.count)
    choices = choices[_keeps(wishes, choices)]
    answers = judge_choices(table, choices)
    return judge_choice(table, choices[int(np.argmin(answers))].tolist(), is_proven=True)


def _exchange(
    table: Table, wishes: SupplyWishes, free: Sequence[int], tell: Callable[[str, float], None]
) -> Choice:
    """Build a choice up and exchange its tubes until none helps."""
    first = judge_choices(table, np.array([[tube] for tube in free], dtype=np.int64))
    beginnings = [[], *([free[int(at)]] for at in np.argsort(first)[: BEGINNINGS - 1])]
    best: Choice | None = None
    for number, start in enumerate(beginnings):
        tell("exchanging tubes", 0.85 + 0.1 * number / len(beginnings))
        chosen = _build_up(table, wishes, free, [*wishes.must_have, *start])
        if chosen is None:
            continue
        choice = _improve(table, wishes, free, chosen)
        if best is None or choice.miss < best.miss - 1e-9:
            best = choice
    if best is None:
        raise InputError("budget", f"{wishes.budget:g}", "enough for the tubes that are wanted")
    return best


def _build_up(
    table: Table, wishes: SupplyWishes, free: Sequence[int], start: Sequence[int]
) -> list[int] | None:
    chosen = list(dict.fromkeys(start))
    while len(chosen) < wishes.count:
        left = [tube for tube in free if tube not in chosen]
        needs_white = bool(wishes.whites) and not wishes.whites & set(chosen)
        if needs_white and len(chosen) == wishes.count - 1:
            left = [tube for tube in left if tube in wishes.whites]
        if np.isfinite(wishes.budget):
            left = [tube for tube in left if _can_finish(wishes, free, [*chosen, tube])]
        if not left:
            return None
        choices = np.array([sorted((*chosen, tube)) for tube in left], dtype=np.int64)
        chosen.append(left[int(np.argmin(judge_choices(table, choices)))])
    return chosen if _keeps(wishes, np.array([sorted(chosen)], dtype=np.int64))[0] else None


def _can_finish(wishes: SupplyWishes, free: Sequence[int], chosen: Sequence[int]) -> bool:
    """Whether the cheapest tubes that are still needed fit into the budget."""
    rest = [tube for tube in free if tube not in chosen]
    still = SupplyWishes(
        wishes.count, frozenset(chosen), frozenset(), wishes.whites, wishes.prices, wishes.budget
    )
    if wishes.whites and not wishes.whites & set(chosen) and not wishes.whites & set(rest):
        return False
    return _least_cost(still, rest) <= wishes.budget + 1e-9


def _improve(table: Table, wishes: SupplyWishes, free: Sequence[int], chosen: list[int]) -> Choice:
    best = judge_choice(table, chosen)
    while True:
        own = [tube for tube in best.tubes if tube not in wishes.must_have]
        trials = [
            sorted((set(best.tubes) - {out}) | {into})
            for out in own
            for into in free
            if into not in best.tubes
        ]
        choices = np.array(trials, dtype=np.int64).reshape(-1, wishes.count)
        choices = choices[_keeps(wishes, choices)]
        if len(choices) == 0:
            return best
        answers = judge_choices(table, choices)
        if answers.min() >= best.miss - 1e-6:
            return best
        best = judge_choice(table, choices[int(np.argmin(answers))].tolist())
