"""Which columns of a readings file hold the readings, by their names."""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from scumble.errors import InputError
from scumble.paint.reading import Quantity
from scumble.store.readings_raw import RawCard, join_words, plain

Floats = NDArray[np.float64]

FIRST_NM, LAST_NM, WIDEST_GAP_NM = 400.0, 700.0, 20.0
"""What a spectrum must reach and how close its points must lie; beyond its ends it is held flat, with a doubt."""

XYZ_NAMES = ("x", "y", "z", "xyz_x", "xyz_y", "xyz_z")

_SPECTRAL = re.compile(
    r"(?:r|nm|spec|reflectance|spectral(?:_(?:nm|pct|dec))?)?_?(\d{3,4}(?:\.\d+)?)_?(?:nm)?", re.ASCII
)


@dataclass(frozen=True, slots=True)
class ValueColumns:
    """Where the readings stand.

    Parameters
    ----------
    quantity : Quantity
        What they are.
    places : tuple of int
        Columns of X, Y, Z, or of a spectrum in order of wavelength.
    wavelength_nm : array, shape (n,), optional
        Wavelengths of a spectrum [nm].
    doubts : tuple of str
        What was passed over.
    """

    quantity: Quantity
    places: tuple[int, ...]
    wavelength_nm: Floats | None
    doubts: tuple[str, ...]


def wavelength_of(column: str) -> float | None:
    """Wavelength that a column's name stands for [nm], None if it is no spectral column.

    Examples
    --------
    >>> [wavelength_of(name) for name in ("R380", "nm 450", "SPECTRAL_NM700", "ground")]
    [380.0, 450.0, 700.0, None]
    """
    found = _SPECTRAL.fullmatch(plain(column))
    wavelength = float(found[1]) if found else 0.0
    return wavelength if 200.0 <= wavelength <= 2500.0 else None


def find_value_columns(raw: RawCard) -> ValueColumns:
    """Find the columns that hold the readings; a usable spectrum goes before XYZ.

    Raises
    ------
    InputError
        If there are none, some are missing or one is there twice.
    """
    spectral = sorted(
        (nm, at) for at, name in enumerate(raw.columns) if (nm := wavelength_of(name)) is not None
    )
    xyz = tuple(place for axis in "xyz" if (place := _axis(raw, axis)) is not None)
    if not spectral and not xyz:
        allowed = "X, Y, Z or R380 to R730 beside the names"
        raise InputError("columns", join_words(raw.columns), allowed, "Add the readings.")
    wavelengths = np.array([nm for nm, _ in spectral])
    fault = _grid_fault(wavelengths) if spectral else None
    if spectral and fault is None:
        doubts = ("The file holds XYZ and spectra; the spectra were used.",) if xyz else ()
        return ValueColumns(Quantity.REFLECTANCE, tuple(at for _, at in spectral), wavelengths, doubts)
    if len(xyz) == 3:
        doubts = ("The spectral columns do not make a spectrum; XYZ was used.",) if spectral else ()
        return ValueColumns(Quantity.XYZ, xyz, None, doubts)
    if fault is not None:
        raise fault
    raise InputError("columns", join_words([raw.columns[at] for at in xyz]), "all of X, Y and Z")


def _axis(raw: RawCard, axis: str) -> int | None:
    alone, long = raw.column(axis), raw.column(f"xyz_{axis}")
    if alone is not None and long is not None:
        raise InputError("columns", f"{axis.upper()} and XYZ_{axis.upper()}", "each column once")
    return long if alone is None else alone


def _grid_fault(wavelengths: Floats) -> InputError | None:
    twice = wavelengths[1:][np.diff(wavelengths) == 0]
    if twice.size:
        return InputError("columns", f"{twice[0]:g} nm twice", "each wavelength once")
    needed = f"a spectrum from {FIRST_NM:g} or below to {LAST_NM:g} nm or above"
    if wavelengths[0] > FIRST_NM or wavelengths[-1] < LAST_NM:
        return InputError("columns", f"{wavelengths[0]:g} to {wavelengths[-1]:g} nm", needed)
    gaps = np.diff(wavelengths)
    at = int(np.argmax(gaps))
    if gaps[at] > WIDEST_GAP_NM:
        seen = f"nothing between {wavelengths[at]:g} and {wavelengths[at + 1]:g} nm"
        return InputError("columns", seen, f"steps of {WIDEST_GAP_NM:g} nm or less")
    return None
