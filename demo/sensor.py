"""Real sensors: how three channels that are not XYZ see a spectrum under a lamp, and the camera's way back to colour.

A raw channel is the sum of reflectance, light and sensitivity. White balance scales the channels so that a
perfect diffuser comes out as 1, 1, 1; a 3x3 matrix, fitted by least squares to the 24 patches of a colour chart
under daylight and under lamplight as a maker would, then leads to XYZ under D65.

*Source* of the sensitivities, as carried by colour-science: Darrodi, Finlayson, Goodman & Mackiewicz (2015)
"Reference data set for camera spectral sensitivity estimation", J. Opt. Soc. Am. A 32, 381,
doi:10.1364/JOSAA.32.000381 (one mosaic and one stacked sensor, measured); Academy of Motion Picture Arts and
Sciences, S-2008-001, Reference Input Capture Device (an ideal one). The chart: the spectra of ISO 17321-1 as
carried by colour-science. `gaussian` is our own: three bells placed like the dyes of small sensors, not measured.
"""

from __future__ import annotations

from functools import cache

import colour
import numpy as np
from colour.characterisation import MSDS_ACES_RICD
from numpy.typing import NDArray

from demo.colorimetry import FINE_NM, fold, weights
from demo.paints import WAVELENGTH_NM

Array = NDArray[np.float64]

SENSORS = ("mosaic", "stacked", "reference", "gaussian")
LIGHTS = {"D65": "D65", "D50": "D50", "A": "A", "LED": "LED-B3"}
"""Lights by their names here and in colour-science: CIE standard illuminants, and LED-B3 of CIE 15:2018."""

_BELLS_NM = ((598.0, 36.0), (535.0, 40.0), (460.0, 30.0))
"""Centre and standard deviation of the red, green and blue bell."""


@cache
def sensitivities(sensor: str) -> Array:
    """Sensitivities at every nanometre of `FINE_NM`, shape (421, 3), 0 where none were published."""
    if sensor == "gaussian":
        return np.stack([np.exp(-(((FINE_NM - nm) / width) ** 2) / 2) for nm, width in _BELLS_NM], axis=-1)
    published = {
        "mosaic": colour.MSDS_CAMERA_SENSITIVITIES["Nikon 5100 (NPL)"],
        "stacked": colour.MSDS_CAMERA_SENSITIVITIES["Sigma SDMerill (NPL)"],
        "reference": MSDS_ACES_RICD,
    }[sensor]
    nm = published.wavelengths
    return np.stack([np.interp(FINE_NM, nm, channel, 0, 0) for channel in published.values.T], axis=-1)


@cache
def power(light: str) -> Array:
    """Spectral power of a light at every nanometre of `FINE_NM`, shape (421,), Y = 1."""
    spectrum = colour.SDS_ILLUMINANTS[LIGHTS[light]]
    values = np.interp(FINE_NM, spectrum.wavelengths, spectrum.values)
    observer = colour.MSDS_CMFS["CIE 1931 2 Degree Standard Observer"]
    return values / (values @ observer.values[np.searchsorted(observer.wavelengths, FINE_NM), 1])


def raw_weights(sensor: str, light: str, *, balanced_for: dict[str, float]) -> Array:
    """Weights from 36 bands to raw channels under a light, white-balanced for a blend of lights (shares sum to 1)."""
    blend = sum(share * power(name) for name, share in balanced_for.items())
    white = blend @ sensitivities(sensor)
    return fold(sensitivities(sensor) * power(light)[:, None]) / white


@cache
def _calibrated(sensor: str, light: str) -> Array:
    """Matrix from balanced raw channels to XYZ under D65 (white Y = 1) for one light, white kept exact."""
    raw = chart() @ raw_weights(sensor, light, balanced_for={light: 1.0})
    wanted = chart() @ weights() / 100
    white = weights().sum(axis=0) / 100
    # Least squares in cube roots would be closer to the eye; makers differ, so plain relative errors are used.
    pull = 1 / (wanted[:, 1:2] + 0.05)
    anchor = 1000.0
    rows = np.vstack([raw * pull, anchor * np.ones((1, 3))])
    return np.linalg.lstsq(rows, np.vstack([wanted * pull, anchor * white]), rcond=None)[0].T


def colour_matrix(sensor: str, blend: dict[str, float], *, own_lamp: bool = False) -> Array:
    """Matrix from balanced raw channels to XYZ under D65 (white Y = 1).

    A scanner is calibrated under its own lamp; a camera takes something between its matrices for D65 and A, by the
    blend's red over blue.
    """
    if own_lamp:
        return _calibrated(sensor, next(iter(blend)))
    warmth = np.log(_red_over_blue(sensor, blend))
    cold, warm = (np.log(_red_over_blue(sensor, {name: 1.0})) for name in ("D65", "A"))
    share = float(np.clip((warmth - cold) / (warm - cold), 0, 1))
    return (1 - share) * _calibrated(sensor, "D65") + share * _calibrated(sensor, "A")


def _red_over_blue(sensor: str, blend: dict[str, float]) -> float:
    """Raw red over raw blue of a perfect diffuser."""
    white = sum(share * power(name) for name, share in blend.items()) @ sensitivities(sensor)
    return float(white[0] / white[2])


@cache
def chart() -> Array:
    """Reflectance of the 24 patches of the calibration chart, shape (24, 36)."""
    patches = colour.SDS_COLOURCHECKERS["ISO 17321-1"].values()
    return np.array([np.interp(WAVELENGTH_NM, patch.wavelengths, patch.values) for patch in patches])
