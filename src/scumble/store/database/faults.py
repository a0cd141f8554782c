"""What a database says when something goes wrong, said again for a person."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Final

from sqlalchemy.exc import DBAPIError, SQLAlchemyError

from scumble.errors import StoreError

_SENTENCES: Final = (
    ("SQLITE_BUSY", "is being written by another program; nothing was saved. Try again in a moment."),
    ("SQLITE_LOCKED", "is being written by another program; nothing was saved. Try again in a moment."),
    (
        "SQLITE_READONLY",
        "may not be written here; nothing was saved. Ask for its write right or copy it elsewhere.",
    ),
    ("SQLITE_FULL", "does not fit: the disk is full; nothing was saved. Free some space and try again."),
    ("SQLITE_CANTOPEN", "cannot be opened. Check that its folder exists and may be written."),
    ("SQLITE_NOTADB", "is not a shelf. Choose another file."),
    ("SQLITE_CORRUPT", "is damaged. Fetch it back from a backup."),
    ("SQLITE_TOOBIG", "does not take so large a record; nothing was saved. Use a smaller picture."),
    ("SQLITE_IOERR", "cannot be read or written: the disk reports a fault. Check the disk."),
    ("SQLITE_PERM", "may not be opened. Ask for the right to."),
    ("55P03", "is being written by another program; nothing was saved. Try again in a moment."),
    ("40", "is being written by another program; nothing was saved. Try again in a moment."),
    ("25006", "may not be written here; nothing was saved. Ask for its write right."),
    ("42501", "may not be used by this user; nothing was saved. Ask for the right to."),
    ("53100", "does not fit: the server's disk is full; nothing was saved. Free some space and try again."),
    ("53300", "has no connection to spare: the server is busy. Try again in a moment."),
    ("28", "does not let this user in. Check user and password."),
    ("3D000", "does not exist on that server. Ask for the database to be made."),
    ("57P", "was closed by its server; what was not confirmed was not saved. Try again in a moment."),
    ("08", "cannot be reached. Check host, port and that the server runs."),
)
"""By the start of the name SQLite, or of the code (SQLSTATE) PostgreSQL gives a fault."""


@contextmanager
def said_for_people(name: str) -> Iterator[None]:
    """Turn a database's fault into a `StoreError` that names the shelf.

    Raises
    ------
    StoreError
        For anything the database reports within the block.
    """
    try:
        yield
    except (SQLAlchemyError, sqlite3.Error) as error:
        raise StoreError(f"The shelf {name} {_sentence(error)}") from error


def _sentence(error: Exception) -> str:
    said = error.orig if isinstance(error, DBAPIError) else error
    code = getattr(said, "sqlite_errorname", "") or _state(said)
    for start, sentence in _SENTENCES:
        if code.startswith(start):
            return sentence
    return f"reports: {str(said).splitlines()[0]}. Nothing was saved."


def _state(said: object) -> str:
    """Code of a PostgreSQL fault; one that never reached a server has none and is given away by its words."""
    code = getattr(said, "sqlstate", None)
    if code is None and type(said).__module__.startswith("psycopg") and isinstance(said, Exception):
        words = str(said)
        for start, told in (
            ("28", "authentication failed"),
            ("28", 'role "'),
            ("3D000", "does not exist"),
            ("08", ""),
        ):
            if told in words and type(said).__name__ in ("OperationalError", "ConnectionTimeout"):
                return start
    return code or ""
