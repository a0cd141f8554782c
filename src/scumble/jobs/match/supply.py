"""Choose what a class should buy: the few tubes that reach a set of wanted colours, and how much of each."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import combinations
from math import ceil, isfinite

import numpy as np
from numpy.typing import NDArray

from scumble.chart.strip import write_colour
from scumble.colour import lab_to_xyz, white_point, xyz_to_srgb
from scumble.errors import InputError
from scumble.jobs.match.facts import bar_fading, currency_of
from scumble.jobs.match.match_colour import find_ground
from scumble.jobs.match.supply_amounts import Need, Painted, work_out_amounts
from scumble.jobs.match.supply_plan import REACHED, Other, SupplyColour, SupplyPlan, SupplyTube
from scumble.jobs.match.wanted_colours import Wanted
from scumble.jobs.white import is_white
from scumble.paint import Paint
from scumble.paint.caution import pigment_cautions
from scumble.paint.covering import MARK_BOUNDS, opacity
from scumble.solve.recipe.answer import Wishes, answers_to
from scumble.solve.recipe.find import usable_tubes
from scumble.solve.recipe.search import Search
from scumble.solve.recipe.target import target_of_lab
from scumble.solve.supply import (
    COVER,
    GLAZE,
    WORST,
    SupplyWishes,
    Table,
    build_table,
    choose_supply,
    judge_choices,
    solve_misses,
)
from scumble.store.tube_facts import TubeFacts

Floats = NDArray[np.float64]
Progress = Callable[[str, float], None]

ROUTES = ("cover", "glaze")


@dataclass(frozen=True, slots=True)
class SupplyRequest:
    """What is asked for.

    Parameters
    ----------
    count : int
        Tubes to choose, a white included.
    routes : tuple of str
        ``cover``, ``glaze``; with both every colour is wanted by each.
    budget : float, optional
        Most that one tube of each may cost together.
    must_have, exclude : tuple of str
        Short names, Colour Index names, words of a label or caution families.
    lightfastness, unrated : str
        The least rating, and what becomes of tubes without one.
    ground : object
        What glazes lie over.
    with_white : bool
        Whether one white must be among them.
    need : Need
        For whom and for what it is bought.
    """

    count: int = 8
    routes: tuple[str, ...] = ROUTES
    budget: float | None = None
    must_have: tuple[str, ...] = ()
    exclude: tuple[str, ...] = ()
    lightfastness: str = ""
    unrated: str = "out"
    ground: object = "white"
    with_white: bool = True
    need: Need = field(default_factory=Need)

    def __post_init__(self) -> None:
        if not 1 <= self.count <= 24:
            raise InputError("tubes", self.count, "1 to 24")
        if not self.routes or not set(self.routes) <= set(ROUTES):
            raise InputError("route", ", ".join(self.routes) or "none", "cover, glaze or both")
        if self.budget is not None and not (isfinite(self.budget) and self.budget > 0.0):
            raise InputError(
                "budget", f"{self.budget:g}", "more than 0", "Leave it out if cost does not matter."
            )


def plan_supply(
    request: SupplyRequest,
    wanted: Wanted,
    shelf: Sequence[Paint],
    facts: Mapping[str, TubeFacts],
    *,
    progress: Progress | None = None,
) -> SupplyPlan:
    """Choose the tubes.

    Parameters
    ----------
    request : SupplyRequest
        What is asked for.
    wanted : Wanted
        The colours to reach.
    shelf : sequence of Paint
        What can be bought.
    facts : mapping of str to TubeFacts
        Prices, sizes and ratings.
    progress : callable, optional
        Told what is being done and the share; what it raises stops the work.

    Raises
    ------
    InputError
        If no choice keeps to what is asked.
    """
    tell = progress or (lambda _words, _share: None)
    tubes, notes = _sellable(request, shelf, facts)
    search = Search(target_of_lab([50.0, 0.0, 0.0]), tubes, find_ground(request.ground))
    clear = np.flatnonzero(opacity(search.absorption, search.scattering, index=search.index) < MARK_BOUNDS[1])
    tell("mixing", 0.0)
    table = build_table(search, wanted.labs, clear.tolist(), routes=request.routes, progress=tell)
    wishes = _wishes(request, tubes, facts)
    choice = choose_supply(table, wishes, progress=tell)
    more = _best_more(table, choice.tubes)
    tell("working it out exactly", 0.95)
    chosen = [*choice.tubes, *([more] if more is not None else [])]
    exact = _Exact(search, chosen, set(clear.tolist()), wanted.labs, request.routes)
    return _plan(request, wanted, tubes, facts, exact, choice.is_proven and table.is_exact, more, notes)


def _sellable(
    request: SupplyRequest, shelf: Sequence[Paint], facts: Mapping[str, TubeFacts]
) -> tuple[tuple[Paint, ...], tuple[str, ...]]:
    """Tubes that may be chosen, and what had to be left out."""
    barred = bar_fading(shelf, facts, request.lightfastness, unrated=request.unrated)
    notes = []
    gone = {paint.key: "discontinued" for paint in shelf if facts.get(paint.key, TubeFacts()).discontinued}
    if gone:
        notes.append(f"{len(gone)} discontinued tubes were left out.")
    unpriced = {}
    if request.budget is not None:
        unpriced = {
            paint.key: "without a price" for paint in shelf if facts.get(paint.key, TubeFacts()).price is None
        }
        if unpriced:
            notes.append(f"{len(unpriced)} tubes without a price were left out, since there is a budget.")
    if barred:
        notes.append(f"{len(barred)} tubes below {request.lightfastness} or without a rating were left out.")
    wishes = Wishes(excluded=frozenset(request.exclude), barred={**gone, **unpriced, **barred})
    return usable_tubes(shelf, wishes), tuple(notes)


def _wishes(request: SupplyRequest, tubes: Sequence[Paint], facts: Mapping[str, TubeFacts]) -> SupplyWishes:
    must = set()
    for word in request.must_have:
        found = [place for place, paint in enumerate(tubes) if answers_to(paint, word)]
        if not found:
            raise InputError("must have", word, "the short name or pigment of a tube that is not left out")
        must.add(found[0])
    whites = frozenset(place for place, paint in enumerate(tubes) if is_white(paint))
    if request.with_white and not whites:
        raise InputError("white", "none", "a white on the shelf", "Say that no white is needed, or add one.")
    currency_of(facts)
    prices: tuple[float, ...] = ()
    if request.budget is not None:
        prices = tuple(float(facts[paint.key].price or 0) for paint in tubes)
    return SupplyWishes(
        request.count,
        frozenset(must),
        frozenset(),
        whites if request.with_white else frozenset(),
        prices,
        np.inf if request.budget is None else request.budget,
    )


def _best_more(table: Table, chosen: tuple[int, ...]) -> int | None:
    """The tube that would help most as one more, whatever it costs."""
    left = [tube for tube in range(table.tubes) if tube not in chosen]
    if not left:
        return None
    choices = np.array([sorted((*chosen, tube)) for tube in left], dtype=np.int64)
    return left[int(np.argmin(judge_choices(table, choices)))]


class _Exact:
    """All mixtures of a few tubes, of four where one is white, solved for every wanted colour."""

    def __init__(
        self, search: Search, places: list[int], clear: set[int], labs: Floats, routes: tuple[str, ...]
    ) -> None:
        self.places, self.labs, self.routes = places, labs, routes
        self.search = Search(search.target, [search.tubes[place] for place in places], search.ground)
        own = range(len(places))
        glazing = [at for at in own if places[at] in clear]
        self.rows: list[tuple[str, tuple[int, ...]]] = []
        found = []
        for size in (1, 2, 3):
            group = np.array(list(combinations(own, size)), dtype=np.int64).reshape(-1, size)
            if "cover" in routes and len(group):
                found.append((COVER, group, (0,) * size))
        whites = {at for at in own if is_white(self.search.tubes[at])}
        fours = [row for row in combinations(own, 4) if whites & set(row)]
        if "cover" in routes and fours:
            found.append((COVER, np.array(fours, dtype=np.int64), (0,) * 4))
        for size in (1, 2):
            every = list(combinations(glazing, size))
            both = every + [pair[::-1] for pair in every if size == 2]
            if "glaze" in routes and both:
                found.append((GLAZE, np.array(both, dtype=np.int64).reshape(-1, size), tuple(range(size))))
        misses = []
        for bounds, group, film_of in found:
            route = "cover" if bounds is COVER else "glaze"
            self.rows += [(route, tuple(row)) for row in group.tolist()]
            misses.append(solve_misses(self.search, group, film_of, bounds, labs))
        self.misses = np.minimum(np.concatenate(misses), np.float32(WORST))
        self.of_route = {name: np.array([route == name for route, _ in self.rows]) for name in routes}

    def best(self, allowed: set[int]) -> tuple[Floats, NDArray[np.int64]]:
        """Least miss and its row for every route and colour, with only some of the tubes."""
        fine = np.array([set(members) <= allowed for _, members in self.rows])
        least, rows = [], []
        for name in self.routes:
            own = np.where((fine & self.of_route[name])[:, None], self.misses, np.float32(WORST + 1.0))
            rows.append(np.argmin(own, axis=0))
            least.append(np.minimum(own.min(axis=0), WORST))
        return np.array(least, dtype=np.float64), np.array(rows)

    def amounts(self, route: str, row: int, colour: int) -> tuple[tuple[int, ...], Floats, Floats]:
        """Tubes of a mixture, their coats for a colour, and the colour it gives."""
        members = self.rows[row][1]
        film_of = (0,) * len(members) if route == "cover" else tuple(range(len(members)))
        bounds = COVER if route == "cover" else GLAZE
        lab = self.labs[colour][None, None, :]
        solved = self.search.solve(np.array([members]), film_of, bounds, labs=lab)
        return members, solved.coats[0], self.search.quick_labs(solved)[0, 0]


def _plan(
    request: SupplyRequest,
    wanted: Wanted,
    tubes: Sequence[Paint],
    facts: Mapping[str, TubeFacts],
    exact: _Exact,
    is_proven: bool,
    more: int | None,
    notes: tuple[str, ...],
) -> SupplyPlan:
    count = len(exact.places) - (more is not None)
    own = set(range(count))
    least, rows = exact.best(own)
    colours: list[SupplyColour] = []
    painted: list[Painted] = []
    for at, route in enumerate(exact.routes):
        for colour, label in enumerate(wanted.labels):
            if least[at, colour] >= WORST:
                colours.append(SupplyColour(label, route, _hex(wanted.labs[colour]), "", WORST, ()))
                continue
            members, coats, lab = exact.amounts(route, int(rows[at, colour]), colour)
            painted.append(Painted(route, members, coats))
            names = tuple(exact.search.tubes[member].label for member in members)
            miss = round(float(least[at, colour]), 2)
            colours.append(SupplyColour(label, route, _hex(wanted.labs[colour]), _hex(lab), miss, names))
    keys = [exact.search.tubes[at].key for at in range(count)]
    amounts = work_out_amounts(request.need, painted, keys, facts)
    volumes = amounts.volumes_ml
    without = [exact.best(own - {at})[0] for at in range(count)]
    reached = int((least <= REACHED).sum())
    chosen = tuple(_tube(exact, at, volumes, facts, reached, without[at]) for at in range(count))
    order = sorted(range(count), key=lambda at: float(without[at].mean()))
    dropped = order[0] if count > 1 else None
    one_less = None
    if dropped is not None:
        one_less = Other(
            chosen[dropped].key,
            chosen[dropped].label,
            int((without[dropped] <= REACHED).sum()),
            round(float(without[dropped].mean()), 2),
        )
    one_more = None
    if more is not None:
        with_it, paint = exact.best(own | {count})[0], tubes[more]
        one_more = Other(
            paint.key, paint.label, int((with_it <= REACHED).sum()), round(float(with_it.mean()), 2)
        )
    costs = [each.cost for each in chosen]
    prices = [facts.get(each.key, TubeFacts()).price for each in chosen]
    return SupplyPlan(
        source=wanted.source,
        tubes=chosen,
        colours=tuple(colours),
        wanted=int(least.size),
        reached=reached,
        miss=round(float(least.mean()), 2),
        is_proven=is_proven,
        one_less=one_less,
        one_more=one_more,
        set_cost=None if None in prices else round(sum(float(price or 0) for price in prices), 2),
        class_cost=None if None in costs else round(sum(cost or 0.0 for cost in costs), 2),
        currency=currency_of(facts),
        cautions=pigment_cautions(name for each in chosen for name in each.pigments),
        notes=(*notes, *amounts.notes),
        painters=request.need.painters,
        need=amounts.words,
    )


def _tube(
    exact: _Exact,
    at: int,
    volumes: Floats,
    facts: Mapping[str, TubeFacts],
    reached: int,
    without: Floats,
) -> SupplyTube:
    paint = exact.search.tubes[at]
    known = facts.get(paint.key, TubeFacts())
    volume, share = float(volumes[at]), float(volumes[at] / max(volumes.sum(), 1e-12))
    number = ceil(volume / known.size_ml - 1e-9) if known.size_ml else 0
    number = max(number, 1) if known.size_ml else 0
    cost = None if known.price is None or not number else round(number * float(known.price), 2)
    thick = paint.optics.absorption * 8.0, paint.optics.scattering * 8.0
    thin = paint.optics.absorption * 0.15, paint.optics.scattering * 0.15
    labs = [exact.search.predict_labs([film])[0] for film in (thick, thin)]
    return SupplyTube(
        paint.key,
        paint.label,
        paint.pigments,
        tuple(_hex(lab) for lab in labs),
        round(share, 4),
        round(volume, 1),
        number,
        cost,
        reached - int((without <= REACHED).sum()),
        round(float(without.mean()), 2),
    )


def _hex(lab: Floats) -> str:
    rgb, _ = xyz_to_srgb(lab_to_xyz(lab, white_point("D65", 2)), light="D65", observer=2)
    return write_colour(rgb)
