"""From a reflectance spectrum to tristimulus values, by weights that are made once per light and observer."""

from __future__ import annotations

from functools import cache
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from scumble.errors import InputError
from scumble.tables import BANDS, WAVELENGTH_NM, load_table

LIGHTS: Final = ("D65", "D50", "A", "LED-B3")
"""The lights that a colour can be asked under."""

OBSERVERS: Final = (2, 10)
"""The standard observers, by their field of view [degrees]."""

_STEP_NM = 10


def reflectance_to_xyz(
    reflectance: ArrayLike, *, light: str = "D65", observer: int = 2
) -> NDArray[np.float64]:
    """Tristimulus values of a surface.

    Parameters
    ----------
    reflectance : array, shape (..., 36) [1]
        Reflectance in every band, 0-1.
    light : str
        One of `LIGHTS`.
    observer : int [degrees]
        2 (CIE 1931) or 10 (CIE 1964).

    Returns
    -------
    array, shape (..., 3)
        XYZ; the perfect diffuser has Y = 100.

    Raises
    ------
    InputError
        When light or observer is unknown, or the last axis has not 36 bands.

    Examples
    --------
    >>> reflectance_to_xyz(np.full(36, 0.5), light="D50", observer=2).round(2)
    array([48.21, 50.  , 41.26])
    """
    spectrum = np.asarray(reflectance, dtype=np.float64)
    if spectrum.shape[-1:] != (BANDS,):
        raise InputError("reflectance", spectrum.shape, f"{BANDS} bands along the last axis")
    xyz: NDArray[np.float64] = spectrum @ spectral_weights(light, observer)
    return xyz


def white_point(light: str = "D65", observer: int = 2) -> NDArray[np.float64]:
    """Tristimulus values of the perfect diffuser.

    Parameters
    ----------
    light : str
        One of `LIGHTS`.
    observer : int [degrees]
        2 or 10.

    Returns
    -------
    array, shape (3,)
        XYZ with Y = 100, read-only; the exact sum of :func:`spectral_weights`.

    Examples
    --------
    >>> white_point("D65", 2).round(2)
    array([ 95.05, 100.  , 108.88])
    """
    return _weights_and_white(light, observer)[1]


def spectral_weights(light: str = "D65", observer: int = 2) -> NDArray[np.float64]:
    """Weights that turn a reflectance of 36 bands into XYZ by one product.

    Parameters
    ----------
    light : str
        One of `LIGHTS`.
    observer : int [degrees]
        2 or 10.

    Returns
    -------
    array, shape (36, 3)
        ``reflectance @ weights`` is XYZ; every column sums to the white point. Read-only.

    Raises
    ------
    InputError
        When the light or the observer is unknown.

    Notes
    -----
    The reflectance between the bands is taken as the Lagrange polynomial through the nearest bands (cubic inside,
    quadratic in the first and last interval), which makes the 1 nm sum of reflectance, light and observer linear
    in the bands. The light between its 5 nm entries is taken as straight, and as level beyond its ends. Weights
    are made for 360-830 nm; those below 380 and above 730 nm are added to the end bands.

    *Source:* ASTM E2022, Standard practice for calculation of weighting factors for tristimulus integration
    (interpolation); ASTM E308-15, Standard practice for computing the colors of objects by using the CIE system (ends).

    Examples
    --------
    >>> spectral_weights("D65", 10).shape
    (36, 3)
    """
    return _weights_and_white(light, observer)[0]


@cache
def _weights_and_white(light: str, observer: int) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    weights = fold_ends(full_weights(light, observer))
    white = weights.sum(axis=0)
    weights.flags.writeable = white.flags.writeable = False
    return weights, white


def full_weights(light: str, observer: int) -> NDArray[np.float64]:
    """Weights of ASTM E2022 for the whole visible range, 360 to 830 nm in steps of 10 nm.

    Parameters
    ----------
    light, observer
        As for :func:`spectral_weights`.

    Returns
    -------
    array, shape (48, 3)
        The second column sums to 100.
    """
    matching, power = _observer(observer), _light(light)
    product = matching * power[:, None]
    weights = _interpolation(len(product)).T @ product
    return np.asarray(weights * (100.0 / weights[:, 1].sum()), dtype=np.float64)


def fold_ends(weights: NDArray[np.float64]) -> NDArray[np.float64]:
    """Add the weights of the bands that were not measured to the nearest band that was.

    Parameters
    ----------
    weights : array, shape (48, 3)
        360 to 830 nm in steps of 10 nm.

    Returns
    -------
    array, shape (36, 3)
        380 to 730 nm.
    """
    first = int(WAVELENGTH_NM[0] - 360) // _STEP_NM
    folded = weights[first : first + BANDS].copy()
    folded[0] += weights[:first].sum(axis=0)
    folded[-1] += weights[first + BANDS :].sum(axis=0)
    return folded


def _observer(observer: int) -> NDArray[np.float64]:
    if observer not in OBSERVERS:
        raise InputError("observer", observer, "2 or 10 degrees")
    return load_table(f"observer_{observer}deg").stack("x", "y", "z")


def _light(light: str) -> NDArray[np.float64]:
    if light not in LIGHTS:
        raise InputError("light", light, "one of " + ", ".join(LIGHTS))
    table = load_table("light_" + light.lower().replace("-", "_"))
    fine_nm = load_table("observer_2deg")["wavelength_nm"]
    return np.asarray(np.interp(fine_nm, table["wavelength_nm"], table["power"]), dtype=np.float64)


def _interpolation(fine: int) -> NDArray[np.float64]:
    """Matrix, shape (fine, bands), that takes values every 10 nm to values every 1 nm."""
    bands = (fine - 1) // _STEP_NM + 1
    matrix = np.zeros((fine, bands))
    for at in range(fine):
        interval = min(at // _STEP_NM, bands - 2)
        first, last = max(interval - 1, 0), min(interval + 2, bands - 1)
        nodes = np.arange(first, last + 1)
        matrix[at, nodes] = _lagrange(nodes, at / _STEP_NM)
    return matrix


def _lagrange(nodes: NDArray[np.int_], place: float) -> NDArray[np.float64]:
    """Weight of each node in the polynomial through all of them, taken at one place."""
    others = [np.delete(nodes, at) for at in range(len(nodes))]
    return np.array(
        [np.prod((place - rest) / (node - rest)) for node, rest in zip(nodes, others, strict=True)]
    )
