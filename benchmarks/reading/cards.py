"""Painted cards and photographs for the score: sessions in which one person photographs several cards."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache

import numpy as np
from demo.blunder import BLUNDERS, blunder
from demo.conditions import FAULTS, Conditions, Session, draw_conditions, draw_session, spoil
from demo.flaw import FLAWS, flaw, some_area
from demo.painting import PaintedCard, lay_card
from demo.paints import TUBES, WHITE_KEY, Tube
from demo.sheet import Sheet, fetch_sheet
from demo.snapshot import page_of

ROUTES = ("phone", "profile", "phone", "scan")
HANDS = 2
"""Hands that paint each tube: more would only repeat the same optics at other thicknesses."""

PX_PER_MM = 10.0

CARDS = 4
"""Cards of a session; one more photograph of each session is spoilt."""


@dataclass(frozen=True)
class Plan:
    """One session: which cards are photographed how.

    Parameters
    ----------
    number : int
        Seeds everything.
    route, layout : str
        Way into the computer, and card.
    hand : int
        Which hand painted.
    tubes : tuple of str
        The white first.
    """

    number: int
    seed: int
    route: str
    layout: str
    hand: int
    tubes: tuple[str, ...]


def plan_sessions(count: int, seed: int, *, cards: int = CARDS) -> list[Plan]:
    """Sessions of the white and three other tubes; routes in turn, one card in four the quick one."""
    plans = []
    for number in range(count):
        rng = np.random.default_rng([seed, number])
        others = [tube.key for tube in TUBES if tube.key != WHITE_KEY]
        chosen = [str(key) for key in rng.choice(others, cards - 1, replace=False)]
        layout = "quick" if rng.random() < 0.25 else "full"
        route = ROUTES[number % len(ROUTES)]
        plans.append(Plan(number, seed, route, layout, int(rng.integers(HANDS)), (WHITE_KEY, *chosen)))
    return plans


@cache
def sheet_of(layout: str) -> Sheet:
    """The printed card, asked for once in a process."""
    return fetch_sheet(layout, px_per_mm=PX_PER_MM)


def tube_of(key: str) -> Tube:
    """A tube by its key."""
    return next(tube for tube in TUBES if tube.key == key)


def painted(plan: Plan, key: str) -> PaintedCard:
    """The card of one tube, the same whenever the same hand paints it."""
    layout = ("full", "quick").index(plan.layout)
    number = [tube.key for tube in TUBES].index(key)
    rng = np.random.default_rng([plan.hand, layout, number])
    return lay_card(sheet_of(plan.layout), tube_of(key), rng)


HAND = "hand"
"""The fault of a photograph whose card was spoilt rather than the photograph."""

FLAWS_ON_A_CARD = 3
"""Flaws on a card spoilt by hand, beside its one blunder, each on a stroke of its own."""


@dataclass(frozen=True)
class Case:
    """One thing that a hand did wrong: its kind, and the areas that it spoilt."""

    kind: str
    areas: tuple[str, ...]


@dataclass(frozen=True)
class Shot:
    """One photograph to take.

    Parameters
    ----------
    key : str
        Of the tube.
    card : PaintedCard
        As it lies before the camera.
    meant : PaintedCard
        As it would be without what the hand did wrong; the same card where nothing is.
    cases : tuple of Case
        What the hand did wrong.
    """

    key: str
    card: PaintedCard
    conditions: Conditions
    seed: int
    meant: PaintedCard
    cases: tuple[Case, ...] = ()


def photographs(plan: Plan) -> Iterator[Shot]:
    """The photographs of a session; the last is a spoilt one, or one of a spoilt card."""
    rng = np.random.default_rng([plan.seed, plan.number, 1])
    session = draw_session(plan.route, rng)
    for step, key in enumerate(plan.tubes):
        card = painted(plan, key)
        yield Shot(key, card, draw_conditions(session, page_of(card), rng), 1000 * plan.number + step, card)
    if (plan.number + plan.number // len(ROUTES)) % 2:
        yield spoilt_by_hand(plan, session)
    else:
        yield _spoilt_photograph(plan, session, rng)


def _spoilt_photograph(plan: Plan, session: Session, rng: np.random.Generator) -> Shot:
    """A photograph of a good card spoilt in one way."""
    key, card = plan.tubes[-1], painted(plan, plan.tubes[-1])
    # Nobody's scanner blurs or cuts a card in half: a scan session spoils a phone's photograph.
    phone = session if plan.route != "scan" else draw_session("phone", rng)
    acceptable = draw_conditions(phone, page_of(card), rng)
    x, y, width, height = _some_painted_box(card, rng)
    fault = FAULTS[(plan.number // 2) % len(FAULTS)]
    spoilt = spoil(acceptable, fault, (x + width / 2, y + height / 2, width), rng)
    return Shot(key, card, spoilt, 1000 * plan.number + 999, card)


def spoilt_by_hand(plan: Plan, session: Session) -> Shot:
    """An acceptable photograph of a full card on which the hand did several things wrong."""
    rng = np.random.default_rng([plan.seed, plan.number, 2])
    key = str(rng.choice(plan.tubes))
    tube, other = tube_of(key), tube_of(str(rng.choice([each for each in plan.tubes if each != key])))
    # Contradictions show among many areas: the quick card has too few.
    meant = painted(replace(plan, layout="full"), key)
    names = [*BLUNDERS]
    kind = names[(plan.number // 2) % len(names)]
    card, areas = blunder(meant, kind, rng, tube=tube, other=other)
    cases = [Case(kind, areas)]
    for step in range(FLAWS_ON_A_CARD):
        kind = [*FLAWS][(plan.number // 2 * FLAWS_ON_A_CARD + step) % len(FLAWS)]
        name = some_area(card, rng, spared={area for case in cases for area in case.areas})
        card, cases = flaw(card, kind, name, rng), [*cases, Case(kind, (name,))]
    conditions = replace(draw_conditions(session, page_of(card), rng), fault=HAND)
    return Shot(key, card, conditions, 1000 * plan.number + 998, meant, tuple(cases))


def _some_painted_box(card: PaintedCard, rng: np.random.Generator) -> tuple[float, float, float, float]:
    boxes = [area["box_mm"] for area in card.sheet.card_map["areas"] if area["film"] != "bare"]
    x, y, width, height = boxes[int(rng.integers(len(boxes)))]
    return float(x), float(y), float(width), float(height)
