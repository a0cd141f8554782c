"""Import a shelf's JSON or table, or see beforehand what would become of every row."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

from scumble.errors import InputError
from scumble.jobs.files import shelf_path
from scumble.jobs.shelf.export_shelf import OPTICS_KINDS, file_kind
from scumble.store.shelf import open_shelf


def import_shelf(
    file: Path,
    shelf: Path | None,
    *,
    preview: bool = False,
    progress: Callable[[str, float], None] | None = None,
) -> dict[str, Any]:
    """Take a file into the shelf, all or nothing.

    Parameters
    ----------
    file : Path
        From `export_shelf` or `export_optics`, or a table of one's own.
    shelf : Path, optional
        The shelf; the person's own by default.
    preview : bool
        Leave the shelf as it is.
    progress : callable, optional
        Told what is being done and how far it is, 0 to 1.

    Returns
    -------
    dict
        ``saved``; counts of ``new``, ``changed``, ``same`` and ``refused``; ``rows`` with ``place``, ``name``,
        ``what`` and ``said``.

    Raises
    ------
    InputError, StoreError
        If the file as a whole cannot be read, or the shelf cannot be written; nothing was saved.
    """
    if file.suffix.lower() in OPTICS_KINDS:
        return import_optics(file, shelf, preview=preview)
    from scumble.store.travel.shelf_import import CHANGED, NEW, REFUSED, SAME
    from scumble.store.travel.shelf_import import import_shelf as take_in

    kind = file_kind(file)
    try:
        content = file.read_bytes()
    except OSError as error:
        raise InputError("file", str(file), "a file that can be read", error.strerror or "") from None
    with open_shelf(shelf_path(shelf)) as opened:
        report = take_in(opened, content, kind, preview=preview, progress=progress)
    return {
        "saved": report.saved,
        **{what: report.count(what) for what in (NEW, CHANGED, SAME, REFUSED)},
        "rows": [
            {"place": each.place, "name": each.name, "what": each.what, "said": each.said}
            for each in report.outcomes
        ],
    }


def import_optics(file: Path, shelf: Path | None, *, preview: bool = False) -> dict[str, Any]:
    """Take one paint's optics into the shelf as a new version; told as by :func:`import_shelf`.

    Raises
    ------
    InputError, StoreError
        If the file holds no optics, or the shelf cannot be written; nothing was saved.
    """
    from scumble.store.drawers.save_version import same_paint
    from scumble.store.optics_file.cgats import parse_optics_cgats
    from scumble.store.optics_file.cxf import parse_optics_cxf

    try:
        content = file.read_bytes()
    except OSError as error:
        raise InputError("file", str(file), "a file that can be read", error.strerror or "") from None
    is_cxf = file.suffix.lower() == ".cxf"
    paint = parse_optics_cxf(content) if is_cxf else parse_optics_cgats(content, name=file.name)
    with open_shelf(shelf_path(shelf)) as opened:
        known = {entry.key for entry in opened.load_entries()}
        what = "new" if paint.key not in known else "changed"
        if paint.key in known and same_paint(opened.load_paint(paint.key), paint):
            what = "same"
        if not preview:
            opened.save_paint(paint)
    counts = {name: int(name == what) for name in ("new", "changed", "same", "refused")}
    row = {"place": "paint 1", "name": paint.key, "what": what, "said": ""}
    return {"saved": not preview, **counts, "rows": [row]}
