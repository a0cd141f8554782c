"""Open a shelf: found, recognised, and brought up to date."""

from __future__ import annotations

import threading
from pathlib import Path
from typing import Any, Final, Protocol

from sqlalchemy import Connection, Engine
from sqlalchemy.engine import URL, make_url
from sqlalchemy.exc import ArgumentError

from scumble.errors import StoreError
from scumble.store.database.door import WRITES, Door
from scumble.store.database.faults import said_for_people
from scumble.store.database.schema import HEAD
from scumble.store.database.sqlite_file import SqliteFile, shelf_file

_ONE_AT_A_TIME: Final = threading.Lock()
"""Alembic keeps the migration at work in one place for the whole program, so threads take turns."""


class Place(Protocol):
    """Where a shelf lies, and what is peculiar to its database."""

    @property
    def name(self) -> str:
        """What the shelf is called in an error."""

    def make_engine(self, *, patience_s: float) -> Engine:
        """Connect, or raise a `StoreError` before anything is touched."""

    def is_ours(self, connection: Connection, tables: set[str]) -> bool:
        """Whether the tables are a shelf's."""

    def settle(self, engine: Engine) -> None:
        """Whatever is to be done once the shelf is up to date."""


def find_place(place: Path | str) -> Place:
    """Place of a shelf given as a path, as ``sqlite:///path`` or as ``postgresql://user@host/database``.

    Raises
    ------
    StoreError
        If the URL is of another kind, the folder is missing, or something else stands there.
    """
    if isinstance(place, Path) and str(place).startswith(("postgresql:/", "postgres:/")):
        # A command's option is a path, and a path folds the two strokes of a URL into one.
        place = str(place).replace(":/", "://", 1)
    if not (isinstance(place, str) and "://" in place):
        return SqliteFile(shelf_file(place))
    try:
        url = make_url(place)
    except ArgumentError:
        raise StoreError(f"{place!r} is no place of a shelf. Give a file, or sqlite:///file.") from None
    return _place_of_url(url)


def _place_of_url(url: URL) -> Place:
    kind = url.get_backend_name()
    if kind == "sqlite" and url.database:
        return SqliteFile(shelf_file(url.database))
    if kind in ("postgresql", "postgres") and url.database:
        # Imported here: most shelves are files.
        from scumble.store.database.postgres import PostgresDatabase

        return PostgresDatabase(url)
    shown = url.render_as_string(hide_password=True)
    raise StoreError(
        f"A shelf is an SQLite file or a PostgreSQL database; {shown} cannot be opened. Give a file, or "
        "postgresql://user@host/database."
    )


def open_door(place: Path | str, *, patience_s: float) -> Door:
    """Connect to a shelf, making or upgrading it first where need be.

    Parameters
    ----------
    place : Path or str
        See `find_place`.
    patience_s : float [s]
        How long to wait while another program writes.

    Raises
    ------
    StoreError
        If it is no shelf, was written by a newer Scumble, or cannot be opened.
    """
    found = find_place(place)
    engine = found.make_engine(patience_s=patience_s)
    try:
        with said_for_people(found.name):
            _bring_up_to_date(engine, found)
            found.settle(engine)
    except BaseException:
        engine.dispose()
        raise
    return Door(found.name, engine)


def _bring_up_to_date(engine: Engine, place: Place) -> None:
    with engine.connect() as connection:
        if _read_version(connection, place) == HEAD:
            return
    with engine.connect().execution_options(**{WRITES: True}) as connection, connection.begin():
        # Another program may have done it while this one waited for its turn.
        if _read_version(connection, place) != HEAD:
            _upgrade(connection, place.name)


def _read_version(connection: Connection, place: Place) -> str | None:
    """Migration a shelf stands at, None for an empty place.

    Raises
    ------
    StoreError
        If it is another program's or a newer Scumble's.
    """
    from sqlalchemy import inspect

    tables = set(inspect(connection).get_table_names())
    ours = place.is_ours(connection, tables)
    if not tables and ours:
        return None
    if not ours or "alembic_version" not in tables:
        raise StoreError(f"{place.name} is not a shelf. Choose another place; this one was left as it is.")
    version: str = connection.exec_driver_sql("SELECT version_num FROM alembic_version").scalar_one()
    if version > HEAD:
        raise StoreError(f"The shelf {place.name} was written by a newer Scumble. Open it with that one.")
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
    settings.set_main_option(
        "script_location", str(Path(__file__).parents[1] / "migrations").replace("%", "%%")
    )
    settings.set_main_option("path_separator", "os")
    settings.attributes["connection"] = connection
    return settings
