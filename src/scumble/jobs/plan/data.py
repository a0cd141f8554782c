"""A plan as plain data, ready for JSON."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from scumble.jobs.plan.amounts import amounts_of
from scumble.jobs.plan.drying import waits_of
from scumble.jobs.plan.found import PlanFound, codes_of
from scumble.jobs.plan.request import PlanRequest
from scumble.jobs.plan.words import (
    cautions_of,
    compare_manners,
    is_illustrative,
    name_of,
    say_mixture,
    title_of,
)
from scumble.solve.plan.layers import Mixture, Stack
from scumble.solve.plan.value import Plan, PlannedArea


def plan_as_data(found: PlanFound, plan: Plan) -> dict[str, Any]:
    """Everything a plan says, its pictures left out."""
    amounts = amounts_of(plan, found.facts, width_cm=found.request.width_cm, aspect=found.reference.aspect)
    return {
        "picture": found.reference.name,
        "ground": plan.ground.label,
        "manner": plan.manner.value,
        "asked": asked_as_data(found.request),
        "error": {name: round(value, 3) for name, value in asdict(found.error(plan)).items()},
        "areas": [_area_as_data(plan, area) for area in plan.areas],
        "mixtures": {
            letter: {**mixture_as_data(plan, mixture), "words": say_mixture(plan, mixture)}
            for letter, mixture in plan.mixtures
        },
        "passes": [
            {
                "name": one.name,
                "title": title_of(plan, one),
                "unevenness": round(one.unevenness, 2),
                "brushed": [
                    {
                        "mixture": each.letter,
                        "role": each.role.value,
                        "areas": {str(number): coats for number, coats in each.areas},
                    }
                    for each in one.brushed
                ],
                "wait": wait.words if wait is not None else "",
                "colours": hex_of(one.labs),
            }
            for one, wait in zip(plan.passes, waits_of(plan), strict=True)
        ],
        "amounts": {
            "by_mixture_ml": {letter: round(ml, 2) for letter, ml in amounts.by_mixture.items()},
            "by_tube": [
                {"key": each.key or "medium", "ml": round(each.ml, 2), "strand_cm": round(each.strand_cm, 1)}
                for each in amounts.by_tube
            ],
            "notes": list(amounts.notes),
        },
        "compared": [list(row) for row in compare_manners(found)],
        "cautions": list(cautions_of(plan)),
        "illustrative": is_illustrative(plan),
        "changed": list(found.changed),
    }


def asked_as_data(request: PlanRequest) -> dict[str, Any]:
    """A request, its names as lists."""
    return {
        name: list(value) if isinstance(value, tuple) else value for name, value in asdict(request).items()
    }


def mixture_as_data(plan: Plan, mixture: Mixture) -> dict[str, Any]:
    """A mixture with its tubes by their short names."""
    return {
        "parts": {plan.tubes[place].key: round(part, 4) for place, part in mixture.parts},
        "medium_parts": round(mixture.medium, 4),
        "thinner_parts": round(mixture.thinner, 4),
    }


def stack_as_data(plan: Plan, stack: Stack) -> list[dict[str, Any]]:
    """Layers of an area, the lowest first."""
    return [
        {**mixture_as_data(plan, layer.mixture), "coats": layer.coats, "role": layer.role.value}
        for layer in stack
    ]


def hex_of(labs: Any) -> list[str]:
    """Screen colours of CIELAB, as ``#rrggbb``."""
    return ["#" + bytes(code.tolist()).hex() for code in codes_of(labs)]


def _area_as_data(plan: Plan, area: PlannedArea) -> dict[str, Any]:
    return {
        "number": area.number,
        "name": name_of(area),
        "share": round(area.share, 4),
        "lab": [round(value, 2) for value in area.lab.tolist()],
        "layers": stack_as_data(plan, area.stack),
        "gives": [round(value, 2) for value in area.look.lab.tolist()],
        "difference": round(area.difference, 2),
        "interval": round(area.interval, 2),
        "unevenness": round(area.unevenness, 2),
        "shortfall": area.shortfall,
    }
