"""Spectra that a card may show: films of many paints over its grounds, and smooth curves for all else.

A camera tells colours, not spectra. What a spectrum of some colour probably is follows from what films look like: the
illustrative pigments of the starter shelf, each varied widely and brushed out as the card asks for, stand for any
paint. They are neighbours to compare with, never taken for the paint itself.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from scumble.optics.film import film_response
from scumble.optics.response import Response
from scumble.paint.pigment import illustrative_covariance, starter_shelf
from scumble.tables import BANDS, WAVELENGTH_NM

Floats = NDArray[np.float64]

PAINTS: Final = 4000
CURVES: Final = 3000
"""Paints that stand for any paint, and smooth curves that stand for anything else."""

WIDER: Final = 2.0
"""Times by which the paints vary more than an illustrative one is in doubt: other pigments are to be covered too."""

MIXED: Final = 0.3
"""Share of the paints that hold two pigments."""

THIN_SPREAD, FULL_SPREAD, RATIO_SPREAD = 0.3, 0.1, 0.1
"""Log deviations of thin strokes, of full ones, and of the parts of white, as the estimator has them."""

COATS: Final = {"thin1": 0.3, "thin2": 0.1}
"""Coats that the printed cards ask for of their thin strokes; full strokes and tints are laid full."""

UNTOLD_COATS, UNTOLD_SPREAD = 0.25, 0.8
"""Coats of a stroke of which nobody said more than that it is thin, and their log deviation."""

CURVE_NM, CURVE_DEVIATION, CURVE_LEVEL = 80.0, 1.2, (-0.8, 1.6)
"""Distance over which the logit of a curve keeps its trend, its deviation, and mean and deviation of its level."""

PAPER: Final = 0.86
"""Reflectance of the white under films that lie on no known ground."""

SEED: Final = 1


@dataclass(frozen=True, slots=True)
class FilmKind:
    """What was laid in one area: name of the stroke, and parts of white for one of paint."""

    film: str
    white_parts: float


@dataclass(frozen=True, slots=True)
class Paints:
    """Absorption and reduced scattering of many paints and of a white for each, shape (2, paints, 36) [1/coat]."""

    own: Floats
    white: Floats


@lru_cache(maxsize=1)
def likely_paints(count: int = PAINTS) -> Paints:
    """Paints that stand for any paint.

    Examples
    --------
    >>> likely_paints().own.shape
    (2, 4000, 36)
    """
    rng = np.random.default_rng(SEED)
    shelf = [
        np.stack([paint.optics.absorption, paint.optics.scattering], axis=0) for paint in starter_shelf()
    ]
    pigments = np.array(shelf)
    white = pigments[next(at for at, paint in enumerate(starter_shelf()) if paint.key == "titanium-white")]
    factor = np.linalg.cholesky(illustrative_covariance() + 1e-9 * np.eye(2 * BANDS))

    def varied(by: float) -> Floats:
        drawn = factor @ rng.standard_normal((2 * BANDS, count))
        return np.asarray(np.exp(by * drawn).T.reshape(count, 2, BANDS))

    first = np.arange(count) % len(pigments)
    second = np.where(rng.random(count) < MIXED, rng.integers(len(pigments), size=count), first)
    share = rng.random(count)[:, None, None]
    own = (share * pigments[first] + (1.0 - share) * pigments[second]) * varied(WIDER)
    return Paints(np.moveaxis(own, 1, 0), np.moveaxis(white * varied(1.0), 1, 0))


@lru_cache(maxsize=2)
def likely_films(kinds: tuple[FilmKind, ...]) -> tuple[Response, ...]:
    """How light fares in the films of each of the :func:`likely_paints`, one response a kind, shape (paints, 36)."""
    rng, paints = np.random.default_rng(SEED + 1), likely_paints()
    count = paints.own.shape[1]
    strokes = {
        film: coats * np.exp(spread * rng.standard_normal((count, 1)))
        for film in dict.fromkeys(kind.film for kind in kinds)
        for coats, spread in [stroke_coats(film)]
    }
    found = []
    for kind in kinds:
        white_parts = kind.white_parts * np.exp(RATIO_SPREAD * rng.standard_normal((count, 1)))
        share = 1.0 / (1.0 + white_parts)
        mixed = share * paints.own + (1.0 - share) * paints.white
        found.append(film_response(*(strokes[kind.film] * mixed)))
    return tuple(found)


def stroke_coats(film: str) -> tuple[float, float]:
    """Coats in which a stroke is laid, and their log deviation.

    Examples
    --------
    >>> stroke_coats("thin1"), stroke_coats("tint4"), stroke_coats("third wash")
    ((0.3, 0.3), (1.0, 0.1), (0.25, 0.8))
    """
    if film in COATS:
        return COATS[film], THIN_SPREAD
    if film == "full" or film.startswith("tint"):
        return 1.0, FULL_SPREAD
    return UNTOLD_COATS, UNTOLD_SPREAD


def likely_cards(kinds: Sequence[FilmKind], grounds: Floats) -> Floats:
    """Spectra of the areas of cards painted with each of the likely paints.

    Parameters
    ----------
    kinds : sequence of FilmKind
        What was laid in each area.
    grounds : array, shape (areas, 36)
        Reflectance under each.

    Returns
    -------
    array, shape (paints, areas, 36)
    """
    responses = likely_films(tuple(kinds))
    return np.stack([film.over(ground) for film, ground in zip(responses, grounds, strict=True)], axis=1)


@lru_cache(maxsize=1)
def likely_spectra() -> Floats:
    """Spectra of nothing in particular, shape (n, 36): films of any thickness and tint over white, smooth curves."""
    rng, paints = np.random.default_rng(SEED + 2), likely_paints()
    count = paints.own.shape[1]
    found = []
    for _ in range(2):
        coats = np.exp(rng.uniform(np.log(0.04), np.log(1.6), (count, 1)))
        share = np.where(rng.random(count) < 0.4, 1.0 / (1.0 + np.exp(rng.uniform(-1.0, 3.5, count))), 1.0)[
            :, None
        ]
        films = film_response(*(coats * (share * paints.own + (1.0 - share) * paints.white)))
        found.append(films.over(np.full(BANDS, PAPER)))
    return np.concatenate([*found, _curves(rng)])


def _curves(rng: np.random.Generator) -> Floats:
    """Smooth curves between 0 and 1: Matern 3/2 in their logit (Rasmussen & Williams 2006, equation 4.17)."""
    steps = np.sqrt(3.0) * np.abs(WAVELENGTH_NM[:, None] - WAVELENGTH_NM) / CURVE_NM
    covariance = CURVE_DEVIATION**2 * (1.0 + steps) * np.exp(-steps) + 1e-9 * np.eye(BANDS)
    level = rng.normal(*CURVE_LEVEL, (CURVES, 1))
    logit = level + rng.standard_normal((CURVES, BANDS)) @ np.linalg.cholesky(covariance).T
    return np.asarray(1.0 / (1.0 + np.exp(-logit)))
