"""Shelves of paints that share a white: each card by itself against all of them solved together."""

from __future__ import annotations

import sys
from dataclasses import dataclass

import numpy as np

from benchmarks.accuracy.card import FULL_CARD, WHITE_CARD, paint_card, printed_grounds
from benchmarks.accuracy.population import FAMILIES, white_paint
from benchmarks.accuracy.score import KINDS, Score, Trial, draw_trials, score_trial
from scumble.optics.film import film_response_and_slopes
from scumble.paint.paint import Optics
from scumble.paint.reading import CardReadings
from scumble.solve.fit.one_card import fit_optics, fit_white
from scumble.solve.fit.together import fit_together

PAINTS = 6
"""On each shelf."""

UNMIXED = tuple(stroke for stroke in FULL_CARD if stroke[2] == 0)

HEADING = "## Cards that share a white"

INTRODUCTION = """
{shelves} shelves of {paints} paints a family, colour readings, 1 %, full cards; the white is painted on a card of its
own, fitted, and mixed into the tints of all. *Alone*: each card with that white. *Together*: what each card's tints
say of the white sharpens it for the others, and bare areas that agree share their readings
(`scumble.solve.fit.together`). *One printer*: all cards have the same paper and stripes. *White off* is the root mean
square error of the white's scattering per coat. Written by `python -m benchmarks.accuracy --only shelves`.

"""


@dataclass(frozen=True)
class Way:
    """One row of the table.

    Parameters
    ----------
    name : str
        What it is called.
    white : str
        ``exact``, or the card the white is painted on: ``full`` or ``white``.
    together : bool
        Whether the cards are solved together.
    one_printer : bool
        Whether one printer printed all cards; else each has its own.
    """

    name: str
    white: str
    together: bool = False
    one_printer: bool = False


WAYS = (
    Way("white known exactly, alone", "exact"),
    Way("white known exactly, one printer, alone", "exact", one_printer=True),
    Way("white known exactly, one printer, together", "exact", together=True, one_printer=True),
    Way("white from a full card, alone", "full"),
    Way("white from a full card, together", "full", together=True),
    Way("white from the white card, alone", "white"),
    Way("white from the white card, together", "white", together=True),
    Way("white from the white card, one printer, together", "white", together=True, one_printer=True),
)


@dataclass(frozen=True)
class Shelf:
    """An invented shelf and its cards."""

    white: Optics
    paints: tuple[Optics, ...]
    cards: tuple[CardReadings, ...]
    white_cards: dict[str, CardReadings]
    trials: tuple[list[Trial], ...]


def invent_shelf(family: str, seed: list[int], *, one_printer: bool) -> Shelf:
    """Paints, a white, their cards, and films to predict."""
    rng = np.random.default_rng(seed)
    grounds = printed_grounds(np.random.default_rng([*seed, 1])) if one_printer else None
    white = white_paint(rng)
    paints = tuple(FAMILIES[family](rng) for _ in range(PAINTS))
    return Shelf(
        white,
        paints,
        tuple(paint_card(paint, white, rng, grounds=grounds) for paint in paints),
        {
            name: paint_card(white, white, rng, layout=layout)
            for name, layout in (("full", UNMIXED), ("white", WHITE_CARD))
        },
        tuple(draw_trials(rng) for _ in paints),
    )


def score_shelf(shelf: Shelf, way: Way, score: Score) -> float:
    """Fit a shelf one way and score its films; the mean log error of the white's scattering."""
    white = shelf.white if way.white == "exact" else fit_white(shelf.white_cards[way.white]).optics
    if way.together:
        found = fit_together(shelf.cards, white=white)
        assert found.white is not None
        white, fits = found.white, [fit.optics for fit in found.fits]
    else:
        fits = [fit_optics(card, white=white).optics for card in shelf.cards]
    for own, trials in enumerate(shelf.trials):
        other = (own + 1) % len(fits)
        for trial in trials:
            mixed = trial.kind == "mixtures"
            true = (shelf.paints[own], shelf.paints[other] if mixed else shelf.white)
            guessed = (fits[own], fits[other] if mixed else white)
            score_trial(trial, true, guessed, film_response_and_slopes, score)
    return float(np.mean(np.log(white.scattering / shelf.white.scattering)))


def shelves_section(*, shelves: int, seed: int) -> str:
    """The section of the page, heading first."""
    lines = [
        "| way | family | " + " | ".join(KINDS) + " | tints hold | white off |",
        "|---|---|" + "---|" * (len(KINDS) + 2),
    ]
    for way in WAYS:
        for at, family in enumerate(FAMILIES):
            score, errors = Score(), []
            for number in range(shelves):
                shelf = invent_shelf(family, [seed, 7, at, number], one_printer=way.one_printer)
                errors.append(score_shelf(shelf, way, score))
            cells = [f"{score.mean(kind):.2f} / {score.high(kind):.1f}" for kind in KINDS]
            held = 100.0 * float(np.mean(score.held["tints"]))
            off = 100.0 * float(np.sqrt(np.mean(np.square(errors))))
            lines.append(f"| {way.name} | {family} | {' | '.join(cells)} | {held:.0f} % | {off:.1f} % |")
            print(lines[-1], file=sys.stderr, flush=True)
    return HEADING + "\n" + INTRODUCTION.format(shelves=shelves, paints=PAINTS) + "\n".join(lines) + "\n"
