"""What a photograph does to all areas of a card at once, and how little is known of it.

Errors of a camera are not scatter: a paper that was taken too light, veiling light, a bent tone curve, a chroma set by
taste and channels that are not the eye's move every area of a card along with the others, each in its own way. Here
they are directions with a size of about 1, so that an estimator can look for them beside the paint, and a reading can
say how far it may be off.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from scumble.colour import spectral_weights, white_point
from scumble.colour.sensor import sensor_modes

Floats = NDArray[np.float64]

SENSOR_MODES: Final = 16
"""Directions kept of what cameras do to spectra; measured cameras are left within dE00 0.2 (benchmarks/reading)."""

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
        Relative error of its X and Z against Y.
    veil : float [1]
        Error of the veiling light taken off, against white.
    tone : float [1]
        Error of the exponent of the tone curve, and of its bend between paper and middle grey.
    chroma : float [1]
        Relative error of the chroma.
    """

    sensor: float = 0.0
    paper: float = 0.0
    tint: float = 0.0
    veil: float = 0.0
    tone: float = 0.0
    chroma: float = 0.0


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
        modes += [doubt.tint * eye * np.eye(3)[channel] for channel in (0, 2)]
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


def shared_covariance(
    doubt: CameraDoubt, reflectance: Floats, xyz: Floats, *, light: str = "D65", observer: int = 2
) -> Floats:
    """Covariance that the shared errors give to each reading by itself, XYZ with white Y = 100, shape (..., 3, 3).

    Parameters
    ----------
    doubt : CameraDoubt
        Sizes.
    reflectance : array, shape (..., 36)
        What the areas may be; the smoothest spectra that show their colours will do.
    xyz : array, shape (..., 3)
        What was read.
    light, observer : str, int
        What the XYZ are meant for.
    """
    by_weight = np.einsum("...b,bck->...ck", reflectance, weight_modes(doubt, light=light, observer=observer))
    by_shift = shift_modes(doubt, np.asarray(xyz) / 100.0, light=light, observer=observer)
    modes = 100.0 * np.concatenate([by_weight, by_shift], axis=-1)
    return np.asarray(modes @ np.swapaxes(modes, -1, -2))
