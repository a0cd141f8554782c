"""Many swatches at once: the same prediction as of one layering, for whole grids in one call of the engine."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from scumble.colour import reflectance_to_xyz, white_point, xyz_to_lab, xyz_to_srgb
from scumble.errors import InputError
from scumble.optics.film import film_response
from scumble.optics.stack import stack_response
from scumble.paint.paint import Binder, Paint

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Swatches:
    """What many films look like under D65 for the 2 degree observer.

    Parameters
    ----------
    reflectance : array, shape (..., 36) [1]
        As seen under a gloss face, mirror reflection excluded.
    lab, srgb : array, shape (..., 3)
        CIELAB, and screen colours 0-1.
    in_gamut : array of bool, shape (...)
        Whether the screen can show it; if not, ``srgb`` has less chroma.
    """

    reflectance: Floats
    lab: Floats
    srgb: Floats
    in_gamut: NDArray[np.bool_]


def swatches_of(reflectance: ArrayLike) -> Swatches:
    """Colours of spectra of shape (..., 36)."""
    shown = np.asarray(reflectance, dtype=np.float64)
    xyz = reflectance_to_xyz(shown)
    srgb, in_gamut = xyz_to_srgb(xyz)
    return Swatches(shown, xyz_to_lab(xyz, white_point("D65", 2)), srgb, np.asarray(in_gamut))


def stir_optics(paints: Sequence[Paint], parts: ArrayLike) -> tuple[Floats, Floats, float]:
    """Optics of mixtures.

    Parameters
    ----------
    paints : sequence of Paint
        Of one binder.
    parts : array, shape (..., paints) [parts by volume]
        0 or more; some above 0 in every mixture.

    Returns
    -------
    absorption, scattering : array, shape (..., 36) [1/coat]
        Shares by volume of those of the paints, as in :class:`scumble.paint.Film`.
    index : float [1]
        Refractive index of the binder.

    Raises
    ------
    InputError
        If the paints are not of one binder.
    """
    binder = shared_binder(paints)
    amounts = np.asarray(parts, dtype=np.float64)
    shares = amounts / amounts.sum(axis=-1, keepdims=True)
    absorption = np.array([paint.optics.absorption for paint in paints])
    scattering = np.array([paint.optics.scattering for paint in paints])
    return shares @ absorption, shares @ scattering, binder.refractive_index


def shared_binder(paints: Sequence[Paint]) -> Binder:
    """The binder that all paints share.

    Raises
    ------
    InputError
        If there is more than one.
    """
    binders = sorted({paint.binder for paint in paints})
    if len(binders) != 1:
        hint = "Oil, acrylic and gum do not mix."
        raise InputError("paints", ", ".join(binders) or "none", "paints of one binder", hint)
    return binders[0]


def predict_swatches(
    absorption: ArrayLike, scattering: ArrayLike, below: ArrayLike, *, index: float
) -> Swatches:
    """What single films look like.

    Parameters
    ----------
    absorption, scattering : array, shape (..., 36) [1]
        Depths of the films.
    below : array, broadcastable to them [1]
        Reflectance of the grounds seen from inside the film (:meth:`scumble.paint.Ground.under_film`).
    index : float [1]
        Refractive index of the binder.

    Examples
    --------
    >>> film = np.full((5, 36), 0.1)
    >>> predict_swatches(film, film, np.linspace(0, 1, 5)[:, None], index=1.5).srgb.shape
    (5, 3)
    """
    return swatches_of(film_response(absorption, scattering, index=index).over(below))


def predict_glazed_swatches(
    absorption: ArrayLike, scattering: ArrayLike, below: ArrayLike, *, index: float
) -> Swatches:
    """What films on films look like; as for single ones, but depths of shape (..., films, 36), the top film first."""
    return swatches_of(stack_response(absorption, scattering, index=index).over(below))
