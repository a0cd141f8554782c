"""Files that wait to be taken into the shelf: columns chosen, rows looked at, then all or nothing."""

from __future__ import annotations

import secrets
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from threading import Lock

from scumble.errors import InputError
from scumble.jobs.shelf.export_shelf import file_kind
from scumble.jobs.shelf.hung_strip import split_words
from scumble.store.shelf import Shelf
from scumble.store.travel.shelf_import import CHANGED, NEW, REFUSED, SAME, ImportReport, Outcome
from scumble.store.travel.table import COLUMNS

MOST_FILES = 8
"""Files kept before the oldest is let go."""

MOST_SHOWN = 120
"""Rows that a page shows one by one, those refused first."""

LEFT_OUT = ""

__all__ = ["COLUMNS", "MOST_SHOWN", "TravelDesk", "WaitingFile", "guess_columns"]

ALSO_CALLED = {
    "key": ("id", "short name"),
    "label": ("name", "paint", "colour", "color", "title"),
    "pigments": ("pigment", "colour index", "ci", "ci name", "colour index name"),
    "binder": ("medium", "type"),
    "price": ("cost", "each"),
    "currency": ("cur",),
    "size_ml": ("size", "ml", "volume"),
    "coat": ("full coat", "one coat", "wet film"),
    "stock": ("quantity", "qty", "count", "at hand"),
    "shop_code": ("code", "number", "article", "sku", "item"),
    "lightfastness": ("permanence", "light", "astm", "fastness"),
    "notes": ("note", "remarks", "comment", "comments"),
}
"""Other words that lists use for the columns. Scumble's own guess; a person chooses."""

Tell = Callable[[float, str], object]


@dataclass(frozen=True, slots=True)
class WaitingFile:
    """One file on the desk.

    Parameters
    ----------
    key : str
        In its address.
    name, kind : str
        As it was handed in, and ``json``, ``csv`` or ``xlsx``.
    content : bytes
        All of it.
    rows : tuple of list of str
        Cells of a table, names first; none of a shelf's JSON.
    columns : tuple of str
        What each column of the table is, empty for one left out.
    report : ImportReport or None
        What would become of it, or became.
    task : str
        The task that looks at it or takes it in.
    """

    key: str
    name: str
    kind: str
    content: bytes
    rows: tuple[list[str], ...] = ()
    columns: tuple[str, ...] = ()
    report: ImportReport | None = None
    task: str = ""

    def names(self) -> list[str]:
        """Names of the columns as the file has them."""
        first = next((row for row in self.rows if any(cell.strip() for cell in row)), [])
        return [*first, *[""] * len(self.columns)][: len(self.columns)]

    def count(self, what: str) -> int:
        """How many rows had an outcome."""
        return self.report.count(what) if self.report else 0

    def shown(self) -> list[tuple[Outcome, list[str]]]:
        """Outcomes with their cells: refused ones first, then those that change something."""
        if self.report is None:
            return []
        rank = {REFUSED: 0, NEW: 1, CHANGED: 2, SAME: 3}
        chosen = sorted(self.report.outcomes, key=lambda each: rank[each.what])[:MOST_SHOWN]
        return [(each, self._cells(each)) for each in chosen]

    def _cells(self, outcome: Outcome) -> list[str]:
        number = outcome.place.removeprefix("row ")
        if not (self.rows and number.isdigit()):
            return []
        row = self.rows[int(number) - 1]
        return [*row, *[""] * len(self.columns)][: len(self.columns)]


@dataclass(slots=True)
class TravelDesk:
    """The files of one running program."""

    _files: dict[str, WaitingFile] = field(default_factory=dict)
    _lock: Lock = field(default_factory=Lock)

    def put(self, name: str, content: bytes) -> WaitingFile:
        """Lay a file on the desk.

        Raises
        ------
        InputError
            If it is no shelf's file, or cannot be read as a whole.
        """
        from scumble.store.travel.shelf_import import read_table

        kind = file_kind(Path(name))
        rows = tuple(read_table(content, kind)) if kind != "json" else ()
        names = next((row for row in rows if any(cell.strip() for cell in row)), [])
        if kind != "json" and not names:
            raise InputError("table", "nothing", "a row of names, and a row for each tube")
        waiting = WaitingFile(secrets.token_hex(8), name, kind, content, rows, guess_columns(names))
        with self._lock:
            self._files[waiting.key] = waiting
            while len(self._files) > MOST_FILES:
                del self._files[next(iter(self._files))]
        return waiting

    def find(self, key: str) -> WaitingFile:
        """A file that waits.

        Raises
        ------
        InputError
            If it is not there any more.
        """
        with self._lock:
            if key not in self._files:
                raise InputError("file", key, "a file that waits", "Drop it again.")
            return self._files[key]

    def choose(self, key: str, columns: tuple[str, ...]) -> WaitingFile:
        """Say what each column of a table is.

        Raises
        ------
        InputError
            If one is unknown or chosen twice.
        """
        waiting = self.find(key)
        chosen = [name for name in columns if name]
        for name in chosen:
            if name not in COLUMNS or chosen.count(name) > 1:
                raise InputError("columns", name, "each once, of " + ", ".join(COLUMNS))
        return self._change(replace(waiting, columns=columns[: len(waiting.columns)], report=None))

    def begin(self, key: str, task: str) -> None:
        """Note the task that works on a file."""
        self._change(replace(self.find(key), task=task))

    def take(self, key: str, shelf: Shelf, *, preview: bool, tell: Tell) -> dict[str, int]:
        """Look at every row, or take the file in, all or nothing; counts of what became of the rows.

        Raises
        ------
        InputError, StoreError
            If it cannot be read, or the shelf cannot be written; nothing was saved.
        """
        from scumble.store.travel.shelf_import import import_shelf, import_table

        waiting = self.find(key)

        def progress(words: str, share: float) -> None:
            tell(share, words)

        if waiting.kind == "json":
            report = import_shelf(shelf, waiting.content, "json", preview=preview, progress=progress)
        else:
            rows = chosen_rows(waiting)
            report = import_table(shelf, rows, preview=preview, progress=progress)
        self._change(replace(self.find(key), report=report))
        return {what: report.count(what) for what in (NEW, CHANGED, SAME, REFUSED)}

    def _change(self, waiting: WaitingFile) -> WaitingFile:
        with self._lock:
            self._files[waiting.key] = waiting
        return waiting


def chosen_rows(waiting: WaitingFile) -> list[list[str]]:
    """Rows of a table under the names that were chosen; rows keep their places.

    Raises
    ------
    InputError
        If no name of a tube was chosen.
    """
    taken = [at for at, name in enumerate(waiting.columns) if name]
    if not {"key", "label"} & set(waiting.columns):
        raise InputError("columns", ", ".join(filter(None, waiting.columns)), "key or label among them")
    first = next(at for at, row in enumerate(waiting.rows) if any(cell.strip() for cell in row))
    named = [
        [waiting.columns[at] for at in taken] if number == first else row
        for number, row in enumerate(waiting.rows)
    ]
    return [
        row if number == first else [row[at] if at < len(row) else "" for at in taken]
        for number, row in enumerate(named)
    ]


def guess_columns(names: list[str]) -> tuple[str, ...]:
    """What the columns of a list are likely to be; each at most once.

    Examples
    --------
    >>> guess_columns(["Name", "CI name", "Qty", "Shelf row"])
    ('label', 'pigments', 'stock', '')
    """
    known: Mapping[str, str] = {name: name for name in COLUMNS} | {
        " ".join(split_words(word)): column for column, words in ALSO_CALLED.items() for word in words
    }
    found: list[str] = []
    for name in names:
        plain = name.strip().casefold()
        column = known.get(plain) or known.get(" ".join(split_words(plain.replace("_", " ")))) or LEFT_OUT
        found.append(column if column not in found else LEFT_OUT)
    return tuple(found)
