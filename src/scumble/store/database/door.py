"""The way into an open shelf: every visit is one transaction, and its faults are said for people."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime

from sqlalchemy import Connection, Engine

from scumble.store.database.faults import said_for_people

WRITES = "scumble_writes"
"""Execution option of a connection that will write: it takes its turn at once, not at the first change."""


class Door:
    """Transactions on one shelf; threads may share it.

    Parameters
    ----------
    name : str
        What the shelf is called in an error.
    engine : Engine
        From `open_engine`.
    """

    def __init__(self, name: str, engine: Engine) -> None:
        self.name = name
        self.engine = engine

    @contextmanager
    def reading(self) -> Iterator[Connection]:
        """A visit that sees the shelf as it stood when it began."""
        with said_for_people(self.name), self.engine.connect() as connection:
            yield connection

    @contextmanager
    def writing(self) -> Iterator[Connection]:
        """A visit that happens whole or not at all; one writer goes in at a time."""
        with said_for_people(self.name), self.engine.connect() as connection:
            connection.execution_options(**{WRITES: True})
            with connection.begin():
                yield connection


def now() -> datetime:
    """This moment as the tables keep it: UTC, without saying so."""
    return datetime.now(UTC).replace(tzinfo=None)
