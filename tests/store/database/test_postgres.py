"""A shelf on a server: made, shared, refused, out of reach."""

from __future__ import annotations

import threading
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import psycopg
import pytest
from alembic.autogenerate import compare_metadata
from alembic.runtime.migration import MigrationContext
from sqlalchemy import create_engine
from tests.store.cards import invented_paint, same_paint
from tests.store.servers import Server

from scumble.errors import StoreError
from scumble.store.database import schema
from scumble.store.shelf import open_shelf


def test_the_migrations_make_the_tables_of_the_schema(server: Server) -> None:
    url = server.make_database()
    with open_shelf(url) as shelf:
        shelf.save_paint(invented_paint())
    engine = create_engine(url.replace("postgresql://", "postgresql+psycopg://"))
    with engine.connect() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True})
        assert compare_metadata(context, schema.metadata) == []
    engine.dispose()
    with open_shelf(url) as shelf:
        assert same_paint(shelf.load_paint("deep-blue"), invented_paint())


def test_several_may_make_one_shelf_at_once_and_write_in_turn(server: Server) -> None:
    url, start = server.make_database(), threading.Barrier(4)

    def save(seed: int) -> list[int]:
        start.wait()
        with open_shelf(url) as shelf:
            return [shelf.save_paint(invented_paint(seed=100 * seed + step)) for step in range(6)]

    with ThreadPoolExecutor(4) as pool:
        numbers = list(pool.map(save, range(4)))
    assert sorted(number for each in numbers for number in each) == list(range(1, 25))
    assert all(each == sorted(each) for each in numbers)
    with open_shelf(url) as shelf:
        for seed, each in enumerate(numbers):
            for step, number in enumerate(each):
                kept = shelf.load_paint("deep-blue", version=number)
                assert same_paint(kept, invented_paint(seed=100 * seed + step))


def test_a_shelf_that_another_program_writes_is_waited_for_and_then_said(server: Server) -> None:
    url = server.make_database()
    with open_shelf(url, patience_s=0.2) as shelf, psycopg.connect(url) as other:
        shelf.save_paint(invented_paint())
        other.execute(f"SELECT pg_advisory_xact_lock({schema.APPLICATION_ID})")
        start = time.perf_counter()
        with pytest.raises(StoreError, match=r"is being written by another program; nothing was saved"):
            shelf.save_paint(invented_paint(seed=1))
        assert time.perf_counter() - start > 0.15
        assert same_paint(shelf.load_paint("deep-blue"), invented_paint())
        other.rollback()
        assert shelf.save_paint(invented_paint(seed=1)) == 2


def test_a_connection_that_was_cut_is_said_and_the_next_one_works(server: Server) -> None:
    url = server.make_database()
    with open_shelf(url) as shelf, psycopg.connect(server.url("postgres"), autocommit=True) as keeper:
        shelf.save_paint(invented_paint())
        with (
            pytest.raises(
                StoreError, match=r"was closed by its server; what was not confirmed was not saved"
            ),
            shelf.door.writing() as connection,
        ):
            keeper.execute(
                "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = %s",
                [url.rsplit("/", 1)[1]],
            )
            connection.exec_driver_sql("DELETE FROM pigments")
        assert same_paint(shelf.load_paint("deep-blue"), invented_paint())


def test_a_url_that_became_a_path_is_understood(server: Server) -> None:
    url = server.make_database()
    with open_shelf(Path(url)) as shelf:
        shelf.save_paint(invented_paint())
    with open_shelf(url) as shelf:
        assert len(shelf.load_entries()) == 1


def test_another_programs_database_is_refused_and_left_alone(server: Server) -> None:
    url = server.make_database()
    with psycopg.connect(url) as other:
        other.execute("CREATE TABLE paints (key TEXT)")
    with pytest.raises(StoreError, match=r"is not a shelf\. Choose another place; this one was left"):
        open_shelf(url)
    with psycopg.connect(url) as other:
        tables = other.execute("SELECT tablename FROM pg_tables WHERE schemaname = 'public'").fetchall()
    assert tables == [("paints",)]


def test_a_newer_shelf_is_refused(server: Server) -> None:
    url = server.make_database()
    open_shelf(url).close()
    with psycopg.connect(url) as other:
        other.execute("UPDATE alembic_version SET version_num = '9999'")
    with pytest.raises(StoreError, match=r"was written by a newer Scumble"):
        open_shelf(url)


def test_what_is_out_of_reach_is_said(server: Server) -> None:
    with pytest.raises(StoreError, match=r"^The shelf nowhere does not exist on that server\."):
        open_shelf(server.url("nowhere"))
    with pytest.raises(StoreError, match=r"^The shelf shelf cannot be reached\. Check host, port"):
        open_shelf("postgresql://keeper@127.0.0.1:1/shelf")
    with pytest.raises(StoreError, match=r"^The shelf postgres does not let this user in\."):
        open_shelf(server.url("postgres").replace("keeper@", "stranger:secret@"))


def test_a_user_who_may_only_read_is_told_so(server: Server) -> None:
    url = server.make_database()
    with open_shelf(url) as shelf:
        shelf.save_paint(invented_paint())
    reader = f"reader_{url[-8:]}"
    with psycopg.connect(url) as keeper:
        keeper.execute(f"CREATE ROLE {reader} LOGIN".encode())
        keeper.execute(f"GRANT SELECT ON ALL TABLES IN SCHEMA public TO {reader}".encode())
    with open_shelf(url.replace("keeper@", f"{reader}@")) as shelf:
        assert same_paint(shelf.load_paint("deep-blue"), invented_paint())
        with pytest.raises(StoreError, match=r"may not be used by this user; nothing was saved"):
            shelf.save_paint(invented_paint("other"))
