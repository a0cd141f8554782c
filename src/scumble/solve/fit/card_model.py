"""What a card would show if its unknowns were known, and how each unknown changes it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from scumble.colour import spectral_weights
from scumble.optics.film import film_response_and_slopes
from scumble.optics.response import Response
from scumble.paint.camera_doubt import CameraDoubt, shift_modes, weight_modes
from scumble.paint.paint import Optics
from scumble.paint.reading import CardReadings, Quantity
from scumble.solve.fit.prior import Prior, covariance_factor
from scumble.solve.fit.unknowns import JITTER, TINT_RATIO, card_unknowns
from scumble.tables import BANDS

Floats = NDArray[np.float64]

FilmModel = Callable[..., tuple[Response, Response, Response]]

WHITE_RANK = {Quantity.XYZ: 10, Quantity.REFLECTANCE: 40}
"""Directions kept of the uncertainty of the white's optics; a spectrum notices more of them than a colour."""


@dataclass(frozen=True, slots=True)
class Films:
    """The painted areas for one guess of the unknowns; one row an area, one column a band.

    Parameters
    ----------
    share : array, shape (areas, 1) [1]
        Volume share of the paint, the rest is white.
    coats : array, shape (areas, 1) [coat]
        Thickness.
    paint, white : array, shape (2, 36) [1/coat]
        Absorption and scattering.
    weights : array, shape (36, channels)
        What the camera at hand makes of a reflectance.
    """

    share: Floats
    coats: Floats
    paint: Floats
    white: Floats
    weights: Floats

    @property
    def depth(self) -> Floats:
        """Absorption and scattering depth, shape (2, areas, 36) [1]."""
        mixed = self.share * self.paint[:, None, :] + (1.0 - self.share) * self.white[:, None, :]
        return np.asarray(self.coats * mixed)

    def to_channels(self, per_band: Floats, factor: Floats) -> Floats:
        """Chain a derivative per band, shape (areas, 36), with a factor (36, r) to (areas, channels, r)."""
        return np.asarray((per_band[:, None, :] * self.weights.T) @ factor)


class CardModel:
    """Forward model of one card.

    Parameters
    ----------
    card : CardReadings
        The areas; their values are not used here.
    prior : Prior
        Of the paint's [log absorption, log scattering].
    white : Optics or None
        What the tints were mixed with; ``None`` if the card has none.
    index : float [1]
        Refractive index of the binder.
    film_model : callable
        Response of a film and its slopes; the transport engine unless another is to be compared with it.
    """

    def __init__(
        self,
        card: CardReadings,
        prior: Prior,
        white: Optics | None,
        index: float,
        film_model: FilmModel = film_response_and_slopes,
    ) -> None:
        self.prior = prior
        self.index = index
        self._film_model = film_model
        self._log_white = np.zeros((2, BANDS))
        self._white_factor = np.zeros((2 * BANDS, 0))
        if white is not None:
            self._log_white = np.log([white.absorption, white.scattering])
            if np.any(white.covariance):
                self._white_factor = covariance_factor(white.covariance, rank=WHITE_RANK[card.quantity])
        spectral = card.quantity is Quantity.REFLECTANCE
        # Readings are compared in units of a perfect diffuser: XYZ / 100 or reflectance.
        colours = spectral_weights(card.light, card.observer) / 100.0
        self.weights = np.eye(BANDS) if spectral else colours
        self.to_colour = colours if spectral else np.eye(3)
        self._doubt = CameraDoubt() if spectral or card.camera is None else card.camera
        modes = weight_modes(self._doubt, light=card.light, observer=card.observer)
        self._camera = np.zeros((BANDS, BANDS, 0)) if spectral else modes
        shifts = shift_modes(self._doubt, np.zeros((1, 3))).shape[-1]
        self.unknowns = card_unknowns(
            card,
            optics=prior.factor.shape[1],
            white=self._white_factor.shape[1],
            camera=self._camera.shape[-1] + shifts,
        )
        self._shifts = self._shift_modes(card)
        self._parts = np.array([[r.paint_parts, r.white_parts] for r in self.unknowns.painted])

    def _shift_modes(self, card: CardReadings) -> Floats:
        """What the camera adds to each reading, shape (areas, channels, modes)."""
        readings = (*self.unknowns.bare, *self.unknowns.painted)
        if card.quantity is Quantity.REFLECTANCE:
            return np.zeros((len(readings), self.channels, 0))
        seen = np.array([reading.values for reading in readings]) / 100.0
        return shift_modes(self._doubt, seen, light=card.light, observer=card.observer)

    @property
    def white_factor(self) -> Floats:
        """Factor of the covariance of the white's [log absorption, log scattering], shape (72, directions)."""
        return self._white_factor

    @property
    def channels(self) -> int:
        """Numbers in one reading."""
        return int(self.weights.shape[1])

    def log_optics(self, x: Floats) -> Floats:
        """[log absorption, log scattering] of the paint, shape (72,)."""
        return np.asarray(self.prior.mean + self.prior.factor @ x[: self.prior.factor.shape[1]])

    def log_thickness(self, x: Floats) -> Floats:
        """Log coats at each painted area."""
        _, _, strokes, _, areas, _, _ = self.unknowns.split(x)
        return self.unknowns.log_thickness(strokes, areas)[0]

    def _films(self, x: Floats) -> Films:
        _, _, _, ratios, _, white, camera = self.unknowns.split(x)
        column = self.unknowns.tint_column()
        paint_parts, white_parts = self._parts.T
        error = np.where(column >= 0, np.exp(TINT_RATIO * np.append(ratios, 0.0)[column]), 1.0)
        share = paint_parts / (paint_parts + white_parts * error)
        coats = np.exp(self.log_thickness(x))
        log_white = self._log_white + (self._white_factor @ white).reshape(2, BANDS)
        paint = np.exp(self.log_optics(x)).reshape(2, BANDS)
        weights = self.weights + self._camera @ camera[: self._camera.shape[-1]]
        return Films(share[:, None], coats[:, None], paint, np.exp(log_white), weights)

    def _grounds(self, x: Floats) -> Floats:
        """Reflectance of each bare area, shape (bare, 36)."""
        prior = self.unknowns.ground
        each = self.unknowns.split(x)[1].reshape(len(self.unknowns.bare), -1)
        return np.asarray(1.0 / (1.0 + np.exp(-(prior.mean + each @ prior.factor.T))))

    def predict(self, x: Floats) -> Floats:
        """Values of all areas, bare ones first, shape (areas, channels)."""
        return self._predict(x)[0]

    def predict_with_jacobian(self, x: Floats) -> tuple[Floats, Floats]:
        """Values of all areas and their derivatives, shapes (areas, channels) and (areas, channels, unknowns)."""
        values, films, spectra, slopes = self._predict(x)
        grounds = spectra[: len(self.unknowns.bare)]
        by_depth, by_ground = slopes
        jacobian = np.zeros((*values.shape, self.unknowns.count))
        bare_rows, painted_rows = np.split(jacobian, [len(self.unknowns.bare)])
        self._fill_bare(bare_rows, grounds, films)
        optics, under, strokes, ratios, areas, white, _ = self.unknowns.split(painted_rows)
        self._fill_optics(optics, films, by_depth)
        self._fill_grounds(under, grounds, films, by_ground)
        self._fill_thickness(strokes, areas, films, by_depth)
        self._fill_tints(ratios, white, films, by_depth)
        by_weights = np.einsum("ab,bck->ack", spectra, self._camera)
        self.unknowns.split(jacobian)[-1][:] = np.concatenate([by_weights, self._shifts], axis=-1)
        return values, jacobian

    def _predict(self, x: Floats) -> tuple[Floats, Films, Floats, tuple[Floats, Floats]]:
        films, grounds = self._films(x), self._grounds(x)
        below = grounds[self.unknowns.ground_column()]
        response, by_absorption, by_scattering = self._film_model(*films.depth, index=self.index)
        by_depth = np.stack([response.slope_over(s, below) for s in (by_absorption, by_scattering)])
        spectra = np.concatenate([grounds, response.over(below)])
        camera = self.unknowns.split(x)[-1][self._camera.shape[-1] :]
        values = spectra @ films.weights + self._shifts @ camera
        return values, films, spectra, (by_depth, response.ground_slope(below))

    def _fill_bare(self, rows: Floats, grounds: Floats, films: Films) -> None:
        under = self.unknowns.split(rows)[1]
        own = films.to_channels(grounds * (1.0 - grounds), self.unknowns.ground.factor)
        rank = own.shape[-1]
        for place, block in enumerate(own):
            under[place, :, place * rank : (place + 1) * rank] = block

    def _fill_optics(self, rows: Floats, films: Films, by_depth: Floats) -> None:
        per_log = by_depth * films.coats * films.share * films.paint[:, None, :]
        halves = np.split(self.prior.factor, 2)
        rows[:] = films.to_channels(per_log[0], halves[0]) + films.to_channels(per_log[1], halves[1])

    def _fill_grounds(self, rows: Floats, grounds: Floats, films: Films, by_ground: Floats) -> None:
        column = self.unknowns.ground_column()
        below = grounds[column]
        own = films.to_channels(by_ground * below * (1.0 - below), self.unknowns.ground.factor)
        rank = own.shape[-1]
        for area, place in enumerate(column):
            rows[area, :, place * rank : (place + 1) * rank] = own[area]

    def _fill_thickness(self, strokes: Floats, areas: Floats, films: Films, by_depth: Floats) -> None:
        per_log = np.sum(by_depth * films.depth, axis=0) @ films.weights
        _, spread = self.unknowns.log_thickness(np.zeros(len(self.unknowns.thin)), np.zeros(len(per_log)))
        for area, place in enumerate(self.unknowns.stroke_column()):
            areas[area, :, area] = per_log[area] * JITTER
            if place >= 0:
                strokes[area, :, place] = per_log[area] * spread[area]

    def _fill_tints(self, ratios: Floats, white: Floats, films: Films, by_depth: Floats) -> None:
        toward_white = (
            (films.white - films.paint)[:, None, :] * films.coats * films.share * (1.0 - films.share)
        )
        per_log_ratio = np.sum(by_depth * toward_white, axis=0) @ films.weights
        for area, place in enumerate(self.unknowns.tint_column()):
            if place >= 0:
                ratios[area, :, place] = per_log_ratio[area] * TINT_RATIO
        per_log = by_depth * films.coats * (1.0 - films.share) * films.white[:, None, :]
        halves = np.split(self._white_factor, 2)
        white[:] = films.to_channels(per_log[0], halves[0]) + films.to_channels(per_log[1], halves[1])
