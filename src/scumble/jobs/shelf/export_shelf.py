"""Export the shelf: whole as JSON, its list as a table, one paint's card as readings."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from scumble.errors import InputError
from scumble.jobs.files import shelf_path, write_whole
from scumble.store.shelf import Shelf, open_shelf

KINDS = (".json", ".csv", ".xlsx")
CARD_KINDS = (".csv", ".cgats", ".cxf")
OPTICS_KINDS = (".cgats", ".cxf")
"""Endings of a whole shelf, of one paint's card, and of its optics."""


def export_shelf(
    out: Path, shelf: Path | None, *, progress: Callable[[str, float], None] | None = None
) -> dict[str, Any]:
    """Write the shelf to a file, whose ending says which kind.

    Parameters
    ----------
    out : Path
        ``.json`` for everything, ``.csv`` or ``.xlsx`` for the list.
    shelf : Path, optional
        The shelf; the person's own by default.
    progress : callable, optional
        Told what is being done and how far it is, 0 to 1.

    Returns
    -------
    dict
        ``file``, ``paints`` and ``bytes``.

    Raises
    ------
    InputError, StoreError
        For another ending, a file that cannot be written, or a shelf that cannot be read.
    """
    kind = file_kind(out)
    with open_shelf(shelf_path(shelf)) as opened:
        content = shelf_bytes(opened, kind, progress=progress)
        count = len(opened.load_entries())
    write_whole(out, content)
    return {"file": str(out), "paints": count, "bytes": len(content)}


def shelf_bytes(shelf: Shelf, kind: str, *, progress: Callable[[str, float], None] | None = None) -> bytes:
    """A whole shelf as a file: ``json``, ``csv`` or ``xlsx``.

    Raises
    ------
    InputError, StoreError
        For another kind, or a shelf that cannot be read.
    """
    from scumble.store.travel.shelf_export import format_shelf_json, format_shelf_table

    if kind == "json":
        return format_shelf_json(shelf, progress=progress).encode()
    return format_shelf_table(shelf, kind)


def export_card(out: Path, shelf: Path | None, *, paint: str) -> dict[str, Any]:
    """Write the readings that a paint's optics were fitted to.

    Parameters
    ----------
    out : Path
        ``.csv``, ``.cgats`` (CGATS.17) or ``.cxf`` (CxF3); `scumble read` takes any of them.
    shelf : Path, optional
        The shelf; the person's own by default.
    paint : str
        Key or label.

    Returns
    -------
    dict
        ``file``, ``areas`` and ``bytes``.

    Raises
    ------
    InputError, StoreError
        For another ending, a paint without a card, or a file that cannot be written.
    """
    kind = out.suffix.lower()
    if kind not in CARD_KINDS:
        raise InputError(
            "file", out.name, "for one paint's card a name that ends in " + ", ".join(CARD_KINDS)
        )
    with open_shelf(shelf_path(shelf)) as opened:
        content, areas = card_bytes(opened, paint, kind.removeprefix("."))
    write_whole(out, content)
    return {"file": str(out), "areas": areas, "bytes": len(content)}


def card_bytes(shelf: Shelf, paint: str, kind: str) -> tuple[bytes, int]:
    """The readings of a paint's card as a file, ``csv``, ``cgats`` or ``cxf``, and how many areas it has.

    Raises
    ------
    InputError
        If there is no such paint, or it has no card.
    """
    from scumble.store.readings.cgats_out import format_readings_cgats
    from scumble.store.readings.csv_text import format_readings_csv
    from scumble.store.readings.cxf import format_readings_cxf

    readings = shelf.load_readings(paint)
    if readings is None:
        raise InputError("paint", paint, "a paint whose card was read", "This one has no readings.")
    count = len(readings.readings)
    if kind == "cxf":
        return format_readings_cxf(readings), count
    write = format_readings_csv if kind == "csv" else format_readings_cgats
    return write(readings).encode(), count


def export_optics(out: Path, shelf: Path | None, *, paint: str) -> dict[str, Any]:
    """Write a paint's optics with their doubt.

    Parameters
    ----------
    out : Path
        ``.cgats`` (CGATS.17) or ``.cxf`` (CxF3); `scumble import` takes either.
    shelf : Path, optional
        The shelf; the person's own by default.
    paint : str
        Key or label.

    Raises
    ------
    InputError, StoreError
        For another ending, an unknown paint, or a file that cannot be written.
    """
    kind = out.suffix.lower()
    if kind not in OPTICS_KINDS:
        raise InputError("file", out.name, "for optics a name that ends in " + ", ".join(OPTICS_KINDS))
    with open_shelf(shelf_path(shelf)) as opened:
        content = optics_bytes(opened, paint, kind.removeprefix("."))
    write_whole(out, content)
    return {"file": str(out), "bytes": len(content)}


def optics_bytes(shelf: Shelf, paint: str, kind: str) -> bytes:
    """A paint's optics as a file, ``cgats`` or ``cxf``.

    Raises
    ------
    InputError
        If there is no such paint.
    """
    from scumble.store.optics_file.cgats import format_optics_cgats
    from scumble.store.optics_file.cxf import format_optics_cxf

    found = shelf.load_paint(paint)
    return format_optics_cxf(found) if kind == "cxf" else format_optics_cgats(found).encode()


def file_kind(path: Path) -> str:
    """Kind of a shelf's file by its ending.

    Raises
    ------
    InputError
        For another ending.
    """
    if path.suffix.lower() not in KINDS:
        raise InputError("file", path.name, "a name that ends in " + ", ".join(KINDS))
    return path.suffix.lower().removeprefix(".")
