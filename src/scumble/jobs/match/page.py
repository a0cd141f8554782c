"""The Match page: a wanted colour over a ground, and the recipes found for it, ever better while one watches."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np
from pydantic import BaseModel, Field

from scumble.chart.strip import write_colour
from scumble.colour import lab_to_xyz, white_point, xyz_to_srgb
from scumble.errors import InputError
from scumble.jobs.bench.build import OWN, Tubes, build_ground
from scumble.jobs.bench.page import GroundChoice, ground_choices
from scumble.jobs.bench.request import Bench, BenchFilm, write_query
from scumble.jobs.bench.words import LIGHTS
from scumble.jobs.match.match_colour import COMPARED, FACES, MatchRequest, match_with, parse_wishes
from scumble.jobs.shelf.page_shelf import PageShelf
from scumble.paint import PAPERS, Ground, Paint
from scumble.solve.recipe.answer import Route

ROUTES = {route.value.split()[0]: route.value for route in Route}
"""Short names of the routes and what a person calls them."""

SAYS = {
    "cover": "one opaque mixture that hides what lies below",
    "glaze": "clear films over what is there",
    "underpaint": "an opaque film of its own, and clear films over that",
    "scumble": "one thin, half-covering veil over dark",
}
"""Each route in a line."""


class MatchQuery(BaseModel):
    """What is wanted, as words of an address."""

    colour: str = Field(default="", max_length=4000, description="a colour as docs/recipes.md says")
    ground: str = Field(default="white", max_length=100)
    own: str = Field(default="", max_length=2000, description="a ground of one's own")
    light: list[str] = Field(default=["D65"], max_length=4)
    face: str = Field(default="gloss", max_length=20)
    route: list[str] = Field(default=[], max_length=4)
    exclude: str = Field(default="", max_length=500, description="names, with commas between")
    tubes: int = Field(default=4, description="most tubes in an opaque mixture, 1 to 4")
    films: int = Field(default=3, description="most glazes, 1 to 3")
    coats: float = Field(default=4.0, description="most coats of an opaque mixture")
    parts: int = Field(default=12, description="most parts in a mixture")
    even: float = Field(default=0.1, description="price of unevenness")
    wait: float = Field(default=0.0, description="price of a film that must dry first")
    wet: float = Field(default=0.0, description="price of the change from wet to dry")
    cost: float = Field(default=0.0, description="price of one unit of cost a millilitre")
    session: bool = Field(default=False, description="all is laid wet in one session")
    lightfastness: str = Field(default="", max_length=40, description="least rating, as ASTM II")
    unrated: str = Field(default="out", max_length=4, description="tubes that nobody rated: out or in")
    fours: str = Field(default="fit", max_length=10, description="mixtures of four tubes: fit, all or likely")


@dataclass(frozen=True, slots=True)
class RecipeSeen:
    """A recipe as its card on the page shows it.

    Parameters
    ----------
    colour : str
        Screen colour of what it gives.
    films : tuple of str
        Each film in words, lowest first.
    difference, within : float [dE00]
        To the wanted colour, and the 95 % bound of the prediction.
    facts : tuple of (str, str)
        Names and values of the rest.
    why : str
        What speaks for it and against.
    cautions : tuple of str
        To be heeded.
    bench : str
        Query of the bench that lays it out; empty where the bench cannot hold it.
    illustrative : bool
        Whether a tube in it was measured by nobody.
    layering : str
        The whole recipe over its ground as JSON, to be kept as a proof.
    """

    colour: str
    films: tuple[str, ...]
    difference: float
    within: float
    facts: tuple[tuple[str, str], ...]
    why: str
    cautions: tuple[str, ...]
    bench: str
    illustrative: bool
    layering: str


@dataclass(frozen=True, slots=True)
class RouteSeen:
    """One column: a route, its recipes, and by how much it misses."""

    name: str
    title: str
    says: str
    recipes: tuple[RecipeSeen, ...]
    shortfall: str


@dataclass(frozen=True, slots=True)
class MatchSeen:
    """Where the search stands.

    Parameters
    ----------
    wanted : str
        Screen colour of the wanted colour; empty before one is named.
    is_on_screen : bool
        Whether a screen can show it.
    words : str
        What the wanted colour is.
    guessed : str
        What of it is guessed; empty where nothing is.
    routes : tuple of RouteSeen
        Columns.
    compared : tuple of tuple of str
        What the best of each route asks for, a row a question.
    stage : str
        What has been tried.
    share : float [1]
        Of the work.
    ground : str
        What the ground is called.
    """

    wanted: str
    is_on_screen: bool
    words: str
    guessed: str
    routes: tuple[RouteSeen, ...]
    compared: tuple[tuple[str, ...], ...]
    stage: str
    share: float
    ground: str


@dataclass(frozen=True, slots=True)
class MatchPage:
    """Everything around the search: what was asked, and what can be chosen."""

    asked: MatchQuery
    grounds: tuple[GroundChoice, ...]
    lights: dict[str, str]
    faces: tuple[str, ...]
    routes: dict[str, str]
    labels: tuple[tuple[str, str], ...]


def show_match(shelf: PageShelf, query: MatchQuery) -> MatchPage:
    """What can be asked for, and what was.

    Raises
    ------
    InputError
        If the ground cannot be used.
    """
    entries = shelf.load_entries()
    bench = Bench(ground=query.ground, own=query.own)
    build_ground(shelf, bench)
    return MatchPage(
        query,
        ground_choices(shelf, bench),
        LIGHTS,
        FACES,
        ROUTES,
        tuple((entry.key, entry.label) for entry in entries),
    )


def search_match(shelf: PageShelf, query: MatchQuery) -> Iterator[MatchSeen]:
    """Look for recipes; each answer is at least as good as the one before.

    Raises
    ------
    InputError
        If something asked for cannot be used.
    """
    if not query.colour.strip():
        raise InputError("colour", "nothing", "a colour", "Name the colour to reach.")
    tubes = Tubes(shelf)
    paints = tuple(tubes.load(entry) for entry in tubes.entries)
    ground = build_ground(shelf, Bench(ground=query.ground, own=query.own))
    request = MatchRequest(
        _colour_of(query.colour, paints),
        {"reflectance": ground.reflectance.tolist()},
        tuple(query.light) or ("D65",),
        face=query.face,
        wishes=parse_wishes(
            query.route,
            [word.strip() for word in query.exclude.split(",") if word.strip()],
            most_tubes=query.tubes,
            most_films=query.films,
            most_coats=query.coats,
            most_parts=query.parts,
            per_unevenness=query.even,
            per_drying=query.wait,
            per_wet_shift=query.wet,
            per_cost=query.cost,
            one_session=query.session,
            fours=query.fours,
        ),
        lightfastness=query.lightfastness,
        unrated=query.unrated,
    )
    for answer in match_with(request, paints, shelf.tubes.load_all()):
        yield _seen(answer, query, tubes, ground)


def _colour_of(text: str, paints: tuple[Paint, ...]) -> str:
    """A paint may be wanted by its label too, and by that alone: then its full strength is."""
    word, _, rest = text.strip().partition(" ")
    which, name = (word.lower(), rest) if word.lower() in ("masstone", "undertone") else ("masstone", text)
    named = name.strip().casefold()
    for paint in paints:
        if named in (paint.label.casefold(), paint.key.casefold()):
            return f"{which} {paint.key}"
    return text


def _seen(answer: dict[str, Any], query: MatchQuery, tubes: Tubes, ground: Ground) -> MatchSeen:
    target = answer["target"]
    white = white_point(target["lights"][0], target["observer"])
    rgb, is_on_screen = xyz_to_srgb(
        lab_to_xyz(np.array(target["lab"]), white), light=target["lights"][0], observer=target["observer"]
    )
    lightness, a, b = target["lab"]
    columns = tuple(
        RouteSeen(
            name,
            ROUTES[name],
            SAYS[name],
            tuple(_recipe_seen(recipe, query, tubes, ground) for recipe in found["recipes"]),
            found["shortfall"],
        )
        for name, found in answer["routes"].items()
    )
    return MatchSeen(
        write_colour(rgb),
        bool(is_on_screen),
        f"{target['name']}: L* {lightness:.1f}, a* {a:.1f}, b* {b:.1f}".replace("-", "−"),
        target["guessed"],
        columns,
        _compare(answer["compared"]),
        answer["stage"],
        answer["share"],
        ground.label,
    )


def _recipe_seen(recipe: dict[str, Any], query: MatchQuery, tubes: Tubes, ground: Ground) -> RecipeSeen:
    moves = max(recipe["other_lights"].items(), key=lambda each: each[1], default=("", 0.0))
    facts = [
        ("coats to brush", f"{recipe['passes']}"),
        ("a fifth more or less", f"dE00 {recipe['unevenness']:.1f}"),
    ]
    if moves[0]:
        facts.append((f"under {LIGHTS.get(moves[0], moves[0])}", f"dE00 {moves[1]:.1f}"))
    if recipe["cost"]:
        facts.append(("cost", f"{recipe['cost']:.2f}"))
    return RecipeSeen(
        write_colour(np.array(recipe["look"]["srgb"])),
        tuple(film["words"] for film in recipe["films"]),
        recipe["difference"],
        recipe["within_de00"],
        tuple(facts),
        recipe["why"],
        tuple(recipe["cautions"]),
        _bench_query(recipe, query, tubes),
        recipe["illustrative"],
        _layering_text(recipe, query, ground),
    )


def _layering_text(recipe: dict[str, Any], query: MatchQuery, ground: Ground) -> str:
    """A recipe over its ground as JSON, in the words of ``scumble layer``."""
    plain = query.ground in PAPERS
    below: dict[str, Any] = (
        {"paper": query.ground} if plain else {"reflectance": np.round(ground.reflectance, 6).tolist()}
    )
    films = [
        {name: film[name] for name in ("parts", "coats", "medium_parts") if name in film}
        for film in recipe["films"]
    ]
    seen = {"light": (query.light or ["D65"])[0], "face": query.face}
    return json.dumps({"ground": below, "films": films, **seen})


def _bench_query(recipe: dict[str, Any], query: MatchQuery, tubes: Tubes) -> str:
    films = []
    for film in recipe["films"]:
        laid = _bench_film(film, tubes)
        if laid is None:
            return ""
        films.append(laid)
    state = {"gloss": "glossy"}.get(query.face, query.face)
    own = query.own if query.ground == OWN else ""
    light = query.light[0] if query.light else "D65"
    bench = Bench.model_validate(
        {"ground": query.ground, "own": own, "films": films, "light": light, "state": state}
    )
    return write_query(bench)


def _bench_film(film: dict[str, Any], tubes: Tubes) -> BenchFilm | None:
    """A film as the bench holds it: a paint, its own white, and one more; None for what is more than that."""
    parts = dict(film["parts"])
    entries = {key: tubes.find(key) for key in parts}
    for key, entry in sorted(entries.items(), key=lambda each: -parts[each[0]]):
        white = tubes.white_of(entry)
        rest = [other for other in parts if other != key and (white is None or other != white.key)]
        if len(rest) <= 1:
            return BenchFilm(
                paint=key,
                coats=film["coats"],
                parts=parts[key],
                white=parts.get(white.key, 0.0) if white else 0.0,
                second=rest[0] if rest else "",
                second_parts=parts[rest[0]] if rest else 0.0,
                medium=film["medium_parts"],
            )
    return None


def _compare(compared: list[dict[str, Any]]) -> tuple[tuple[str, ...], ...]:
    """The best recipe of each route side by side, so that none is preferred by how it is shown."""
    if len(compared) < 2:
        return ()
    rows = [("", *(str(row["title"]) for row in compared))]
    for key, words in COMPARED.items():
        if any(key in row for row in compared):
            rows.append((words, *(str(row.get(key, "-")) for row in compared)))
    return tuple(rows)
