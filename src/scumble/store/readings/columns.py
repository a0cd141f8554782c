"""Which columns of a readings file hold the readings, by their names."""

from __future__ import annotations

import re
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from scumble.errors import InputError
from scumble.paint.reading import Quantity
from scumble.store.readings.raw import RawCard, join_words, plain

Floats = NDArray[np.float64]

FIRST_NM, LAST_NM, WIDEST_GAP_NM = 400.0, 700.0, 20.0
"""What a spectrum must reach and how close its points must lie; beyond its ends it is held flat, with a doubt."""

_XYZ = (("x", "xyz_x"), ("y", "xyz_y"), ("z", "xyz_z"))
_LAB = tuple(
    (letter, f"{letter}*", f"lab_{letter}", f"cie_{letter}", f"cie_{letter}*", f"cie{letter}*")
    for letter in "lab"
)
COLOUR_NAMES = tuple(name for names in (*_XYZ, *_LAB) for name in names)
"""Columns of colours, without capitals."""

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
    is_lab : bool
        Whether they are L*, a*, b*, of which XYZ are made.
    """

    quantity: Quantity
    places: tuple[int, ...]
    wavelength_nm: Floats | None
    doubts: tuple[str, ...]
    is_lab: bool = False


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


def has_roles(text: str) -> bool:
    """Whether a table has columns of its own that say what lies in each area, complete or not.

    Examples
    --------
    >>> has_roles("area;film;ground;Y"), has_roles("Name,L*,a*,b*")
    (True, False)
    """
    lines = (
        {plain(cell.strip().strip('"')) for cell in re.split(r"[,;\t]", line)}
        for line in text.split("\n")[:200]
    )
    return any(cells & {"film", "ground", "paint_parts"} for cells in lines)


def find_value_columns(raw: RawCard) -> ValueColumns:
    """Find the columns that hold the readings; a usable spectrum goes before XYZ, and XYZ before L*a*b*.

    Raises
    ------
    InputError
        If there are none, some are missing or one is there twice.
    """
    spectral = sorted(
        (nm, at) for at, name in enumerate(raw.columns) if (nm := wavelength_of(name)) is not None
    )
    xyz, lab = (tuple(at for names in kind if (at := _axis(raw, names)) is not None) for kind in (_XYZ, _LAB))
    if not spectral and not xyz and not lab:
        allowed = "X, Y, Z, or L*, a*, b*, or R380 to R730 beside the names"
        raise InputError("columns", join_words(raw.columns), allowed, "Add the readings.")
    wavelengths = np.array([nm for nm, _ in spectral])
    fault = _grid_fault(wavelengths) if spectral else None
    if spectral and fault is None:
        named = " and ".join(
            name for name, places in (("XYZ", xyz), ("L*a*b*", lab)) if places and (name == "XYZ" or not xyz)
        )
        doubts = (f"The file holds {named} and spectra; the spectra were used.",) if named else ()
        return ValueColumns(Quantity.REFLECTANCE, tuple(at for _, at in spectral), wavelengths, doubts)
    if len(xyz) == 3:
        doubts = ("The spectral columns do not make a spectrum; XYZ was used.",) if spectral else ()
        return ValueColumns(Quantity.XYZ, xyz, None, doubts)
    if len(lab) == 3:
        doubts = ("The spectral columns do not make a spectrum; L*a*b* was used.",) if spectral else ()
        return ValueColumns(Quantity.XYZ, lab, None, doubts, is_lab=True)
    if fault is not None:
        raise fault
    if not xyz:
        raise InputError("columns", join_words([raw.columns[at] for at in lab]), "all of L*, a* and b*")
    raise InputError("columns", join_words([raw.columns[at] for at in xyz]), "all of X, Y and Z")


def _axis(raw: RawCard, names: tuple[str, ...]) -> int | None:
    """Place of the column that goes by one of the names."""
    found = [at for name in names if (at := raw.column(name)) is not None]
    if len(found) > 1:
        raise InputError("columns", " and ".join(raw.columns[at].upper() for at in found), "each column once")
    return found[0] if found else None


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
