"""What stands in for a tube: the nearest by what its films do, not by its name.

A tube is compared by a panel of films: thick, one coat over white and over black, two thin ones over white, a thin one
over black, and three tints. A use says how much each counts. A stand-in may be stronger or weaker: thin films are
compared with as much of it as suits best, tints with as much as suits them, and how much that is is told. Two-tube
blends are looked at on a grid of proportions, the best of them on a finer one, and then in parts that a hand can
measure.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from enum import StrEnum
from itertools import combinations

import numpy as np
from numpy.typing import NDArray

from scumble.colour import delta_e_2000
from scumble.errors import InputError
from scumble.paint import Paint
from scumble.paint.covering import contrast_ratio, opacity
from scumble.paint.drawdown import lab_of, over_black, over_white
from scumble.solve.recipe.rounding import parts_to_try

Floats = NDArray[np.float64]


class Use(StrEnum):
    """What a tube is wanted for."""

    GLAZING = "glazing"
    COVERING = "covering"
    TINTS = "tints"
    ALL = "all"


@dataclass(frozen=True, slots=True)
class PanelFilm:
    """One film of the panel.

    Parameters
    ----------
    name : str
        What a person calls it.
    coats : float [coat]
        How thick.
    over : str
        ``white`` or ``black``.
    white_parts : float
        Parts of white to one of the paint.
    group : str
        ``thin`` and ``tint`` films may each take more or less of a stand-in.
    """

    name: str
    coats: float
    over: str = "white"
    white_parts: float = 0.0
    group: str = "thick"


PANEL = (
    PanelFilm("masstone", 8.0),
    PanelFilm("one coat over white", 1.0),
    PanelFilm("one coat over black", 1.0, over="black"),
    PanelFilm("undertone", 0.3, group="thin"),
    PanelFilm("thin undertone", 0.1, group="thin"),
    PanelFilm("thin over black", 0.3, over="black", group="thin"),
    PanelFilm("tint 1:1", 8.0, white_parts=1.0, group="tint"),
    PanelFilm("tint 1:4", 8.0, white_parts=4.0, group="tint"),
    PanelFilm("tint 1:19", 8.0, white_parts=19.0, group="tint"),
)

GROUPS = ("thin", "tint")

WEIGHTS: dict[Use, tuple[float, ...]] = {
    Use.GLAZING: (0.04, 0.08, 0.08, 0.30, 0.25, 0.20, 0.01, 0.02, 0.02),
    Use.COVERING: (0.30, 0.25, 0.25, 0.02, 0.02, 0.02, 0.06, 0.05, 0.03),
    Use.TINTS: (0.05, 0.05, 0.02, 0.02, 0.02, 0.02, 0.26, 0.30, 0.26),
    Use.ALL: (0.16, 0.10, 0.10, 0.14, 0.10, 0.08, 0.10, 0.12, 0.10),
}
"""How much each film counts. *Scumble's own.*"""

PER_STRENGTH = 0.6
"""dE00 that a stand-in of twice or half the strength is worth."""

PER_TUBE = 0.7
"""dE00 that a second tube must gain."""

LOG_SHARES = np.linspace(-3.5, 3.5, 8)
LOG_STRENGTHS = np.log(2.0) * np.linspace(-2.0, 2.0, 5)
FINE = np.linspace(-1.0, 1.0, 5)
FINE_STRENGTHS = np.log(2.0) * np.linspace(-2.5, 2.5, 31)
"""Grid of proportions and strengths, the steps between the first, and a finer grid of the second."""

KEPT = 24
"""Blends that are looked at on the finer grid."""

MOST_PARTS = 10


@dataclass(frozen=True, slots=True)
class StandInWishes:
    """What a stand-in must keep to.

    Parameters
    ----------
    use : Use
        What it is for.
    blends : bool
        Whether two-tube blends count too.
    prices : mapping of str to float
        By volume, by short name.
    per_price : float [dE00]
        Price of costing twice as much as the tube it stands in for.
    count : int
        Stand-ins wanted.
    """

    use: Use = Use.ALL
    blends: bool = True
    prices: Mapping[str, float] = field(default_factory=dict)
    per_price: float = 0.0
    count: int = 5


@dataclass(frozen=True, slots=True)
class StandIn:
    """One tube or blend that stands in for another.

    Parameters
    ----------
    parts : tuple of (Paint, float)
        What it is.
    difference : float [dE00]
        Root mean square over the panel, weighted by the use.
    thin_strength, tint_strength : float [1]
        Parts to take where one of the old tube was taken, in thin films and in tints.
    films : tuple of float [dE00]
        Difference of each film of the panel.
    labs : array, shape (films, 3)
        CIELAB of each.
    opacity, hiding : float [1]
        Contrast ratio of half a coat and of a coat.
    price_ratio : float or None
        What as much of it costs as is taken for the use, the old tube being 1.
    score : float [dE00]
        Stand-ins are ranked by it.
    """

    parts: tuple[tuple[Paint, float], ...]
    difference: float
    thin_strength: float
    tint_strength: float
    films: tuple[float, ...]
    labs: Floats
    opacity: float
    hiding: float
    price_ratio: float | None
    score: float


def panel_labs(
    absorption: Floats, scattering: Floats, white: Paint, strength: Floats, index: float
) -> Floats:
    """CIELAB of the panel.

    Parameters
    ----------
    absorption, scattering : array, shape (paints, 36) [1/coat]
        Optics.
    white : Paint
        Of the tints.
    strength : array, shape (paints, 2) [1]
        How much of each is taken in thin films and in tints.
    index : float [1]
        Of the binder.

    Returns
    -------
    array, shape (paints, films, 3)
    """
    seen = []
    pale_a, pale_s = white.optics.absorption, white.optics.scattering
    for film in PANEL:
        taken = np.ones((len(absorption), 1))
        if film.group != "thick":
            taken = strength[:, GROUPS.index(film.group)][:, None]
        if film.white_parts:
            own = taken / (taken + film.white_parts)
            a = film.coats * (own * absorption + (1.0 - own) * pale_a)
            s = film.coats * (own * scattering + (1.0 - own) * pale_s)
        else:
            a, s = film.coats * taken * absorption, film.coats * taken * scattering
        lay = over_black if film.over == "black" else over_white
        seen.append(lab_of(lay(a, s, index=index)))
    return np.stack(seen, axis=1)


def find_stand_ins(
    paint: Paint, shelf: Sequence[Paint], white: Paint, wishes: StandInWishes | None = None
) -> tuple[StandIn, ...]:
    """Tubes and blends that come nearest a tube in what its films do.

    Parameters
    ----------
    paint : Paint
        The tube to do without.
    shelf : sequence of Paint
        What else there is; the tube itself and other binders are passed over.
    white : Paint
        That its tints are made with.
    wishes : StandInWishes, optional
        Use, blends, price.

    Raises
    ------
    InputError
        If there is nothing else of its binder.
    """
    asked = wishes or StandInWishes()
    tubes = [other for other in shelf if other.key != paint.key and other.binder is paint.binder]
    if not tubes:
        raise InputError("shelf", "no other tube", f"at least one more paint in {paint.binder.value}")
    panel = _Panel(paint, tubes, white, asked.use)
    members = [(place,) for place in range(len(tubes))]
    found = panel.refine(panel.sketch(members))
    if asked.blends:
        found += panel.refine(panel.sketch(list(combinations(range(len(tubes)), 2))))
    answers = [panel.finish(members, shares, asked) for members, shares in found]
    answers.sort(key=lambda each: each.score)
    return _distinct(answers, asked.count)


def _distinct(answers: Sequence[StandIn], count: int) -> tuple[StandIn, ...]:
    """The best, none of which is another with a little of something stirred in."""
    chosen: list[StandIn] = []
    for each in answers:
        main = max(each.parts, key=lambda part: part[1])[0].key
        mine = {paint.key for paint, _ in each.parts}
        if any({paint.key for paint, _ in other.parts} == mine for other in chosen):
            continue
        alike = [other for other in chosen if max(other.parts, key=lambda part: part[1])[0].key == main]
        if len(alike) < 2:
            chosen.append(each)
        if len(chosen) == count:
            break
    return tuple(chosen)


Found = tuple[tuple[int, ...], float]
"""Places of tubes, and the log ratio of strength of the second to the first."""


class _Panel:
    """One tube's panel, and how near others come to it."""

    def __init__(self, paint: Paint, tubes: Sequence[Paint], white: Paint, use: Use) -> None:
        self.paint, self.tubes, self.white = paint, tuple(tubes), white
        self.index = paint.binder.refractive_index
        self.weights = np.array(WEIGHTS[use])
        own = paint.optics.absorption[None], paint.optics.scattering[None]
        self.aim = panel_labs(*own, white, np.ones((1, 2)), self.index)[0]
        self.groups = [np.array([film.group == name for film in PANEL]) for name in ("thick", *GROUPS)]
        self.absorption = np.array([each.optics.absorption for each in tubes])
        self.scattering = np.array([each.optics.scattering for each in tubes])
        # Where films that cover count, as much is taken as of the old tube.
        self.taking = np.array([self.weights[films].sum() for films in self.groups[1:]])
        self.depth = self.absorption.max(axis=1) + 0.15 * self.scattering.mean(axis=1)

    def blend(self, members: NDArray[np.int64], shares: Floats) -> tuple[Floats, Floats]:
        """Optics of blends."""
        a = np.einsum("ck,ckb->cb", shares, self.absorption[members])
        return a, np.einsum("ck,ckb->cb", shares, self.scattering[members])

    def shares(self, members: NDArray[np.int64], ratio: Floats) -> Floats:
        """Volumes of a blend whose strengths stand in a log ratio, together 1."""
        amounts = 1.0 / self.depth[members]
        if members.shape[1] == 2:
            amounts = amounts * np.exp(np.stack([np.zeros_like(ratio), ratio], axis=-1))
        return np.asarray(amounts / amounts.sum(axis=1, keepdims=True))

    def misses(self, optics: tuple[Floats, Floats], log_strengths: Floats) -> tuple[Floats, Floats]:
        """Least miss of each, thin films and tints each taking what suits them best.

        Parameters
        ----------
        optics : (absorption, scattering), each array of shape (paints, 36)
        log_strengths : array, shape (steps,)
            What may be taken.

        Returns
        -------
        array, shape (paints,) [dE00]
            Weighted, the price of strength included.
        array, shape (paints, 2)
            Log strength in thin films and in tints.
        """
        squares, taken = np.zeros(len(optics[0])), np.zeros((len(optics[0]), 2))
        least = np.full((len(optics[0]), 2), np.inf)
        for log_strength in log_strengths:
            both = np.full((len(optics[0]), 2), np.exp(log_strength))
            labs = panel_labs(*optics, self.white, both, self.index)
            each = delta_e_2000(np.broadcast_to(self.aim, labs.shape), labs) ** 2 * self.weights
            squares = each[:, self.groups[0]].sum(axis=1)
            price = (PER_STRENGTH * log_strength / np.log(2.0)) ** 2
            for at in range(2):
                films = self.groups[at + 1]
                miss = each[:, films].sum(axis=1) + price * self.weights[films].sum()
                nearer = miss < least[:, at]
                least[:, at] = np.where(nearer, miss, least[:, at])
                taken[nearer, at] = log_strength
        return np.sqrt(squares + least.sum(axis=1)), taken

    def sketch(self, members: Sequence[tuple[int, ...]]) -> list[tuple[tuple[int, ...], float]]:
        """The nearest on the coarse grid, best first, with their ratio."""
        rows = np.array(members, dtype=np.int64)
        ratios = LOG_SHARES if rows.shape[1] == 2 else np.zeros(1)
        best, at = np.full(len(rows), np.inf), np.zeros(len(rows))
        for ratio in ratios:
            optics = self.blend(rows, self.shares(rows, np.full(len(rows), ratio)))
            miss, _ = self.misses(optics, LOG_STRENGTHS)
            at = np.where(miss < best, ratio, at)
            best = np.minimum(best, miss)
        order = np.argsort(best)[:KEPT]
        return [(members[row], float(at[row])) for row in order]

    def refine(self, sketched: Sequence[tuple[tuple[int, ...], float]]) -> list[Found]:
        """The same on finer and finer grids of proportions."""
        found = []
        for members, start in sketched:
            ratio, wide = start, 1.0
            for _ in range(3 if len(members) == 2 else 0):
                ratios = ratio + wide * FINE
                rows = np.tile(np.array(members, dtype=np.int64), (len(ratios), 1))
                miss, _ = self.misses(self.blend(rows, self.shares(rows, ratios)), FINE_STRENGTHS)
                ratio, wide = float(ratios[int(np.argmin(miss))]), wide / 3.0
            found.append((members, ratio))
        return found

    def finish(self, members: tuple[int, ...], ratio: float, wishes: StandInWishes) -> StandIn:
        """A stand-in in measurable parts, with all that is said of it."""
        rows = np.array([members], dtype=np.int64)
        shares = self.shares(rows, np.array([ratio]))[0]
        trials = parts_to_try(shares, most_parts=MOST_PARTS) if len(members) == 2 else np.ones((1, 1))
        blends = [self.blend(rows, (parts / parts.sum())[None]) for parts in trials[:12]]
        many = np.concatenate([a for a, _ in blends]), np.concatenate([s for _, s in blends])
        misses, taken = self.misses(many, FINE_STRENGTHS)
        at = int(np.argmin(misses))
        parts, own, strength = trials[at], blends[at], taken[at]
        labs = panel_labs(*own, self.white, np.exp(strength)[None], self.index)[0]
        films = delta_e_2000(self.aim, labs)
        whole = float(np.sqrt(films**2 @ self.weights))
        named = tuple((self.tubes[place], float(part)) for place, part in zip(members, parts, strict=True))
        cost = self._cost(named, float(strength @ self.taking), wishes)
        dear = wishes.per_price * np.log2(cost) if cost is not None and cost > 0.0 else 0.0
        score = float(misses[at]) + PER_TUBE * (len(members) - 1) + dear
        return StandIn(
            named,
            whole,
            float(np.exp(strength[0])),
            float(np.exp(strength[1])),
            tuple(float(each) for each in films),
            labs,
            float(opacity(*own, index=self.index)[0]),
            float(contrast_ratio(*own, 1.0, index=self.index)[0]),
            cost,
            float(score),
        )

    def _cost(
        self, parts: Sequence[tuple[Paint, float]], log_strength: float, wishes: StandInWishes
    ) -> float | None:
        """What as much of a stand-in costs, the old tube being 1."""
        old = wishes.prices.get(self.paint.key)
        prices = [wishes.prices.get(paint.key) for paint, _ in parts]
        if not old or any(price is None for price in prices):
            return None
        whole = sum(part for _, part in parts)
        mean = sum((price or 0.0) * part for price, (_, part) in zip(prices, parts, strict=True)) / whole
        return float(mean * np.exp(log_strength) / old)
