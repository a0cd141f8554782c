"""``python -m benchmarks.plan [--quick]``: times and scores plans; writes ``docs/plan-scored.md``.

The rival plans area by area: for each the best recipe of every route that the manner allows, nothing shared. Both work
on the same areas in one run. The limit is what any layers tried could reach if every area had its own.
"""

from __future__ import annotations

import argparse
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import cv2
import numpy as np
from demo.study import draw_study
from PIL import Image

from scumble.jobs.plan.reference import open_reference
from scumble.paint import paper_ground
from scumble.paint.pigment import starter_shelf
from scumble.solve.plan.areas import Division, divide_picture
from scumble.solve.plan.painting import Painting
from scumble.solve.plan.value import Plan
from scumble.solve.plan.wishes import Manner
from scumble.solve.recipe.answer import Recipe, Route, Wishes
from scumble.solve.recipe.find import find_recipes
from scumble.solve.recipe.target import target_of_lab

PAGE = Path(__file__).parents[1] / "docs" / "plan-scored.md"
GROUND = paper_ground("white")
TWENTY = starter_shelf()[::3][:20]
LARGE_PX = (4000, 3000)

ROUTES = {
    Manner.TRANSPARENT: Route.GLAZE,
    Manner.UNDERPAINTED: Route.UNDERPAINT,
    Manner.OPAQUE: Route.COVER,
}
"""Manners for which recipes have a route of their own."""

HEAD = (
    "# Plans, scored",
    "",
    "Written by `python -m benchmarks.plan`. Illustrative paints on white paper, the picture of `demo/study.jpg`: this",
    "scores the planning, not the paints; for those see [accuracy.md](accuracy.md). The rival plans area by area, the",
    "best recipe of the route for each, nothing shared; both on the same areas in the same run. *Limit*: what any",
    "layers that were tried reach if every area has its own. Seconds are those of all cores together, so that what",
    "else the machine does hardly counts; on two idle cores it takes between half of them and all.",
    "",
)


def main() -> None:
    """Time, score, print, and write the page unless asked to be quick."""
    asked = argparse.ArgumentParser(prog="python -m benchmarks.plan")
    asked.add_argument("--quick", action="store_true", help="fewer areas; prints only")
    given = asked.parse_args()
    areas = 4 if given.quick else 8
    warm_up()
    page = "\n".join([*HEAD, *say_time(8 if given.quick else 24), "", *say_rival(areas), ""])
    print(page)
    if not given.quick:
        PAGE.write_text(page, encoding="utf-8")


def warm_up() -> None:
    """Have everything compiled before it is timed."""
    Painting(np.array([[60.0, 10, 20]]), np.ones(1), TWENTY[:6], GROUND).plan(Manner.UNDERPAINTED)


def large_picture() -> Path:
    """The study enlarged to 12 million points, as a JPEG."""
    shown = cv2.resize(np.asarray(draw_study(seed=7)), LARGE_PX, interpolation=cv2.INTER_CUBIC)
    path = Path(tempfile.mkdtemp()) / "large.jpg"
    Image.fromarray(shown).save(path, quality=90)
    return path


def say_time(areas: int) -> list[str]:
    """How long a large picture takes from the file to plans in all manners."""
    path = large_picture()
    opened, reference = _timed(lambda: open_reference(path))
    divided, division = _timed(lambda: divide_picture(reference.labs, areas, np.random.default_rng(1)))
    painting = Painting(division.labs, division.shares, TWENTY, GROUND)
    rows = [
        f"| a picture of 12 million points, {len(TWENTY)} tubes | processor seconds |",
        "|---|---|",
        f"| opened and reduced | {opened:.1f} |",
        f"| divided into {len(division.labs)} areas | {divided:.1f} |",
    ]
    whole = opened + divided
    for manner in Manner:
        took, _ = _timed(lambda manner=manner: painting.plan(manner))  # type: ignore[misc]
        whole += took
        rows.append(f"| planned, {manner.value} | {took:.1f} |")
    return [*rows, f"| together | {whole:.1f} |"]


def say_rival(count: int) -> list[str]:
    """The same areas planned as a whole and one by one."""
    reference = open_reference(Path(__file__).parents[1] / "demo" / "study.jpg")
    division = divide_picture(reference.labs, count, np.random.default_rng(1))
    rows = [
        f"| {len(division.labs)} areas, {len(TWENTY)} tubes | plan | area by area | limit |",
        "|---|---|---|---|",
    ]
    for manner, route in ROUTES.items():
        painting = Painting(division.labs, division.shares, TWENTY, GROUND)
        took, plan = _timed(lambda p=painting, manner=manner: p.plan(manner))  # type: ignore[misc]
        alone_took, recipes = _timed(lambda route=route: _area_by_area(division, route))  # type: ignore[misc]
        assert plan is not None
        limit = float(division.shares @ np.array([area.nearest for area in plan.areas]))
        rows += [
            f"| {manner.value}: processor seconds | {took:.1f} | {alone_took:.1f}, {alone_took / took:.1f} times | |",
            f"| off by, dE00 over the picture | {_off(division, plan):.2f} | {_alone_off(division, recipes):.2f} "
            f"| {limit:.2f} |",
            f"| mixtures | {len(plan.mixtures)} | {_alone_mixtures(recipes)} | |",
            f"| passes | {len(plan.passes)} | {max(len(each.layering.films) for each in recipes)} | |",
        ]
    return rows


def _area_by_area(division: Division, route: Route) -> list[Recipe]:
    wishes = Wishes(routes=(route,), most_tubes=3, most_films=2 if route is Route.GLAZE else 3, count=1)
    found = []
    for lab in division.labs:
        *_, last = find_recipes(target_of_lab(lab), TWENTY, GROUND, wishes)
        found.append(last.of_route(route)[0])
    return found


def _off(division: Division, plan: Plan) -> float:
    return float(division.shares @ np.array([area.difference for area in plan.areas]))


def _alone_off(division: Division, recipes: list[Recipe]) -> float:
    return float(division.shares @ np.array([recipe.difference for recipe in recipes]))


def _alone_mixtures(recipes: list[Recipe]) -> int:
    every = {
        (tuple((paint.key, part) for paint, part in film.parts), film.medium_parts)
        for recipe in recipes
        for film in recipe.layering.films
    }
    return len(every)


def _timed(work: Callable[[], Any]) -> tuple[float, Any]:
    began = time.process_time()
    found = work()
    return time.process_time() - began, found


if __name__ == "__main__":
    main()
