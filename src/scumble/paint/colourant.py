"""What makes a pigment coloured: absorption edges and bands, and the light that its grains turn back."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from scumble.tables import WAVELENGTH_NM

Floats = NDArray[np.float64]

WAVENUMBER = 1e7 / WAVELENGTH_NM
"""Wavenumber of each band [1/cm]; shapes of absorption are even in it, not in wavelength."""

RISE_WIDTH_NM = 45.0
"""How far beside an absorption edge scattering is raised [nm]. Assumed, no source."""


class Shape(StrEnum):
    """The two shapes that absorption is put together from."""

    EDGE = "edge"
    BAND = "band"


@dataclass(frozen=True, slots=True)
class Feature:
    """One piece of a pigment's absorption.

    Parameters
    ----------
    shape : Shape
        An *edge* absorbs everything on its violet side (semiconductors, charge transfer): half its depth at
        its position, an exponential tail to the red. A *band* is a Gaussian in wavenumber (dyes, metal ions).
    position_nm : float [nm]
        Half-depth of the edge, peak of the band.
    width_per_cm : float [1/cm]
        Length of the edge's exponential tail; full width of the band at half its depth.
    depth : float [1/coat]
        Absorption depth of one coat, on the plateau of the edge or at the peak of the band.

    Notes
    -----
    The tail of an edge is exponential in photon energy. *Source:* Urbach, Phys. Rev. 92, 1324 (1953).

    Examples
    --------
    >>> edge = Feature(Shape.EDGE, 500.0, 300.0, 8.0).absorption
    >>> edge[12].item(), bool(edge[0] > 7.9), bool(edge[20] < 0.05)
    (4.0, True, True)
    """

    shape: Shape
    position_nm: float
    width_per_cm: float
    depth: float

    @property
    def absorption(self) -> Floats:
        """Absorption depth of one coat, shape (36,) [1/coat]."""
        from_position = (WAVENUMBER - 1e7 / self.position_nm) / self.width_per_cm
        if self.shape is Shape.EDGE:
            return np.asarray(self.depth / (1.0 + np.exp(-from_position)))
        return np.asarray(self.depth * np.exp(-4.0 * np.log(2.0) * from_position**2))


@dataclass(frozen=True, slots=True)
class Haze:
    """Reduced scattering that follows a power of the wavelength.

    Parameters
    ----------
    depth : float [1/coat]
        Reduced-scattering depth of one coat at 550 nm.
    fall : float [1]
        Power by which it falls with wavelength: near 4 for grains much smaller than the wavelength, near 0
        for large ones.
    rise : float [1]
        By what share it stands higher beside an absorption edge, where the grain's index is higher.
    rise_nm : float [nm]
        Where that is.
    """

    depth: float
    fall: float
    rise: float
    rise_nm: float

    @property
    def scattering(self) -> Floats:
        """Reduced-scattering depth of one coat, shape (36,) [1/coat]."""
        beside = np.exp(-(((WAVELENGTH_NM - self.rise_nm) / RISE_WIDTH_NM) ** 2))
        return np.asarray(self.depth * (550.0 / WAVELENGTH_NM) ** self.fall * (1.0 + self.rise * beside))
