"""Spectra of any instrument, drawn at Scumble's own bands."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from scumble.store.readings.raw import join_words
from scumble.tables import WAVELENGTH_NM

Floats = NDArray[np.float64]


def resample(spectra: Floats, wavelengths: Floats) -> tuple[Floats, list[str]]:
    """Spectra at Scumble's 36 bands.

    Points that are there are kept as they are; between them runs a monotone cubic, which never overshoots, and
    beyond the ends the outermost reading is held.

    Parameters
    ----------
    spectra : array, shape (..., n)
        Reflectance [1].
    wavelengths : array, shape (n,)
        Rising [nm].

    Returns
    -------
    spectra, doubts : array, shape (..., 36); list of str
        Doubts name the bands that were held or drawn across a wide gap.

    Notes
    -----
    *Source:* F. N. Fritsch, R. E. Carlson, Monotone piecewise cubic interpolation, SIAM J. Numer. Anal. 17,
    238-246 (1980), doi:10.1137/0717021.
    """
    if np.array_equal(wavelengths, WAVELENGTH_NM):
        return spectra, []
    # Imported here: only spectra on another grid pay for it.
    from scipy.interpolate import PchipInterpolator

    inside = WAVELENGTH_NM.clip(wavelengths[0], wavelengths[-1])
    drawn = np.asarray(PchipInterpolator(wavelengths, spectra, axis=-1)(inside))
    held = WAVELENGTH_NM[inside != WAVELENGTH_NM]
    after = np.searchsorted(wavelengths, inside).clip(1)
    wide = (wavelengths[after] - wavelengths[after - 1] > 10.5) & ~np.isin(inside, wavelengths)
    across = WAVELENGTH_NM[wide & (inside == WAVELENGTH_NM)]
    doubts = []
    if held.size:
        bands = join_words([f"{nm:g}" for nm in held])
        doubts.append(f"Nothing was read at {bands} nm; the outermost reading was held there.")
    if across.size:
        bands = join_words([f"{nm:g}" for nm in across])
        doubts.append(f"Nothing was read at {bands} nm; it was drawn between its neighbours.")
    return drawn, doubts
