"""Open the file of a shelf: found, recognised, and brought up to date."""

from __future__ import annotations

import sqlite3
import threading
from pathlib import Path
from typing import Any, Final

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.engine import URL, make_url
from sqlalchemy.exc import ArgumentError

from scumble.errors import StoreError
from scumble.store.faults import said_for_people
from scumble.store.schema import APPLICATION_ID, HEAD

WRITES: Final = "scumble_writes"
"""Execution option of a connection that will write: it takes its turn at once, not at the first change."""

_ONE_AT_A_TIME: Final = threading.Lock()
"""Alembic keeps the migration at work in one place for the whole program, so threads take turns."""

_SQLITE_START: Final = b"SQLite format 3\x00"


def shelf_file(place: Path | str) -> Path:
    """File of a shelf given as a path or as a URL ``sqlite:///path``.

    Raises
    ------
    StoreError
        If the URL is of another kind, the folder is missing, or something else stands there.
    """
    if isinstance(place, str) and "://" in place:
        place = _file_of_url(place)
    path = Path(place).expanduser()
    if path.is_dir():
        raise StoreError(f"{path} is a folder; a shelf is a file in it, such as {path / 'shelf.scumble'}.")
    if not path.parent.is_dir():
        raise StoreError(f"The folder {path.parent} does not exist. Make it, or choose another place.")
    return path


def _file_of_url(text: str) -> str:
    try:
        url = make_url(text)
    except ArgumentError:
        raise StoreError(f"{text!r} is no place of a shelf. Give a file, or sqlite:///file.") from None
    if url.get_backend_name() != "sqlite" or not url.database:
        shown = url.render_as_string(hide_password=True)
        raise StoreError(
            f"A shelf is one SQLite file; {shown} cannot be opened. Give a file, or sqlite:///file."
        )
    return url.database


def open_engine(path: Path, *, patience_s: float) -> Engine:
    """Connect to a shelf, making or upgrading it first where need be.

    Parameters
    ----------
    path : Path
        From `shelf_file`.
    patience_s : float [s]
        How long to wait while another program writes.

    Raises
    ------
    StoreError
        If the file is no shelf, was written by a newer Scumble, or cannot be opened.
    """
    _check_start(path)
    url = URL.create("sqlite", database=str(path))
    engine = create_engine(url, connect_args={"timeout": patience_s})
    event.listen(engine, "connect", _set_up)
    event.listen(engine, "begin", _begin)
    try:
        with said_for_people(path.name):
            _bring_up_to_date(engine, path.name)
            _let_readers_go_on(engine)
    except BaseException:
        engine.dispose()
        raise
    return engine


def _check_start(path: Path) -> None:
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


def _begin(connection: Connection) -> None:
    writes = connection.get_execution_options().get(WRITES, False)
    connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


def _bring_up_to_date(engine: Engine, name: str) -> None:
    with engine.connect() as connection:
        if _read_version(connection, name) == HEAD:
            return
    with engine.connect().execution_options(**{WRITES: True}) as connection, connection.begin():
        # Another program may have done it while this one waited for its turn.
        if _read_version(connection, name) != HEAD:
            _upgrade(connection, name)


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


def _read_version(connection: Connection, name: str) -> str | None:
    """Migration a shelf stands at, None for an empty file.

    Raises
    ------
    StoreError
        If it is another program's file or a newer Scumble's.
    """
    tables = set(connection.exec_driver_sql("SELECT name FROM sqlite_master WHERE type = 'table'").scalars())
    mark = connection.exec_driver_sql("PRAGMA application_id").scalar_one()
    if not tables and mark == 0:
        return None
    if mark != APPLICATION_ID or "alembic_version" not in tables:
        raise StoreError(f"{name} is not a shelf. Choose another file; this one was left as it is.")
    version: str = connection.exec_driver_sql("SELECT version_num FROM alembic_version").scalar_one()
    if version > HEAD:
        raise StoreError(f"The shelf {name} was written by a newer Scumble. Open it with that one.")
    return version


def _upgrade(connection: Connection, name: str) -> None:
    # Imported here: only a new or an old shelf pays for it.
    from alembic import command
    from alembic.util import CommandError

    try:
        with _ONE_AT_A_TIME:
            command.upgrade(migration_settings(connection), "head")
    except CommandError as error:
        raise StoreError(
            f"The shelf {name} cannot be brought up to date: {error}. It was left as it is."
        ) from None


def migration_settings(connection: Connection | None = None) -> Any:
    """Alembic's settings for the migrations of this package.

    Parameters
    ----------
    connection : Connection, optional
        In a transaction that the migrations become part of.
    """
    from alembic.config import Config

    settings = Config()
    settings.set_main_option("script_location", str(Path(__file__).parent / "migrations").replace("%", "%%"))
    settings.set_main_option("path_separator", "os")
    settings.attributes["connection"] = connection
    return settings
