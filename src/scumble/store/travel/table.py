"""The shelf as a table, for a spreadsheet: one row a paint, what its tube says and what the shop knows of it."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable
from decimal import Decimal, InvalidOperation
from typing import Final

from scumble.errors import InputError
from scumble.paint import Binder
from scumble.store.drawers.entry import Entry
from scumble.store.tube_facts import Lightfastness, LightScale, TubeFacts

COLUMNS: Final = (
    "key",
    "label",
    "pigments",
    "binder",
    "provenance",
    "price",
    "currency",
    "size_ml",
    "coat",
    "stock",
    "shop_code",
    "discontinued",
    "lightfastness",
    "notes",
)
"""All a table can say; ``provenance`` is told, and passed over when a table is read."""

_FORMULA: Final = ("=", "+", "-", "@", "'", "\t")
"""A cell that starts so is run by some spreadsheets; it is written behind an apostrophe."""

_SCALES: Final = {"astm d4303": LightScale.ASTM, "astm": LightScale.ASTM, "blue wool": LightScale.BLUE_WOOL}
_RATING = re.compile(
    r"(?P<scale>ASTM(?: D4303)?|Blue Wool)\s+(?P<rating>[IV]+|\d)\s*\((?P<said_by>.+?)\)\s*(?:;\s*(?=ASTM|Blue)|$)",
    re.IGNORECASE,
)
_YES: Final = {
    "yes": True,
    "true": True,
    "1": True,
    "x": True,
    "no": False,
    "false": False,
    "0": False,
    "": False,
}


def entry_to_cells(entry: Entry, facts: TubeFacts) -> list[str]:
    """One row of the table as text, in the order of `COLUMNS`."""
    return [
        entry.key,
        entry.label,
        " ".join(entry.pigments),
        entry.binder.value,
        entry.provenance.value,
        "" if facts.price is None else f"{facts.price:f}",
        facts.currency,
        "" if facts.size_ml is None else f"{facts.size_ml!r}".removesuffix(".0"),
        facts.coat,
        "" if facts.stock is None else str(facts.stock),
        facts.shop_code,
        "yes" if facts.discontinued else "no",
        "; ".join(f"{each.scale} {each.rating} ({each.said_by})" for each in facts.lightfastness),
        facts.notes,
    ]


def format_table_csv(rows: list[list[str]]) -> str:
    """Rows of `entry_to_cells` as CSV under their names."""
    text = io.StringIO()
    table = csv.writer(text, lineterminator="\n")
    table.writerow(COLUMNS)
    table.writerows([f"'{cell}" if cell.startswith(_FORMULA) else cell for cell in row] for row in rows)
    return text.getvalue()


def parse_table_csv(text: str) -> list[list[str]]:
    """Cells of a CSV, by comma, semicolon or tab, the names first.

    Raises
    ------
    InputError
        If it is no table.
    """
    first = text.lstrip("\ufeff").split("\n", 1)[0]
    delimiter = max(",;\t", key=first.count)
    try:
        rows = list(
            csv.reader(io.StringIO(text.lstrip("\ufeff"), newline=""), delimiter=delimiter, strict=True)
        )
    except csv.Error as error:
        raise InputError("table", str(error), "a CSV with closed quotation marks") from None
    return [[cell[1:] if cell[:1] == "'" and cell[1:2] in _FORMULA else cell for cell in row] for row in rows]


def cells_to_facts(cells: dict[str, str], known: TubeFacts) -> TubeFacts:
    """Facts of a row; a column that is missing leaves what was known, an empty cell empties it.

    Raises
    ------
    InputError
        Naming the column.
    """
    said = {name: cells.get(name, "").strip() for name in COLUMNS}
    read: dict[str, Callable[[], object]] = {
        "price": lambda: _decimal(said["price"]),
        "currency": lambda: said["currency"].upper(),
        "size_ml": lambda: _number(said["size_ml"], "size_ml", "millilitres above 0, such as 37"),
        "coat": lambda: said["coat"],
        "stock": lambda: _whole(said["stock"]),
        "shop_code": lambda: said["shop_code"],
        "discontinued": lambda: _yes(said["discontinued"]),
        "lightfastness": lambda: parse_ratings(said["lightfastness"]),
        "notes": lambda: said["notes"],
    }
    fields = {name: made() if name in cells else getattr(known, name) for name, made in read.items()}
    return TubeFacts(**fields)  # type: ignore[arg-type]


def parse_ratings(said: str) -> tuple[Lightfastness, ...]:
    """Ratings as they are written in a cell.

    Raises
    ------
    InputError
        If they are not written so.

    Examples
    --------
    >>> [each.rating for each in parse_ratings("ASTM D4303 II (the label); Blue Wool 7 (own test)")]
    ['II', '7']
    """
    ratings, at = [], 0
    while at < len(said):
        found = _RATING.match(said, at)
        if not found:
            allowed = "ASTM D4303 I to V or Blue Wool 1 to 8, each with who says so, parted by ;"
            raise InputError("lightfastness", said, allowed, "For example: ASTM D4303 I (the label).")
        scale = _SCALES[found["scale"].lower()]
        ratings.append(Lightfastness(scale, found["rating"].upper(), found["said_by"]))
        at = found.end()
    return tuple(ratings)


def parse_pigments(said: str) -> tuple[str, ...]:
    """Colour Index names parted by blanks, commas or plus signs."""
    return tuple(name for name in re.split(r"[\s,+;]+", said.strip()) if name)


def parse_binder(said: str) -> Binder:
    """A binder by its name.

    Raises
    ------
    InputError
        If there is none such.
    """
    try:
        return Binder(said.strip().lower())
    except ValueError:
        raise InputError("binder", said, ", ".join(Binder)) from None


def _decimal(said: str) -> Decimal | None:
    if not said:
        return None
    try:
        return Decimal(_with_point(said))
    except InvalidOperation:
        raise InputError("price", said, "an amount, such as 12.50") from None


def _number(said: str, field: str, allowed: str) -> float | None:
    if not said:
        return None
    try:
        return float(_with_point(said))
    except ValueError:
        raise InputError(field, said, allowed) from None


def _whole(said: str) -> int | None:
    number = _number(said, "stock", "a whole number of tubes")
    if number is not None and not (abs(number) < 1e9 and number == int(number)):
        raise InputError("stock", said, "a whole number of tubes")
    return None if number is None else int(number)


def _yes(said: str) -> bool:
    if said.lower() not in _YES:
        raise InputError("discontinued", said, "yes or no")
    return _YES[said.lower()]


def _with_point(said: str) -> str:
    return said.replace(",", ".") if said.count(",") == 1 and "." not in said else said
