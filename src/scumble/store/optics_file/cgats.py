"""A paint's optics as CGATS.17 text: absorption and scattering by wavelength, and in a second table their covariance.

*Source:* the layout of ANSI CGATS.17 (2009) and ISO 28178:2009, from memory; keywords and fields of our own for what
the standard has none for: K_ABSORPTION, S_SCATTERING and their relative standard deviations.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from scumble.errors import InputError
from scumble.paint import Paint
from scumble.store.file_text import decode_text
from scumble.store.optics_file.words import check_same, from_lower_rows, lower_rows, paint_of, words_of
from scumble.store.readings.cgats import Sheet, gather_sheets
from scumble.store.readings.raw import parse_number, plain
from scumble.tables import BANDS, WAVELENGTH_NM

Floats = NDArray[np.float64]

KIND = "paint optics"
_FIELDS = ("WAVELENGTH_NM", "K_ABSORPTION", "S_SCATTERING", "K_SD", "S_SD")


def format_optics_cgats(paint: Paint) -> str:
    """Write a paint's optics as CGATS.17 text, every digit of them.

    Raises
    ------
    InputError
        If something could not be read back, such as a name with a quotation mark.

    Notes
    -----
    K and S are absorption and reduced scattering of one coat; K_SD and S_SD are the standard deviations of their
    logarithms, that is relative ones, and told for the reader: the covariance in the second table holds.
    """
    optics = paint.optics
    spread = np.sqrt(np.diag(optics.covariance))
    columns = (WAVELENGTH_NM, optics.absorption, optics.scattering, spread[:BANDS], spread[BANDS:])
    rows = [" ".join(repr(float(each)) for each in row) for row in zip(*columns, strict=True)]
    said = [f'{name.upper()} "{_quoted(name, value)}"' for name, value in words_of(paint).items() if value]
    head = ["CGATS.17", 'ORIGINATOR "Scumble"', f'FILE_DESCRIPTOR "{KIND}"', 'UNIT "1/coat"', *said]
    table = _table(_FIELDS, rows)
    covariance = []
    if np.any(optics.covariance):
        names = ("ROW", *(f"C{at}" for at in range(1, 2 * BANDS + 1)))
        lower = lower_rows(optics.covariance)
        # Above the diagonal stand zeros, so that every row has its cells; they are not read.
        filled = [[*row, *[0.0] * (2 * BANDS - len(row))] for row in lower]
        rows = [f"{at} {' '.join(map(repr, row))}" for at, row in enumerate(filled, start=1)]
        covariance = _table(names, rows)
    text = "\n".join([*head, *table, *covariance, ""])
    check_same(paint, parse_optics_cgats(text))
    return text


def _table(fields: tuple[str, ...], rows: list[str]) -> list[str]:
    return [
        f"NUMBER_OF_FIELDS {len(fields)}",
        "BEGIN_DATA_FORMAT",
        " ".join(fields),
        "END_DATA_FORMAT",
        f"NUMBER_OF_SETS {len(rows)}",
        "BEGIN_DATA",
        *rows,
        "END_DATA",
    ]


def _quoted(name: str, value: str) -> str:
    if '"' in value or not value.isprintable():
        raise InputError(name, value, "words without quotation marks on one line")
    return value


def is_optics_cgats(text: str) -> bool:
    """Whether a CGATS.17 text holds a paint's optics rather than readings."""
    return any("k_absorption" in map(plain, sheet.fields) for sheet in gather_sheets(text))


def parse_optics_cgats(content: str | bytes, *, name: str = "optics file") -> Paint:
    """Read a paint's optics from CGATS.17 text.

    Raises
    ------
    InputError
        If it holds none; it names the line and field.
    """
    text, _ = decode_text(content, name=name)
    sheets = [sheet for sheet in gather_sheets(text) if sheet.fields and sheet.rows]
    spectra = next((sheet for sheet in sheets if "k_absorption" in map(plain, sheet.fields)), None)
    if spectra is None:
        raise InputError(name, "no table of optics", f"CGATS.17 with the fields {', '.join(_FIELDS[:3])}")
    wavelengths, absorption, scattering = (_column(spectra, field) for field in _FIELDS[:3])
    if not np.array_equal(wavelengths, WAVELENGTH_NM):
        given = f"{len(wavelengths)} wavelengths from {wavelengths[0]:g} nm"
        raise InputError("WAVELENGTH_NM", given, f"{BANDS} bands from 380 to 730 nm, in steps of 10")
    covariance = np.zeros((2 * BANDS, 2 * BANDS))
    if (second := next((sheet for sheet in sheets if plain(sheet.fields[0]) == "row"), None)) is not None:
        table = np.stack([_column(second, field) for field in second.fields[1:]], axis=-1)
        covariance = from_lower_rows([row[: at + 1].tolist() for at, row in enumerate(table)])
    words = {key: said for key, (said, _) in spectra.keywords.items()}
    return paint_of(words, absorption, scattering, covariance)


def _column(sheet: Sheet, field: str) -> Floats:
    """Numbers of a field, which must be there once."""
    fields = [plain(each) for each in sheet.fields]
    if fields.count(plain(field)) != 1:
        raise InputError("fields", f"{field} {fields.count(plain(field))} times", "each field once")
    at = fields.index(plain(field))
    numbers = []
    for number, words in sheet.rows:
        if len(words) != len(fields):
            raise InputError(f"line {number}", f"{len(words)} cells", f"{len(fields)}, one for each field")
        numbers.append(parse_number(words[at], f"line {number}", field))
    return np.array(numbers)
