"""Reach a colour with the tubes of the shelf: covered, glazed or scumbled."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

import numpy as np

from scumble.colour import name_colour
from scumble.errors import InputError
from scumble.jobs.files import shelf_path
from scumble.jobs.layering_request import (
    GroundRequest,
    LayeringRequest,
    build_layering,
    look_as_data,
    parse_model,
)
from scumble.jobs.match.facts import bar_fading, currency_of, prices_per_ml
from scumble.jobs.match.target import parse_target
from scumble.jobs.paint_names import paints_by_name
from scumble.paint import Binder, Face, Film, Ground, Paint
from scumble.paint.caution import pigment_cautions
from scumble.solve.recipe.answer import Answer, Recipe, Route, Wishes
from scumble.solve.recipe.find import find_recipes
from scumble.solve.recipe.rounding import say_parts
from scumble.solve.recipe.target import Target
from scumble.store.tube_facts import TubeFacts

Progress = Callable[[str, float], None]

FACES = ("gloss", "satin", "matte", "varnished")


@dataclass(frozen=True, slots=True)
class MatchRequest:
    """What a person asks for.

    Parameters
    ----------
    colour : str or Target
        The wanted colour as written, see :func:`scumble.jobs.match.target.parse_target`, or as it was found in a
        picture.
    ground : object
        A sheet's name, or ``{"paper": ...}``, ``{"lab": ...}``, ``{"reflectance": ...}``.
    lights : tuple of str
        Lights it is wanted under.
    observer : int [degrees]
        2 or 10.
    face : str
        Of the finished work.
    binder : str, optional
        Which tubes to use; those of which there are most by default.
    wishes : Wishes
        Routes, limits, prices, exclusions.
    lightfastness : str
        The least that tubes are rated at, such as ``ASTM II``; empty for none.
    unrated : str
        ``out`` leaves out tubes that nobody has rated where there is such a floor, ``in`` takes them.
    """

    colour: str | Target
    ground: object = "white"
    lights: tuple[str, ...] = ("D65",)
    observer: int = 2
    face: str = "gloss"
    binder: str | None = None
    wishes: Wishes = field(default_factory=Wishes)
    lightfastness: str = ""
    unrated: str = "out"


def match_colour(
    request: MatchRequest, shelf: Path | None, *, progress: Progress | None = None
) -> dict[str, Any]:
    """Look for recipes to the end and say them as plain data; interrupted, say the best so far.

    Raises
    ------
    InputError, StoreError
        If something asked for cannot be used, or the shelf cannot be read.
    """
    tell = progress or (lambda _words, _share: None)
    last: dict[str, Any] = {}
    try:
        for last in match_steps(request, shelf):
            tell(f"{last['stage']}{_best_so_far(last)}", last["share"])
    except KeyboardInterrupt:
        if not last:
            raise
        last["stage"] = f"stopped after {last['stage']}"
    return last


def _best_so_far(answer: dict[str, Any]) -> str:
    """The nearest of each route, for the line that tells how far the search is."""
    best = [
        f"{route} dE00 {min(recipe['difference'] for recipe in found['recipes']):.1f}"
        for route, found in answer["routes"].items()
        if found["recipes"]
    ]
    return f" - {', '.join(best)}" if best else ""


def match_steps(request: MatchRequest, shelf: Path | None) -> Iterator[dict[str, Any]]:
    """The same as a stream of ever better answers, for a page that shows the first at once."""
    from scumble.store.shelf import open_shelf

    with open_shelf(shelf_path(shelf)) as opened:
        tubes, facts = opened.load_paints(), opened.tubes.load_all()
    yield from match_with(request, tubes, facts)


def match_with(
    request: MatchRequest, tubes: tuple[Paint, ...], facts: Mapping[str, TubeFacts] | None = None
) -> Iterator[dict[str, Any]]:
    """The same with tubes that are at hand already, and what is known of them."""
    known = facts or {}
    find_paint = paints_by_name(tubes)
    target = (
        request.colour
        if isinstance(request.colour, Target)
        else parse_target(request.colour, find_paint, lights=request.lights, observer=request.observer)
    )
    ground, face = find_ground(request.ground), find_face(request.face)
    wishes = wishes_of(request, tubes, known)
    answers = find_recipes(target, tubes, ground, wishes, face=face, binder=find_binder(request.binder))
    for answer in answers:
        yield _answer_as_data(answer, target, ground, wishes, currency_of(known))


def wishes_of(request: MatchRequest, tubes: Sequence[Paint], facts: Mapping[str, TubeFacts]) -> Wishes:
    """The wishes of a request with what the shop knows of its tubes.

    Raises
    ------
    InputError
        If cost is to be weighed and no tube has a price, or the floor cannot be read.
    """
    costs = dict(request.wishes.costs) or prices_per_ml(facts)
    if request.wishes.per_cost > 0.0 and not costs:
        raise InputError(
            "cost", "no prices", "a price and a size of at least one tube", "Put them on the shelf first."
        )
    barred = bar_fading(tubes, facts, request.lightfastness, unrated=request.unrated)
    return replace(request.wishes, costs=costs, barred={**request.wishes.barred, **barred})


def find_ground(given: object) -> Ground:
    """A ground by the name of a sheet or as data."""
    data = {"paper": given} if isinstance(given, str) else given
    request = LayeringRequest(ground=parse_model(GroundRequest, data, field="ground"))
    return build_layering(request, _no_paint).ground


def _no_paint(name: str) -> Paint:
    raise InputError("ground", name, "a ground without films")


def find_face(given: str) -> Face:
    """A finish by name."""
    if given not in FACES:
        raise InputError("face", given, ", ".join(FACES))
    return Face.GLOSS if given == "varnished" else Face(given)


def find_binder(given: str | None) -> Binder | None:
    """A binder by name; none where none is named."""
    if given is not None and given not in [each.value for each in Binder]:
        raise InputError("binder", given, ", ".join(each.value for each in Binder))
    return None if given is None else Binder(given)


def parse_wishes(routes: Sequence[str] = (), exclude: Sequence[str] = (), **limits: Any) -> Wishes:
    """Wishes from plain words.

    Parameters
    ----------
    routes : sequence of str
        ``cover``, ``glaze``, ``scumble``; all when none is named.
    exclude : sequence of str
        Short names, Colour Index names or words of a label.
    **limits
        Any of the numbers of :class:`scumble.solve.recipe.answer.Wishes`, by name.

    Raises
    ------
    InputError
        For an unknown route, or a number out of its range.
    """
    known = {route.value.split()[0]: route for route in Route}
    for name in routes:
        if name not in known:
            raise InputError("route", name, ", ".join(known))
    chosen = tuple(dict.fromkeys(known[name] for name in routes)) or tuple(Route)
    return Wishes(routes=chosen, excluded=frozenset(exclude), **limits)


def _answer_as_data(
    answer: Answer, target: Target, ground: Ground, wishes: Wishes, currency: str
) -> dict[str, Any]:
    return {
        "target": {
            "label": target.label,
            "lab": [round(value, 4) for value in target.lab.tolist()],
            "lights": list(target.lights),
            "observer": target.observer,
            "name": name_colour(target.xyz.clip(0.0), light=target.lights[0], observer=target.observer),
            "guessed": say_guess(target),
        },
        "ground": ground.label,
        "stage": answer.stage,
        "share": answer.share,
        "combinations": answer.combinations,
        "routes": {
            route.value.split()[0]: {
                "recipes": [_recipe_as_data(recipe, target.doubt) for recipe in answer.of_route(route)],
                "shortfall": answer.shortfalls[route].words if route in answer.shortfalls else "",
                "helps": [
                    {
                        "key": each.key,
                        "label": each.label,
                        "pigments": list(each.pigments),
                        "difference": round(each.difference, 2),
                    }
                    for each in (answer.shortfalls[route].helps if route in answer.shortfalls else ())
                ],
            }
            for route in wishes.routes
        },
        "compared": compare_routes(answer, currency),
    }


def say_guess(target: Target) -> str:
    """What of a wanted colour is guessed, and how far that may be off; empty where nothing is."""
    if not target.doubt:
        return ""
    first, *others = target.lights
    return (
        f"Only its colour under {first} is known. For {', '.join(others)} the smoothest surface of it was taken; "
        f"paints of one colour part under another light, which adds up to dE00 {target.doubt:.1f}, 19 times in 20. "
        "A measured spectrum would tell."
    )


COMPARED = {
    "difference": "off by, dE00",
    "brightness": "brightness, L*",
    "chroma": "chroma",
    "tubes": "tubes",
    "mixings": "mixtures to stir",
    "passes": "coats to brush",
    "dryings": "waits for drying",
    "slips": "corrections to reckon with",
    "unevenness": "a fifth more or less, dE00",
    "wet_shift": "wet to dry, dE00",
    "cost": "cost",
}
"""What routes are compared by, and how it is said."""


def compare_routes(answer: Answer, currency: str = "") -> list[dict[str, Any]]:
    """The best recipe of each route as numbers, in the order of the routes and none preferred."""
    rows = []
    for route in Route:
        best = next(iter(answer.of_route(route)), None)
        if best is None:
            continue
        row = {
            "route": route.value.split()[0],
            "title": route.value,
            "difference": round(best.difference, 2),
            "brightness": round(float(best.look.lab[0]), 1),
            "chroma": round(float(np.hypot(*best.look.lab[1:])), 1),
            "tubes": len(best.tubes),
            "mixings": best.mixings,
            "passes": best.passes,
            "dryings": best.dryings,
            "slips": best.slips,
            "unevenness": round(best.unevenness, 2),
            "wet_shift": round(best.wet_shift, 2),
        }
        if best.cost:
            row["cost"] = round(best.cost, 3)
            row["cost_words"] = f"{best.cost:.2f} {currency} a millilitre of each coat".replace("  ", " ")
        rows.append(row)
    return rows


def _recipe_as_data(recipe: Recipe, doubt: float) -> dict[str, Any]:
    return {
        "films": [_film_as_data(film) for film in recipe.layering.films],
        "look": look_as_data(recipe.look),
        "difference": round(recipe.difference, 3),
        "within_de00": round(float(np.hypot(recipe.look.interval_de00, doubt)), 2),
        "exact_difference": round(recipe.exact_difference, 3),
        "other_lights": {light: round(value, 2) for light, value in recipe.other_lights.items()},
        "unevenness": round(recipe.unevenness, 2),
        "passes": recipe.passes,
        "dryings": recipe.dryings,
        "mixings": recipe.mixings,
        "slips": recipe.slips,
        "wet_shift": round(recipe.wet_shift, 2),
        "cost": round(recipe.cost, 4),
        "score": round(recipe.score, 3),
        "why": recipe.why,
        "cautions": list(pigment_cautions(name for paint in recipe.tubes for name in paint.pigments)),
        "illustrative": any("illustrative" in paint.provenance.value for paint in recipe.tubes),
    }


def _film_as_data(film: Film) -> dict[str, Any]:
    return {
        "parts": {paint.key: round(part, 4) for paint, part in film.parts},
        "medium_parts": round(film.medium_parts, 4),
        "coats": round(film.coats, 4),
        "words": say_film(film),
    }


def say_film(film: Film) -> str:
    """A film in words."""
    things = [(paint.label, part) for paint, part in film.parts]
    if film.medium_parts:
        things.append(("medium", film.medium_parts))
    coats = f"{film.coats:g} coat" + "s" * (film.coats != 1)
    if len(things) == 1:
        return f"{things[0][0]} as it is, {coats}"
    words = say_parts(tuple(part for _, part in things))
    mixed = ", ".join(f"{part} {label}" for part, (label, _) in zip(words, things, strict=True))
    return f"{mixed}; {coats}"


def say_match(answer: dict[str, Any]) -> list[str]:
    """An answer in lines."""
    titles = {route.value.split()[0]: route.value for route in Route}
    lightness, a, b = answer["target"]["lab"]
    lines = [
        f"{answer['target']['label']}: {answer['target']['name']} (L* {lightness:.1f}, a* {a:.1f}, b* {b:.1f}), "
        f"over {answer['ground']}."
    ]
    if answer["target"]["guessed"]:
        lines.append(answer["target"]["guessed"])
    if answer["share"] < 1.0:
        lines.append(f"{answer['stage'].capitalize()}: these are the best so far.")
    for route, found in answer["routes"].items():
        lines += ["", titles[route].capitalize()]
        if found["shortfall"]:
            lines.append(f"  {found['shortfall']}")
        if not found["recipes"]:
            lines.append("  No recipe by this route.")
        for number, recipe in enumerate(found["recipes"], 1):
            lines += _say_recipe(number, recipe)
    lines += _say_compared(answer["compared"])
    every = [recipe for found in answer["routes"].values() for recipe in found["recipes"]]
    cautions = dict.fromkeys(caution for recipe in every for caution in recipe["cautions"])
    if cautions:
        lines += ["", "Take care", *(f"  {caution}" for caution in cautions)]
        lines.append("  The safety data sheet and local rules come before this list.")
    if any(recipe["illustrative"] for recipe in every):
        lines += [
            "",
            "Illustrative paints are argued, not measured: paint a sample card of a tube to know it.",
        ]
    return lines


def _say_compared(rows: list[dict[str, Any]]) -> list[str]:
    """The routes side by side."""
    if len(rows) < 2:
        return []
    wide = max(len(words) for words in COMPARED.values())
    columns = [row["title"] for row in rows]
    lines = [
        "",
        "The best of each, side by side",
        "  " + " " * wide + "".join(f"  {name}" for name in columns),
    ]
    for key, words in COMPARED.items():
        if any(key in row for row in rows):
            cells = (f"  {row.get(key, '-')!s:>{len(name)}}" for row, name in zip(rows, columns, strict=True))
            lines.append(f"  {words:<{wide}}" + "".join(cells))
    return lines


def _say_recipe(number: int, recipe: dict[str, Any]) -> list[str]:
    films = [film["words"] for film in recipe["films"]]
    within = recipe["within_de00"]
    shown = f"dE00 {recipe['difference']:.1f}, 19 times in 20 within {within:.1f} of what is predicted"
    lines = [f"  {number}. {films[0]}", *(f"     then {film}" for film in films[1:])]
    return [*lines, f"     {recipe['why']} ({shown})"]
