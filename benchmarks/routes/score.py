"""One session by one route: photograph four cards, read them, and hold readings and predictions against the truth."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

import numpy as np
from demo import target
from demo.conditions import Conditions, Session, draw_conditions, draw_session
from demo.painting import PaintedCard
from demo.scanner import scanner_profile
from demo.snapshot import page_of, photograph, true_colours

from benchmarks.reading.cards import Plan, painted, plan_sessions
from benchmarks.reading.unseen import UnseenScore, score_unseen
from scumble.card import PhotographedCard, read_photograph
from scumble.card.by_target import TargetView
from scumble.colour import delta_e_2000, white_point, xyz_to_lab
from scumble.errors import CardError
from scumble.store.readings.reference_cgats import parse_reference

ROUTES = ("target", "scanner", "phone")
BELIEVED = 0.5
WHITE = white_point("D65", 2)


@dataclass(frozen=True)
class RouteScore:
    """One photograph: what it was taken under, and for each believed area how far it is off and what was promised."""

    route: str
    light: str
    sensor: str
    refusal: str
    off: tuple[float, ...]
    bound: tuple[float, ...]
    areas: int
    residual: str


def plans(route: str, count: int, seed: int) -> list[Plan]:
    """Sessions of the full card by a route."""
    kind = {"target": "profile", "scanner": "scan", "phone": "phone"}[route]
    return [replace(plan, route=kind, layout="full") for plan in plan_sessions(count, seed)]


def score_session(job: tuple[str, Plan]) -> tuple[str, Plan, list[RouteScore], list[UnseenScore]]:
    """Photograph, read and fit the cards of one session."""
    route, plan = job
    rng = np.random.default_rng([plan.seed, plan.number, 7])
    session = _session(route, plan, rng)
    scores, read = [], {}
    for step, key in enumerate(plan.tubes):
        card = painted(plan, key)
        conditions = draw_conditions(session, page_of(card), rng)
        score, seen = _score(route, session, card, conditions, 1000 * plan.number + step)
        scores.append(score)
        if seen is not None:
            read[key] = (card, seen)
    return route, plan, scores, score_unseen(read)


def _session(route: str, plan: Plan, rng: np.random.Generator) -> Session:
    """Camera and lamp; who owns a target photographs by daylight mostly, with a camera that tells colours."""
    session = draw_session(plan.route, rng)
    while route == "target" and session.sensor == "stacked":
        session = draw_session(plan.route, rng)
    if route == "target" and plan.number % 3:
        session = replace(session, blend=((("D65", "D50")[plan.number % 2], 1.0),))
    return session


def _score(
    route: str, session: Session, card: PaintedCard, conditions: Conditions, seed: int
) -> tuple[RouteScore, PhotographedCard | None]:
    page_mm = page_of(card)
    options: dict[str, Any] = {}
    lay = None
    if route == "target":
        conditions, lay = target.make_room(conditions, page_mm), partial(target.lay_beside, page_mm=page_mm)
        options["target"] = TargetView(parse_reference(target.reference_file()))
    elif route == "scanner":
        options["profile"] = scanner_profile(session)
    taken = photograph(card, conditions, seed, lay=lay)
    if route == "target":
        corners = taken.projection.to_px(target.corners_mm(page_mm))
        if np.any(corners < 0) or np.any(corners >= taken.projection.size_px):
            return _refused(route, session, "the target lies outside the picture", card), None
    try:
        seen = read_photograph(taken.file, **options)
    except CardError as error:
        return _refused(route, session, str(error), card), None
    return _held(route, session, card, seen), seen


def _refused(route: str, session: Session, words: str, card: PaintedCard) -> RouteScore:
    return RouteScore(
        route, _light(session), session.sensor, words, (), (), len(card.sheet.card_map["areas"]), ""
    )


def _held(route: str, session: Session, card: PaintedCard, seen: PhotographedCard) -> RouteScore:
    true = true_colours(card)
    believed = [area for area in seen.areas if area.reading.weight >= BELIEVED]
    off = [
        float(
            delta_e_2000(xyz_to_lab(area.reading.values, WHITE), xyz_to_lab(true[area.reading.area], WHITE))
        )
        for area in believed
    ]
    said = next((note for note in seen.assumptions if "left out" in note), "")
    bounds = tuple(area.bound_de00 for area in believed)
    return RouteScore(route, _light(session), session.sensor, "", tuple(off), bounds, len(seen.areas), said)


def _light(session: Session) -> str:
    return " and ".join(name for name, _ in session.blend)


def rows(scores: list[RouteScore]) -> Iterator[tuple[str, list[RouteScore]]]:
    """All photographs, and those by each light."""
    yield "all", scores
    daylight = [score for score in scores if score.light in ("D65", "D50")]
    if daylight and len(daylight) < len(scores):
        yield "daylight (D65, D50)", daylight
    for light in sorted({score.light for score in scores} - {"D65", "D50"}):
        if any(score.light != light for score in scores):
            yield light, [score for score in scores if score.light == light]
