"""Painted cards and photographs for the score: sessions in which one person photographs several cards."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache

import numpy as np
from demo.blunder import BLUNDERS, blunder
from demo.conditions import FAULTS, Conditions, draw_conditions, draw_session, spoil
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


SPOILS = (*FAULTS, *BLUNDERS)


@dataclass(frozen=True)
class Shot:
    """One photograph to take: the tube's key, its card, conditions, seed, and the areas that a blunder spoilt."""

    key: str
    card: PaintedCard
    conditions: Conditions
    seed: int
    spoilt_areas: tuple[str, ...] = ()


def photographs(plan: Plan) -> Iterator[Shot]:
    """The photographs of a session; the last is a spoilt one, or one of a spoilt card."""
    rng = np.random.default_rng([plan.seed, plan.number, 1])
    session = draw_session(plan.route, rng)
    card, key = None, ""
    for step, key in enumerate(plan.tubes):
        card = painted(plan, key)
        yield Shot(key, card, draw_conditions(session, page_of(card), rng), 1000 * plan.number + step)
    if card is None:
        return
    # Nobody's scanner blurs or cuts a card in half: a scan session spoils a phone's photograph.
    phone = session if plan.route != "scan" else draw_session("phone", rng)
    acceptable = draw_conditions(phone, page_of(card), rng)
    fault, seed = SPOILS[plan.number % len(SPOILS)], 1000 * plan.number + 999
    if fault in BLUNDERS:
        # A box of another tube shows among several of a stroke: the quick card has too few.
        full = replace(plan, layout="full")
        spoilt, names = blunder(painted(full, key), fault, rng, other=painted(full, plan.tubes[1]))
        yield Shot(key, spoilt, replace(acceptable, fault=fault), seed, names)
        return
    x, y, width, height = _some_painted_box(card, rng)
    yield Shot(key, card, spoil(acceptable, fault, (x + width / 2, y + height / 2, width), rng), seed)


def _some_painted_box(card: PaintedCard, rng: np.random.Generator) -> tuple[float, float, float, float]:
    boxes = [area["box_mm"] for area in card.sheet.card_map["areas"] if area["film"] != "bare"]
    x, y, width, height = boxes[int(rng.integers(len(boxes)))]
    return float(x), float(y), float(width), float(height)
