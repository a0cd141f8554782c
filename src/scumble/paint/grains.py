"""Grains of a mineral in binder: from published optical constants, size and amount to what a coat does."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from scumble.optics.mie import per_volume
from scumble.tables import WAVELENGTH_NM, load_table

Floats = NDArray[np.float64]

EV_NM = 1239.841984
"""Photon energy times wavelength [eV nm]. *Source:* CODATA 2018, exact from h, c and e."""

SIZES = np.linspace(-2.0, 2.0, 9)
"""Sizes that stand for a log-normal spread, in its standard deviations."""


ISOTROPIC = ((1.0, ""),)
UNIAXIAL = ((2.0 / 3.0, "_ordinary"), (1.0 / 3.0, "_extraordinary"))
"""Shares of the rays, and how their columns end."""


@dataclass(frozen=True, slots=True)
class Grains:
    """Spheres of one mineral, log-normally spread in size.

    Parameters
    ----------
    material : str
        Name of the table of optical constants, ``index_<material>``.
    diameter_um : float [um]
        Median diameter by volume.
    spread : float [1]
        Geometric standard deviation of the diameter.
    pigment_um : float [um]
        Solid pigment in one coat, as a layer without binder.
    kept : float [1]
        Share of the scattering of far-apart spheres that is left: grains crowd and clump.
    shift_ev : float [eV]
        How far the absorption edge lies above that of the table; stands for a mixed crystal.
    clear_nm : float [nm]
        Where the grain is taken not to absorb: what the table has there is taken off it everywhere. 0 takes the
        table as it stands.

    Examples
    --------
    The same rust, ground fine and coarse, at 650 nm: the coarse grade turns back far more light.

    >>> fine, coarse = (Grains("hematite", size, 1.4, 1.0, 1.0, 0.0, 0.0).depths[1] for size in (0.03, 0.3))
    >>> bool(coarse[27] > 20 * fine[27])
    True
    """

    material: str
    diameter_um: float
    spread: float
    pigment_um: float
    kept: float
    shift_ev: float
    clear_nm: float

    @property
    def depths(self) -> tuple[Floats, Floats]:
        """Absorption and reduced-scattering depth of one coat, each of shape (36,) [1/coat]."""
        diameters = self.diameter_um * self.spread**SIZES
        volume = np.exp(-0.5 * SIZES**2)
        volume = volume / volume.sum()
        absorption = scattering = np.zeros(WAVELENGTH_NM.size)
        for share, index in refractive_indices(self.material, shift_ev=self.shift_ev, clear_nm=self.clear_nm):
            absorbed, scattered = per_volume(diameters[:, None], WAVELENGTH_NM / 1000.0, index)
            absorption = absorption + share * volume @ absorbed
            scattering = scattering + share * volume @ scattered
        return self.pigment_um * absorption, self.pigment_um * self.kept * scattering


def refractive_indices(
    material: str, *, shift_ev: float = 0.0, clear_nm: float = 0.0
) -> list[tuple[float, NDArray[np.complex128]]]:
    """Complex index n - ik of a mineral in the bands, for each ray with its share.

    Parameters
    ----------
    material : str
        Name of the table of optical constants, ``index_<material>``.
    shift_ev : float [eV]
        Read the table at photon energies lower by this much, which lifts its absorption edge.
    clear_nm : float [nm]
        Take off k what the table has at this wavelength; 0 takes nothing off.

    Returns
    -------
    list of (float, array of shape (36,))
        A crystal with one axis shows its ordinary ray in two of three directions.
    """
    table = load_table(f"index_{material}")
    known_nm = table["wavelength_nm"]
    wanted_nm = EV_NM / (EV_NM / WAVELENGTH_NM - shift_ev)
    found = []
    for share, ray in UNIAXIAL if "n_ordinary" in table.columns else ISOTROPIC:
        n, k = table[f"n{ray}"], table[f"k{ray}"]
        if clear_nm:
            k = np.maximum(k - np.interp(clear_nm, known_nm, k), 0.0)
        found.append((share, np.interp(wanted_nm, known_nm, n) - 1j * np.interp(wanted_nm, known_nm, k)))
    return found
