"""An invented printer: the paper and the printed grounds of a card, as diffuse reflectance spectra.

Inks are dyes over paper: each lowers the paper's reflectance by an optical density made of Gaussian bands, and a
little light always comes straight back (a floor). Red is yellow printed over magenta. Nothing was measured.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from demo.paints import WAVELENGTH_NM

Array = NDArray[np.float64]

_FLOOR = 0.045


def _density(*bands: tuple[float, float, float]) -> Array:
    """Optical density from bands of (centre [nm], standard deviation [nm], peak [1])."""
    return np.sum(
        [peak * np.exp(-(((WAVELENGTH_NM - centre) / width) ** 2) / 2) for centre, width, peak in bands],
        axis=0,
    )


def _ink(density: Array, floor: float = _FLOOR) -> Array:
    """Reflectance of an ink layer on the paper."""
    return PAPER * (floor + (1 - floor) * 10.0**-density)


PAPER: Array = 0.895 - 0.20 * np.exp(-(WAVELENGTH_NM - 372.0) / 17.0)
"""Uncoated paper without brightener: falls towards the violet."""

_YELLOW = _density((432, 34, 1.15), (462, 24, 0.55), (385, 30, 0.7))
_MAGENTA = _density((548, 24, 0.95), (516, 30, 0.75), (575, 14, 0.45), (400, 40, 0.22))
_CYAN = _density((628, 36, 0.85), (672, 40, 0.80), (580, 34, 0.28), (720, 45, 0.5), (385, 30, 0.15))
_BLACK = _density((550, 600, 1.62))

GROUNDS: dict[str, Array] = {
    "white": PAPER,
    "black": _ink(_BLACK, 0.022),
    "yellow": _ink(_YELLOW),
    "magenta": _ink(_MAGENTA),
    "cyan": _ink(_CYAN),
    "red": _ink(0.95 * _YELLOW + 0.95 * _MAGENTA),
}
"""Reflectance of every ground a card can print, by the name its bare area carries."""
