"""A shelf's file copied whole while it is in use, and put back with the old one kept beside."""

from __future__ import annotations

import os
import shutil
import sqlite3
import time
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from datetime import datetime
from pathlib import Path
from typing import Final

from scumble.errors import StoreError
from scumble.store.database.beside import (
    check_packed,
    folder_beside,
    lay_out_beside,
    pack_beside,
    read_records,
)
from scumble.store.database.connect import find_place
from scumble.store.database.faults import said_for_people
from scumble.store.database.schema import APPLICATION_ID, HEAD
from scumble.store.database.sqlite_file import SqliteFile, check_start

Progress = Callable[[str, float], None]

PATIENCE_S = 5.0
"""How long to wait while another program writes."""

_PAGES_A_STEP: Final = 2048
"""Copied before a writer may have its turn."""


def backup_shelf(place: Path | str, out: Path, *, progress: Progress | None = None) -> None:
    """Copy a shelf, pictures and all, into one file, with what lies in the folder beside it; who uses it goes on.

    Parameters
    ----------
    place : Path or str
        The shelf.
    out : Path
        A file that is not there yet; it is whole or not there.
    progress : callable, optional
        Told what is being done and how far it is, 0 to 1.

    Raises
    ------
    StoreError
        If there is no shelf, the file is there already, or it cannot be written.
    """
    path = _file(place)
    if not path.exists():
        raise StoreError(f"There is no shelf {path.name} to back up.")
    if out.exists():
        raise StoreError(f"{out.name} is there already; it was left as it is. Choose another name.")
    tell = progress or (lambda _words, _share: None)
    unfinished = out.with_name(f".{out.name}.{os.getpid()}.unfinished")
    try:
        with said_for_people(path.name), closing(_open(path)) as shelf:
            _check_shelf(shelf, path.name)
            with _said_of(out), closing(sqlite3.connect(unfinished)) as copy:
                records = read_records(folder_beside(path))
                _copy(shelf, copy, tell)
                pack_beside(folder_beside(path), records, copy)
                copy.execute("PRAGMA journal_mode = DELETE")
                _check_whole(copy, out.name)
        with _said_of(out):
            _sync(unfinished)
            unfinished.replace(out)
    finally:
        unfinished.unlink(missing_ok=True)


def restore_shelf(backup: Path, place: Path | str, *, progress: Progress | None = None) -> Path | None:
    """Put a backup in a shelf's place, and its folder beside it; what stood there is kept in a file.

    Parameters
    ----------
    backup : Path
        From `backup_shelf`; it is left as it is.
    place : Path or str
        The shelf; programs that have it open see the restored one from then on.
    progress : callable, optional
        Told what is being done and how far it is, 0 to 1.

    Returns
    -------
    Path or None
        Where the old shelf is kept, None if there was none.

    Raises
    ------
    StoreError
        If the backup is no whole shelf or a newer Scumble's, or the shelf is being written; nothing was changed.
    """
    path, tell = _file(place), progress or (lambda _words, _share: None)
    if not backup.is_file():
        raise StoreError(f"There is no backup {backup.name}.")
    if path.exists() and backup.samefile(path):
        raise StoreError(f"{backup.name} is the shelf itself. Choose its backup.")
    check_start(backup)
    with said_for_people(backup.name), closing(_open(backup)) as source:
        _check_shelf(source, backup.name)
        _check_whole(source, backup.name)
        check_packed(source, backup.name)
        kept = _keep(path) if path.exists() and path.stat().st_size else None
        # One transaction of the shelf's own: cut off at any moment, it leaves the old shelf.
        with said_for_people(path.name), closing(sqlite3.connect(path, timeout=PATIENCE_S)) as shelf:
            shelf.execute("PRAGMA synchronous = FULL")
            source.backup(shelf, pages=-1, progress=_impatient(path.name))
        # The folder is still packed in it; cut off here, it is laid out when its cards are next asked for.
        lay_out_beside(path)
        tell("restoring", 1.0)
    return kept


def _file(place: Path | str) -> Path:
    found = find_place(place)
    if not isinstance(found, SqliteFile):
        raise StoreError(
            "A server keeps its own backups. Export the shelf as JSON, or ask who runs the server."
        )
    return found.path


def _open(path: Path) -> sqlite3.Connection:
    check_start(path)
    connection = sqlite3.connect(path, timeout=PATIENCE_S)
    connection.isolation_level = None
    return connection


def _check_shelf(connection: sqlite3.Connection, name: str) -> None:
    mark = connection.execute("PRAGMA application_id").fetchone()[0]
    tables = {row[0] for row in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
    if mark != APPLICATION_ID or not {"alembic_version", "paints"} <= tables:
        raise StoreError(f"{name} is not a shelf. Choose another file; nothing was changed.")
    found = connection.execute("SELECT version_num FROM alembic_version").fetchone()
    if found is None or found[0] > HEAD:
        raise StoreError(f"{name} was written by a newer Scumble. Use that one; nothing was changed.")


def _check_whole(connection: sqlite3.Connection, name: str) -> None:
    said = connection.execute("PRAGMA integrity_check(1)").fetchone()
    loose = connection.execute("PRAGMA foreign_key_check").fetchone()
    if said != ("ok",) or loose is not None:
        raise StoreError(f"{name} is damaged; nothing was changed. Choose another backup.")


def _copy(source: sqlite3.Connection, target: sqlite3.Connection, tell: Progress) -> None:
    def say(_status: int, remaining: int, total: int) -> None:
        tell("copying the shelf", 1.0 - remaining / max(total, 1))

    # Inside a transaction the copy is of one moment and need not start anew when another program writes.
    source.execute("BEGIN")
    source.execute("SELECT count(*) FROM paints").fetchone()
    source.backup(target, pages=_PAGES_A_STEP, progress=say)
    source.execute("ROLLBACK")


def _impatient(name: str) -> Callable[[int, int, int], None]:
    """Ends a copy that waits for a writer for too long; by itself it would wait for ever."""
    until = time.monotonic() + PATIENCE_S

    def say(status: int, _remaining: int, _total: int) -> None:
        if status in (sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED) and time.monotonic() > until:
            raise StoreError(f"The shelf {name} is being written by another program; nothing was changed.")

    return say


def _keep(path: Path) -> Path:
    """Keep what stands in a shelf's place: a copy of a sound one, the very files of a damaged one."""
    moment = f"{datetime.now():%Y%m%d-%H%M%S}"
    kept = path.with_name(f"{path.stem}.before-{moment}{path.suffix}")
    number = 1
    while kept.exists():
        number += 1
        kept = path.with_name(f"{path.stem}.before-{moment}-{number}{path.suffix}")
    if not _is_damaged(path):
        backup_shelf(path, kept)
        return kept
    if folder_beside(path).exists():
        shutil.copytree(folder_beside(path), folder_beside(kept))
    for end in ("", "-wal", "-shm"):
        part = path.with_name(path.name + end)
        if part.exists():
            part.rename(kept.with_name(kept.name + end))
    return kept


def _is_damaged(path: Path) -> bool:
    with said_for_people(path.name), closing(_open(path)) as shelf:
        try:
            _check_shelf(shelf, path.name)
            sound: bool = shelf.execute("PRAGMA integrity_check(1)").fetchone() == ("ok",)
        except sqlite3.DatabaseError as error:
            if error.sqlite_errorname.startswith(("SQLITE_CORRUPT", "SQLITE_NOTADB")):
                return True
            raise
    return not sound


def _sync(path: Path) -> None:
    with path.open("rb") as file:
        os.fsync(file.fileno())


@contextmanager
def _said_of(out: Path) -> Iterator[None]:
    try:
        yield
    except OSError as error:
        raise StoreError(f"{out.name} cannot be written: {error.strerror or error}.") from None
    except sqlite3.Error as error:
        raise StoreError(f"{out.name} cannot be written: {error}. Check its folder and the disk.") from None
