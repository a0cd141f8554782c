"""The face of a film: gloss, satin or matte, and what water does to a film that is still wet."""

from __future__ import annotations

from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike, NDArray

from scumble.optics.fresnel import mirror_reflectance

Floats = NDArray[np.float64]


class Face(StrEnum):
    """How smooth the face is; *varnished* is a gloss face again."""

    GLOSS = "gloss"
    SATIN = "satin"
    MATTE = "matte"


SHARE_SCATTERED = {Face.GLOSS: 0.0, Face.SATIN: 0.35, Face.MATTE: 0.8}
"""Share of the mirror reflection that a rough face sends into all directions. Assumed, no source: a gloss face
keeps its mirror reflection out of view, a dead-matte one would add all of it (4 % for n = 1.5)."""

MILKINESS = 0.6
"""Reduced-scattering depth per coat at 550 nm that an acrylic binder adds while it is wet. Assumed, no source:
an emulsion of 0.1 um polymer spheres is white by itself and clears when they fuse."""

MILKINESS_EXPONENT = 2.5
"""Fall of that scattering with wavelength, between Rayleigh's 4 and none. Assumed, no source."""


def add_face(diffuse: ArrayLike, face: Face, index: float) -> Floats:
    """Reflectance as seen, from the diffuse reflectance of a film under a gloss face.

    Parameters
    ----------
    diffuse : array, any shape [1]
        Reflectance with the mirror reflection excluded, 0-1.
    face : Face
        State of the face.
    index : float [1]
        Refractive index of the binder.

    Examples
    --------
    >>> add_face(0.1, Face.GLOSS, 1.5).item()
    0.1
    >>> round(add_face(0.1, Face.MATTE, 1.5).item(), 3)
    0.132
    """
    scattered = SHARE_SCATTERED[face] * mirror_reflectance(index)
    return np.minimum(np.asarray(diffuse, dtype=np.float64) + scattered, 1.0)


def wet_milkiness(coats: float, wavelength_nm: ArrayLike) -> Floats:
    """Reduced-scattering depth that a wet acrylic film adds to its pigment's.

    Parameters
    ----------
    coats : float [coat]
        Thickness of the film.
    wavelength_nm : array, any shape [nm]
        Wavelengths.
    """
    ratio = np.asarray(wavelength_nm, dtype=np.float64) / 550.0
    return np.asarray(coats * MILKINESS * ratio**-MILKINESS_EXPONENT)
