"""Samples as an instrument names them, before anybody has said on which area of a card each was read.

CGATS.17, CxF3 and the tables that handheld instruments write; spectra, XYZ or L*a*b*.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from scumble.errors import InputError
from scumble.paint.reading import BARE, Quantity
from scumble.store.file_text import decode_text, load_bytes, said_of_file
from scumble.store.readings.cgats import gather_samples, is_cgats
from scumble.store.readings.columns import find_value_columns
from scumble.store.readings.numbers import read_values
from scumble.store.readings.raw import MOST_AREAS, ROLES, RawCard, RawRow, join_words, parse_number
from scumble.store.readings.rows import ReadingsFile, light_and_observer, read_card_rows
from scumble.store.readings.samples_csv import gather_csv
from scumble.store.readings.samples_cxf import gather_cxf

PERCENT_FROM: Final = 2.0
"""Reflectance beyond which a table that does not say its scale can only be in percent."""


@dataclass(frozen=True, slots=True)
class Samples:
    """What an instrument read.

    Parameters
    ----------
    kind : str
        ``CGATS.17``, ``CxF3`` or ``table``.
    names : tuple of str
        As the instrument names them, in the order of the file; not always different from each other.
    raw : RawCard
        Columns and rows of the readings alone, and the words above them.
    """

    kind: str
    names: tuple[str, ...]
    raw: RawCard


@dataclass(frozen=True, slots=True)
class MeasuredSamples:
    """The numbers of samples.

    Parameters
    ----------
    names : tuple of str
        As the instrument names them.
    values : tuple of array, shape (3,) or (36,) each
        XYZ with the perfect diffuser at Y = 100, or reflectance 0-1.
    quantity : Quantity
        Which of the two.
    light, observer : str, int
        What XYZ hold for.
    doubts : tuple of str
        What had to be guessed.
    """

    names: tuple[str, ...]
    values: tuple[NDArray[np.float64], ...]
    quantity: Quantity
    light: str
    observer: int
    doubts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PlacedArea:
    """What lies in an area that samples were read on.

    Parameters
    ----------
    area, film : str
        Its name, and ``bare`` or the stroke's.
    paint_parts, white_parts : float
        Parts by volume.
    ground : str
        The bare area that shows what lies under it.
    """

    area: str
    film: str
    paint_parts: float
    white_parts: float
    ground: str


def load_samples(path: Path | str, *, condition: str = "") -> Samples:
    """Read the samples of a file, whichever kind it is.

    Parameters
    ----------
    path : Path or str
        At most 8 MB.
    condition : str
        Measurement condition to take, M0 to M3, where the file holds several.

    Raises
    ------
    InputError
        If it holds no samples; the message names file, line and column.
    """
    path = Path(path)
    with said_of_file(path):
        return parse_samples(load_bytes(path), condition=condition)


def parse_samples(content: bytes, *, condition: str = "") -> Samples:
    """Read the samples of a file's content.

    Raises
    ------
    InputError
        If it holds no samples; the message names line and column.
    """
    if content.removeprefix(b"\xef\xbb\xbf").lstrip().startswith(b"<"):
        kind, (names, raw) = "CxF3", gather_cxf(content, condition=condition)
    else:
        text, doubts = decode_text(content)
        kind = "CGATS.17" if is_cgats(text) else "table"
        names, raw = gather_samples(text) if kind == "CGATS.17" else gather_csv(text)
        raw = replace(raw, doubts=(*doubts, *raw.doubts))
    if not 1 <= len(names) <= MOST_AREAS:
        raise InputError("samples", len(names), f"1 to {MOST_AREAS}")
    return Samples(kind, names, _scaled(_only_readings(raw)))


def _only_readings(raw: RawCard) -> RawCard:
    """The columns that hold readings; what else an instrument writes is passed over."""
    columns = find_value_columns(raw)
    rows = tuple(RawRow(row.place, tuple(row.cells[at] for at in columns.places)) for row in raw.rows)
    names = tuple(raw.columns[at] for at in columns.places)
    return replace(raw, columns=names, rows=rows, doubts=(*raw.doubts, *columns.doubts))


def _scaled(raw: RawCard) -> RawCard:
    """With its scale, where only one is possible."""
    if "scale" in raw.header or find_value_columns(raw).wavelength_nm is None:
        return raw
    numbers = [_numbers(raw, row) for row in raw.rows]
    if max(map(max, numbers)) <= PERCENT_FROM:
        return raw
    doubt = f"The spectra reach {max(map(max, numbers)):g} and were taken as percent."
    return replace(raw, header=raw.header | {"scale": "percent"}, doubts=(*raw.doubts, doubt))


def _numbers(raw: RawCard, row: RawRow) -> list[float]:
    return [parse_number(cell, row.place, name) for cell, name in zip(row.cells, raw.columns, strict=True)]


def measure_samples(samples: Samples) -> MeasuredSamples:
    """The numbers of samples, whatever they were read on.

    Raises
    ------
    InputError
        If a number cannot be; the message names line and column.
    """
    raw = samples.raw
    columns = find_value_columns(raw)
    light, observer, doubts = light_and_observer(raw)
    values, said = read_values(raw, columns, light=light, observer=observer)
    if columns.quantity is Quantity.REFLECTANCE:
        doubts = []
    return MeasuredSamples(
        samples.names,
        tuple(values),
        columns.quantity,
        light,
        observer,
        (*raw.doubts, *columns.doubts, *doubts, *said),
    )


def card_of_samples(samples: Samples, areas: Sequence[PlacedArea], places: Mapping[int, str]) -> ReadingsFile:
    """Make a card of samples, given where each was read.

    Parameters
    ----------
    samples : Samples
        As the instrument named them.
    areas : sequence of PlacedArea
        Of the card.
    places : mapping of int to str
        Area of each sample, by its place in the file counted from 0; the others are left out. Several on one area
        are averaged.

    Raises
    ------
    InputError
        If an area is not on the card, nothing is bare or painted, or a painted area's ground was not read.
    """
    known = {area.area: area for area in areas}
    if strange := sorted({name for name in places.values() if name not in known}):
        raise InputError("areas", join_words(strange), join_words(list(known), most=30))
    read = {area: [at for at, name in sorted(places.items()) if name == area] for area in known}
    read = {area: taken for area, taken in read.items() if taken}
    if missing := sorted(
        {known[area].ground for area in read if known[area].film != BARE and known[area].ground not in read}
    ):
        hint = "Read the bare areas of the card too."
        raise InputError(
            "samples", f"nothing on bare {join_words(missing)}", "each bare ground that was used", hint
        )
    rows = tuple(_row(samples.raw, known[area], taken) for area, taken in read.items())
    said = tuple(
        f"Area {area}: mean of {len(taken)} samples." for area, taken in read.items() if len(taken) > 1
    )
    columns = (*ROLES, *samples.raw.columns)
    return read_card_rows(
        replace(samples.raw, columns=columns, rows=rows, doubts=(*samples.raw.doubts, *said))
    )


def _row(raw: RawCard, area: PlacedArea, taken: list[int]) -> RawRow:
    """One area's row; ``taken`` are the places of its samples."""
    parts = (1.0, 0.0) if area.film == BARE else (area.paint_parts, area.white_parts)
    label = (area.area, area.film, *(f"{part:g}" for part in parts), area.ground)
    rows = [raw.rows[at] for at in taken]
    if len(rows) == 1:
        return RawRow(rows[0].place, (*label, *rows[0].cells))
    mean = np.mean([_numbers(raw, row) for row in rows], axis=0).tolist()
    return RawRow(rows[0].place, (*label, *map(repr, mean)))
