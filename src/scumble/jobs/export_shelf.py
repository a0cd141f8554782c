"""Export the shelf: whole as JSON, its list as a table, one paint's card as readings."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from scumble.errors import InputError
from scumble.jobs.files import shelf_path, write_whole
from scumble.store.shelf import open_shelf

KINDS = (".json", ".csv", ".xlsx")
CARD_KINDS = (".csv", ".cgats", ".cxf")
"""Endings of a whole shelf, and of one paint's card."""


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
    from scumble.store.shelf_export import format_shelf_json, format_shelf_table

    kind = file_kind(out)
    with open_shelf(shelf_path(shelf)) as opened:
        if kind == "json":
            content = format_shelf_json(opened, progress=progress).encode()
        else:
            content = format_shelf_table(opened, kind)
        count = len(opened.load_entries())
    write_whole(out, content)
    return {"file": str(out), "paints": count, "bytes": len(content)}


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
    from scumble.store.readings_cgats_out import format_readings_cgats
    from scumble.store.readings_csv import format_readings_csv
    from scumble.store.readings_cxf import format_readings_cxf

    kind = out.suffix.lower()
    if kind not in CARD_KINDS:
        raise InputError(
            "file", out.name, "for one paint's card a name that ends in " + ", ".join(CARD_KINDS)
        )
    with open_shelf(shelf_path(shelf)) as opened:
        readings = opened.load_readings(paint)
    if readings is None:
        raise InputError("paint", paint, "a paint whose card was read", "This one has no readings.")
    if kind == ".cxf":
        content = format_readings_cxf(readings)
    else:
        write = format_readings_csv if kind == ".csv" else format_readings_cgats
        content = write(readings).encode()
    write_whole(out, content)
    return {"file": str(out), "areas": len(readings.readings), "bytes": len(content)}


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
