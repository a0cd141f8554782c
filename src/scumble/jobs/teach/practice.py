"""What is asked next: first what is due again, else what comes nearest to being just hard enough."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import datetime

import numpy as np

from scumble.jobs.teach.ability import WANTED_CHANCE, Tried, chance_right, estimate_ability
from scumble.jobs.teach.asked import MOST_SEED, Asked
from scumble.jobs.teach.boxes import Boxed, box_of
from scumble.jobs.teach.desk import QuestionDesk
from scumble.paint.question.question import Kind
from scumble.paint.question.tray import LEVELS

Thing = tuple[Kind, str]
"""A kind of question and the tube it is asked of: what is learned and revisited."""

COMPARED = 4
"""Questions among which the one of the right difficulty is chosen."""

MOST_TRIES = 80
"""Tubes and kinds that are tried for them."""

NEW_AFTER = 2
"""So many things that are due stand before one that may be new."""


@dataclass(frozen=True, slots=True)
class Past:
    """One answer of a trainee.

    Parameters
    ----------
    thing : (Kind, str)
        What was asked, of which tube.
    moment : datetime
        When, UTC.
    tried : Tried
        How hard it was, and whether it was right.
    """

    thing: Thing
    moment: datetime
    tried: Tried


def boxes_of(past: Sequence[Past]) -> dict[Thing, Boxed]:
    """Where every thing lies that was ever asked; oldest answers first."""
    several: dict[Thing, list[tuple[datetime, bool]]] = {}
    for each in past:
        several.setdefault(each.thing, []).append((each.moment, each.tried.right))
    return {thing: boxed for thing, answers in several.items() if (boxed := box_of(answers)) is not None}


def next_asked(
    desk: QuestionDesk,
    kinds: Sequence[Kind],
    *,
    seed: int,
    had: Sequence[Asked] = (),
    past: Sequence[Past] = (),
    now: datetime | None = None,
    pointed: bool = False,
) -> Asked | None:
    """The next question.

    Parameters
    ----------
    desk : QuestionDesk
        Of the shelf.
    kinds : sequence of Kind
        What it may be about.
    seed : int
        Of the round: the same seed and the same past ask the same.
    had : sequence of Asked
        Questions of this round so far; none of their things comes again.
    past : sequence of Past
        All answers of the trainee, oldest first.
    now : datetime, optional
        This moment, UTC; nothing is due without it.
    pointed : bool
        Whether a colour is to be pointed out, which not every kind asks for.

    Returns
    -------
    Asked or None
        None where the shelf has nothing more to ask.
    """
    rng = np.random.default_rng([seed, len(had)])
    met = {(each.kind, each.key) for each in had}
    level = estimate_ability([each.tried for each in past]).level
    things = _due(desk, kinds, past, now) if len(had) % (NEW_AFTER + 1) < NEW_AFTER else []
    for thing in things:
        if thing in met:
            continue
        found = _nearest(desk, [thing], level, rng, pointed=pointed)
        if found is not None:
            return found
    return _nearest(desk, _shuffled(desk, kinds, met, rng), level, rng, pointed=pointed)


def _due(
    desk: QuestionDesk, kinds: Sequence[Kind], past: Sequence[Past], now: datetime | None
) -> list[Thing]:
    """Things that are due, the longest waiting first."""
    if now is None:
        return []
    at_hand = set(desk.keys)
    due = {
        thing: boxed.due
        for thing, boxed in boxes_of(past).items()
        if boxed.due <= now and thing[0] in kinds and thing[1] in at_hand
    }
    return sorted(due, key=lambda thing: (due[thing], thing))


def _shuffled(
    desk: QuestionDesk, kinds: Sequence[Kind], met: Collection[Thing], rng: np.random.Generator
) -> list[Thing]:
    """Things not met in this round, every kind about as often, by chance; a tube met already only at the end."""
    keys_met = {key for _, key in met}
    last = [each for each, _ in met]
    order = sorted(kinds, key=lambda kind: (last.count(kind), rng.random()))
    keys = list(desk.keys)
    found: list[tuple[bool, Thing]] = []
    per_kind = [[keys[at] for at in rng.permutation(len(keys)).tolist()] for _ in order]
    for turn in range(len(keys)):
        found += [
            (own[turn] in keys_met, (kind, own[turn])) for kind, own in zip(order, per_kind, strict=True)
        ]
    return [thing for _, thing in sorted(found, key=lambda each: each[0]) if thing not in met]


def _nearest(
    desk: QuestionDesk, things: Sequence[Thing], level: float, rng: np.random.Generator, *, pointed: bool
) -> Asked | None:
    """The question nearest to the wanted chance among the first few of one kind that can be made."""
    found: list[tuple[float, Asked]] = []
    for kind, key in things[:MOST_TRIES]:
        if found and kind is not found[0][1].kind:
            continue
        for near in LEVELS if len(things) == 1 else (int(rng.integers(1, len(LEVELS) + 1)),):
            asked = Asked(kind, key, near, int(rng.integers(MOST_SEED)))
            question = desk.question(asked)
            if question is None or (pointed and question.wanted is None):
                continue
            chance = float(chance_right(level, question.difficulty, question.guessed))
            found.append((abs(chance - WANTED_CHANCE), asked))
        if len(found) >= COMPARED:
            break
    return min(found, key=lambda each: each[0])[1] if found else None
