"""How well a paint covers: contrast ratio, coats to hide, and the four marks of transparency."""

from __future__ import annotations

from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike, NDArray

from scumble.paint.drawdown import luminous, over_black, over_white

Floats = NDArray[np.float64]

HIDING_RATIO = 0.98
"""Contrast ratio at which a film counts as hiding. *Source:* ISO 6504-1:2019; ASTM D2805."""

MOST_COATS = 8.0
"""Thickest film that is still workable [coat]. *Common practice, no source.*"""

LEAST_COATS = 1e-3
"""Thinnest film that is looked at when searching [coat]."""

HALVINGS = 24
"""Of the interval of log coats; leaves a millionth of it."""

HALF_COAT = 0.5
"""The film on which transparency is judged [coat], since a full coat of a dark transparent colour hides by being
dark."""


class Mark(StrEnum):
    """The four marks of transparency that labels carry."""

    TRANSPARENT = "transparent"
    SEMI_TRANSPARENT = "semi-transparent"
    SEMI_OPAQUE = "semi-opaque"
    OPAQUE = "opaque"


MARK_BOUNDS = (0.20, 0.50, 0.80)
"""Opacity at which one mark ends and the next begins. Scumble's own: no public threshold was found."""


def contrast_ratio(
    absorption: ArrayLike, scattering: ArrayLike, coats: ArrayLike, *, index: float = 1.5
) -> Floats:
    """Y over black divided by Y over white of one film.

    Parameters
    ----------
    absorption, scattering : array, shape (..., 36) [1/coat]
        Optics of the paint.
    coats : array, broadcastable to the leading axes [coat]
        Thickness, above 0.
    index : float [1]
        Refractive index of the binder.

    Returns
    -------
    array, shape (...) [1]
        0 for a clear film, 1 for one that hides; D65, 2 degrees, mirror reflection excluded.

    Notes
    -----
    *Source:* ISO 6504-3:2019; ASTM D2805, R(0) / R(0.80); see :mod:`scumble.paint.drawdown`. Both standards
    speak of white and light paints (Y above 0.25 and 0.15); for dark colours the same ratio is taken.

    Examples
    --------
    >>> contrast_ratio(np.full(36, 0.02), np.full(36, 20.0), 1.0).round(3).item()
    0.962
    """
    thick = np.asarray(coats, dtype=np.float64)[..., None]
    film = np.asarray(absorption) * thick, np.asarray(scattering) * thick
    return luminous(over_black(*film, index=index)) / luminous(over_white(*film, index=index))


def coats_to_hide(absorption: ArrayLike, scattering: ArrayLike, *, index: float = 1.5) -> Floats:
    """Least coats whose contrast ratio is :data:`HIDING_RATIO`.

    Parameters
    ----------
    absorption, scattering : array, shape (..., 36) [1/coat]
        Optics of the paint.
    index : float [1]
        Refractive index of the binder.

    Returns
    -------
    array, shape (...) [coat]
        Infinity where :data:`MOST_COATS` do not hide.
    """
    shape = np.broadcast_shapes(np.shape(absorption), np.shape(scattering))[:-1]
    low, high = np.full(shape, np.log(LEAST_COATS)), np.full(shape, np.log(MOST_COATS))
    reached = contrast_ratio(absorption, scattering, np.exp(high), index=index) >= HIDING_RATIO
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        hides = contrast_ratio(absorption, scattering, np.exp(middle), index=index) >= HIDING_RATIO
        low, high = np.where(hides, low, middle), np.where(hides, middle, high)
    return np.where(reached, np.exp(high), np.inf)


def opacity(absorption: ArrayLike, scattering: ArrayLike, *, index: float = 1.5) -> Floats:
    """Contrast ratio of half a coat, the number behind the four marks; arguments as for the ratio.

    Returns
    -------
    array, shape (...) [1]
        0 clear, 1 hiding, at :data:`HALF_COAT`.
    """
    return contrast_ratio(absorption, scattering, HALF_COAT, index=index)


def mark_of(value: float) -> Mark:
    """The mark of an :func:`opacity`.

    Examples
    --------
    >>> mark_of(0.04).value, mark_of(0.95).value
    ('transparent', 'opaque')
    """
    return list(Mark)[int(np.searchsorted(MARK_BOUNDS, value, side="right"))]
