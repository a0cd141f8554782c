"""What a card's areas lead one to expect of each other, by the optics of films: a coarse fit made to be doubted.

One paint, thick and thin, over several grounds and with white: few spectra explain all areas, and an area that another
paint, another thickness or another mixture lies in is not among them. The fit here finds the most probable spectra,
thicknesses, mixing ratios, grounds, white and errors of the camera together, in the colours of the photograph and with
the doubt that the photograph has; then every area is left out in turn and foretold by the others.
"""

from __future__ import annotations

from collections.abc import Sequence
from copy import copy
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from scumble.colour import spectral_weights, upsample_colours
from scumble.optics.film import film_response
from scumble.paint.camera_doubt import CameraDoubt, shift_modes, weight_modes
from scumble.paint.reading import Reading
from scumble.tables import BANDS, WAVELENGTH_NM

Floats = NDArray[np.float64]

ASKED_COATS: Final = {"full": 1.0, "thin1": 0.3, "thin2": 0.1}
"""Thickness the card asks for; a tint is brushed on like a full film."""

STROKE_SPREAD: Final = 0.35
JITTER: Final = 0.06
RATIO_SPREAD: Final = 0.12
"""Log deviations: of a stroke's thickness from what is asked, of an area's from its stroke's, of white to paint."""

BLIND_GROUND: Final = 3.0
"""Times as far as usual that a ground may be from the smooth spectrum of its colour, where that was not seen whole."""

FLOOR: Final = 6e-4
"""Error of a black reading, the perfect diffuser at 1: steps of 8 bits, veiling light that was not taken off."""

OWN_MISS: Final = 0.01
"""Relative error of this coarse model, beside that of a reading."""

TAIL: Final = 3.0
"""Degrees of freedom of an area's error: some are wrong altogether."""

STEPS: Final = 24
STEP: Final = 1e-4
LONGEST: Final = 1.5
SETTLED: Final = 0.05

_LOG_WAVELENGTH = np.log(WAVELENGTH_NM / 550.0)


def _smooth(length_nm: float, deviation: float, level: float, slope: float, rank: int) -> Floats:
    """Factor of a Gaussian process over the bands: smooth, of any level, with a power of wavelength."""
    away = np.sqrt(3.0) * np.abs(WAVELENGTH_NM[:, None] - WAVELENGTH_NM) / length_nm
    covariance = deviation**2 * (1.0 + away) * np.exp(-away) + level**2
    covariance += slope**2 * np.outer(_LOG_WAVELENGTH, _LOG_WAVELENGTH)
    values, vectors = np.linalg.eigh(covariance)
    return np.asarray(vectors[:, -rank:] * np.sqrt(values[-rank:]))


@lru_cache(maxsize=1)
def _factors() -> tuple[Floats, Floats, Floats, Floats]:
    """Of log absorption, log scattering, a white's log optics (72 rows), and a ground's logit reflectance."""
    edge = np.exp(-0.5 * ((WAVELENGTH_NM - 385.0) / 18.0) ** 2)
    white = np.zeros((2 * BANDS, 4))
    white[:BANDS, 0], white[:BANDS, 1] = 1.2, edge
    white[BANDS:, 2], white[BANDS:, 3] = 0.6, 0.4 * _LOG_WAVELENGTH
    return (
        _smooth(80.0, 1.3, 2.0, 0.0, 16),
        _smooth(80.0, 0.5, 1.8, 0.9, 8),
        white,
        _smooth(70.0, 0.5, 0.0, 0.0, 6),
    )


@lru_cache(maxsize=1)
def _middles() -> tuple[Floats, Floats]:
    """Log absorption and scattering of any paint and of any white, shape (72,) each."""
    edge = 5.0 / (1.0 + np.exp((WAVELENGTH_NM - 398.0) / 6.0))
    paint = np.concatenate([np.zeros(BANDS), 0.5 - 1.1 * _LOG_WAVELENGTH])
    return paint, np.concatenate([np.log(0.02) + edge, np.log(12.0) - 0.6 * _LOG_WAVELENGTH])


class _Card:
    """Forward model of one card: vector of standard-normal unknowns to colours, perfect diffuser at 1."""

    def __init__(self, readings: Sequence[Reading], camera: CameraDoubt) -> None:
        self.bare = [each for each in readings if each.is_bare]
        self.painted = [each for each in readings if not each.is_bare]
        self.readings = (*self.bare, *self.painted)
        self.values = np.array([each.values for each in self.readings]) / 100.0
        places = {each.area: place for place, each in enumerate(self.bare)}
        self.below = np.array([places[each.ground] for each in self.painted])
        films = list(dict.fromkeys(each.film for each in self.painted))
        self.film = np.array([films.index(each.film) for each in self.painted])
        self.asked = np.log([ASKED_COATS.get(film, 0.9) for film in films])
        self.free = np.array([film != "full" for film in films], float)
        self.parts = np.array([[each.paint_parts, each.white_parts] for each in self.painted])
        grounds = np.clip(upsample_colours(100.0 * self.values[: len(self.bare)]), 1e-4, 1.0 - 1e-4)
        self.ground_middle = np.log(grounds / (1.0 - grounds))
        self.ground_spread = np.array([BLIND_GROUND if each.blind else 1.0 for each in self.bare])
        self.weights = spectral_weights("D65", 2) / 100.0
        self.modes = weight_modes(camera)
        self.shifts = shift_modes(camera, self.values)
        absorption, scattering, white, ground = _factors()
        self.sizes = (
            absorption.shape[1],
            scattering.shape[1],
            white.shape[1],
            len(films),
            len(films),
            len(self.painted),
            len(self.bare) * ground.shape[1],
            self.modes.shape[-1],
            self.shifts.shape[-1],
        )
        self.count = sum(self.sizes)

    def split(self, x: Floats) -> list[Floats]:
        """Parts of the vector: absorption, scattering, white, thickness, ratio, jitter, grounds, camera, shifts."""
        return np.split(x, np.cumsum(self.sizes)[:-1], axis=-1)

    def log_depth(self, x: Floats) -> Floats:
        """Log absorption and scattering depth of each painted area, shape (2, areas, 36)."""
        absorption, scattering, white, strokes, ratios, jitter, _, _, _ = self.split(x)
        factors = _factors()
        paint, of_white = _middles()
        own = np.exp(paint + np.concatenate([factors[0] @ absorption, factors[1] @ scattering]))
        lent = np.exp(of_white + factors[2] @ white)
        error = np.exp(RATIO_SPREAD * ratios[self.film])
        share = self.parts[:, 0] / (self.parts[:, 0] + self.parts[:, 1] * error)
        mixed = share[:, None] * own + (1.0 - share[:, None]) * lent
        coats = (self.asked + STROKE_SPREAD * self.free * strokes)[self.film] + JITTER * jitter
        return np.asarray((np.log(mixed) + coats[:, None]).reshape(-1, 2, BANDS).swapaxes(0, 1))

    def spectra(self, x: Floats) -> Floats:
        """Reflectance of all areas, bare ones first."""
        grounds = self.grounds(x)
        response = film_response(*np.exp(self.log_depth(x)))
        return np.concatenate([grounds, response.over(grounds[self.below])])

    def with_film(self, place: int, film: str) -> _Card:
        """The same card with another of its films at a painted area."""
        other = copy(self)
        like = next(at for at, each in enumerate(self.painted) if each.film == film)
        other.film, other.parts = self.film.copy(), self.parts.copy()
        other.film[place], other.parts[place] = self.film[like], self.parts[like]
        return other

    def grounds(self, x: Floats) -> Floats:
        """Reflectance of the bare areas."""
        own = self.split(x)[6].reshape(len(self.bare), -1)
        moved = self.ground_spread[:, None] * (own @ _factors()[3].T)
        return np.asarray(1.0 / (1.0 + np.exp(-(self.ground_middle + moved))))

    def colours(self, x: Floats, spectra: Floats | None = None) -> Floats:
        """Colours of all areas, shape (areas, 3)."""
        camera, shifts = self.split(x)[7:]
        spectra = self.spectra(x) if spectra is None else spectra
        return np.asarray(spectra @ (self.weights + self.modes @ camera) + self.shifts @ shifts)

    def jacobian(self, x: Floats) -> tuple[Floats, Floats]:
        """Colours and their derivatives, shapes (areas, 3) and (areas, 3, unknowns)."""
        spectra = self.spectra(x)
        seen = self.colours(x, spectra)
        weights = self.weights + self.modes @ self.split(x)[7]
        out = np.zeros((*seen.shape, self.count))
        starts = np.concatenate([[0], np.cumsum(self.sizes)])
        for at in range(starts[5]):
            moved = x.copy()
            moved[at] += STEP
            out[..., at] = (self.spectra(moved) - spectra) @ weights / STEP
        moved = x.copy()
        moved[starts[5] : starts[6]] += STEP
        thicker = (self.spectra(moved) - spectra) @ weights / STEP
        for area in range(len(self.painted)):
            out[len(self.bare) + area, :, starts[5] + area] = thicker[len(self.bare) + area]
        rank = self.sizes[6] // len(self.bare)
        for at in range(rank):
            # One direction of all grounds at a time: every area lies on one of them.
            moved = x.copy()
            moved[starts[6] + at : starts[7] : rank] += STEP
            change = (self.spectra(moved) - spectra) @ weights / STEP
            for area, below in enumerate((*range(len(self.bare)), *self.below.tolist())):
                out[area, :, starts[6] + below * rank + at] = change[area]
        out[..., starts[7] : starts[8]] = np.einsum("ab,bck->ack", spectra, self.modes)
        out[..., starts[8] :] = self.shifts
        return seen, out


@dataclass(frozen=True, slots=True)
class Expected:
    """What the other areas of a card lead one to expect of some of them.

    Parameters
    ----------
    areas : tuple of str
        Which are left out together.
    xyz : array, shape (areas, 3)
        What is expected there.
    surprise : float
        Standard deviations by which what was read surprises, as of one normal number.
    """

    areas: tuple[str, ...]
    xyz: Floats
    surprise: float


class CardGuess:
    """The most probable card, and what each of its areas would be by the others.

    Parameters
    ----------
    readings : sequence of Reading
        In XYZ under D65, 2 degrees; grounds of painted areas among them.
    noise : float [1]
        Relative scatter of a reading.
    camera : CameraDoubt
        What all readings share.
    """

    def __init__(self, readings: Sequence[Reading], noise: float, camera: CameraDoubt) -> None:
        self._card = _Card(readings, camera)
        self.names = tuple(each.area for each in self._card.readings)
        own = np.hypot(np.hypot(noise, OWN_MISS) * self._card.values, FLOOR)
        blind = np.array([_blind_covariance(each) for each in self._card.readings])
        self._noise = own[:, :, None] ** 2 * np.eye(3) + blind
        self._whiten = np.linalg.inv(np.linalg.cholesky(self._noise))
        self._weights = np.ones(len(self.names))
        self._x = np.zeros(self._card.count)
        self._jacobian = np.zeros((len(self.names), 3, self._card.count))
        self._missed = np.zeros((len(self.names), 3))

    def search(self, left_out: Sequence[str] = ()) -> CardGuess:
        """Find the most probable card without some of its areas."""
        given = np.array([1e-6 if name in left_out else 1.0 for name in self.names])
        for step in range(STEPS):
            seen, self._jacobian = self._card.jacobian(self._x)
            self._missed = self._card.values - seen
            if step > 2:
                square = np.sum(np.einsum("aij,aj->ai", self._whiten, self._missed) ** 2, axis=1)
                self._weights = given * (TAIL + 3.0) / (TAIL + square)
            else:
                self._weights = given
            scaled, target = self._scaled(self._weights)
            inverse = np.linalg.inv(scaled @ scaled.T + np.eye(len(scaled)))
            move = scaled.T @ (inverse @ (target + scaled @ self._x)) - self._x
            reach = min(1.0, LONGEST / max(float(np.abs(move).max()), 1e-9))
            self._x = self._x + reach * move
            if step > 4 and float(np.sum((scaled @ move) ** 2)) < SETTLED:
                break
        seen, self._jacobian = self._card.jacobian(self._x)
        self._missed = self._card.values - seen
        return self

    def _scaled(self, weights: Floats) -> tuple[Floats, Floats]:
        """Jacobian and residual over their noise, areas and channels as one axis."""
        whiten = np.sqrt(weights)[:, None, None] * self._whiten
        scaled = (whiten @ self._jacobian).reshape(-1, self._card.count)
        return scaled, np.asarray(np.einsum("aij,aj->ai", whiten, self._missed)).ravel()

    def expect(self, areas: Sequence[str], *, without: Sequence[str] = ()) -> Expected:
        """Leave some areas out, and others with them, and foretell them by the rest.

        Notes
        -----
        In the linear model at the most probable card. *Source:* Rasmussen & Williams, Gaussian Processes for Machine
        Learning (2006), equation 5.12, for several at once.
        """
        chosen = [self.names.index(name) for name in areas]
        weights = self._weights.copy()
        weights[[*chosen, *(self.names.index(name) for name in without)]] = 1e-9
        scaled, residual = self._scaled(weights)
        told = residual + scaled @ self._x
        inverse = np.linalg.inv(scaled @ scaled.T + np.eye(len(scaled)))
        own = self._jacobian[chosen].reshape(-1, self._card.count)
        x = scaled.T @ (inverse @ told)
        # Linear about the most probable card: what it shows there, moved by what leaving them out changes.
        expected = (self._card.values - self._missed)[chosen].ravel() + own @ (x - self._x)
        across = own @ scaled.T
        spread = own @ own.T - across @ inverse @ across.T
        for at, place in enumerate(chosen):
            spread[3 * at : 3 * at + 3, 3 * at : 3 * at + 3] += self._noise[place]
        missed = self._card.values[chosen].ravel() - expected
        square = float(missed @ np.linalg.solve(spread, missed))
        return Expected(tuple(areas), 100.0 * expected.reshape(-1, 3), _as_normal(square, len(missed)))

    def surprise_if(self, area: str, *, film: str | None = None, thicker: float = 1.0) -> float:
        """The surprise that is left if an area held another film of the card, or its own so many times as thick.

        Parameters
        ----------
        area : str
            Left out of the search.
        film : str, optional
            Which film it may hold.
        thicker : float [1]
            Factor on its thickness.
        """
        place = self.names.index(area)
        other = self._card.with_film(place - len(self._card.bare), film) if film else self._card
        x = self._x.copy()
        self._card.split(x)[5][place - len(self._card.bare)] = np.log(thicker) / JITTER
        missed = self._card.values[place] - other.colours(x)[place]
        own = self._jacobian[place]
        spread = own @ self._covariance() @ own.T + self._noise[place]
        return _as_normal(float(missed @ np.linalg.solve(spread, missed)), 3)

    def _covariance(self) -> Floats:
        """Laplace covariance of the unknowns."""
        scaled, _ = self._scaled(self._weights)
        inverse = np.linalg.inv(scaled @ scaled.T + np.eye(len(scaled)))
        return np.asarray(np.eye(self._card.count) - scaled.T @ inverse @ scaled)

    def look_of(self, area: str) -> Floats:
        """XYZ that the most probable card shows at an area."""
        place = self.names.index(area)
        return np.asarray(100.0 * (self._card.values - self._missed)[place])


def _as_normal(square: float, freedom: int) -> float:
    """Chi-square as a standard-normal number.

    Notes
    -----
    *Source:* Wilson & Hilferty, Proc. Natl. Acad. Sci. 17, 684 (1931).
    """
    part = 2.0 / (9.0 * freedom)
    return float((np.cbrt(square / freedom) - (1.0 - part)) / np.sqrt(part))


def _blind_covariance(reading: Reading) -> Floats:
    """Covariance of X, Y and Z from what a reading is blind to, perfect diffuser at 1."""
    lost = np.array(reading.blind, np.float64).reshape(-1, 3) / 100.0
    return np.asarray(lost.T @ lost)
