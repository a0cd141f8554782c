"""What a photograph does to all areas of a card at once, and how little is known of it.

Errors of a camera are not scatter: a paper that was taken too light, veiling light, a bent tone curve, a chroma set by
taste and channels that are not the eye's move every area of a card along with the others, each in its own way. Here
they are directions with a size of about 1, so that an estimator can look for them beside the paint, and a reading can
say how far it may be off.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from scumble.colour import spectral_weights, white_point
from scumble.colour.sensor import sensor_modes
from scumble.tables import WAVELENGTH_NM

Floats = NDArray[np.float64]

SENSOR_MODES: Final = 16
"""Directions kept of what cameras do to spectra; measured cameras are left within dE00 0.2 (benchmarks/reading)."""

RED_TINT: Final = 0.25
"""Error of a paper's X over that of its Z: printing papers lie within a* of about 1 and b* of about 4 (*from memory*:
ISO 12647-2:2013, print substrates), which are 0.6 and 6 % of white's X and Z."""

STRAY: Final = (0.1, 1.2, 0.65)
STRAY_NM: Final = 40.0
"""How far a film's logit reflectance strays from the smoothest curve of its colour, over that distance: by the first
alone where the curve is level, as greys are; with the curve's own deviation s by ``second s / (1 + third s)`` more.
What random paints do (benchmarks/accuracy/population); with it bounds hold before random cameras (tests/paint)."""

_FREER: Final = (
    1.0 + 0.026 * np.maximum(WAVELENGTH_NM - 630.0, 0.0) + 0.038 * np.maximum(430.0 - WAVELENGTH_NM, 0.0)
)
"""By how much more it strays towards the ends, where the eye sees next to nothing and a lamp's far red much: a deep
blue may be light again there (the same paints)."""

_SEEN: Final = (WAVELENGTH_NM >= 420.0) & (WAVELENGTH_NM <= 690.0)
"""Where the eye sees enough for a curve to be known."""

_DARKEST: Final = 1e-3
"""Light below which the logarithm of the tone curve's error is no longer followed [1]."""


@dataclass(frozen=True, slots=True)
class CameraDoubt:
    """Standard deviations of what all areas of one photograph share.

    Parameters
    ----------
    sensor : float [1]
        How far the channels are from the eye's, as a share of a camera and lamp drawn at random; 0 for an instrument.
    paper : float [1]
        Relative error of the assumed lightness of the paper.
    tint : float [1]
        Relative error of its Z against Y; that of X is a quarter of it.
    veil : float [1]
        Error of the veiling light taken off, against white.
    tone : float [1]
        Error of the exponent of the tone curve, and of its bend between paper and middle grey.
    chroma : float [1]
        Relative error of the chroma.
    apart : float [1]
        Share of a reading's own scatter in which X, Y and Z differ; the rest - light that falls a little otherwise, a
        film that is a little thicker - moves the three alike. 1 for an instrument, whose numbers scatter singly.
    """

    sensor: float = 0.0
    paper: float = 0.0
    tint: float = 0.0
    veil: float = 0.0
    tone: float = 0.0
    chroma: float = 0.0
    apart: float = 1.0


def weight_modes(doubt: CameraDoubt, *, light: str = "D65", observer: int = 2) -> Floats:
    """Changes of the weights from reflectance to XYZ / 100, one standard deviation each, shape (36, 3, modes).

    Parameters
    ----------
    doubt : CameraDoubt
        Sizes.
    light, observer : str, int
        What the XYZ are meant for.

    Examples
    --------
    >>> weight_modes(CameraDoubt(paper=0.02)).shape
    (36, 3, 1)
    """
    eye = spectral_weights(light, observer) / 100.0
    white = eye.sum(axis=0)
    modes = []
    if doubt.paper:
        modes.append(doubt.paper * eye)
    if doubt.tint:
        modes += [doubt.tint * size * eye * np.eye(3)[channel] for channel, size in ((0, RED_TINT), (2, 1.0))]
    if doubt.chroma:
        modes.append(doubt.chroma * (eye - eye[:, 1:2] * white))
    if doubt.sensor:
        modes += list(np.moveaxis(doubt.sensor * sensor_modes(SENSOR_MODES), -1, 0))
    return np.stack(modes, axis=-1) if modes else np.zeros((*eye.shape, 0))


def shift_modes(doubt: CameraDoubt, xyz: Floats, *, light: str = "D65", observer: int = 2) -> Floats:
    """Changes of readings that depend on what was read, one standard deviation each, shape (..., 3, modes).

    Parameters
    ----------
    doubt : CameraDoubt
        Sizes.
    xyz : array, shape (..., 3)
        What was read over 100.
    light, observer : str, int
        What the XYZ are meant for.

    Notes
    -----
    Veiling light adds the same to all areas, a little more of red or blue than of green. A tone curve of another
    exponent moves light u by u log u, one with another shoulder by u (1 - u); both leave white alone.
    """
    white = white_point(light, observer) / 100.0
    share = np.maximum(xyz / white, 0.0)
    modes = []
    if doubt.veil:
        every = np.ones_like(share)
        modes += [doubt.veil * every, *(0.3 * doubt.veil * every * np.eye(3)[channel] for channel in (0, 2))]
    if doubt.tone:
        modes.append(doubt.tone * share * np.log(np.maximum(share, _DARKEST)))
        modes.append(doubt.tone * share * (1.0 - share))
    if not modes:
        return np.zeros((*share.shape, 0))
    return np.asarray(np.stack(modes, axis=-1) * white[:, None])


def own_covariance(noise: float, doubt: CameraDoubt, values: Floats) -> Floats:
    """Covariance of the scatter that each reading has for itself, shape (..., m, m).

    Parameters
    ----------
    noise : float [1]
        Relative scatter of a reading.
    doubt : CameraDoubt
        Says how much of it the numbers of a reading have in common.
    values : array, shape (..., m)
        What was read.

    Examples
    --------
    >>> own_covariance(0.1, CameraDoubt(apart=0.0), np.array([1.0, 2.0])).round(3).tolist()
    [[0.01, 0.02], [0.02, 0.04]]
    """
    single = doubt.apart**2 * np.eye(np.shape(values)[-1]) + (1.0 - doubt.apart**2)
    return np.asarray(noise**2 * values[..., :, None] * single * values[..., None, :])


def shared_covariance(
    doubt: CameraDoubt, reflectance: Floats, xyz: Floats, *, light: str = "D65", observer: int = 2
) -> Floats:
    """Covariance that the shared errors give to each reading by itself, XYZ with white Y = 100, shape (..., 3, 3).

    Parameters
    ----------
    doubt : CameraDoubt
        Sizes.
    reflectance : array, shape (..., 36)
        Smooth spectra that show the areas' colours. The areas' own spectra stray from them, and show the difference
        to a camera that the eye would not see.
    xyz : array, shape (..., 3)
        What was read.
    light, observer : str, int
        What the XYZ are meant for.
    """
    by_weight = weight_modes(doubt, light=light, observer=observer)
    of_weight = np.einsum("...b,bck->...ck", reflectance, by_weight)
    of_shift = shift_modes(doubt, np.asarray(xyz) / 100.0, light=light, observer=observer)
    modes = np.concatenate([of_weight, of_shift], axis=-1)
    strayed = _unseen_covariance(reflectance, spectral_weights(light, observer) / 100.0)
    by_stray = np.einsum("bck,...bd,dek->...ce", by_weight, strayed, by_weight, optimize=True)
    return np.asarray(1e4 * (modes @ np.swapaxes(modes, -1, -2) + by_stray))


def _unseen_covariance(reflectance: Floats, eye: Floats) -> Floats:
    """How spectra may stray from smooth ones without changing their colour, shape (..., 36, 36)."""
    kept = np.clip(reflectance, 1e-4, 1.0 - 1e-3)
    bend = np.std(np.log(kept / (1.0 - kept))[..., _SEEN], axis=-1, keepdims=True)
    level, rise, ease = STRAY
    middle, spread = np.log(kept / (1.0 - kept)), _FREER * (level + rise * bend / (1.0 + ease * bend))
    # Half the way from one deviation below to one above: a dark end of a curve can only become lighter.
    reach = 0.5 * (_reflectance(middle + spread) - _reflectance(middle - spread))
    free = reach[..., :, None] * _stray() * reach[..., None, :]
    by_eye = free @ eye
    seen = np.swapaxes(eye.T @ by_eye, -1, -2) + 1e-12 * np.eye(eye.shape[1])
    return np.asarray(free - by_eye @ np.linalg.solve(seen, np.swapaxes(by_eye, -1, -2)))


def _reflectance(logit: Floats) -> Floats:
    return np.asarray(1.0 / (1.0 + np.exp(-logit)))


@lru_cache(maxsize=1)
def _stray() -> Floats:
    """Covariance of a smooth random curve of deviation 1, shape (36, 36)."""
    away = (WAVELENGTH_NM[:, None] - WAVELENGTH_NM) / STRAY_NM
    return np.asarray(np.exp(-0.5 * away**2))
