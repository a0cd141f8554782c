"""Tables that handheld instruments write: names in one column, readings in others, whatever stands above them."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator
from typing import Final

from scumble.errors import InputError
from scumble.store.readings.columns import COLOUR_NAMES, wavelength_of
from scumble.store.readings.measured import find_condition
from scumble.store.readings.raw import RawCard, RawRow, plain

_NAMES: Final = (
    *("area", "sample_name", "samplename", "name", "sample", "sample_id", "sampleid", "label", "title"),
    *("colour", "color", "colour_name", "color_name", "description", "id", "no", "no.", "nr", "#", "number"),
)
"""Columns that can hold a sample's name, the best first."""

_FEWEST: Final = 3
"""Columns of readings that make a row of names the table's own."""

_LIGHT = re.compile(r"\b(D50|D65|A|LED-B3)\b")
_OBSERVER = re.compile(r"(?<![\d.])(2|10)\s*(?:°|deg|degrees?\b|$)", re.IGNORECASE)
_BOTH = re.compile(r"\b(D50|D65|A|LED-B3)\s*/\s*(2|10)\b")
_UNIT = re.compile(r"[\s_]*[(\[].*[)\]]\s*$")


def gather_csv(text: str) -> tuple[tuple[str, ...], RawCard]:
    """Names and readings of a table, and what stands above it.

    Parameters
    ----------
    text : str
        The whole file; cells parted by commas, semicolons or tabs.

    Raises
    ------
    InputError
        If no row names columns of readings, or a row has other cells than it.

    Examples
    --------
    >>> names, raw = gather_csv('''Instrument;my own
    ... Observer;10 deg
    ... Name;L*;a*;b*
    ... full on white;41,2;10,5;-30,1
    ... ''')
    >>> names, raw.columns, raw.header
    (('full on white',), ('L*', 'a*', 'b*'), {'observer': '10'})
    """
    lines = [(number, line) for number, line in enumerate(text.split("\n"), start=1) if line.strip(' ,;\t"')]
    found = next((at for at, (_, line) in enumerate(lines) if _readings_in(line)), None)
    if found is None:
        allowed = "a row that names columns of readings: X, Y, Z, or L*, a*, b*, or wavelengths"
        raise InputError("columns", "none of readings", allowed)
    number, first = lines[found]
    delimiter = max("\t;,", key=first.count)
    columns = [_UNIT.sub("", cell) for cell in _cells(first, delimiter)]
    rows = tuple(_rows(lines[found + 1 :], delimiter, len(columns)))
    if not rows:
        raise InputError(f"line {number}", "no row below it", "a row for each sample")
    header = _header([line for _, line in lines[:found]], first)
    at = _name_column(columns, rows)
    names = tuple(
        row.cells[at] if at is not None and row.cells[at] else str(1 + n) for n, row in enumerate(rows)
    )
    kept = [place for place in range(len(columns)) if place != at]
    bare = tuple(RawRow(row.place, tuple(row.cells[place] for place in kept)) for row in rows)
    return names, RawCard(tuple(columns[place] for place in kept), bare, header, expected_light="D50")


def _readings_in(line: str) -> bool:
    """Whether a line names columns of readings."""
    cells = [_UNIT.sub("", cell) for cell in _cells(line, max("\t;,", key=line.count))]
    return sum(plain(cell) in COLOUR_NAMES or wavelength_of(cell) is not None for cell in cells) >= _FEWEST


def _cells(line: str, delimiter: str) -> list[str]:
    return [cell.strip() for cell in next(csv.reader([line], delimiter=delimiter, skipinitialspace=True), [])]


def _rows(lines: list[tuple[int, str]], delimiter: str, columns: int) -> Iterator[RawRow]:
    for number, line in lines:
        cells = _cells(line, delimiter)
        while len(cells) > columns and not cells[-1]:
            cells.pop()
        if len(cells) != columns:
            given, allowed = f"{len(cells)} cells", f"{columns}, as in the row of names"
            raise InputError(f"line {number}", given, allowed)
        yield RawRow(f"line {number}", tuple(cells))


def _name_column(columns: list[str], rows: tuple[RawRow, ...]) -> int | None:
    """Where the samples' names stand: by its heading, else the first column of words."""
    headed = [plain(column) for column in columns]
    for name in _NAMES:
        if name in headed:
            return headed.index(name)
    for place, name in enumerate(headed):
        is_reading = name in COLOUR_NAMES or wavelength_of(name) is not None
        if not is_reading and any(re.search(r"[^\W\d]", row.cells[place]) for row in rows):
            return place
    return None


def _header(above: list[str], names: str) -> dict[str, str]:
    """Light, observer, condition and backing from the lines above a table, and from its row of names."""
    header: dict[str, str] = {}
    for line in above:
        key, _, said = (
            re.sub(r"[\"#]", "", line).strip().partition(next(iter(re.findall(r"[:=;,\t]", line)), ":"))
        )
        word, said = plain(key), said.strip(" ;,\t")
        if word in ("illuminant", "light", "illumination", "light_source") and (light := _LIGHT.search(said)):
            header.setdefault("light", light[1])
        if word.startswith("observer") and (observer := _OBSERVER.search(said)):
            header.setdefault("observer", observer[1])
        if word in ("backing", "sample_backing") and said:
            header.setdefault("backing", said)
        if word in ("scale", "noise") and said:
            header.setdefault(word, said)
        if condition := find_condition(line):
            header.setdefault("condition", condition)
    if both := _BOTH.search(names) or next((found for line in above if (found := _BOTH.search(line))), None):
        header.setdefault("light", both[1])
        header.setdefault("observer", both[2])
    if condition := find_condition(names):
        header.setdefault("condition", condition)
    return header
