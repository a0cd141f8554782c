"""Find what stands in for a tube, and say what will differ."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

import numpy as np
from numpy.typing import NDArray

from scumble.chart.strip import write_colour
from scumble.colour import lab_to_lch, lab_to_xyz, white_point, xyz_to_srgb
from scumble.errors import InputError
from scumble.jobs.files import shelf_path
from scumble.jobs.lasting import compare_lasting, short_lasting
from scumble.jobs.match.facts import bar_fading, prices_per_ml
from scumble.jobs.white import white_for
from scumble.paint import Paint
from scumble.paint.caution import pigment_cautions
from scumble.paint.covering import contrast_ratio, opacity
from scumble.solve.recipe.answer import Wishes
from scumble.solve.recipe.find import usable_tubes
from scumble.solve.recipe.rounding import say_parts
from scumble.solve.substitute import (
    PANEL,
    StandIn,
    StandInWishes,
    Use,
    find_stand_ins,
    panel_labs,
)
from scumble.store.tube_facts import TubeFacts

Floats = NDArray[np.float64]
Progress = Callable[[str, float], None]

ALIKE, CLOSE = 2.0, 5.0
"""Weighted dE00 up to which a stand-in is hardly told apart, and up to which it is close. *Scumble's own.*"""

TOLD = 2.5
"""dE00 from which the difference of a film is worth saying."""


@dataclass(frozen=True, slots=True)
class SubstituteRequest:
    """What is asked for.

    Parameters
    ----------
    paint : str
        Short name or label of the tube to do without.
    use : str
        ``glazing``, ``covering``, ``tints`` or ``all``.
    blends : bool
        Whether two-tube blends count.
    exclude : tuple of str
        What must not be used; a caution family too.
    lightfastness, unrated : str
        The least rating, and what becomes of tubes without one.
    per_price : float [dE00]
        Price of costing twice as much.
    count : int
        Stand-ins wanted.
    """

    paint: str
    use: str = "all"
    blends: bool = True
    exclude: tuple[str, ...] = ()
    lightfastness: str = ""
    unrated: str = "out"
    per_price: float = 0.0
    count: int = 5

    def __post_init__(self) -> None:
        if self.use not in list(Use):
            raise InputError("use", self.use, ", ".join(Use))
        if not 1 <= self.count <= 20:
            raise InputError("count", self.count, "1 to 20")
        if not 0.0 <= self.per_price <= 100.0:
            raise InputError("per price", self.per_price, "0 to 100")


@dataclass(frozen=True, slots=True)
class FilmSeen:
    """One film of both beside each other.

    Parameters
    ----------
    name : str
    old, new : str
        Screen colours.
    difference : float [dE00]
    words : str
        How the new one differs; empty where it hardly does.
    """

    name: str
    old: str
    new: str
    difference: float
    words: str


@dataclass(frozen=True, slots=True)
class Substitute:
    """One stand-in as a page or a person is told of it.

    Parameters
    ----------
    parts : dict of str to float
    words : str
        What it is.
    difference : float [dE00]
        Weighted by the use.
    verdict : str
        How near it is.
    films : tuple of FilmSeen
    differs : tuple of str
        Sentences: what will differ.
    thin_strength, tint_strength : float [1]
        Parts to take for one of the old tube in thin films and in tints.
    price_ratio : float or None
    lasting : str
    cautions : tuple of str
    """

    parts: dict[str, float]
    words: str
    difference: float
    verdict: str
    films: tuple[FilmSeen, ...]
    differs: tuple[str, ...]
    thin_strength: float
    tint_strength: float
    price_ratio: float | None
    lasting: str
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Substitutes:
    """Stand-ins of a tube, nearest first."""

    key: str
    label: str
    use: str
    found: tuple[Substitute, ...]

    def as_data(self) -> dict[str, Any]:
        """Plain data, ready for JSON."""
        return asdict(self)


def substitutes_from_shelf(
    request: SubstituteRequest, shelf: Path | None, *, progress: Progress | None = None
) -> Substitutes:
    """Look among the tubes of a shelf's file."""
    from scumble.store.shelf import open_shelf

    with open_shelf(shelf_path(shelf)) as opened:
        tubes, facts = opened.load_paints(), opened.tubes.load_all()
    return find_substitutes(request, tubes, facts, progress=progress)


def find_substitutes(
    request: SubstituteRequest,
    tubes: Sequence[Paint],
    facts: Mapping[str, TubeFacts],
    *,
    progress: Progress | None = None,
) -> Substitutes:
    """Find stand-ins.

    Raises
    ------
    InputError
        If there is no such tube, or nothing is left to stand in for it.
    """
    tell = progress or (lambda _words, _share: None)
    paint = _named(request.paint, tubes)
    white = white_for(paint, tubes)
    if white is None:
        raise InputError("white", "none", f"a white in {paint.binder.value}, to compare tints with")
    barred = bar_fading(
        [other for other in tubes if other.key != paint.key],
        facts,
        request.lightfastness,
        unrated=request.unrated,
    )
    wishes = Wishes(excluded=frozenset(request.exclude), barred={**barred, paint.key: "the tube itself"})
    others = usable_tubes(tubes, wishes, paint.binder)
    tell("comparing films", 0.2)
    asked = StandInWishes(
        Use(request.use), request.blends, prices_per_ml(facts), request.per_price, request.count
    )
    found = find_stand_ins(paint, others, white, asked)
    tell("saying what differs", 0.95)
    return Substitutes(
        paint.key,
        paint.label,
        request.use,
        tuple(_say(each, paint, white, facts) for each in found),
    )


def _named(name: str, tubes: Sequence[Paint]) -> Paint:
    wanted = name.strip().casefold()
    for paint in tubes:
        if wanted in (paint.key.casefold(), paint.label.casefold()):
            return paint
    raise InputError("paint", name, "the short name or label of a paint on the shelf", "See scumble shelf.")


def _say(each: StandIn, paint: Paint, white: Paint, facts: Mapping[str, TubeFacts]) -> Substitute:
    own = paint.optics.absorption[None], paint.optics.scattering[None]
    index = paint.binder.refractive_index
    old = panel_labs(*own, white, np.ones((1, 2)), index)[0]
    films = tuple(
        FilmSeen(film.name, _hex(was), _hex(becomes), round(off, 2), say_shift(was, becomes, off))
        for film, was, becomes, off in zip(PANEL, old, each.labs, each.films, strict=True)
    )
    names = [name for tube, _ in each.parts for name in tube.pigments]
    differs = [f"{film.name[0].upper()}{film.name[1:]}: {film.words}." for film in films if film.words]
    differs += _say_cover(
        each, float(opacity(*own, index=index)[0]), float(contrast_ratio(*own, 1.0, index=index)[0])
    )
    for where, strength in (("thin films", each.thin_strength), ("tints", each.tint_strength)):
        if not 0.88 <= strength <= 1.14:
            how = "weaker" if strength > 1.0 else "stronger"
            differs.append(f"In {where} it is {how}: take {strength:.1f} parts where one was taken.")
    if each.price_ratio is not None and not 0.95 <= each.price_ratio <= 1.05:
        differs.append(f"As much of it costs {each.price_ratio:.0%} of the old tube.")
    lasting = [short_lasting(facts.get(tube.key)) for tube, _ in each.parts]
    if len(each.parts) == 1 and any(facts.get(key) for key in (paint.key, each.parts[0][0].key)):
        other = each.parts[0][0]
        told = compare_lasting(
            (paint.label, facts.get(paint.key, TubeFacts())), (other.label, facts.get(other.key, TubeFacts()))
        )
        differs.append(f"{told.claim}.")
    return Substitute(
        {tube.key: round(part, 4) for tube, part in each.parts},
        _say_parts(each),
        round(each.difference, 2),
        _verdict(each.difference),
        films,
        tuple(differs),
        round(each.thin_strength, 3),
        round(each.tint_strength, 3),
        None if each.price_ratio is None else round(each.price_ratio, 3),
        ", ".join(dict.fromkeys(words for words in lasting if words)),
        pigment_cautions(dict.fromkeys(names)),
    )


def _say_parts(each: StandIn) -> str:
    if len(each.parts) == 1:
        return each.parts[0][0].label
    words = say_parts(tuple(part for _, part in each.parts))
    return " and ".join(f"{part} {tube.label}" for part, (tube, _) in zip(words, each.parts, strict=True))


def _say_cover(each: StandIn, old_opacity: float, old_hiding: float) -> list[str]:
    said = []
    if abs(each.opacity - old_opacity) > 0.05:
        how = "more transparent" if each.opacity < old_opacity else "less transparent"
        said.append(
            f"It is {how}: half a coat has a contrast ratio of {each.opacity:.2f} for {old_opacity:.2f}."
        )
    if abs(each.hiding - old_hiding) > 0.03:
        how = "worse" if each.hiding < old_hiding else "better"
        said.append(
            f"It covers {how}: one coat has a contrast ratio of {each.hiding:.2f} for {old_hiding:.2f}."
        )
    return said


def _verdict(difference: float) -> str:
    if difference <= ALIKE:
        return "hardly told apart"
    return "close" if difference <= CLOSE else "clearly another colour"


def say_shift(was: Floats, becomes: Floats, difference: float) -> str:
    """How a colour differs from another, largest fault first; empty where it hardly does.

    Examples
    --------
    >>> say_shift(np.array([50.0, 40.0, 10.0]), np.array([58.0, 30.0, 8.0]), 8.6)
    'lighter and duller (dE00 8.6)'
    """
    if difference < TOLD:
        return ""
    (l1, c1, h1), (l2, c2, h2) = lab_to_lch(was), lab_to_lch(becomes)
    turn = (h2 - h1 + 180.0) % 360.0 - 180.0
    across = 2.0 * np.sqrt(max(c1 * c2, 0.0)) * np.sin(np.radians(turn) / 2.0)
    a, b = (becomes - was)[1:]
    hue = ("redder" if a > 0 else "greener") if abs(a) >= abs(b) else ("yellower" if b > 0 else "bluer")
    faults = [
        (abs(l2 - l1), "lighter" if l2 > l1 else "darker"),
        (abs(c2 - c1) / (1.0 + 0.02 * (c1 + c2)), "more vivid" if c2 > c1 else "duller"),
        (abs(across) / (1.0 + 0.007 * (c1 + c2)), hue),
    ]
    faults.sort(reverse=True)
    said = [words for size, words in faults if size >= 0.5 * faults[0][0]]
    return f"{', '.join(said[:-1])}{' and ' if len(said) > 1 else ''}{said[-1]} (dE00 {difference:.1f})"


def _hex(lab: Floats) -> str:
    rgb, _ = xyz_to_srgb(lab_to_xyz(lab, white_point("D65", 2)), light="D65", observer=2)
    return write_colour(rgb)


def say_substitutes(answer: Substitutes) -> list[str]:
    """Stand-ins in lines."""
    lines = [f"In place of {answer.label}, for {'all uses' if answer.use == 'all' else answer.use}:"]
    for number, each in enumerate(answer.found, 1):
        lines += ["", f"  {number}. {each.words}: {each.verdict} (dE00 {each.difference:.1f})"]
        lines += [f"     {sentence}" for sentence in each.differs] or ["     Nothing that would show."]
        if each.lasting:
            lines.append(f"     Lightfastness {each.lasting}.")
    cautions = dict.fromkeys(caution for each in answer.found for caution in each.cautions)
    if cautions:
        lines += ["", "Take care", *(f"  {caution}" for caution in cautions)]
        lines.append("  The safety data sheet and local rules come before this list.")
    return lines
