"""Every earlier shelf is brought up to date with all it holds, in a file and on a server; nothing goes back down."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from alembic.script import ScriptDirectory
from sqlalchemy import create_engine
from tests.store.older import columns_of, forget_later, revisions, write_older
from tests.store.servers import MISSING, Server, running_server, server_folder
from tests.store.shelves import content_of, fill

from scumble.store.database import schema
from scumble.store.database.connect import find_place, migration_settings
from scumble.store.shelf import open_shelf


@pytest.fixture(scope="module")
def full(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A shelf of today with something in every table."""
    place = tmp_path_factory.mktemp("full") / "today.sqlite"
    with open_shelf(place) as shelf:
        fill(shelf)
    engine = create_engine(f"sqlite:///{place}")
    with engine.connect() as connection:
        empty = [
            table.name
            for table in schema.metadata.sorted_tables
            if table.name != "summaries" and connection.execute(table.select()).first() is None
        ]
        connection.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)")
    engine.dispose()
    assert empty == []
    return place


@pytest.fixture(scope="module")
def server() -> Iterator[Server]:
    if server_folder() is None:
        pytest.skip(MISSING)
    with running_server() as running:
        yield running


@pytest.mark.parametrize("revision", revisions())
def test_a_file_of_any_age_is_brought_up_to_date(full: Path, tmp_path: Path, revision: str) -> None:
    place = tmp_path / "older.sqlite"
    write_older(full, place, revision)
    assert_brought_up(full, place, tmp_path)


@pytest.mark.parametrize("revision", revisions())
def test_a_database_of_any_age_is_brought_up_to_date(
    full: Path, tmp_path: Path, server: Server, revision: str
) -> None:
    place = server.make_database()
    write_older(full, place, revision)
    assert_brought_up(full, place, tmp_path)


def assert_brought_up(full: Path, place: Path | str, folder: Path) -> None:
    """Nothing that the older shelf held is missing or changed, and what it had no room for is empty."""
    engine = find_place(place).make_engine(patience_s=5.0)
    with engine.connect() as connection:
        known = columns_of(connection)
    engine.dispose()
    expected = folder / "expected.sqlite"
    shutil.copyfile(full, expected)
    forget_later(expected, known)
    with open_shelf(place) as older, open_shelf(expected) as today:
        content = content_of(older)
        assert content == content_of(today)
        assert {each["key"] for each in content["paints"]} >= {"deep-blue", "exact-red", "old-black"}


def test_no_migration_claims_a_way_back() -> None:
    """The way back is a backup; a step down would throw away what the older tables have no room for."""
    for each in ScriptDirectory.from_config(migration_settings()).walk_revisions():
        assert not hasattr(each.module, "downgrade")
