"""What to stir into a batch that came out wrong: additions only, the smallest that bring it to the wanted colour.

The batch is one more tube whose optics are those of its parts; every addition of one, two or three tubes of the shelf
is then solved like a recipe, and proportions are told for one part of the batch. Where the batch was read, what the
read colour differs from the predicted one by is taken for a fault of the model that stays, and the aim is moved by it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations, product
from math import comb

import numpy as np
from numpy.typing import NDArray

from scumble.colour import delta_e_2000
from scumble.errors import InputError
from scumble.optics.face import Face
from scumble.paint import Film, Ground, Layering, Look, Optics, Paint, Provenance, predict_look
from scumble.paint.covering import contrast_ratio
from scumble.solve.recipe.search import Bounds, Search
from scumble.solve.recipe.sketch import HIDES
from scumble.solve.recipe.target import Target, target_of_lab

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]

MOST_TUBES = 3
"""Tubes added at once."""

PER_TUBE = 0.35
"""dE00 that one tube more must gain."""

PER_GROWTH = 0.8
"""dE00 that doubling the batch must gain."""

TOO_MUCH = 20.0
"""Parts added to one of the batch beyond which one starts anew."""

STEPS = (
    0.05,
    0.1,
    0.15,
    0.2,
    0.25,
    0.3,
    0.4,
    0.5,
    0.6,
    0.75,
    1.0,
    1.25,
    1.5,
    2.0,
    2.5,
    3.0,
    4.0,
    5.0,
    6.0,
    8.0,
    10.0,
)
"""Parts to ten of the batch that a hand can measure; below 0.05 by fifths and tenths of it."""

MOST_TRIED = 4_000
"""Additions of three tubes that are all tried; of more, those that add a tube to the best pairs."""

SEEDS = 40

TRACES = (0.005, 0.01, 0.02, 0.03)


@dataclass(frozen=True, slots=True)
class Batch:
    """A mixture that is there already.

    Parameters
    ----------
    parts : tuple of (Paint, float)
        What it was mixed of, in parts; amounts need not be known when it was read.
    read_lab : array, shape (3,), optional
        CIELAB as it was read, dry, in a hiding film.
    amounts_known : bool
        Whether the parts are as they were mixed; otherwise they are estimated from the colour.
    """

    parts: tuple[tuple[Paint, float], ...]
    read_lab: Floats | None = None
    amounts_known: bool = True


@dataclass(frozen=True, slots=True)
class Addition:
    """What to stir in.

    Parameters
    ----------
    added : tuple of (Paint, float)
        Parts to ten parts of the batch.
    look : Look
        What the whole will look like, by the model.
    difference : float [dE00]
        To the wanted colour once the model's fault is taken out.
    growth : float [1]
        Volume added for each volume of the batch.
    before : float [dE00]
        What the batch misses by as it is.
    """

    added: tuple[tuple[Paint, float], ...]
    look: Look
    difference: float
    growth: float
    before: float


def blend(parts: Sequence[tuple[Paint, float]], *, key: str = "the-batch", label: str = "the batch") -> Paint:
    """A mixture as one paint; how sure it is stays with its tubes.

    Raises
    ------
    InputError
        If there is nothing in it, or its binders differ.
    """
    film = Film(tuple(parts), 1.0)
    optics = Optics(film.absorption, film.scattering)
    names = tuple(dict.fromkeys(name for paint, _ in parts for name in paint.pigments))
    return Paint(key, label, optics, Provenance.ILLUSTRATIVE, names, film.binder)


def estimate_batch(
    batch: Batch, ground: Ground, *, light: str = "D65", observer: int = 2
) -> tuple[Batch, float]:
    """The parts of a batch of which only the colour and the tubes are known, and how well they explain it.

    Returns
    -------
    Batch, float [dE00]
        With parts that come nearest what was read, and what they miss it by.

    Raises
    ------
    InputError
        If it was not read, or more than four tubes are named.
    """
    if batch.read_lab is None:
        raise InputError("batch", "no colour", "its amounts, or the colour it was read at")
    paints = [paint for paint, _ in batch.parts]
    if not 1 <= len(paints) <= 4:
        raise InputError("batch", f"{len(paints)} tubes", "1 to 4 tubes where amounts are not known")
    target = target_of_lab(batch.read_lab, light=light, observer=observer)
    search = Search(target, paints, ground)
    members = np.arange(len(paints))[None]
    solved = search.solve(members, (0,) * len(paints), Bounds(HIDES, 1.0, 8.0), tries=6)
    coats = np.maximum(solved.coats[0], 1e-6 * solved.coats[0].max())
    parts = tuple(
        (paint, float(each)) for paint, each in zip(paints, 10.0 * coats / coats.sum(), strict=True)
    )
    return Batch(parts, batch.read_lab, amounts_known=True), float(solved.difference[0])


def find_additions(
    batch: Batch,
    target: Target,
    shelf: Sequence[Paint],
    ground: Ground,
    *,
    face: Face = Face.GLOSS,
    count: int = 5,
    most_coats: float = 4.0,
) -> tuple[Addition, ...]:
    """The smallest additions that bring a batch to a colour, best first, no two of the same tubes.

    Parameters
    ----------
    batch : Batch
        With known amounts; see :func:`estimate_batch`.
    target : Target
        The wanted colour.
    shelf : sequence of Paint
        Tubes that may be added, of the batch's binder.
    ground, face
        As for recipes.
    count : int
        Additions wanted.
    most_coats : float [coat]
        That the whole may take to hide.

    Raises
    ------
    InputError
        If there is no tube of the batch's binder to add.
    """
    whole = blend(batch.parts)
    tubes = [paint for paint in shelf if paint.binder is whole.binder]
    if not tubes:
        raise InputError("shelf", "no tube to add", f"at least one paint in {whole.binder.value}")
    fault = _fault(whole, batch, target, ground, face)
    aim = Target(target.labs - fault, target.lights, target.observer, None, target.label)
    search = Search(aim, (*tubes, whole), ground, face)
    before = _as_it_is(search, batch, target, fault)
    found: dict[frozenset[str], tuple[float, Addition]] = {}
    pairs: list[tuple[int, ...]] = []
    for number in range(1, MOST_TUBES + 1):
        rows = _combinations(len(tubes), number, pairs)
        solved = _solve(search, rows, most_coats, max(4 * count, SEEDS))
        pairs = [members for _, members, _ in solved[:SEEDS]]
        for rough, tubes_added, amounts in solved[: 4 * count]:
            addition = _round(search, tubes_added, amounts, target, fault, before)
            score = (
                addition.difference
                + PER_TUBE * len(addition.added)
                + PER_GROWTH * np.log2(1.0 + addition.growth)
            )
            name = frozenset(paint.key for paint, _ in addition.added)
            if rough < np.inf and (name not in found or score < found[name][0]):
                found[name] = (float(score), addition)
    ranked = sorted(found.values(), key=lambda each: each[0])
    better = [each for _, each in ranked if each.difference < before]
    return tuple(better[:count])


def _fault(whole: Paint, batch: Batch, target: Target, ground: Ground, face: Face) -> Floats:
    """What the read colour lies off the predicted one, in Lab, under every light the same."""
    if batch.read_lab is None:
        return np.zeros(3)
    layering = Layering(ground, (Film(((whole, 1.0),), 4.0),), face)
    predicted = predict_look(layering, light=target.lights[0], observer=target.observer).lab
    return np.asarray(np.asarray(batch.read_lab, dtype=np.float64) - predicted)


def _as_it_is(search: Search, batch: Batch, target: Target, fault: Floats) -> float:
    """What the batch misses by."""
    if batch.read_lab is not None:
        return float(delta_e_2000(target.lab, np.asarray(batch.read_lab, dtype=np.float64)))
    own = search.absorption[-1] * 4.0, search.scattering[-1] * 4.0
    return float(delta_e_2000(target.lab, search.predict_labs([own])[0] + fault))


def _combinations(tubes: int, number: int, pairs: list[tuple[int, ...]]) -> list[tuple[int, ...]]:
    """Additions to try: all, or those that grow from the best smaller ones where all are too many."""
    if number < MOST_TUBES or comb(tubes, number) <= MOST_TRIED:
        return list(combinations(range(tubes), number))
    return sorted(
        {tuple(sorted((*pair, tube))) for pair in pairs for tube in range(tubes) if tube not in pair}
    )


def _solve(
    search: Search, rows: list[tuple[int, ...]], most_coats: float, keep: int
) -> list[tuple[float, tuple[int, ...], Floats]]:
    """Solved additions of some tubes: what they miss by, which, and how much to one of the batch."""
    last = len(search.tubes) - 1
    if not rows:
        return []
    number = len(rows[0])
    members = np.array([(*rest, last) for rest in rows], dtype=np.int64)
    bounds = Bounds(0.9805, 1.0, most_coats)
    film_of = (0,) * (number + 1)
    solved = search.solve(members, film_of, bounds, worth=8.0)
    near = np.argsort(solved.difference)[: 4 * keep]
    solved = solved.take(near).nearer(search.solve(solved.members[near], film_of, bounds, tries=4))
    parts = solved.coats[:, :-1] / np.maximum(solved.coats[:, -1:], 1e-9)
    ratio = contrast_ratio(*search.depths(solved)[0], 1.0, index=search.index)
    growth = parts.sum(axis=1)
    score = solved.difference + PER_GROWTH * np.log2(1.0 + growth)
    score[(growth > TOO_MUCH) | (ratio < HIDES) | (parts.max(axis=1) < 1e-4)] = np.inf
    order = [int(row) for row in np.argsort(score)[:keep] if np.isfinite(score[row])]
    return [
        (float(solved.difference[row]), tuple(int(t) for t in solved.members[row, :-1]), parts[row])
        for row in order
    ]


def _round(
    search: Search, tubes: tuple[int, ...], amounts: Floats, target: Target, fault: Floats, before: float
) -> Addition:
    """Parts to ten of the batch that a hand can measure."""
    steps = np.array([*TRACES, *STEPS, 12.0, 15.0, 20.0, 30.0, 40.0, 60.0, 80.0, 100.0, 150.0, 200.0])
    near = [steps[np.argsort(np.abs(np.log(steps) - np.log(max(10.0 * each, 1e-4))))[:3]] for each in amounts]
    trials = np.array(list(product(*near)))
    absorption = trials @ search.absorption[list(tubes)] + 10.0 * search.absorption[-1]
    scattering = trials @ search.scattering[list(tubes)] + 10.0 * search.scattering[-1]
    scale = 4.0 / (10.0 + trials.sum(axis=1))[:, None]
    labs = search.predict_labs([(absorption * scale, scattering * scale)])
    missed = search.differences(labs)
    best = int(np.argmin(missed + 0.02 * np.log1p(trials.sum(axis=1))))
    added = tuple((search.tubes[tube], float(part)) for tube, part in zip(tubes, trials[best], strict=True))
    film = Film(((search.tubes[-1], 10.0), *added), 4.0)
    layering = Layering(search.ground, (film,), search.face)
    look = predict_look(layering, light=target.lights[0], observer=target.observer)
    difference = float(delta_e_2000(target.lab, look.lab + fault))
    return Addition(added, look, difference, float(trials[best].sum() / 10.0), before)
