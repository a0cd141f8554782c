"""What is peculiar to a shelf in an SQLite file."""

from __future__ import annotations

import sqlite3
from pathlib import Path
from typing import Final

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.engine import URL

from scumble.errors import StoreError
from scumble.store.database.door import WRITES
from scumble.store.database.schema import APPLICATION_ID

_SQLITE_START: Final = b"SQLite format 3\x00"


def shelf_file(place: Path | str) -> Path:
    """File of a shelf given as a path.

    Raises
    ------
    StoreError
        If the folder is missing, or something else stands there.
    """
    path = Path(place).expanduser()
    if path.is_dir():
        raise StoreError(f"{path} is a folder; a shelf is a file in it, such as {path / 'shelf.scumble'}.")
    if not path.parent.is_dir():
        raise StoreError(f"The folder {path.parent} does not exist. Make it, or choose another place.")
    return path


class SqliteFile:
    """A shelf in one file.

    Parameters
    ----------
    path : Path
        From `shelf_file`.
    """

    def __init__(self, path: Path) -> None:
        self.path = path
        self.name = path.name

    def make_engine(self, *, patience_s: float) -> Engine:
        """Connect to the file.

        Raises
        ------
        StoreError
            If another kind of file stands there.
        """
        check_start(self.path)
        url = URL.create("sqlite", database=str(self.path))
        engine = create_engine(url, connect_args={"timeout": patience_s})
        event.listen(engine, "connect", _set_up)
        event.listen(engine, "begin", _begin)
        return engine

    def is_ours(self, connection: Connection, tables: set[str]) -> bool:
        """Whether the file is empty or carries the mark of a shelf."""
        mark: int = connection.exec_driver_sql("PRAGMA application_id").scalar_one()
        return mark == (APPLICATION_ID if tables else 0)

    def settle(self, engine: Engine) -> None:
        """Let readers go on while one writes."""
        _let_readers_go_on(engine)


def check_start(path: Path) -> None:
    """Refuse a file that is there and is no database, before anything touches it.

    Raises
    ------
    StoreError
        If it is another kind of file or cannot be read.
    """
    try:
        with path.open("rb") as file:
            start = file.read(len(_SQLITE_START))
    except FileNotFoundError:
        return
    except OSError as error:
        raise StoreError(f"The shelf {path.name} cannot be opened: {error.strerror}.") from None
    if start and start != _SQLITE_START:
        raise StoreError(f"{path.name} is not a shelf. Choose another file; this one was left as it is.")


def _set_up(connection: sqlite3.Connection, _record: object) -> None:
    # The driver shall not begin transactions by itself: it would leave changes of tables outside of them.
    connection.isolation_level = None
    # What was confirmed survives a power cut.
    connection.execute("PRAGMA synchronous = FULL")
    connection.execute("PRAGMA foreign_keys = ON")
    # What is erased leaves no trace in the file.
    connection.execute("PRAGMA secure_delete = ON")


def _begin(connection: Connection) -> None:
    writes = connection.get_execution_options().get(WRITES, False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


def wipe_deleted(engine: Engine) -> None:
    """Cut off the log of what was written, which still holds what was just deleted; nothing on a server.

    Another program that is reading keeps the log until it is done; it is then cut off with the next thing erased, or
    when the last program closes the shelf.
    """
    if engine.dialect.name != "sqlite":
        return
    connection = engine.raw_connection()
    try:
        connection.cursor().execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()
    finally:
        connection.close()


def _let_readers_go_on(engine: Engine) -> None:
    """Switch the file to write-ahead logging, once and for all: readers no longer wait for a writer."""
    # Past SQLAlchemy, as this works outside of transactions only.
    connection = engine.raw_connection()
    try:
        cursor = connection.cursor()
        if cursor.execute("PRAGMA journal_mode").fetchone() != ("wal",):
            cursor.execute("PRAGMA journal_mode = WAL")
    except sqlite3.OperationalError as error:
        # Refused while another program is at work; whoever opens the shelf next does it then.
        if not str(error.sqlite_errorname).startswith(("SQLITE_BUSY", "SQLITE_READONLY")):
            raise
    finally:
        connection.close()
