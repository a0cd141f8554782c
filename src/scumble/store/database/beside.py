"""The folder that lies beside a shelf's file: packed into its backup, and laid out again when that is restored."""

from __future__ import annotations

import os
import re
import shutil
import sqlite3
from contextlib import closing, suppress
from pathlib import Path
from typing import Final

from scumble.errors import StoreError
from scumble.store.database.faults import said_for_people

_MAKE: Final = "CREATE TABLE beside (name TEXT PRIMARY KEY, content BLOB NOT NULL)"
"""Only a backup has this table, and a shelf from the moment it is restored until its folder is laid out."""

_NAME: Final = re.compile(r"(?:[\w-][\w.-]*/)?[\w-][\w.-]*")
"""Of a file in the folder or in a folder of it; nothing else is packed, and nothing else is laid out."""

_PATIENCE_S: Final = 5.0


def folder_beside(shelf: Path) -> Path:
    """The folder that belongs to a shelf's file.

    Examples
    --------
    >>> folder_beside(Path("studio/shelf.sqlite")).name
    'shelf.sqlite-tray'
    """
    return shelf.with_name(f"{shelf.name}-tray")


def read_records(folder: Path) -> dict[str, bytes]:
    """The folder's records, small files that say what the others are; they are read before the shelf is copied.

    A card that is put on the shelf meanwhile then waits in the backup though it is on the shelf as well, and none is
    in neither. A file whose record came later is of no use and does no harm.
    """
    return {
        name: content for name in _names(folder, ".json") if (content := _read(folder / name)) is not None
    }


def pack_beside(folder: Path, records: dict[str, bytes], copy: sqlite3.Connection) -> None:
    """Put the folder into a copy of its shelf.

    Parameters
    ----------
    folder : Path
        Beside the shelf; it may be missing.
    records : dict
        From `read_records`, before the shelf was copied.
    copy : sqlite3.Connection
        Of the copy.
    """
    if _is_packed(copy):
        return
    copy.execute(_MAKE)
    for name in sorted({*records, *_names(folder, "")}):
        content = records.get(name) if name.endswith(".json") else _read(folder / name)
        if content is not None:
            copy.execute("INSERT INTO beside VALUES (?, ?)", (name, content))
    copy.commit()


def check_packed(backup: sqlite3.Connection, name: str) -> None:
    """Refuse a backup whose packed files would be laid out elsewhere than in the folder.

    Raises
    ------
    StoreError
        Naming the backup; backups of before the folder was packed have none and pass.
    """
    packed = backup.execute("SELECT name FROM beside") if _is_packed(backup) else ()
    if any(not (isinstance(file, str) and _NAME.fullmatch(file)) for (file,) in packed):
        raise StoreError(f"{name} is damaged; nothing was changed. Choose another backup.")


def lay_out_beside(shelf: Path) -> bool:
    """Lay out what was restored with a shelf in the place of the folder beside it; whether there was anything.

    Cut off at any moment it is begun anew by whoever calls it next: the packed files leave the shelf last.

    Raises
    ------
    StoreError
        If the folder cannot be written or the shelf is at work.
    """
    if not shelf.is_file():
        return False
    with said_for_people(shelf.name), closing(sqlite3.connect(shelf, timeout=_PATIENCE_S)) as opened:
        opened.isolation_level = None
        if not _is_packed(opened):
            return False
        opened.execute("PRAGMA synchronous = FULL")
        opened.execute("BEGIN IMMEDIATE")
        # Another program may have done it while this one waited for its turn.
        if _is_packed(opened):
            check_packed(opened, shelf.name)
            _put_in_place(opened, folder_beside(shelf))
            opened.execute("DROP TABLE beside")
        opened.execute("COMMIT")
        # Only to give the room back; a shelf that others read at this moment keeps it for later.
        with suppress(sqlite3.OperationalError):
            opened.execute("VACUUM")
    return True


def _put_in_place(shelf: sqlite3.Connection, folder: Path) -> None:
    """Write all files into a new folder, then let it take the old one's name."""
    new, old = (folder.with_name(f".{folder.name}.{which}") for which in ("new", "old"))
    try:
        shutil.rmtree(new, ignore_errors=True)
        new.mkdir()
        for name, content in shelf.execute("SELECT name, content FROM beside"):
            _write(new / name, content)
        if folder.exists():
            shutil.rmtree(old, ignore_errors=True)
            folder.rename(old)
        new.rename(folder)
        _sync(folder.parent)
        shutil.rmtree(old, ignore_errors=True)
    except OSError as error:
        said = error.strerror or str(error)
        raise StoreError(f"The folder {folder.name} cannot be written: {said}. Restore again.") from None


def _is_packed(connection: sqlite3.Connection) -> bool:
    asked = "SELECT count(*) FROM sqlite_master WHERE type = 'table' AND name = 'beside'"
    return bool(connection.execute(asked).fetchone()[0])


def _names(folder: Path, ending: str) -> list[str]:
    """Names of the folder's files, without those that are being written at this moment."""
    found = (path for path in folder.rglob(f"*{ending}") if path.is_file())
    names = (path.relative_to(folder).as_posix() for path in found)
    return sorted(name for name in names if _NAME.fullmatch(name))


def _read(path: Path) -> bytes | None:
    """A file, or None where it was let go meanwhile."""
    try:
        return path.read_bytes()
    except FileNotFoundError:
        return None


def _write(path: Path, content: bytes) -> None:
    path.parent.mkdir(exist_ok=True)
    with path.open("wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())


def _sync(folder: Path) -> None:
    """Have the disk know the new name; where folders cannot be opened, the system sees to it."""
    with suppress(OSError):
        opened = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(opened)
        finally:
            os.close(opened)
