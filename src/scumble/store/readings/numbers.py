"""The numbers of a readings file: read, put on Scumble's scale, and refused or doubted where they look wrong."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from scumble.colour import lab_to_xyz, white_point
from scumble.errors import InputError
from scumble.paint.reading import Quantity
from scumble.store.readings.columns import ValueColumns
from scumble.store.readings.raw import RawCard, join_words, parse_number, plain
from scumble.store.readings.resample import resample

Floats = NDArray[np.float64]

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

_PERCENT_NAME = re.compile(r"spectral_pct", re.ASCII)


@dataclass(frozen=True, slots=True)
class _Numbers:
    """Readings as the file writes them, with the words to name them by.

    Parameters
    ----------
    raw : RawCard
        Where they come from.
    names : tuple of str
        Columns as written.
    written : array, shape (rows, columns)
        Numbers on the file's own scale.
    declared : float
        What stands for the perfect diffuser's reflectance or Y on it, 1 or 100.
    """

    raw: RawCard
    names: tuple[str, ...]
    written: Floats
    declared: float

    @property
    def shares(self) -> Floats:
        """The same with the perfect diffuser at 1."""
        return self.written / self.declared

    def rows_where(self, odd: NDArray[np.bool_]) -> str:
        """Lines of some rows, for a sentence; empty if there are none."""
        return join_words([row.place for row, is_odd in zip(self.raw.rows, odd, strict=True) if is_odd])


def read_values(
    raw: RawCard, columns: ValueColumns, *, light: str, observer: int
) -> tuple[Floats, tuple[str, ...]]:
    """Numbers of every row, on Scumble's scale and wavelengths.

    Parameters
    ----------
    raw : RawCard
        As written.
    columns : ValueColumns
        Where the readings stand.
    light : str
        Light of XYZ.
    observer : int
        Observer of XYZ [degrees].

    Returns
    -------
    values, doubts : array, shape (rows, 3) or (rows, 36); tuple of str
        XYZ with the perfect diffuser at Y = 100, or reflectance 0-1.

    Raises
    ------
    InputError
        For a cell that is no number or out of range, or the wrong scale; it names line and column.
    """
    numbers = _read_numbers(raw, columns)
    if columns.is_lab:
        numbers = _from_lab(numbers, light, observer)
    _check_level(numbers, columns.quantity)
    _check_cells(numbers)
    full = 100.0 if columns.quantity is Quantity.XYZ else 1.0
    # Scaled by exactly 1 where the file is on our scale: what was saved loads to the last digit.
    kept = np.maximum(numbers.written, 0.0) * (full / numbers.declared)
    if columns.wavelength_nm is None:
        white = white_point(light, observer) / 100.0
        hint = f" Is {light} the light they were computed for?"
        return kept, _doubt_values(numbers, white, hint)
    spectra, gaps = resample(kept, columns.wavelength_nm)
    return spectra, (*_doubt_values(numbers, np.ones(1), ""), *gaps)


def _read_numbers(raw: RawCard, columns: ValueColumns) -> _Numbers:
    names = tuple(raw.columns[at] for at in columns.places)
    cells = [
        [parse_number(row.cells[at], row.place, raw.columns[at]) for at in columns.places] for row in raw.rows
    ]
    declared = _declared_scale(raw, names, columns.quantity)
    return _Numbers(raw, names, np.array(cells), declared)


def _from_lab(numbers: _Numbers, light: str, observer: int) -> _Numbers:
    """XYZ of L*, a*, b*.

    *Source:* CIE 15:2018, 8.2.1; L* and a*, b* beyond what any surface shows are refused before they are turned.
    """
    for column, (least, most) in enumerate(((-1.0, 160.0), (-200.0, 200.0), (-200.0, 200.0))):
        wrong = (numbers.written[:, column] < least) | (numbers.written[:, column] > most)
        if wrong.any():
            row = int(np.argmax(wrong))
            field = f"{numbers.raw.rows[row].place}, column {numbers.names[column]}"
            raise InputError(field, f"{numbers.written[row, column]:g}", f"{least:g} to {most:g}")
    white = white_point(light, observer)
    return _Numbers(numbers.raw, numbers.names, lab_to_xyz(numbers.written, white), 100.0)


def _declared_scale(raw: RawCard, names: tuple[str, ...], quantity: Quantity) -> float:
    """What stands for the perfect diffuser in this file, by its header or its column names."""
    said = raw.header.get("scale")
    if said is not None:
        if said.lower() not in SCALES:
            raise InputError("scale", said, "percent or fraction")
        return SCALES[said.lower()]
    percent = quantity is Quantity.XYZ or all(_PERCENT_NAME.match(plain(name)) for name in names)
    return 100.0 if percent else 1.0


def _check_level(numbers: _Numbers, quantity: Quantity) -> None:
    """Refuse a card that was written on another scale than it says."""
    brightness = numbers.written[:, 1] if quantity is Quantity.XYZ else numbers.written.max(axis=1)
    percent = numbers.declared > 1.0
    if brightness.max() <= DARKEST * numbers.declared:
        given = f"nothing above {brightness.max():g}"
        allowed = f"0 to {numbers.declared:g}, with something lighter than black among them"
        hint = "If these are 0-1, write the header line '# scale: fraction'." if percent else ""
        raise InputError("readings", given, allowed, hint)
    too_bright = np.count_nonzero(brightness > BRIGHTEST * numbers.declared)
    # One cell too large is a slip of the pen; several rows are another scale, even on the card of a black.
    if too_bright > 1 and too_bright >= len(brightness) / 5:
        hint = "" if percent else "If these are 0-100, write the header line '# scale: percent'."
        given = f"up to {brightness.max():g}"
        raise InputError("readings", given, f"0 to {numbers.declared:g}", hint)


def _check_cells(numbers: _Numbers) -> None:
    """Refuse a single number that no surface can show, and rows that are all the same."""
    shares = numbers.shares
    for wrong, hint in (
        (shares > BRIGHTEST, "No surface reflects that much; look at that cell."),
        (shares < -ZERO_ERROR, "Nothing reflects less than nothing; look at that cell."),
    ):
        if wrong.any():
            row, column = (int(at) for at in np.argwhere(wrong)[0])
            field = f"{numbers.raw.rows[row].place}, column {numbers.names[column]}"
            given, allowed = f"{numbers.written[row, column]:g}", f"0 to {numbers.declared:g}"
            raise InputError(field, given, allowed, hint)
    if len(shares) > 1 and np.all(shares == shares[0]):
        raise InputError("readings", "every area alike", "what each area reads", "Are the rows copies?")


def _doubt_values(numbers: _Numbers, white: Floats, hint: str) -> tuple[str, ...]:
    """Doubts about numbers that can be but seldom are; ``white`` is the perfect diffuser's share."""
    shares, doubts = numbers.shares / white, []
    if below := numbers.rows_where(shares.min(axis=1) < 0):
        doubts.append(f"Readings slightly below zero were taken as zero ({below}).")
    if above := numbers.rows_where(shares.max(axis=1) > BEYOND_WHITE):
        doubts.append(f"Brighter than a perfect white ({above}): it fluoresces or shines.{hint}")
    if nothing := numbers.rows_where(shares.max(axis=1) <= NOTHING):
        doubts.append(f"Nothing at all came back ({nothing}): was the area really measured?")
    return tuple(doubts)
