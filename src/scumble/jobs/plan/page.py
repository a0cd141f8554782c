"""The page Plan: what is asked for, and everything that a plan shows there."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from pydantic import BaseModel, Field

from scumble.errors import InputError
from scumble.jobs.bench.build import ground_names
from scumble.jobs.charts.print_chart import chart_pdf, chart_svg
from scumble.jobs.paint_names import split_names
from scumble.jobs.plan.amounts import Amounts, amounts_of, say_amount
from scumble.jobs.plan.data import hex_of
from scumble.jobs.plan.drying import waits_of
from scumble.jobs.plan.easel_sheet import print_easel_sheet
from scumble.jobs.plan.found import PlanFound
from scumble.jobs.plan.keep import reopen_plan
from scumble.jobs.plan.key_map import draw_key_map
from scumble.jobs.plan.plan_picture import TITLES, begin_planning
from scumble.jobs.plan.reference import Reference, open_reference
from scumble.jobs.plan.request import PlanRequest
from scumble.jobs.plan.words import (
    CARE,
    SAYS,
    cautions_of,
    compare_manners,
    is_illustrative,
    name_of,
    say_bare,
    say_error,
    say_hand,
    say_mixture,
    say_same,
    say_where,
    title_of,
)
from scumble.jobs.remember import Remembered
from scumble.jobs.shelf.page_shelf import PageShelf
from scumble.solve.plan.value import Plan
from scumble.solve.plan.wishes import Manner

Progress = Callable[[float, str], None]

STOPS = tuple((each.value, TITLES[each], SAYS[each]) for each in Manner)
"""The stops of the slider: name, words, and what it does."""

MAP_POINTS = 400
"""Along the longer side of the map that numbers stand on."""


class PlanQuery(BaseModel):
    """What is asked for, as a form's words."""

    manner: str = Field(default=Manner.UNDERPAINTED.value, max_length=20, description="stop of the slider")
    stop: int | None = Field(default=None, ge=0, le=4, description="the same as a number, 0 to 4")
    areas: int = Field(default=12, description="colour areas, 2 to 40")
    ground: str = Field(default="white", max_length=100, description="a ground by name")
    own: str = Field(default="", max_length=2000, description="a ground of one's own, instead")
    imprimatura: str = Field(default="", max_length=120, description="tube that tones the ground")
    only: str = Field(default="", max_length=2000, description="tubes to use, with commas between")
    exclude: str = Field(default="", max_length=500, description="names, with commas between")
    lightfastness: str = Field(default="", max_length=40)
    width: str = Field(default="", max_length=12, description="of the painting in cm; may be left empty")
    glazes: int = Field(default=2, description="most glazes one over the other, 1 to 3")
    per_pass: float = Field(default=0.3, description="price of a pass, dE00")
    per_mixture: float = Field(default=0.1, description="price of a mixture, dE00")
    seed: int = Field(default=1, ge=0, le=1_000_000, description="of the division into areas")
    again: str = Field(
        default="",
        max_length=120,
        description="task=... or kept=...: a plan whose picture is taken where none is sent",
    )

    @property
    def asked_manner(self) -> str:
        """The manner by name, wherever it was said."""
        return self.manner if self.stop is None else STOPS[self.stop][0]

    @property
    def place(self) -> int:
        """Of the slider, 0 to 4."""
        names = [name for name, _, _ in STOPS]
        return names.index(self.asked_manner) if self.asked_manner in names else 2


@dataclass(frozen=True, slots=True)
class BrushedSeen:
    """A mixture in a pass: its letter, swatches, parts, and where it goes."""

    letter: str
    colours: tuple[str, ...]
    parts: str
    where: str
    amount: str


@dataclass(frozen=True, slots=True)
class PassSeen:
    """A pass with its picture."""

    number: int
    title: str
    brushed: tuple[BrushedSeen, ...]
    hand: str
    wait: str


@dataclass(frozen=True, slots=True)
class AreaSeen:
    """An area: wanted and given, its layers, how far off and how sure."""

    number: int
    name: str
    wanted: str
    given: str
    share: float
    layers: str
    difference: float
    interval: float
    unevenness: float
    shortfall: str


@dataclass(frozen=True, slots=True)
class MarkSeen:
    """A number on the map, in shares of its width and height."""

    number: int
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class MannerSeen:
    """A stop of the slider with its finished picture and the few figures that tell it apart."""

    name: str
    title: str
    says: str
    is_shown: bool
    passes: int
    figures: str


@dataclass(frozen=True, slots=True)
class PlanSeen:
    """Everything that the page says of a plan."""

    name: str
    manner: str
    title: str
    ground: str
    aspect: float
    manners: tuple[MannerSeen, ...]
    missing: tuple[str, ...]
    error: tuple[str, ...]
    bare: str
    same: str
    passes: tuple[PassSeen, ...]
    areas: tuple[AreaSeen, ...]
    marks: tuple[MarkSeen, ...]
    amounts: tuple[tuple[str, str, str], ...]
    amount_notes: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    cautions: tuple[str, ...]
    illustrative: bool
    notes: tuple[str, ...]
    changed: tuple[str, ...]
    sheets: int


def request_of(query: PlanQuery) -> PlanRequest:
    """The request that a form makes.

    Raises
    ------
    InputError
        If something in it cannot be used.
    """
    return PlanRequest(
        manner=query.asked_manner,
        count=query.areas,
        ground=query.own.strip() or query.ground,
        imprimatura=query.imprimatura.strip(),
        only=split_names(query.only),
        exclude=split_names(query.exclude),
        lightfastness=query.lightfastness.strip(),
        width_cm=_width(query.width),
        most_glazes=query.glazes,
        per_pass=query.per_pass,
        per_mixture=query.per_mixture,
        seed=query.seed,
    )


def _width(said: str) -> float | None:
    words = said.strip().removesuffix("cm").strip().replace(",", ".")
    if not words:
        return None
    try:
        return float(words)
    except ValueError:
        raise InputError(
            "width", said, "a number of centimetres", "Leave it out if it is not known."
        ) from None


def begin_plan(
    shelf: PageShelf, query: PlanQuery, picture: bytes | Reference, name: str = ""
) -> Callable[[Progress], PlanFound]:
    """Check what is asked for, and make the work that answers it; the picture as a file, or as it was planned before.

    Raises
    ------
    InputError
        If something in it cannot be used.
    CardError
        If the picture cannot be read.
    """
    request = request_of(query)
    reference = picture if isinstance(picture, Reference) else open_reference(picture, name)
    work = begin_planning(request, reference, shelf)
    return lambda progress: work(lambda words, share: progress(share, words))


def query_of(request: PlanRequest) -> PlanQuery:
    """The form that makes a request, for a kept plan."""
    return PlanQuery(
        manner=request.manner,
        areas=request.count,
        ground=request.ground,
        imprimatura=request.imprimatura,
        only=", ".join(request.only),
        exclude=", ".join(request.exclude),
        lightfastness=request.lightfastness,
        width="" if request.width_cm is None else f"{request.width_cm:g}",
        glazes=request.most_glazes,
        per_pass=request.per_pass,
        per_mixture=request.per_mixture,
        seed=request.seed,
    )


def open_kept(shelf: PageShelf, key: str) -> PlanFound:
    """A kept plan, worked out once for all its pictures.

    Raises
    ------
    InputError
        If it cannot be opened.
    """
    saved = [len(each) for each in shelf.plans.load_histories(binned=False) if each[0].thing.key == key]
    stamp = repr((id(shelf), shelf.stamp(), key, saved))
    return _opened.recall(stamp, lambda: reopen_plan(shelf, key))


_opened: Remembered[PlanFound] = Remembered(most=8)


def kept_plans(shelf: PageShelf, *, binned: bool = False) -> tuple[tuple[str, str], ...]:
    """Keys and names of kept plans, or of those in the bin."""
    listed = shelf.plans.load_bin() if binned else shelf.plans.load_all()
    return tuple((each.key, each.label) for each in listed)


def grounds_of(shelf: PageShelf) -> tuple[tuple[str, str], ...]:
    """Grounds to choose from."""
    return ground_names(shelf)


def see_plan(found: PlanFound, manner: str = "") -> PlanSeen:
    """Lay one manner's plan out.

    Raises
    ------
    InputError
        If the tubes cannot do it.
    """
    plan = found.plan(manner)
    amounts = amounts_of(plan, found.facts, width_cm=found.request.width_cm, aspect=found.reference.aspect)
    key = draw_key_map(found.division.places, longest=MAP_POINTS)
    return PlanSeen(
        name=found.reference.name,
        manner=plan.manner.value,
        title=TITLES[plan.manner],
        ground=plan.ground.label,
        aspect=found.reference.aspect,
        manners=tuple(_manner(found, each, each is plan) for each in found.plans.values()),
        missing=tuple(TITLES[each] for each in Manner if each not in found.plans),
        error=say_error(found, plan),
        bare=say_bare(plan),
        same=say_same(found, plan),
        passes=_passes(plan, amounts),
        areas=_areas(found, plan),
        marks=tuple(MarkSeen(mark.number, mark.x / key.size[0], mark.y / key.size[1]) for mark in key.marks),
        amounts=tuple(
            (
                each.name,
                say_amount(each.ml),
                f"{each.strand_cm:.0f} cm" if each.key and each.strand_cm >= 1 else "-",
            )
            for each in amounts.by_tube
        ),
        amount_notes=amounts.notes,
        rows=compare_manners(found),
        cautions=(*cautions_of(plan), CARE),
        illustrative=is_illustrative(plan),
        notes=found.reference.notes,
        changed=found.changed,
        sheets=len(print_easel_sheet(found, plan).sheets),
    )


def _manner(found: PlanFound, plan: Plan, is_shown: bool) -> MannerSeen:
    error = found.error(plan)
    count, passes = len(plan.mixtures), len(plan.passes)
    figures = (
        f"dE00 {error.mean:.1f} off, {count} mixture{'s' * (count != 1)}, {passes} pass{'es' * (passes != 1)}"
    )
    name = plan.manner
    return MannerSeen(name.value, TITLES[name], SAYS[name], is_shown, passes, figures)


def _passes(plan: Plan, amounts: Amounts) -> tuple[PassSeen, ...]:
    seen = []
    for number, (one, wait) in enumerate(zip(plan.passes, waits_of(plan), strict=True), 1):
        colours = hex_of(one.labs)
        brushed = tuple(
            BrushedSeen(
                each.letter,
                tuple(colours[area - 1] for area, _ in each.areas),
                say_mixture(plan, each.mixture),
                say_where(each),
                say_amount(amounts.by_mixture[each.letter]) if each.letter in amounts.by_mixture else "",
            )
            for each in one.brushed
        )
        words = wait.words if wait is not None else ""
        seen.append(PassSeen(number, title_of(plan, one), brushed, say_hand(one.unevenness), words))
    return tuple(seen)


def _areas(found: PlanFound, plan: Plan) -> tuple[AreaSeen, ...]:
    letters = {mixture: letter for letter, mixture in plan.mixtures}
    wanted = hex_of(found.division.labs)
    given = hex_of(np.array([area.look.lab for area in plan.areas]))
    return tuple(
        AreaSeen(
            area.number,
            name_of(area),
            wanted[at],
            given[at],
            area.share,
            ", ".join(letters[each.mixture] for each in area.stack) or "left bare",
            area.difference,
            area.interval,
            area.unevenness,
            area.shortfall,
        )
        for at, area in enumerate(plan.areas)
    )


def easel_pdf(found: PlanFound, manner: str = "", *, page: str = "A4") -> bytes:
    """The sheet for the easel as a PDF.

    Raises
    ------
    InputError
        If the tubes cannot do that manner, or the paper is too small.
    """
    return chart_pdf(print_easel_sheet(found, found.plan(manner), page=page))


def easel_svg(found: PlanFound, number: int, manner: str = "", *, page: str = "A4") -> str:
    """One page of it: the same shapes as in the file."""
    return chart_svg(print_easel_sheet(found, found.plan(manner), page=page), number=number)
