"""From the readings of a sample card to the optics of its paint.

The most probable optics, grounds, film thicknesses and tint ratios are found together by Gauss-Newton steps on
the film table's derivatives. Noise is re-estimated as the fit proceeds and areas that do not fit lose weight
(Student's t); the curvature at the end becomes the covariance that every later prediction carries.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from scumble.errors import InputError
from scumble.optics.film import film_response_and_slopes
from scumble.paint.paint import Optics
from scumble.paint.reading import CardReadings, Reading
from scumble.solve.card_model import CardModel, FilmModel
from scumble.solve.gauss_newton import Linearised
from scumble.solve.prior import Prior, paint_prior, white_prior

Floats = NDArray[np.float64]

STEPS = 40
SETTLED = 5e-2
"""Chi-square still to be gained at which the fit stops."""

LONGEST = 2.0
"""Largest change of a log spectrum in one step."""

FLOOR = 2e-4
"""Noise of a black reading, in units of the perfect diffuser."""

NOISE_TRUST = 8.0
"""How many readings the noise that was promised counts for when it is estimated anew."""

NOISE_SHARED = 0.7
"""Share of the promised noise below which it is never estimated: an error that all areas share, such as that of the
assumed paper, does not show as scatter between them."""

TAIL = 10.0
"""Degrees of freedom of the heavy-tailed error of an area."""

OWN_ERROR = 1.1
"""Factor on the covariance for what the fit cannot know of itself: spectra less smooth than the prior has them,
the bend of the model within its own uncertainty. Set so that intervals hold (docs/accuracy.md)."""

SURPRISE = 3.0
"""Chi-square per number beyond which the tints are taken to contradict the white; right whites stay below 2,
a white of a quarter of the scattering gives 5 and more (tests/solve)."""

WARM_UP = 3
"""Steps before weights and noise are estimated."""


@dataclass(frozen=True, slots=True)
class AreaFit:
    """One area after the fit.

    Parameters
    ----------
    reading : Reading
        What was read.
    predicted : array, shape of the reading's values
        What the fitted paint would show there, in the reading's quantity.
    misfit : float [1]
        Chi-square per number, in units of the estimated noise; about 1 is expected.
    coats : float [coat]
        Thickness found; 0 for a bare ground.
    """

    reading: Reading
    predicted: Floats
    misfit: float
    coats: float


@dataclass(frozen=True, slots=True)
class Fit:
    """Optics of a paint and how far they can be trusted.

    Parameters
    ----------
    optics : Optics
        With covariance.
    areas : tuple of AreaFit
        Bare areas first.
    noise : float [1]
        Relative scatter of the readings as estimated.
    promised_noise : float [1]
        The same as it was promised.
    tint_surprise : float
        Chi-square per number by which the tints contradict the other areas and the white; about 1 is expected.
        Beyond :data:`SURPRISE` the tints were left out.
    steps : int
        Steps taken.
    settled : bool
        Whether the fit came to rest.
    """

    optics: Optics
    areas: tuple[AreaFit, ...]
    noise: float
    promised_noise: float
    tint_surprise: float
    steps: int
    settled: bool


@dataclass(slots=True)
class _State:
    """Where the search stands."""

    x: Floats
    noise: float
    weights: Floats
    freedom: float = 0.0
    steps: int = 0
    settled: bool = False


def fit_optics(
    card: CardReadings,
    *,
    white: Optics | None = None,
    prior: Prior | None = None,
    index: float = 1.5,
    film_model: FilmModel = film_response_and_slopes,
    surprise_limit: float = SURPRISE,
) -> Fit:
    """Find the optics of a paint from its card.

    Parameters
    ----------
    card : CardReadings
        At least one painted area of some weight; 1 coat is its ``full`` film.
    white : Optics, optional
        What its tints were mixed with; without it the tints are left out.
    prior : Prior, optional
        What is believed beforehand; any paint by default.
    index : float [1]
        Refractive index of the binder.
    film_model : callable
        How a film responds to light; the transport engine unless another is to be compared with it.
    surprise_limit : float
        Chi-square per number beyond which tints that contradict the white are left out.

    Raises
    ------
    InputError
        If nothing painted is left to fit.

    Notes
    -----
    *Source:* Rodgers, Inverse Methods for Atmospheric Sounding (2000), chapter 5, for the search; Lange, Little &
    Taylor, J. Am. Stat. Assoc. 84, 881 (1989), for the weights.
    """
    usable = card if white is not None else without_tints(card)
    if not any(reading.weight > 0 for reading in usable.painted()):
        raise InputError("readings", "no painted area that can be used", "at least one painted area")
    search = _Search(CardModel(usable, prior or paint_prior(), white, index, film_model), usable)
    state = search.run(search.trust)
    surprise, alone = search.compare_tints(state)
    return search.summarise(alone if surprise > surprise_limit else state, surprise)


def fit_white(
    card: CardReadings, *, index: float = 1.5, film_model: FilmModel = film_response_and_slopes
) -> Fit:
    """Find the optics of a white from its own card, knowing that it is a white.

    Parameters
    ----------
    card : CardReadings
        Areas with parts of white in them count as white throughout.
    """
    return fit_optics(all_one_paint(card), prior=white_prior(), index=index, film_model=film_model)


def without_tints(card: CardReadings) -> CardReadings:
    """Copy of a card that leaves out what has white in it."""
    kept = tuple(reading for reading in card.readings if reading.is_bare or reading.white_parts == 0)
    return CardReadings(kept, card.quantity, card.light, card.observer, card.noise)


def all_one_paint(card: CardReadings) -> CardReadings:
    """Copy of a white's card on which white mixed into white is white."""
    one = tuple(
        Reading(r.area, r.film, r.paint_parts + r.white_parts, 0.0, r.ground, r.values, r.weight)
        for r in card.readings
    )
    return CardReadings(one, card.quantity, card.light, card.observer, card.noise)


class _Search:
    """The search for one card's unknowns."""

    def __init__(self, model: CardModel, card: CardReadings) -> None:
        self.model = model
        self.card = card
        self.readings = (*model.unknowns.bare, *model.unknowns.painted)
        self.unit = 1.0 if model.channels > 3 else 100.0
        self.values = np.array([reading.values for reading in self.readings]) / self.unit
        self.trust = np.array([max(reading.weight, 1e-6) for reading in self.readings])
        self.is_tint = np.array(
            [reading.white_parts > 0 and not reading.is_bare for reading in self.readings]
        )

    def run(self, trust: Floats, start: Floats | None = None) -> _State:
        """Search until nothing moves, from the middle of the prior or from ``start``."""
        x = np.zeros(self.model.unknowns.count) if start is None else start
        state = _State(x, self.card.noise, trust)
        while state.steps < STEPS and not state.settled:
            self._step(state, trust)
        return state

    def deviation(self, noise: float) -> Floats:
        """Expected error of each number, shape (areas, channels)."""
        return np.hypot(noise * self.values, FLOOR)

    def whiten(self, state: _State, predicted: Floats, jacobian: Floats) -> tuple[Floats, Floats]:
        """Residual and Jacobian over their noise, flattened over areas and channels."""
        scale = np.sqrt(state.weights)[:, None] / self.deviation(state.noise)
        residual = ((self.values - predicted) * scale).ravel()
        return residual, (jacobian * scale[..., None]).reshape(residual.size, -1)

    def _step(self, state: _State, given: Floats) -> None:
        predicted, jacobian = self.model.predict_with_jacobian(state.x)
        if state.steps >= WARM_UP:
            self._weigh(state, given, predicted)
        residual, scaled = self.whiten(state, predicted, jacobian)
        linear = Linearised(scaled)
        state.freedom = linear.freedom()
        move = linear.target(residual, state.x) - state.x
        spectra = self.model.prior.factor @ move[: self.model.prior.factor.shape[1]]
        reach = min(1.0, LONGEST / max(float(np.max(np.abs(spectra))), 1e-12))
        state.x = self._downhill(state, move, reach, float(residual @ residual + state.x @ state.x))
        state.steps += 1
        gain = float(np.sum((scaled @ move) ** 2) + move @ move)
        state.settled = state.steps > WARM_UP + 2 and gain < SETTLED

    def _weigh(self, state: _State, given: Floats, predicted: Floats) -> None:
        """Estimate the noise anew and take weight from areas that do not fit."""
        channels = self.model.channels
        misfit = np.sum(((self.values - predicted) / self.deviation(state.noise)) ** 2, axis=1)
        state.weights = given * (TAIL + channels) / (TAIL + given * misfit)
        promised = NOISE_TRUST * (self.card.noise / state.noise) ** 2
        excess = (state.weights @ misfit + promised) / (state.freedom + NOISE_TRUST)
        state.noise = max(state.noise * float(np.sqrt(excess)), NOISE_SHARED * self.card.noise)

    def _downhill(self, state: _State, move: Floats, reach: float, before: float) -> Floats:
        """Shorten the step until the card fits no worse than before it."""
        for _ in range(6):
            x = state.x + reach * move
            scale = np.sqrt(state.weights)[:, None] / self.deviation(state.noise)
            residual = (self.values - self.model.predict(x)) * scale
            if np.sum(residual**2) + x @ x <= before + 1e-9:
                break
            reach *= 0.4
        return x

    def compare_tints(self, state: _State) -> tuple[float, _State]:
        """How far the tints lie from what the other areas and the white lead one to expect, and a fit to those."""
        if not self.is_tint.any() or self.is_tint[len(self.model.unknowns.bare) :].all():
            return 1.0, state
        alone = self.run(np.where(self.is_tint, 1e-9, self.trust), state.x)
        predicted, jacobian = self.model.predict_with_jacobian(alone.x)
        _, scaled = self.whiten(alone, predicted, jacobian)
        spread = Linearised(scaled).covariance()
        # Judged as colours: a white known by its colour alone may miss a band without being the wrong white.
        to_colour = self.model.to_colour
        missed = (self.values - predicted)[self.is_tint] @ to_colour
        by_unknown = np.einsum("acu,ck->aku", jacobian[self.is_tint], to_colour).reshape(missed.size, -1)
        noise = (self.deviation(state.noise)[self.is_tint] @ np.abs(to_colour)).ravel()
        expected = by_unknown @ spread @ by_unknown.T + np.diag(noise**2)
        return float(missed.ravel() @ np.linalg.solve(expected, missed.ravel()) / missed.size), alone

    def summarise(self, state: _State, tint_surprise: float) -> Fit:
        """Turn the end of the search into optics with covariance."""
        predicted, jacobian = self.model.predict_with_jacobian(state.x)
        _, scaled = self.whiten(state, predicted, jacobian)
        factor = self.model.prior.factor
        covariance = OWN_ERROR * factor @ Linearised(scaled).covariance(factor.shape[1]) @ factor.T
        absorption, scattering = np.exp(self.model.log_optics(state.x)).reshape(2, -1)
        coats = np.concatenate(
            [np.zeros(len(self.model.unknowns.bare)), np.exp(self.model.log_thickness(state.x))]
        )
        misfit = np.mean(((self.values - predicted) / self.deviation(state.noise)) ** 2, axis=1) * self.trust
        areas = tuple(
            AreaFit(*each)
            for each in zip(
                self.readings, predicted * self.unit, misfit.tolist(), coats.tolist(), strict=True
            )
        )
        return Fit(
            Optics(absorption, scattering, covariance),
            areas,
            noise=state.noise,
            promised_noise=self.card.noise,
            tint_surprise=tint_surprise,
            steps=state.steps,
            settled=state.settled,
        )
