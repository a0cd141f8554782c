"""One subject painted two ways, covered and glazed: what each takes and gives, in numbers, and neither preferred.

Every wanted colour is reached by the best recipe of each way on the same shelf over the same ground. Means are over
the subject, each colour counted by the share of it that it takes.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from scumble.chart.strip import write_colour
from scumble.colour import lab_to_xyz, name_colour, white_point, xyz_to_srgb
from scumble.errors import InputError
from scumble.jobs.match.match_colour import MatchRequest, find_face, find_ground, say_film, wishes_of
from scumble.jobs.match.subject_value import REACHED, Passage, Subject, SubjectColour, Tally
from scumble.jobs.match.wanted_colours import Wanted
from scumble.jobs.paint_names import paints_by_name
from scumble.paint import Film, Paint
from scumble.paint.caution import pigment_cautions
from scumble.solve.recipe.answer import Recipe, Route, Wishes
from scumble.solve.recipe.find import find_recipes
from scumble.solve.recipe.target import target_of_lab
from scumble.store.tube_facts import TubeFacts

Floats = NDArray[np.float64]
Progress = Callable[[str, float], None]

WAYS = {"cover": Route.COVER, "glaze": Route.GLAZE}
"""The two ways by the names they go by."""

MOST_COLOURS = 40
"""Colours of a subject; each is searched for on the whole shelf."""


@dataclass(frozen=True, slots=True)
class SubjectRequest:
    """How a subject is to be painted.

    Parameters
    ----------
    ground : object
        What it is painted on, as :class:`scumble.jobs.match.match_colour.MatchRequest` takes it.
    only : tuple of str
        Tubes that may be used; all of the shelf where none is named.
    exclude : tuple of str
        Paints, Colour Index names, words of labels or caution families that may not.
    lightfastness, unrated : str
        The least rating of a tube, and whether those that nobody rated are ``in`` or ``out``.
    most_tubes : int
        In an opaque mixture, 1 to 4.
    most_films : int
        Glazes one over the other, 1 to 3.
    face : str
        Of the finished work.
    """

    ground: object = "white"
    only: tuple[str, ...] = ()
    exclude: tuple[str, ...] = ()
    lightfastness: str = ""
    unrated: str = "in"
    most_tubes: int = 3
    most_films: int = 2
    face: str = "gloss"


def paint_subject(
    request: SubjectRequest,
    wanted: Wanted,
    paints: Sequence[Paint],
    facts: Mapping[str, TubeFacts] | None = None,
    *,
    shares: Floats | None = None,
    progress: Progress | None = None,
) -> Subject:
    """Reach every colour of a subject by both ways and add up.

    Parameters
    ----------
    request : SubjectRequest
        How.
    wanted : Wanted
        Its colours, at most :data:`MOST_COLOURS`.
    paints : sequence of Paint
        The shelf.
    facts : mapping, optional
        What is known of its tubes.
    shares : array, shape (colours,), optional
        Share of the subject that each colour takes; all alike where it is left out.
    progress : callable, optional
        Told what is being looked for, and the share done.

    Raises
    ------
    InputError
        If there are too many colours, no tubes to use, or something asked for cannot be used.
    """
    count = len(wanted.labs)
    if not 1 <= count <= MOST_COLOURS:
        raise InputError("colours", f"{count} colours", f"1 to {MOST_COLOURS}")
    tell = progress or (lambda _words, _share: None)
    known, tubes = facts or {}, _chosen(request.only, paints)
    ground, wishes = find_ground(request.ground), _wishes(request, tubes, known)
    weights = np.full(count, 1.0 / count) if shares is None else np.asarray(shares, dtype=np.float64)
    colours: list[SubjectColour] = []
    recipes: list[Recipe] = []
    for number, (lab, label) in enumerate(zip(wanted.labs, wanted.labels, strict=True)):
        tell(f"{label}: colour {number + 1} of {count}", number / count)
        answers = list(find_recipes(target_of_lab(lab), tubes, ground, wishes, face=find_face(request.face)))
        best = {way: next(iter(answers[-1].of_route(route)), None) for way, route in WAYS.items()}
        found = {way: recipe for way, recipe in best.items() if recipe is not None}
        recipes += found.values()
        colours.append(_colour(lab, label, float(weights[number]), found))
    chroma = np.hypot(wanted.labs[:, 1], wanted.labs[:, 2])
    used = {paint.key: paint for recipe in recipes for paint in recipe.tubes}
    return Subject(
        wanted.source,
        ground.label,
        round(float(weights @ wanted.labs[:, 0] / weights.sum()), 1),
        round(float(weights @ chroma / weights.sum()), 1),
        tuple(colours),
        tuple(_tally(way, colours) for way in WAYS),
        pigment_cautions(dict.fromkeys(name for paint in used.values() for name in paint.pigments)),
        any("illustrative" in paint.provenance.value for paint in used.values()),
    )


def _chosen(only: Sequence[str], paints: Sequence[Paint]) -> tuple[Paint, ...]:
    if not only:
        return tuple(paints)
    find_paint = paints_by_name(paints)
    return tuple({paint.key: paint for paint in map(find_paint, only)}.values())


def _wishes(request: SubjectRequest, tubes: Sequence[Paint], facts: Mapping[str, TubeFacts]) -> Wishes:
    plain = Wishes(
        routes=tuple(WAYS.values()),
        most_tubes=request.most_tubes,
        most_films=request.most_films,
        count=1,
        fours="likely",
        excluded=frozenset(request.exclude),
    )
    asked = MatchRequest(
        "", request.ground, wishes=plain, lightfastness=request.lightfastness, unrated=request.unrated
    )
    return wishes_of(asked, tubes, facts)


def _colour(lab: Floats, label: str, share: float, found: Mapping[str, Recipe]) -> SubjectColour:
    xyz = lab_to_xyz(lab, white_point("D65", 2))
    srgb, _ = xyz_to_srgb(xyz, light="D65", observer=2)
    ways = {way: _passage(recipe) for way, recipe in found.items()}
    return SubjectColour(label, name_colour(xyz.clip(0.0)), write_colour(srgb), round(share, 4), ways)


def _passage(recipe: Recipe) -> Passage:
    look, films = recipe.look, recipe.layering.films
    return Passage(
        colour=write_colour(look.srgb),
        difference=round(recipe.difference, 2),
        interval=round(look.interval_de00, 2),
        brightness=round(float(look.lab[0]), 1),
        chroma=round(float(np.hypot(*look.lab[1:])), 1),
        films=tuple(say_film(film) for film in films),
        tubes=tuple(paint.key for paint in recipe.tubes),
        mixtures=tuple(_mixture(film) for film in films if len(film.parts) + (film.medium_parts > 0.0) > 1),
        coats=recipe.passes,
        slips=recipe.slips,
        unevenness=round(recipe.unevenness, 2),
        wet_shift=round(recipe.wet_shift, 2),
        paint=round(float(sum(film.coats * film.fractions.sum() for film in films)), 3),
    )


def _mixture(film: Film) -> str:
    """What is stirred together, whatever it is stirred for."""
    things = [(paint.key, part) for paint, part in film.parts]
    if film.medium_parts:
        things.append(("medium", film.medium_parts))
    whole = sum(part for _, part in things)
    return " + ".join(f"{part / whole:.4f} {name}" for name, part in sorted(things))


def _tally(way: str, colours: Sequence[SubjectColour]) -> Tally:
    own = [(colour.share, colour.ways[way]) for colour in colours if way in colour.ways]
    passages = [passage for _, passage in own]
    whole = sum(share for share, _ in own)

    def mean(which: str) -> float | None:
        if not own:
            return None
        return round(sum(share * float(getattr(passage, which)) for share, passage in own) / whole, 2)

    return Tally(
        way=way,
        painted=len(own),
        reached=sum(passage.difference <= REACHED for passage in passages),
        difference=mean("difference"),
        brightness=mean("brightness"),
        chroma=mean("chroma"),
        coats=mean("coats"),
        paint=mean("paint"),
        unevenness=mean("unevenness"),
        wet_shift=mean("wet_shift"),
        interval=mean("interval"),
        tubes=len({tube for passage in passages for tube in passage.tubes}),
        mixtures=len({mixture for passage in passages for mixture in passage.mixtures}),
        most_coats=max((passage.coats for passage in passages), default=0),
        slips=sum(passage.slips for passage in passages),
    )
