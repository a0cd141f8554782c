"""Shelves as earlier versions of Scumble left them: the tables of that day, filled with what they could hold."""

from __future__ import annotations

from pathlib import Path

from alembic import command
from alembic.script import ScriptDirectory
from sqlalchemy import Engine, create_engine, inspect, text

from scumble.store.database.connect import find_place, migration_settings
from scumble.store.database.door import WRITES
from scumble.store.database.schema import metadata


def revisions() -> list[str]:
    """Every migration, oldest first."""
    return [each.revision for each in ScriptDirectory.from_config(migration_settings()).walk_revisions()][
        ::-1
    ]


def write_older(source: Path, place: Path | str, revision: str) -> None:
    """Write a shelf as it stood at an earlier migration.

    Parameters
    ----------
    source : Path
        A full shelf of today in a file.
    place : Path or str
        Where the older one is made; nothing is there yet.
    revision : str
        How far its migrations have gone.
    """
    engine, full = find_place(place).make_engine(patience_s=5.0), create_engine(f"sqlite:///{source}")
    with engine.connect().execution_options(**{WRITES: True}) as connection, connection.begin():
        command.upgrade(migration_settings(connection), revision)
        known = columns_of(connection)
        for table in metadata.sorted_tables:
            kept = [column for column in table.columns if column.name in known.get(table.name, ())]
            if not kept:
                continue
            with full.connect() as reading:
                rows = [dict(row._mapping) for row in reading.execute(table.select())]
            names = {column.name for column in kept}
            rows = [{name: value for name, value in row.items() if name in names} for row in rows]
            if rows:
                connection.execute(table.insert(), rows)
    engine.dispose()
    full.dispose()


def columns_of(connection: object) -> dict[str, set[str]]:
    """Names of the columns of every table that is there."""
    seen = inspect(connection)
    return {name: {column["name"] for column in seen.get_columns(name)} for name in seen.get_table_names()}


def forget_later(place: Path, known: dict[str, set[str]]) -> None:
    """Take from a shelf of today whatever an older one had no room for."""
    engine: Engine = create_engine(f"sqlite:///{place}")
    with engine.begin() as connection:
        for table in reversed(metadata.sorted_tables):
            if table.name not in known:
                connection.execute(table.delete())
                continue
            for column in table.columns:
                if column.name not in known[table.name]:
                    connection.execute(text(f'UPDATE {table.name} SET "{column.name}" = NULL'))
    engine.dispose()
