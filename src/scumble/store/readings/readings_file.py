"""Readings files: the kind is found out, the card is read, and written so that it reads back the same."""

from __future__ import annotations

import os
from pathlib import Path

from scumble.errors import StoreError
from scumble.paint.reading import CardReadings
from scumble.store.file_text import decode_text, load_bytes, said_of_file
from scumble.store.readings.cgats import is_cgats, parse_readings_cgats
from scumble.store.readings.csv_text import format_readings_csv, parse_readings_csv
from scumble.store.readings.cxf import parse_readings_cxf
from scumble.store.readings.rows import ReadingsFile

__all__ = ["ReadingsFile", "load_readings", "parse_readings", "save_readings_csv"]


def load_readings(path: Path | str) -> ReadingsFile:
    """Read a card from a CSV, CGATS.17 or CxF3 file, whichever it is.

    Parameters
    ----------
    path : Path or str
        At most 8 MB.

    Raises
    ------
    InputError
        If it cannot be read as a card; the message names file, line and column.
    """
    path = Path(path)
    with said_of_file(path):
        return parse_readings(load_bytes(path))


def parse_readings(content: str | bytes) -> ReadingsFile:
    """Read a card from the content of a CSV, CGATS.17 or CxF3 file.

    Raises
    ------
    InputError
        If it cannot be read as a card; the message names line and column.
    """
    raw = content.encode("utf-8", "replace") if isinstance(content, str) else content
    if raw.removeprefix(b"\xef\xbb\xbf").lstrip().startswith(b"<"):
        return parse_readings_cxf(raw)
    text, doubts = decode_text(content)
    parse = parse_readings_cgats if is_cgats(text) else parse_readings_csv
    file = parse(text)
    return ReadingsFile(file.readings, (*doubts, *file.doubts))


def save_readings_csv(readings: CardReadings, path: Path | str) -> None:
    """Write a card as CSV; an older file of that name is replaced whole or not at all.

    Raises
    ------
    InputError
        If the readings could not be read back.
    StoreError
        If the file cannot be written.
    """
    path, text = Path(path), format_readings_csv(readings)
    unfinished = path.with_name(f"{path.name}.{os.getpid()}.unfinished")
    try:
        with unfinished.open("w", encoding="utf-8", newline="\n") as file:
            file.write(text)
            file.flush()
            os.fsync(file.fileno())
        unfinished.replace(path)
    except OSError as error:
        unfinished.unlink(missing_ok=True)
        raise StoreError(f"{path.name} cannot be written: {error.strerror or error}.") from None
