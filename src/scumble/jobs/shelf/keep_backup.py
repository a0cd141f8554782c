"""Keep the shelf safe: copy it into one file with all that lies beside it, and put such a file back."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

from scumble.jobs.files import shelf_path


def keep_backup(
    out: Path | None, shelf: Path | None, *, progress: Callable[[str, float], None] | None = None
) -> dict[str, Any]:
    """Back the shelf up with its tray, targets and profiles; it may be in use.

    Parameters
    ----------
    out : Path, optional
        A file that is not there yet; one named after the day in the working folder by default.
    shelf : Path, optional
        The shelf; the person's own by default.
    progress : callable, optional
        Told what is being done and how far it is, 0 to 1.

    Returns
    -------
    dict
        ``file`` and ``bytes``.

    Raises
    ------
    StoreError
        If there is no shelf, or the file is there already or cannot be written.
    """
    from scumble.store.database.backup import backup_shelf

    path = out or Path(f"shelf-{date.today():%Y-%m-%d}.backup.sqlite")
    backup_shelf(shelf_path(shelf), path, progress=progress)
    return {"file": str(path), "bytes": path.stat().st_size}


def restore_backup(
    backup: Path, shelf: Path | None, *, progress: Callable[[str, float], None] | None = None
) -> dict[str, Any]:
    """Put a backup in the shelf's place; the old shelf is kept beside it.

    Parameters
    ----------
    backup : Path
        From `keep_backup`.
    shelf : Path, optional
        The shelf; the person's own by default.
    progress : callable, optional
        Told what is being done and how far it is, 0 to 1.

    Returns
    -------
    dict
        ``paints`` now on the shelf, and ``kept``: the file of the old shelf, None if there was none.

    Raises
    ------
    StoreError
        If it is no whole backup, or the shelf is being written; nothing was changed.
    """
    from scumble.store.database.backup import restore_shelf
    from scumble.store.shelf import open_shelf

    place = shelf_path(shelf)
    kept = restore_shelf(backup, place, progress=progress)
    with open_shelf(place) as opened:
        count = len(opened.load_entries())
    return {"paints": count, "kept": None if kept is None else str(kept)}
