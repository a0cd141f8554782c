"""Card readings as CSV: a header of comment lines, a row of column names, a row for each area."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator

from scumble.errors import InputError
from scumble.paint.reading import CardReadings, Quantity, Reading
from scumble.store.file_text import SOME_FILE, decode_text
from scumble.store.readings.raw import MEASURED, MOST_AREAS, ROLES, WEIGHT, RawCard, RawRow
from scumble.store.readings.rows import ReadingsFile, read_card_rows
from scumble.store.readings.same import check_reads_back, without_directions
from scumble.tables import WAVELENGTH_NM

_HEADER = re.compile(
    r"(?P<word>illuminant|light|observer|noise|scale|condition|backing|serial)\s*"
    r"(?:[:=]\s*(?P<said>[^,;\t]+)|[,;\s]\s*(?P<brief>[\w.%°-]+(?:\s?deg\w*)?)\s*(?=[,;\t]|$))",
    re.IGNORECASE,
)
_CELL_BOUNDARY = re.compile(r"[,;\t]")


def parse_readings_csv(content: str | bytes, *, name: str = SOME_FILE) -> ReadingsFile:
    """Read a card from CSV: ``content`` is the whole file, ``name`` what it is called in an error.

    Raises
    ------
    InputError
        For anything that cannot be a card; it names the line and column.

    Examples
    --------
    >>> file = parse_readings_csv('''# illuminant: D65
    ... # observer: 2
    ... area,film,paint_parts,white_parts,ground,X,Y,Z
    ... white,bare,,,,83.1,87.6,92.4
    ... full-white,full,1,0,white,12.3,9.1,4.4
    ... ''')
    >>> file.readings.painted()[0].area, file.doubts
    ('full-white', ())
    """
    text, doubts = decode_text(content, name=name)
    return read_card_rows(_split(text, doubts))


def _split(text: str, doubts: tuple[str, ...]) -> RawCard:
    header: dict[str, str] = {}
    lines: list[tuple[int, str]] = []
    for number, line in enumerate(text.split("\n"), start=1):
        if _is_header(line, before_table=not lines):
            _note_header(header, line, number)
        elif _CELL_BOUNDARY.sub("", line).strip(' "'):
            lines.append((number, line))
    if not lines:
        raise InputError("columns", "none", ", ".join(ROLES) + " and the readings")
    if len(lines) - 1 > MOST_AREAS:
        given, allowed = f"{len(lines) - 1}", f"at most {MOST_AREAS}, one for each area of one card"
        raise InputError("rows", given, allowed)
    (number, first), *body = lines
    delimiter = max("\t;,", key=first.count)
    columns = _cells(first, delimiter, number)
    while columns and not columns[-1]:
        columns.pop()
    rows = tuple(_row(line, delimiter, number, len(columns)) for number, line in body)
    return RawCard(tuple(columns), rows, header, doubts=doubts)


def _is_header(line: str, *, before_table: bool) -> bool:
    start = line.lstrip(' \t"')
    # Spreadsheets may say first which sign parts the cells.
    if start.startswith("#") or re.fullmatch(r"sep=.", start.strip()):
        return True
    return before_table and bool(_HEADER.match(start))


def _note_header(header: dict[str, str], line: str, number: int) -> None:
    for word, said in _header_words(line):
        if header.setdefault(word, said) != said:
            raise InputError(f"line {number}, {word}", said, f"what was said before: {header[word]}")


def _header_words(line: str) -> Iterator[tuple[str, str]]:
    """Words and values of one line: ``# illuminant: D65``, ``illuminant=D65, observer=2``, ``#light;A;;``."""
    rest = line.replace('"', "").strip().lstrip("#").strip()
    while found := _HEADER.match(rest):
        word = found["word"].lower()
        yield ("light" if word == "illuminant" else word), (found["said"] or found["brief"]).strip()
        rest = rest[found.end() :].lstrip(",;\t ")


def _cells(line: str, delimiter: str, number: int) -> list[str]:
    try:
        cells = next(csv.reader([line], delimiter=delimiter, skipinitialspace=True, strict=True))
    except csv.Error as error:
        raise InputError(
            f"line {number}", line.strip(), "cells with closed quotation marks", f"{error}."
        ) from None
    return [cell.strip() for cell in cells]


def _row(line: str, delimiter: str, number: int, columns: int) -> RawRow:
    cells = _cells(line, delimiter, number)
    # Spreadsheets pad rows with empty cells; only cells that hold something count.
    while len(cells) > columns and not cells[-1]:
        cells.pop()
    if len(cells) != columns:
        hint = "A decimal comma needs ; between cells." if delimiter == "," and len(cells) > columns else ""
        raise InputError(f"line {number}", f"{len(cells)} cells", f"{columns}, as in the row of names", hint)
    return RawRow(f"line {number}", tuple(cells))


def format_readings_csv(readings: CardReadings) -> str:
    """Write a card as CSV; numbers keep every digit.

    Raises
    ------
    InputError
        If it could not be read back: a card without a bare area, a name with a line break, a number that is no
        reading.
    """
    readings = without_directions(readings)
    spectral = readings.quantity is Quantity.REFLECTANCE
    names = [f"R{nm:.0f}" for nm in WAVELENGTH_NM] if spectral else ["X", "Y", "Z"]
    weights = [WEIGHT] if any(reading.weight != 1.0 for reading in readings.readings) else []
    text = io.StringIO()
    text.write(f"# illuminant: {readings.light}\n# observer: {readings.observer}\n")
    text.write(f"# noise: {_number(readings.noise)}\n")
    text.writelines(f"# {name}: {said}\n" for name in MEASURED if (said := getattr(readings, name)))
    table = csv.writer(text, lineterminator="\n")
    table.writerow([*ROLES, *weights, *names])
    table.writerows(_written(reading, weighted=bool(weights)) for reading in readings.readings)
    check_reads_back(readings, parse_readings_csv(text.getvalue()).readings)
    return text.getvalue()


def _written(reading: Reading, *, weighted: bool) -> list[str]:
    parts = [_number(reading.paint_parts), _number(reading.white_parts)]
    weight = [_number(reading.weight)] if weighted else []
    values = [_number(value) for value in reading.values.tolist()]
    return [reading.area, reading.film, *parts, reading.ground, *weight, *values]


def _number(value: float) -> str:
    """The shortest text that reads back as the same number."""
    short = f"{value:g}"
    return short if float(short) == value else repr(float(value))
