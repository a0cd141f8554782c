"""What a person asks of a plan, as words of a form or options of a command."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from scumble.errors import InputError
from scumble.jobs.bench.build import build_ground, ground_names
from scumble.jobs.bench.request import Bench
from scumble.jobs.match.facts import bar_fading
from scumble.jobs.match.match_colour import find_binder, find_face
from scumble.jobs.paint_names import paints_by_name
from scumble.paint import Binder, Face, Ground, Paint
from scumble.solve.plan.wishes import Manner, PlanWishes
from scumble.solve.recipe.answer import Wishes
from scumble.solve.recipe.find import usable_tubes
from scumble.store.shelf import Shelf
from scumble.store.tube_facts import TubeFacts

COUNTS = (2, 40)
"""Colour areas that a picture is reduced to, least and most."""


@dataclass(frozen=True, slots=True)
class PlanRequest:
    """How a picture is to be planned.

    Parameters
    ----------
    manner : str
        A :class:`Manner` by name: the one that is shown first.
    count : int
        Colour areas that the picture is reduced to, 2 to 40.
    ground : str
        What it is painted on: a sheet, a flat colour, a ground kept on the shelf, or a colour of its own.
    imprimatura : str
        Tube that tones the ground; empty for none.
    only, exclude : tuple of str
        Tubes that may be used, all where none is named; words of those that may not.
    lightfastness, unrated : str
        The least rating, and what becomes of tubes that nobody rated.
    width_cm : float, optional [cm]
        Of the painting; amounts are only worked out with it.
    most_tubes, most_glazes : int
        In an opaque mixture, and glazes one over the other.
    per_pass, per_mixture : float [dE00]
        By how much a pass, and a mixture, must bring the whole picture nearer.
    face : str
        Of the finished work.
    binder : str
        Which tubes to use; those of which there are most where it is left empty.
    seed : int
        Of the division into areas; the same seed gives the same plan.
    """

    manner: str = Manner.UNDERPAINTED.value
    count: int = 12
    ground: str = "white"
    imprimatura: str = ""
    only: tuple[str, ...] = ()
    exclude: tuple[str, ...] = ()
    lightfastness: str = ""
    unrated: str = "in"
    width_cm: float | None = None
    most_tubes: int = 3
    most_glazes: int = 2
    per_pass: float = 0.3
    per_mixture: float = 0.1
    face: str = "gloss"
    binder: str = ""
    seed: int = 1

    def __post_init__(self) -> None:
        if not COUNTS[0] <= self.count <= COUNTS[1]:
            raise InputError("areas", self.count, f"{COUNTS[0]} to {COUNTS[1]}")
        if self.width_cm is not None and not 1.0 <= self.width_cm <= 2000.0:
            raise InputError(
                "width", f"{self.width_cm:g}", "1 to 2000 cm", "Leave it out if it is not known."
            )
        find_manner(self.manner)


@dataclass(frozen=True, slots=True)
class Prepared:
    """A request with what the shelf says to it.

    Parameters
    ----------
    tubes : tuple of Paint
        That may be used, of one binder.
    ground : Ground
        What it is painted on.
    wishes : PlanWishes
        Limits and prices.
    face : Face
        Of the finished work.
    """

    tubes: tuple[Paint, ...]
    ground: Ground
    wishes: PlanWishes
    face: Face


def find_manner(name: str) -> Manner:
    """A manner by name.

    Raises
    ------
    InputError
        For an unknown one.
    """
    if name not in [each.value for each in Manner]:
        raise InputError("manner", name, ", ".join(each.value for each in Manner))
    return Manner(name)


def prepare(
    request: PlanRequest, shelf: Shelf, paints: Sequence[Paint], facts: Mapping[str, TubeFacts]
) -> Prepared:
    """Look everything up that a request names.

    Raises
    ------
    InputError
        If something in it cannot be used.
    """
    chosen = _only(request.only, paints)
    barred = bar_fading(chosen, facts, request.lightfastness, unrated=request.unrated)
    wishes = Wishes(excluded=frozenset(request.exclude), barred=barred)
    binder: Binder | None = find_binder(request.binder or None)
    tubes = usable_tubes(chosen, wishes, binder)
    toned = None
    if request.imprimatura.strip():
        wash = paints_by_name(tubes, field="imprimatura", among="a tube that may be used")(
            request.imprimatura
        )
        toned = tubes.index(wash) if wash in tubes else None
    limits = PlanWishes(
        most_tubes=request.most_tubes,
        most_glazes=request.most_glazes,
        per_pass=request.per_pass,
        per_mixture=request.per_mixture,
        imprimatura=toned,
    )
    return Prepared(tubes, find_plan_ground(shelf, request.ground), limits, find_face(request.face))


def find_plan_ground(shelf: Shelf, name: str) -> Ground:
    """A ground by its name, or by a colour of its own."""
    known = {each for each, _ in ground_names(shelf)}
    if name in known or not any(sign.isdigit() or sign == "#" for sign in name):
        return build_ground(shelf, Bench(ground=name))
    return build_ground(shelf, Bench(ground="own", own=name))


def _only(names: Sequence[str], paints: Sequence[Paint]) -> tuple[Paint, ...]:
    if not names:
        return tuple(paints)
    find_paint = paints_by_name(paints)
    return tuple({paint.key: paint for paint in map(find_paint, names)}.values())
