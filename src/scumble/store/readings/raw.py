"""A readings file as it was written: header words and rows of cells, before anything is believed."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Final

from scumble.errors import InputError

MOST_AREAS: Final = 1000
"""Most rows of one card; the full sample card has 22."""

ROLES: Final = ("area", "film", "paint_parts", "white_parts", "ground")
"""Columns that say what lies in an area."""

MEASURED: Final = ("condition", "backing", "serial")
"""Words above the table that say how and on which card it was measured."""

WEIGHT: Final = "weight"
"""Optional column: trust in an area, 0 to 1."""

LONGEST_NAME: Final = 80

MOST_COLUMNS: Final = 1000
"""Most columns of a file; a spectrum every nanometre from 300 to 1100 takes 801."""

_NUMBER = re.compile(r"[+-]?(\d+([.,]\d*)?|[.,]\d+)([eE][+-]?\d{1,3})?", re.ASCII)


@dataclass(frozen=True, slots=True)
class RawRow:
    """One row.

    Parameters
    ----------
    place : str
        Where it stands, for errors: ``line 7``.
    cells : tuple of str
        Trimmed text, one for each column.
    """

    place: str
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class RawCard:
    """A readings file of any kind, split into cells.

    Parameters
    ----------
    columns : tuple of str
        Names as written, trimmed.
    rows : tuple of RawRow
        All of the same length as ``columns``.
    header : dict
        Words above the table: ``light``, ``observer``, ``noise``, ``scale``, ``condition``, ``backing``, ``serial``,
        where given.
    expected_light, expected_observer : str, int
        What this kind of file means when it does not say.
    doubts : tuple of str
        What had to be guessed so far.
    """

    columns: tuple[str, ...]
    rows: tuple[RawRow, ...]
    header: dict[str, str] = field(default_factory=dict)
    expected_light: str = "D65"
    expected_observer: int = 2
    doubts: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if len(self.columns) > MOST_COLUMNS:
            raise InputError("columns", len(self.columns), f"at most {MOST_COLUMNS}")

    def column(self, name: str) -> int | None:
        """Place of a column, capitals and spaces aside; None if there is none.

        Raises
        ------
        InputError
            If two columns go by that name.
        """
        found = [place for place, written in enumerate(self.columns) if plain(written) == name]
        if len(found) > 1:
            raise InputError("columns", f"{name} {len(found)} times", "each column once")
        return found[0] if found else None


def plain(name: str) -> str:
    """A column name without capitals; blanks and hyphens become underscores."""
    return re.sub(r"[\s_-]+", "_", name.strip().lower())


def parse_number(cell: str, place: str, column: str, *, allowed: str = "a number") -> float:
    """Read one number; a decimal comma is as good as a point.

    Raises
    ------
    InputError
        For an empty cell, words, NaN, infinity or thousands separators; it names line and column.

    Examples
    --------
    >>> parse_number("12,5", "line 3", "Y"), parse_number("1e-3", "line 3", "Y")
    (12.5, 0.001)
    """
    if not _NUMBER.fullmatch(cell):
        raise InputError(f"{place}, column {column}", cell or "an empty cell", allowed)
    number = float(cell.replace(",", "."))
    if abs(number) > 1e9:
        raise InputError(f"{place}, column {column}", cell, allowed)
    return number


def check_name(cell: str, place: str, column: str) -> str:
    """A name of an area, stroke or ground.

    Raises
    ------
    InputError
        If it is empty, long, starts with ``#`` or holds a line break.
    """
    if not cell or len(cell) > LONGEST_NAME or not cell.isprintable() or cell.startswith("#"):
        allowed = f"a name of 1 to {LONGEST_NAME} characters that does not start with #"
        raise InputError(f"{place}, column {column}", cell or "an empty cell", allowed)
    return cell


def join_words(words: list[str] | tuple[str, ...], *, most: int = 8) -> str:
    """Names in a sentence, cut short when there are many."""
    shown = list(words[:most])
    return ", ".join(shown) + (f" and {len(words) - most} more" if len(words) > most else "")
