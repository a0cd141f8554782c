"""``python -m benchmarks.recipes [--quick]``: scores recipes and supply lists; writes ``docs/recipes-scored.md``."""

from __future__ import annotations

import argparse
import os
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

from benchmarks.recipes.hidden import COVERS, GLAZES, NEAR, Found, Hidden, hide_recipes, look_for
from benchmarks.recipes.rival import COVER, RIVALS, STARTS, Race, race
from scumble.colour import lab_to_lch
from scumble.jobs.match.supply import SupplyRequest, plan_supply
from scumble.jobs.match.wanted_colours import Wanted
from scumble.paint import paper_ground
from scumble.paint.pigment import starter_shelf
from scumble.solve.recipe.answer import Route, Wishes
from scumble.solve.recipe.bound import HALVINGS, may_reach
from scumble.solve.recipe.find import find_recipes
from scumble.solve.recipe.groups import every_group
from scumble.solve.recipe.search import Search
from scumble.solve.recipe.target import target_of_lab

PAGE = Path(__file__).parents[2] / "docs" / "recipes-scored.md"
GROUND = paper_ground("white")
SMALL = starter_shelf()[::4]
SIXTY = starter_shelf()[:60]
WITHIN = 0.5
COVERING = Wishes(routes=(Route.COVER,))


def main() -> None:
    """Score, print, and write the page unless asked to be quick."""
    asked = argparse.ArgumentParser(prog="python -m benchmarks.recipes")
    asked.add_argument("--quick", action="store_true", help="a few of each; prints only")
    asked.add_argument("--covers", type=int, default=COVERS, help="hidden opaque mixtures")
    asked.add_argument("--glazes", type=int, default=GLAZES, help="hidden glazes")
    given = asked.parse_args()
    found = round_trip(12 if given.quick else given.covers, 6 if given.quick else given.glazes)
    lines = say_round_trip(found)
    race(SMALL, GROUND)
    lines += say_race(race(starter_shelf(), GROUND))
    lines += say_times()
    lines += say_bound()
    lines += say_supply_time()
    load = f"Load of the machine at the end: {os.getloadavg()[0]:.1f} on {os.cpu_count()} cores; above that count all"
    page = "\n".join([*HEAD, *lines, "", load, "times are longer than they would be.", ""])
    print(page)
    if not given.quick:
        PAGE.write_text(page, encoding="utf-8")


HEAD = (
    "# Recipes, scored",
    "",
    "Written by `python -m benchmarks.recipes` (about ten minutes on two idle cores). All on illustrative paints over",
    "white paper, the model against itself: this scores the search, not the paints; for those see",
    "[accuracy.md](accuracy.md).",
    "",
    "| asked for | measured | of how many |",
    "|---|---|---|",
)


def round_trip(covers: int, glazes: int) -> list[tuple[Hidden, Found]]:
    """Hidden recipes of a shelf of 16 tubes, each looked for by its colour alone."""
    hidden = hide_recipes(np.random.default_rng(2), SMALL, GROUND, covers=covers, glazes=glazes)
    return [(each, look_for(each, SMALL, GROUND)) for each in hidden]


def say_round_trip(pairs: list[tuple[Hidden, Found]]) -> list[str]:
    """Rows on what was found and what rounding cost."""
    rows = []
    for name, route in (("", None), (", covered", Route.COVER), (", glazed", Route.GLAZE)):
        found = [each for hidden, each in pairs if route in (None, hidden.route)]
        near = _share([each.exact <= NEAR for each in found])
        equal = _share([each.is_equal for each in found])
        original = _share([each.is_original for each in found])
        cheap = _share([each.loss <= 0.8 for each in found])
        middle = f"{np.median([each.rounded for each in found]):.2f}"
        rows += [
            f"| {words}{name} | {value} | {len(found)} |"
            for words, value in (
                (f"hidden colour found within dE00 {NEAR:g}", near),
                ("the original or its equal in the list", equal),
                ("the original tubes in the list", original),
                ("measurable parts cost at most dE00 0.8", cheap),
                ("median dE00 in measurable parts", middle),
            )
        ]
    every = [each for _, each in pairs]
    rows.append(f"| most parts of paint in a film | {max(each.parts for each in every):g} | {len(every)} |")
    rows.append(
        f"| median time to first and last answer, 16 tubes | {np.median([each.first_s for each in every]):.2f} s, "
        f"{np.median([each.all_s for each in every]):.2f} s | {len(every)} |"
    )
    return rows


def say_race(result: Race) -> list[str]:
    """Rows on the rival."""
    rival = f"SLSQP from {STARTS} starts"
    return [
        f"| times faster a combination, many at once, than {rival} | {result.faster:.0f} | {RIVALS} |",
        f"| ours worse than SLSQP's best by at most | dE00 {max(result.worse.max(), 0.0):.3f} | {RIVALS} |",
        f"| SLSQP's best worse than ours by at most | dE00 {max(-result.worse.min(), 0.0):.3f} | {RIVALS} |",
    ]


def say_times() -> list[str]:
    """Rows on exhaustive triples and first answers."""
    rows = []
    for count in (40, 60):
        search = Search(target_of_lab([60, 20, 30]), starter_shelf()[:count], GROUND)
        members = every_group(np.arange(count), 3)
        search.solve(members[:10], (0, 0, 0), COVER)
        times = [
            _timed(lambda s=search, m=members: s.solve(m, (0, 0, 0), COVER, worth=2.0)) for _ in range(3)
        ]  # type: ignore[misc]
        rows.append(f"| all {len(members)} triples of {count} tubes | {min(times):.2f} s | best of 3 |")
    target = target_of_lab([60, 20, 30])
    next(find_recipes(target, SIXTY, GROUND, Wishes()))
    times = [_timed(lambda: next(find_recipes(target, SIXTY, GROUND, Wishes()))) for _ in range(5)]
    rows.append(f"| first answers from 60 tubes, all routes | {min(times):.2f} s | best of 5 |")
    return rows


EDGES = ([85, 5, 80], [96, 0, 2], [50, 60, 45], [60, 90, 60])
"""Colours at or beyond the edge of what 60 tubes reach, where fours may still enter the list."""


def say_bound() -> list[str]:
    """Rows on the fours that are ruled out unsolved, and on how long all of them take."""
    fours = every_group(np.arange(60), 4)
    search = Search(target_of_lab([60, 20, 30]), SIXTY, GROUND)
    rng = np.random.default_rng(1)
    some = fours[rng.choice(len(fours), 20_000, replace=False)]
    search.solve(some[:10], (0, 0, 0, 0), COVER, worth=WITHIN)
    may_reach(search, some[:10], WITHIN)
    rows = []
    for halvings in (HALVINGS, 64):
        shares = []
        for lab in ([60, 20, 30], [50, 60, 45], [30, 20, -55], [70, -40, 20], [85, 5, 80], [92, 0, 0]):
            aimed = Search(target_of_lab(lab), SIXTY, GROUND)
            shares.append(1.0 - float(may_reach(aimed, some[:5000], WITHIN, halvings=halvings).mean()))
        out = f"{100 * min(shares):.0f} to {100 * max(shares):.0f} %"
        rows.append(
            f"| fours of 60 tubes ruled out at dE00 {WITHIN:g}, up to {halvings} halvings | {out} | 6 colours, "
            "5000 fours |"
        )
    judged = _timed(lambda: may_reach(search, some, WITHIN)) / len(some)
    solved = _timed(lambda: search.solve(some, (0, 0, 0, 0), COVER, worth=WITHIN)) / len(some)
    rows.append(
        f"| a four judged, a four solved | {1e6 * judged:.0f} us, {1e6 * solved:.0f} us | {len(some)} |"
    )
    rows += [_say_search(lab) for lab in ([60, 20, 30], *EDGES)]
    return rows


def _say_search(lab: list[float]) -> str:
    """A row on a whole search for an opaque mixture of 60 tubes."""
    start, worked, first = time.perf_counter(), time.process_time(), 0.0
    for steps, answer in enumerate(find_recipes(target_of_lab(lab), SIXTY, GROUND, COVERING), 1):  # noqa: B007
        first = first or time.perf_counter() - start
    whole, worked = time.perf_counter() - start, time.process_time() - worked
    return (
        f"| L* {lab[0]:g} a* {lab[1]:g} b* {lab[2]:g} covered with 60 tubes: first, last answer | {first:.2f} s, "
        f"{whole:.1f} s ({worked:.1f} s of a processor) | {steps} answers; {answer.stage} |"
    )


def say_supply_time() -> list[str]:
    """A row on a supply list of 60 tubes and 200 colours."""
    rng = np.random.default_rng(3)
    labs = np.array([[20.0, -60.0, -60.0]]) + rng.random((2000, 3)) * [70.0, 120.0, 140.0]
    labs = labs[lab_to_lch(labs)[:, 1] < 55.0][:200]
    wanted = Wanted(labs, tuple(f"{number}" for number in range(len(labs))), "colours at random")
    warm = Wanted(labs[:4], wanted.labels[:4], "a few")
    plan_supply(SupplyRequest(4), warm, SMALL, {})
    told: list[float] = []
    start = time.perf_counter()
    plan = plan_supply(SupplyRequest(8), wanted, SIXTY, {}, progress=lambda _words, share: told.append(share))
    seconds = time.perf_counter() - start
    return [
        f"| 8 of 60 tubes for {len(labs)} colours, both routes | {seconds:.1f} s, told {len(told)} times | 1 |",
        f"| wanted colours reached by those 8, within dE00 2 | {plan.reached} of {plan.wanted} | 1 |",
    ]


def _share(flags: list[bool]) -> str:
    return f"{100 * np.mean(flags):.1f} %"


def _timed(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


if __name__ == "__main__":
    main()
