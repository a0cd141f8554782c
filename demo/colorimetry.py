"""From a spectrum to XYZ and Lab under daylight D65 for the 2 degree observer, with colour-science's tables.

Source: CIE 1931 2 degree observer and illuminant D65 (ISO/CIE 11664-1, 11664-2) as carried by colour-science.
"""

from __future__ import annotations

from functools import cache

import colour
import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import make_interp_spline

from demo.paints import WAVELENGTH_NM

Array = NDArray[np.float64]

FINE_NM: Array = np.arange(360.0, 781.0)


@cache
def weights() -> Array:
    """Weights with ``reflectance @ weights() = XYZ`` (perfect diffuser Y = 100), shape (36, 3).

    The 10 nm spectrum is splined to 1 nm and held constant beyond 380 and 730 nm, then summed from 360 to 780 nm.
    """
    observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    light = colour.SDS_ILLUMINANTS["D65"]
    power = np.interp(FINE_NM, light.wavelengths, light.values)
    matching = observer.values[np.searchsorted(observer.wavelengths, FINE_NM)] * power[:, None]
    return 100 * fold(matching) / matching[:, 1].sum()


def fold(curves: Array) -> Array:
    """Weights for the 36 bands from curves at every nanometre of `FINE_NM`, shape (36, curves)."""
    spline = make_interp_spline(WAVELENGTH_NM, np.eye(WAVELENGTH_NM.size), k=3)
    return spline(np.clip(FINE_NM, WAVELENGTH_NM[0], WAVELENGTH_NM[-1])).T @ curves


def xyz(reflectance: Array) -> Array:
    """XYZ of a reflectance, perfect diffuser Y = 100."""
    return reflectance @ weights()


def lab(reflectance: Array) -> Array:
    """CIELAB of a reflectance against the perfect diffuser (CIE 15:2018)."""
    ratio = xyz(reflectance) / xyz(np.ones(WAVELENGTH_NM.size))
    f = np.where(ratio > (6 / 29) ** 3, np.cbrt(ratio), ratio * (29 / 6) ** 2 / 3 + 4 / 29)
    return np.stack(
        [116 * f[..., 1] - 16, 500 * (f[..., 0] - f[..., 1]), 200 * (f[..., 1] - f[..., 2])], axis=-1
    )
