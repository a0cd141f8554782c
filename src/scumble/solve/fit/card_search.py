"""The search for what explains one card: damped Gauss-Newton steps, noise and weights estimated on the way."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from scumble.paint.camera_doubt import CameraDoubt, own_covariance
from scumble.paint.reading import CardReadings
from scumble.solve.fit.card_model import CardModel
from scumble.solve.fit.gauss_newton import Linearised

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

WARM_UP = 3
"""Steps before weights and noise are estimated."""


@dataclass(slots=True)
class Standing:
    """Where the search stands.

    Parameters
    ----------
    x : array, shape (unknowns,)
        The unknowns.
    noise : float [1]
        Relative scatter of a reading as estimated so far.
    weights : array, shape (areas,)
        Trust left in each area.
    freedom : float
        Numbers left over to tell the noise.
    steps : int
        Steps taken.
    settled : bool
        Whether nothing is left to gain.
    """

    x: Floats
    noise: float
    weights: Floats
    freedom: float = 0.0
    steps: int = 0
    settled: bool = False


class CardSearch:
    """The search for one card's unknowns."""

    def __init__(self, model: CardModel, card: CardReadings) -> None:
        self.model = model
        self.card = card
        self.readings = (*model.unknowns.bare, *model.unknowns.painted)
        self.unit = 1.0 if model.channels > 3 else 100.0
        self.values = np.array([reading.values for reading in self.readings]) / self.unit
        self._blind = self._blind_covariance()
        self.trust = np.array([max(reading.weight, 1e-6) for reading in self.readings])
        self.is_tint = np.array(
            [reading.white_parts > 0 and not reading.is_bare for reading in self.readings]
        )

    def run(self, trust: Floats, start: Floats | None = None) -> Standing:
        """Search until nothing moves, from the middle of the prior or from ``start``."""
        x = np.zeros(self.model.unknowns.count) if start is None else start
        state = Standing(x, self.card.noise, trust)
        while state.steps < STEPS and not state.settled:
            self._step(state, trust)
        return state

    def noise_covariance(self, noise: float) -> Floats:
        """Covariance of each reading's own error, shape (areas, channels, channels)."""
        own = own_covariance(noise, self.card.camera or CameraDoubt(), self.values)
        return np.asarray(own + FLOOR**2 * np.eye(self.model.channels) + self._blind)

    def whiten(self, state: Standing, predicted: Floats, jacobian: Floats) -> tuple[Floats, Floats]:
        """Residual and Jacobian over their noise, flattened over areas and channels."""
        scale = np.sqrt(state.weights)[:, None, None] * self._per_noise(state.noise)
        residual = (scale @ (self.values - predicted)[..., None]).ravel()
        return residual, (scale @ jacobian).reshape(residual.size, -1)

    def _per_noise(self, noise: float) -> Floats:
        """What turns errors of a reading into independent ones of size 1, shape (areas, channels, channels)."""
        return np.asarray(np.linalg.inv(np.linalg.cholesky(self.noise_covariance(noise))))

    def _blind_covariance(self) -> Floats:
        """Variance along the directions in which a reading is all but blind, shape (areas, channels, channels)."""
        none = np.zeros((self.model.channels, self.model.channels))
        spreads = [
            np.transpose(reading.blind) / self.unit if reading.blind else none for reading in self.readings
        ]
        return np.array([spread @ spread.T for spread in spreads])

    def misfit(self, noise: float, predicted: Floats) -> Floats:
        """Squared error of each area in units of its noise, shape (areas,)."""
        missed = self._per_noise(noise) @ (self.values - predicted)[..., None]
        return np.asarray(np.sum(missed[..., 0] ** 2, axis=1))

    def _step(self, state: Standing, given: Floats) -> None:
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

    def _weigh(self, state: Standing, given: Floats, predicted: Floats) -> None:
        """Estimate the noise anew and take weight from areas that do not fit."""
        channels = self.model.channels
        misfit = self.misfit(state.noise, predicted)
        state.weights = given * (TAIL + channels) / (TAIL + given * misfit)
        promised = NOISE_TRUST * (self.card.noise / state.noise) ** 2
        excess = (state.weights @ misfit + promised) / (state.freedom + NOISE_TRUST)
        state.noise = max(state.noise * float(np.sqrt(excess)), NOISE_SHARED * self.card.noise)

    def _downhill(self, state: Standing, move: Floats, reach: float, before: float) -> Floats:
        """Shorten the step until the card fits no worse than before it."""
        for _ in range(6):
            x = state.x + reach * move
            misfit = self.misfit(state.noise, self.model.predict(x))
            if state.weights @ misfit + x @ x <= before + 1e-9:
                break
            reach *= 0.4
        return x

    def compare_tints(self, state: Standing) -> tuple[float, Standing]:
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
        expected = by_unknown @ spread @ by_unknown.T + self._tint_noise(state.noise)
        return float(missed.ravel() @ np.linalg.solve(expected, missed.ravel()) / missed.size), alone

    def _tint_noise(self, noise: float) -> Floats:
        """Covariance of the tints' own errors as colours, all tints together."""
        from scipy.linalg import block_diag

        own = self.noise_covariance(noise)[self.is_tint]
        to_colour = self.model.to_colour
        if len(to_colour) > 3:
            # Bands of one reading may err together; a colour is then off by the sum of them.
            deviation = np.sqrt(np.diagonal(own, axis1=1, axis2=2)) @ np.abs(to_colour)
            own = deviation[:, :, None] ** 2 * np.eye(to_colour.shape[1])
        return np.asarray(block_diag(*own))
