"""A table of many cards: which file, which tube, its pigments and binder, whether it is a white, and which is its."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from scumble.errors import InputError
from scumble.jobs.cards.read_card import Tube
from scumble.paint import Binder
from scumble.store.file_text import decode_text, load_bytes

COLUMNS = ("file", "tube", "pigments", "binder", "is_white", "white")
"""Of the table; all but the first may be left out, or left empty."""

SPELLINGS = {"label": "tube", "name": "tube", "pigment": "pigments", "photo": "file", "picture": "file"}
"""What columns are called as well."""

YES, NO = frozenset({"yes", "y", "true", "1", "x"}), frozenset({"", "no", "n", "false", "0"})

MOST_LINES = 2000


@dataclass(frozen=True, slots=True)
class CardOrder:
    """One card to be read.

    Parameters
    ----------
    path : Path
        Its file.
    tube : Tube
        What it was painted with.
    white : str, optional
        Short name of the white its tints were mixed with.
    """

    path: Path
    tube: Tube
    white: str | None = None


def name_of(path: Path) -> str:
    """What a tube is called after the file of its card.

    Examples
    --------
    >>> name_of(Path("photos/warm_earth-2.jpg"))
    'Warm earth 2'
    """
    words = " ".join(re.split(r"[\s_-]+", path.stem)).strip()
    return words[:1].upper() + words[1:]


def orders_of(cards: Sequence[Path], *, binder: str, white: str | None = None) -> tuple[CardOrder, ...]:
    """Cards whose tubes are named after their files.

    Raises
    ------
    InputError
        If the binder is not known.
    """
    return tuple(CardOrder(path, Tube(name_of(path), binder=known_binder(binder)), white) for path in cards)


def load_card_list(path: Path, *, binder: str = "acrylic", white: str | None = None) -> tuple[CardOrder, ...]:
    """Read a table of cards from a CSV file.

    Parameters
    ----------
    path : Path
        With a line of :data:`COLUMNS`; files are looked for beside it.
    binder, white : str
        Where the table says nothing.

    Raises
    ------
    InputError
        If it is no such table; it names the line.
    """
    text, _ = decode_text(load_bytes(path), name=path.name)
    lines = [line for line in text.splitlines() if line.strip() and not line.lstrip().startswith("#")]
    if not lines or len(lines) > MOST_LINES:
        raise InputError("list", path.name, f"a table of 1 to {MOST_LINES} cards")
    mark = max(";\t,", key=lines[0].count)
    rows = list(csv.reader(io.StringIO("\n".join(lines)), delimiter=mark))
    names = [_column(name) for name in rows[0]]
    if "file" not in names or len(set(names)) < len(names) or not set(names) <= set(COLUMNS):
        raise InputError("list", lines[0], f"a first line of columns, of {', '.join(COLUMNS)}")
    table = [dict(zip(names, row, strict=False)) for row in rows[1:]]
    return tuple(_order(path, row, number, binder, white) for number, row in enumerate(table, start=2))


def known_binder(word: str) -> Binder:
    """A binder by its word.

    Raises
    ------
    InputError
        If there is no such binder.
    """
    if word not in {known.value for known in Binder}:
        raise InputError("binder", word, ", ".join(known.value for known in Binder))
    return Binder(word)


def _column(name: str) -> str:
    plain = re.sub(r"[\s-]+", "_", name.strip().lower())
    return SPELLINGS.get(plain, plain)


def _order(path: Path, row: dict[str, str], number: int, binder: str, white: str | None) -> CardOrder:
    said = {name: row.get(name, "").strip() for name in COLUMNS}
    if not said["file"]:
        raise InputError("list", f"line {number} of {path.name} without a file", "a file in every line")
    if said["is_white"].lower() not in YES | NO:
        raise InputError("is_white", said["is_white"], "yes or no", f"Line {number} of {path.name}.")
    file = path.parent / said["file"]
    tube = Tube(
        said["tube"] or name_of(file),
        tuple(name.upper() for name in re.split(r"[\s;,+/]+", said["pigments"]) if name),
        known_binder(said["binder"].lower() or binder),
        said["is_white"].lower() in YES,
    )
    return CardOrder(file, tube, said["white"] or white)
