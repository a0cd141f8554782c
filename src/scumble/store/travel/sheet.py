"""The table of a shelf as a workbook (XLSX, ECMA-376), and back."""

from __future__ import annotations

import io
import zipfile
from datetime import datetime
from typing import Any, Final

from scumble.errors import InputError
from scumble.store.travel.table import COLUMNS

_NUMBERS: Final = {"price": "0.00", "size_ml": "General", "stock": "0"}
_WIDTHS: Final = {
    "key": 28,
    "label": 34,
    "lightfastness": 36,
    "notes": 48,
    "provenance": 24,
    "pigments": 18,
    "coat": 24,
}

_LARGEST: Final = 64_000_000
"""Bytes a workbook may unfold to."""


def format_sheet(rows: list[list[str]]) -> bytes:
    """Rows of text as a workbook of one sheet; numbers that lose no digit are written as numbers."""
    from openpyxl import Workbook
    from openpyxl.cell import WriteOnlyCell
    from openpyxl.styles import Font
    from openpyxl.utils import get_column_letter

    book = Workbook(write_only=True)
    sheet = book.create_sheet("shelf")
    sheet.freeze_panes = "C2"
    for number, name in enumerate(COLUMNS, start=1):
        sheet.column_dimensions[get_column_letter(number)].width = _WIDTHS.get(name, 13)
    head = [WriteOnlyCell(sheet, name) for name in COLUMNS]
    for cell in head:
        cell.font = Font(bold=True)
    sheet.append(head)
    for row in rows:
        sheet.append([_cell(sheet, name, said) for name, said in zip(COLUMNS, row, strict=True)])
    content = io.BytesIO()
    book.save(content)
    return content.getvalue()


def _cell(sheet: Any, name: str, said: str) -> Any:
    from openpyxl.cell import WriteOnlyCell

    if said and name in _NUMBERS and _keeps_digits(said):
        cell = WriteOnlyCell(sheet, float(said) if "." in said else int(said))
        cell.number_format = _NUMBERS[name]
        return cell
    cell = WriteOnlyCell(sheet, said or None)
    if said:
        # Text stays text, even where it starts like a formula.
        cell.data_type = "s"
    return cell


def _keeps_digits(said: str) -> bool:
    return len(said.replace(".", "").lstrip("0")) <= 15


def parse_sheet(content: bytes) -> list[list[str]]:
    """Cells of a workbook's first sheet as text, the names first.

    Raises
    ------
    InputError
        If it is no workbook, or unfolds to more than a shelf can be.
    """
    from openpyxl import load_workbook

    try:
        with zipfile.ZipFile(io.BytesIO(content)) as packed:
            size = sum(each.file_size for each in packed.infolist())
        if size > _LARGEST:
            raise InputError("workbook", f"{size} bytes once unpacked", f"at most {_LARGEST}")
        book = load_workbook(io.BytesIO(content), read_only=True, data_only=True)
        rows = [[_text(value) for value in row] for row in book.worksheets[0].iter_rows(values_only=True)]
        book.close()
    except InputError:
        raise
    except Exception as error:
        # The reader of workbooks raises whatever it stumbles over.
        raise InputError("workbook", f"{type(error).__name__}: {error}", "an XLSX workbook") from None
    return rows


def _text(value: object) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, float):
        return repr(value).removesuffix(".0")
    if isinstance(value, datetime):
        return value.date().isoformat()
    return str(value)
