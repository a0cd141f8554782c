"""From photographs to films nobody painted: fit the cards of one session and predict glazes, tints and mixtures."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Any

import numpy as np
from demo import truth
from demo.inks import GROUNDS
from demo.painting import PaintedCard
from demo.paints import WHITE_KEY
from numpy.typing import NDArray

from benchmarks.accuracy.score import Trial, film_lab
from benchmarks.reading.cards import tube_of
from scumble.card import PhotographedCard
from scumble.colour import delta_e_2000
from scumble.errors import InputError
from scumble.optics.film import film_response_and_slopes
from scumble.paint import Optics
from scumble.solve.fit.one_card import fit_optics, fit_white

Floats = NDArray[np.float64]

MIXES = ((1.0, 1.0), (1.0, 4.0), (4.0, 1.0))


@dataclass(frozen=True)
class UnseenScore:
    """One unseen film: kind, difference from the truth and 95 % interval [dE00]."""

    kind: str
    off: float
    bound: float

    @property
    def held(self) -> bool:
        """Whether the truth lay within the interval."""
        return self.off <= self.bound


def score_unseen(cards: Mapping[str, tuple[PaintedCard, PhotographedCard]]) -> list[UnseenScore]:
    """Fit every card that was read, white first, and score films of single tubes and of pairs."""
    if WHITE_KEY not in cards:
        return []
    white = fit_white(cards[WHITE_KEY][1].readings).optics
    fitted: dict[str, Optics] = {WHITE_KEY: white}
    for key, (_, seen) in cards.items():
        if key == WHITE_KEY:
            continue
        try:
            fitted[key] = fit_optics(seen.readings, white=white).optics
        except InputError:
            # Too few areas were left: that is a refusal too.
            continue
    tubes = [tube_of(key) for key in fitted]
    full = {key: cards[key][0].hand.thickness["full"] for key in fitted}
    true = truth.own_optics(tubes, full)
    return [
        _score(kind, ground, films, true, fitted)
        for kind, ground, films in _films([*fitted], white=WHITE_KEY)
    ]


def _films(keys: list[str], *, white: str) -> list[tuple[str, str, tuple[dict[str, float], float]]]:
    """Single films of the layerings that no card shows, and mixtures of the pairs at hand."""
    jobs = [
        (kind, ground, films[0])
        for kind, _, ground, films in truth.unseen_layerings(keys)
        if len(films) == 1 and kind != "mixture"
    ]
    others = [key for key in keys if key != white]
    for first, second in pairwise(others):
        jobs += [("mixture", "white", ({first: a, second: b}, 0.8)) for a, b in MIXES]
    return jobs


def _score(
    kind: str,
    ground: str,
    film: tuple[dict[str, float], float],
    true: Mapping[str, Any],
    fitted: Mapping[str, Optics],
) -> UnseenScore:
    parts, coats = film
    shares = tuple(share / sum(parts.values()) for share in parts.values())
    expected = np.array(truth.answer(GROUNDS[ground], [film], true)["lab"])
    trial = Trial(kind, shares, coats, GROUNDS[ground])
    seen, bound = film_lab(trial, tuple(fitted[key] for key in parts), film_response_and_slopes)
    return UnseenScore(kind, float(delta_e_2000(seen, expected)), bound)
