"""The numbers of a readings file: which columns they stand in, on which scale, on which wavelengths."""

from __future__ import annotations

import re
from typing import Final

import numpy as np
from numpy.typing import NDArray

from scumble.colour import white_point
from scumble.errors import InputError
from scumble.paint.reading import Quantity
from scumble.store.raw_card import RawCard, join_words, parse_number, plain
from scumble.tables import WAVELENGTH_NM

Floats = NDArray[np.float64]

FIRST_NM, LAST_NM, WIDEST_GAP_NM = 400.0, 700.0, 20.0
"""What a spectrum must reach and how close its points must lie; beyond its ends it is held flat, with a doubt."""

BRIGHTEST: Final = 2.0
"""Reflectance beyond which a number is no reading; fluorescence and gloss seldom pass 1.2."""

BEYOND_WHITE: Final = 1.05
"""Times the perfect diffuser beyond which a reading is doubted."""

DARKEST: Final = 0.015
"""Reflectance that something on a card passes, if only its lightest ground; black paper shows about 0.04."""

NOTHING: Final = 1e-4
"""Reflectance up to which an area reads as nothing at all; black velvet shows more."""

ZERO_ERROR: Final = 0.01
"""How far below zero an instrument's own zero may lie [1]; such readings are taken as 0, with a doubt."""

SCALES: Final = {
    **dict.fromkeys(("percent", "%", "0-100", "100", "100.0"), 100.0),
    **dict.fromkeys(("fraction", "0-1", "1", "1.0"), 1.0),
}
"""Words for the number that stands for the perfect diffuser."""

_SPECTRAL = re.compile(
    r"(?:r|nm|spec|reflectance|spectral(?:_(?:nm|pct|dec))?)?_?(\d{3,4}(?:\.\d+)?)_?(?:nm)?", re.ASCII
)
_PERCENT_NAME = re.compile(r"spectral_pct", re.ASCII)


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


def value_columns(raw: RawCard) -> tuple[Quantity, list[int], list[str]]:
    """Find the columns that hold the reading; a usable spectrum goes before XYZ.

    Returns
    -------
    quantity, places, doubts
        Spectral places are in order of wavelength.

    Raises
    ------
    InputError
        If there are none, some are missing or one is there twice.
    """
    spectral = sorted(
        (nm, at) for at, name in enumerate(raw.columns) if (nm := wavelength_of(name)) is not None
    )
    xyz = [place for axis in "xyz" if (place := _axis(raw, axis)) is not None]
    if not spectral and not xyz:
        given = join_words(raw.columns)
        raise InputError("columns", given, "X, Y, Z or R380 to R730 beside the names", "Add the readings.")
    fault = _grid_fault(np.array([nm for nm, _ in spectral])) if spectral else None
    if spectral and fault is None:
        doubt = ["The file holds XYZ and spectra; the spectra were used."] if xyz else []
        return Quantity.REFLECTANCE, [at for _, at in spectral], doubt
    if len(xyz) == 3:
        doubt = ["The spectral columns do not make a spectrum; XYZ was used."] if spectral else []
        return Quantity.XYZ, xyz, doubt
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


def read_values(raw: RawCard, *, light: str, observer: int) -> tuple[Quantity, Floats, list[str]]:
    """Numbers of every row, on Scumble's scale and wavelengths.

    Parameters
    ----------
    raw : RawCard
        As written.
    light : str
        Light of XYZ.
    observer : int
        Observer of XYZ [degrees].

    Returns
    -------
    quantity, values, doubts
        Values have shape (rows, 3) with the perfect diffuser at Y = 100, or (rows, 36) as reflectance 0-1.

    Raises
    ------
    InputError
        For a cell that is no number or out of range, or the wrong scale; it names line and column.
    """
    quantity, places, doubts = value_columns(raw)
    names = [raw.columns[at] for at in places]
    numbers = np.array(
        [[parse_number(row.cells[at], row.place, raw.columns[at]) for at in places] for row in raw.rows]
    )
    spectral = quantity is Quantity.REFLECTANCE
    full = 1.0 if spectral else 100.0
    declared = _declared_scale(raw, names, quantity)
    numbers = numbers if declared == full else numbers * (full / declared)
    _check_level(numbers if spectral else numbers[:, 1], full, declared)
    _check_cells(raw, names, numbers, full, declared)
    if spectral:
        doubts += _doubt_values(raw, numbers, None)
    else:
        doubts += _doubt_values(raw, numbers / white_point(light, observer), light)
    numbers = np.maximum(numbers, 0.0)
    if not spectral:
        return quantity, numbers, doubts
    wavelengths = np.array([wavelength_of(name) for name in names], dtype=np.float64)
    spectra, gaps = resample(numbers, wavelengths)
    return quantity, spectra, doubts + gaps


def _declared_scale(raw: RawCard, names: list[str], quantity: Quantity) -> float:
    """What stands for the perfect diffuser in this file, by its header or its column names."""
    said = raw.header.get("scale")
    if said is not None:
        if said.lower() not in SCALES:
            raise InputError("scale", said, "percent or fraction")
        return SCALES[said.lower()]
    percent = quantity is Quantity.XYZ or all(_PERCENT_NAME.match(plain(name)) for name in names)
    return 100.0 if percent else 1.0


def _check_level(brightness: Floats, full: float, declared: float) -> None:
    """Refuse a card that was written on another scale than it says; ``full`` is the perfect diffuser here."""
    factor, highest = declared / full, brightness.max()
    if highest <= DARKEST * full:
        given, allowed = (
            f"nothing above {highest * factor:.3g}",
            f"0 to {declared:g}, on some ground lighter than black",
        )
        hint = "If these are 0-1, write the header line '# scale: fraction'." if declared > 1.0 else ""
        raise InputError("readings", given, allowed, hint)
    if np.median(brightness.max(axis=-1) if brightness.ndim > 1 else brightness) > BRIGHTEST * full:
        hint = "If these are 0-100, write the header line '# scale: percent'." if declared == 1.0 else ""
        raise InputError("readings", f"up to {highest * factor:.4g}", f"0 to {declared:g}", hint)


def _check_cells(raw: RawCard, names: list[str], numbers: Floats, full: float, declared: float) -> None:
    """Refuse a single number that no surface can show, and rows that are all the same."""
    for wrong, hint in (
        (numbers > BRIGHTEST * full, "No surface reflects that much; look at that cell."),
        (numbers < -ZERO_ERROR * full, "Nothing reflects less than nothing; look at that cell."),
    ):
        if wrong.any():
            row, column = (int(at) for at in np.argwhere(wrong)[0])
            field = f"{raw.rows[row].place}, column {names[column]}"
            raise InputError(field, f"{numbers[row, column] * declared / full:g}", f"0 to {declared:g}", hint)
    if len(numbers) > 1 and np.all(numbers == numbers[0]):
        raise InputError("readings", "every area alike", "what each area reads", "Are the rows copies?")


def _doubt_values(raw: RawCard, shares: Floats, light: str | None) -> list[str]:
    """Doubts about numbers that can be but seldom are; ``shares`` are of the perfect diffuser."""

    def rows_where(odd: NDArray[np.bool_]) -> str:
        return join_words([row.place for row, is_odd in zip(raw.rows, odd, strict=True) if is_odd])

    doubts = []
    if below := rows_where(shares.min(axis=1) < 0):
        doubts.append(f"Readings slightly below zero were taken as zero ({below}).")
    if above := rows_where(shares.max(axis=1) > BEYOND_WHITE):
        light_doubt = f" Is {light} the light they were computed for?" if light else ""
        doubts.append(f"Brighter than a perfect white ({above}): it fluoresces or shines.{light_doubt}")
    if nothing := rows_where(shares.max(axis=1) <= NOTHING):
        doubts.append(f"Nothing at all came back ({nothing}): was the area really measured?")
    return doubts


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
