"""One loader for every published table: a CSV under a header that says where its numbers come from."""

from __future__ import annotations

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from types import MappingProxyType
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from scumble.errors import InputError

TEXT: Final = "text"
"""The unit of a column that holds words."""

HEADER_KEYS: Final = ("title", "source", "read from", "licence", "units")
"""What the ``#`` lines above every table must say, one ``key: value`` a line."""


@dataclass(frozen=True, slots=True)
class Table:
    """A published table: named columns and where they come from.

    Parameters
    ----------
    title, source, read_from, licence : str
        What the table holds, who published it, where it was read and on what terms.
    units : mapping of str to str
        Unit of each column; ``text`` for words, ``1`` for a plain number.
    columns : mapping of str to array, shape (rows,)
        The numbers as float64 (words as str), read-only.
    """

    title: str
    source: str
    read_from: str
    licence: str
    units: Mapping[str, str]
    columns: Mapping[str, NDArray[Any]]

    def __getitem__(self, name: str) -> NDArray[Any]:
        """One column by name."""
        return self.columns[name]

    def __len__(self) -> int:
        """Number of rows."""
        return len(next(iter(self.columns.values())))

    def stack(self, *names: str) -> NDArray[np.float64]:
        """Several number columns side by side, shape (rows, len(names))."""
        return np.stack([self.columns[name] for name in names], axis=-1).astype(np.float64)


@cache
def load_table(name: str) -> Table:
    """Read one table of this room, once.

    Parameters
    ----------
    name : str
        File name without ``.csv``, e.g. ``"observer_2deg"``.

    Returns
    -------
    Table
        Frozen; later calls return the same value.

    Raises
    ------
    InputError
        When there is no such table.

    Examples
    --------
    >>> table = load_table("observer_2deg")
    >>> len(table), table.units["wavelength_nm"], float(table["y"][table["wavelength_nm"] == 555][0])
    (471, 'nm', 1.0)
    """
    room = files("scumble.tables")
    path = room / f"{name}.csv"
    if not path.is_file():
        known = sorted(
            entry.name.removesuffix(".csv") for entry in room.iterdir() if entry.name.endswith(".csv")
        )
        raise InputError("table", name, "one of " + ", ".join(known))
    return parse_table(path.read_text(encoding="utf-8"))


def parse_table(text: str) -> Table:
    """Turn the text of a table into a :class:`Table`.

    Parameters
    ----------
    text : str
        ``#`` header lines (``# key: value``), one line of column names, then the rows.

    Returns
    -------
    Table
        The same, frozen.

    Raises
    ------
    InputError
        When the header does not say every one of `HEADER_KEYS`, or a column has no unit.

    Examples
    --------
    >>> table = parse_table('''# title: Two lamps
    ... # source: A. Author (1931)
    ... # read from: the paper
    ... # licence: none needed
    ... # units: lamp text; power W
    ... lamp,power
    ... small,40
    ... large,60
    ... ''')
    >>> table["lamp"][1].item(), table["power"][1].item()
    ('large', 60.0)
    """
    lines = text.splitlines()
    header = _read_header([line for line in lines if line.startswith("#")])
    rows = list(csv.reader(line for line in lines if line and not line.startswith("#")))
    names, body = rows[0], rows[1:]
    units = dict(entry.strip().rsplit(" ", 1) for entry in header["units"].split(";"))
    if set(units) != set(names):
        raise InputError("units", header["units"], "a unit for each of " + ", ".join(names))
    columns = {name: _freeze([row[at] for row in body], units[name]) for at, name in enumerate(names)}
    return Table(
        title=header["title"],
        source=header["source"],
        read_from=header["read from"],
        licence=header["licence"],
        units=MappingProxyType(units),
        columns=MappingProxyType(columns),
    )


def _read_header(lines: list[str]) -> dict[str, str]:
    header = {}
    for line in lines:
        key, _, value = line.removeprefix("#").partition(":")
        header[key.strip()] = value.strip()
    missing = [key for key in HEADER_KEYS if not header.get(key)]
    if missing:
        raise InputError("header", ", ".join(header), "a line for each of " + ", ".join(HEADER_KEYS))
    return header


def _freeze(cells: list[str], unit: str) -> NDArray[Any]:
    column: NDArray[Any] = np.array(cells) if unit == TEXT else np.array(cells, dtype=np.float64)
    column.flags.writeable = False
    return column
