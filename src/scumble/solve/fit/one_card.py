"""From the readings of a sample card to the optics of its paint.

The most probable optics, grounds, film thicknesses and tint ratios are found together by Gauss-Newton steps on
the film table's derivatives. Noise is re-estimated as the fit proceeds and areas that do not fit lose weight
(Student's t); the curvature at the end becomes the covariance that every later prediction carries.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from scumble.errors import InputError
from scumble.optics.film import film_response_and_slopes
from scumble.paint.paint import Optics
from scumble.paint.reading import CardReadings, Reading
from scumble.solve.fit.card_model import CardModel, FilmModel
from scumble.solve.fit.card_search import CardSearch, Standing
from scumble.solve.fit.gauss_newton import Linearised
from scumble.solve.fit.prior import Prior, paint_prior, white_prior

Floats = NDArray[np.float64]

OWN_ERROR = 1.1
"""Factor on the covariance for what the fit cannot know of itself: spectra less smooth than the prior has them,
the bend of the model within its own uncertainty. Set so that intervals hold (docs/accuracy.md)."""

CAMERA_ERROR = 1.3
"""The same where a camera took the card: what its errors do beyond the directions that are looked for, and that they
bend within their own size. Set so that intervals hold (docs/reading.md)."""

SURPRISE = 3.0
"""Chi-square per number beyond which the tints are taken to contradict the white; right whites stay below 2,
a white of a quarter of the scattering gives 5 and more (tests/solve)."""


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
class WhiteSeen:
    """What is believed of the white after a card whose tints show it, in its [log absorption, log scattering].

    Parameters
    ----------
    shift : array, shape (72,)
        From where the white was expected.
    covariance : array, shape (72, 72)
        About that place; what was believed before is in it.
    """

    shift: Floats
    covariance: Floats


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
    white : WhiteSeen, optional
        What the tints say of the white; ``None`` where there are none, they were left out, or the white is exact.
    """

    optics: Optics
    areas: tuple[AreaFit, ...]
    noise: float
    promised_noise: float
    tint_surprise: float
    steps: int
    settled: bool
    white: WhiteSeen | None = None


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
    search = CardSearch(CardModel(usable, prior or paint_prior(), white, index, film_model), usable)
    state = search.run(search.trust)
    surprise, alone = search.compare_tints(state)
    if surprise > surprise_limit:
        return _summarise(search, alone, surprise, without_white=True)
    return _summarise(search, state, surprise)


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
    return replace(card, readings=kept)


def all_one_paint(card: CardReadings) -> CardReadings:
    """Copy of a white's card on which white mixed into white is white."""
    one = tuple(replace(r, paint_parts=r.paint_parts + r.white_parts, white_parts=0.0) for r in card.readings)
    return replace(card, readings=one)


def _summarise(
    search: CardSearch, state: Standing, tint_surprise: float, *, without_white: bool = False
) -> Fit:
    """Turn the end of the search into optics with covariance."""
    predicted, jacobian = search.model.predict_with_jacobian(state.x)
    _, scaled = search.whiten(state, predicted, jacobian)
    factor, linear = search.model.prior.factor, Linearised(scaled)
    own_error = OWN_ERROR if search.card.camera is None else CAMERA_ERROR
    covariance = own_error * factor @ linear.covariance(factor.shape[1]) @ factor.T
    absorption, scattering = np.exp(search.model.log_optics(state.x)).reshape(2, -1)
    coats = np.concatenate(
        [np.zeros(len(search.model.unknowns.bare)), np.exp(search.model.log_thickness(state.x))]
    )
    misfit = search.misfit(state.noise, predicted) / search.model.channels * search.trust
    areas = tuple(
        AreaFit(*each)
        for each in zip(
            search.readings, predicted * search.unit, misfit.tolist(), coats.tolist(), strict=True
        )
    )
    return Fit(
        Optics(absorption, scattering, covariance),
        areas,
        noise=state.noise,
        promised_noise=search.card.noise,
        tint_surprise=tint_surprise,
        steps=state.steps,
        settled=state.settled,
        white=None if without_white else _white_seen(search, state, linear),
    )


def _white_seen(search: CardSearch, state: Standing, linear: Linearised) -> WhiteSeen | None:
    """What the card says of its white."""
    factor = search.model.white_factor
    if not factor.shape[1] or not search.is_tint.any():
        return None
    places = search.model.unknowns.split(np.arange(float(search.model.unknowns.count)))[5].astype(int)
    spread = linear.covariance()[np.ix_(places, places)]
    return WhiteSeen(factor @ state.x[places], factor @ spread @ factor.T)
