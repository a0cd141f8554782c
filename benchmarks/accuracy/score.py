"""Fit cards invented at random, predict films nobody painted, and compare with the truth."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from benchmarks.accuracy.card import FULL_CARD, Carelessness, paint_card
from benchmarks.accuracy.population import FAMILIES, white_paint
from scumble.colour import delta_e_2000, spectral_weights, white_point, xyz_to_lab, xyz_to_lab_jacobian
from scumble.optics.film import film_response_and_slopes
from scumble.paint import interval_de00
from scumble.paint.paint import Optics
from scumble.paint.reading import CardReadings, Quantity
from scumble.solve.fit.card_model import FilmModel
from scumble.solve.fit.one_card import SURPRISE, fit_optics, fit_white
from scumble.tables import WAVELENGTH_NM

Floats = NDArray[np.float64]

KINDS = ("thin glazes", "thick glazes", "tints", "mixtures")
TRIALS = 4
"""Films of each kind predicted for every paint."""

WEIGHTS = spectral_weights("D65", 2)
WHITE_POINT = white_point("D65", 2)


@dataclass(frozen=True)
class Setting:
    """One row of the accuracy table."""

    name: str
    care: Carelessness = field(default_factory=Carelessness)
    layout: tuple[tuple[str, int, int, tuple[str, ...]], ...] = FULL_CARD
    quantity: Quantity = Quantity.XYZ
    film_model: FilmModel = film_response_and_slopes
    white_from_card: bool = False
    surprise_limit: float = SURPRISE


@dataclass
class Score:
    """Colour differences and whether each lay within its promised interval, by kind of film."""

    differences: dict[str, list[float]] = field(default_factory=lambda: {kind: [] for kind in KINDS})
    held: dict[str, list[bool]] = field(default_factory=lambda: {kind: [] for kind in KINDS})

    def mean(self, kind: str) -> float:
        """Mean difference [dE00]."""
        return float(np.mean(self.differences[kind]))

    def high(self, kind: str) -> float:
        """95th percentile of the differences [dE00]."""
        return float(np.percentile(self.differences[kind], 95))

    def coverage(self) -> float:
        """Share of all films that lay within their interval, in per cent."""
        return 100.0 * float(np.mean([held for kind in KINDS for held in self.held[kind]]))


@dataclass(frozen=True)
class Trial:
    """A film to predict: volume shares of the paints, coats, and the ground's reflectance."""

    kind: str
    shares: tuple[float, ...]
    coats: float
    ground: Floats


def score_family(
    family: str, setting: Setting, *, paints: int, seed: int, progress: Callable[[int], None] | None = None
) -> Score:
    """Fit ``paints`` cards of one family and score their predictions."""
    score = Score()
    for pair in range((paints + 1) // 2):
        rng = np.random.default_rng([seed, pair, list(FAMILIES).index(family)])
        _score_pair(FAMILIES[family], setting, rng, score)
        if progress is not None:
            progress(2 * pair + 2)
    return score


def _score_pair(
    invent: Callable[[np.random.Generator], Optics], setting: Setting, rng: np.random.Generator, score: Score
) -> None:
    white = white_paint(rng)
    true = (invent(rng), invent(rng))
    known_white = _fitted_white(white, setting, rng) if setting.white_from_card else white
    cards = [
        paint_card(paint, white, rng, layout=setting.layout, care=setting.care, quantity=setting.quantity)
        for paint in true
    ]
    fitted = tuple(
        fit_optics(
            card, white=known_white, film_model=setting.film_model, surprise_limit=setting.surprise_limit
        ).optics
        for card in cards
    )
    for own in (0, 1):
        for trial in draw_trials(rng):
            other = (own, 1 - own)
            paints = tuple(true[i] for i in other) if trial.kind == "mixtures" else (true[own], white)
            guesses = (
                tuple(fitted[i] for i in other) if trial.kind == "mixtures" else (fitted[own], known_white)
            )
            score_trial(trial, paints, guesses, setting.film_model, score)


def _fitted_white(white: Optics, setting: Setting, rng: np.random.Generator) -> Optics:
    unmixed = tuple(stroke for stroke in setting.layout if stroke[2] == 0)
    card: CardReadings = paint_card(
        white, white, rng, layout=unmixed, care=setting.care, quantity=setting.quantity
    )
    return fit_white(card, film_model=setting.film_model).optics


def draw_trials(rng: np.random.Generator) -> list[Trial]:
    """Thin 0.05-0.3 coat, thick 0.4-1.6, tints 1:1 to 1:20, mixtures 5:1 to 1:5; all evenly on a log scale."""
    trials = []
    for _ in range(TRIALS):
        trials.append(Trial("thin glazes", (1.0,), _log_even(rng, 0.05, 0.3), random_ground(rng)))
        trials.append(Trial("thick glazes", (1.0,), _log_even(rng, 0.4, 1.6), random_ground(rng)))
        share = 1.0 / (1.0 + _log_even(rng, 1.0, 20.0))
        trials.append(Trial("tints", (share, 1.0 - share), _log_even(rng, 0.3, 1.6), random_ground(rng)))
        share = 1.0 / (1.0 + _log_even(rng, 0.2, 5.0))
        trials.append(Trial("mixtures", (share, 1.0 - share), _log_even(rng, 0.1, 1.6), random_ground(rng)))
    return trials


def _log_even(rng: np.random.Generator, low: float, high: float) -> float:
    return float(np.exp(rng.uniform(np.log(low), np.log(high))))


def random_ground(rng: np.random.Generator) -> Floats:
    """A white, a black, or a coloured ground with one edge, each a third of the time."""
    kind = rng.integers(3)
    if kind < 2:
        return np.full(WAVELENGTH_NM.shape, (0.85, 0.04)[kind])
    edge = rng.choice([-1.0, 1.0]) * (WAVELENGTH_NM - rng.uniform(450, 650)) / rng.uniform(10, 60)
    return np.clip(0.05 + 0.8 * rng.uniform(0.3, 1.0) / (1.0 + np.exp(edge)), 0.03, 0.9)


def score_trial(
    trial: Trial, true: tuple[Optics, ...], guessed: tuple[Optics, ...], film_model: FilmModel, score: Score
) -> None:
    seen, _ = film_lab(trial, true, film_response_and_slopes)
    expected, bound = film_lab(trial, guessed, film_model)
    difference = float(delta_e_2000(seen, expected))
    score.differences[trial.kind].append(difference)
    score.held[trial.kind].append(difference <= bound)


def film_lab(trial: Trial, paints: tuple[Optics, ...], film_model: FilmModel) -> tuple[Floats, float]:
    """Lab of a film, and the 95 % interval from its paints' covariance."""
    used = tuple(zip(trial.shares, paints, strict=False))
    absorption = trial.coats * sum(share * paint.absorption for share, paint in used)
    scattering = trial.coats * sum(share * paint.scattering for share, paint in used)
    film, by_absorption, by_scattering = film_model(absorption, scattering)
    xyz = film.over(trial.ground) @ WEIGHTS
    lab = xyz_to_lab(xyz, WHITE_POINT)
    per_band = xyz_to_lab_jacobian(xyz, WHITE_POINT) @ WEIGHTS.T
    slopes = [film.slope_over(slope, trial.ground) for slope in (by_absorption, by_scattering)]
    covariance = np.zeros((3, 3))
    for share, paint in used:
        own = np.concatenate(
            [
                per_band * slopes[0] * trial.coats * share * paint.absorption,
                per_band * slopes[1] * trial.coats * share * paint.scattering,
            ],
            axis=1,
        )
        covariance += own @ paint.covariance @ own.T
    return lab, interval_de00(lab, covariance)
