"""Backups: of one moment, whole or not there, put back with the old shelf kept beside."""

from __future__ import annotations

import sqlite3
import threading
from pathlib import Path

import pytest
from tests.store.cards import invented_paint
from tests.store.servers import Server
from tests.store.shelves import PICTURE, content_of, fill

from scumble.errors import StoreError
from scumble.store.database import backup
from scumble.store.database.backup import backup_shelf, restore_shelf
from scumble.store.shelf import open_shelf


@pytest.fixture
def place(tmp_path: Path) -> Path:
    path = tmp_path / "shelf.sqlite"
    with open_shelf(path) as shelf:
        fill(shelf)
    return path


def read(path: Path) -> object:
    with open_shelf(path) as shelf:
        return content_of(shelf)


def test_a_backup_is_one_file_and_an_equal_shelf(place: Path, tmp_path: Path) -> None:
    folder = tmp_path / "stick"
    folder.mkdir()
    steps: list[float] = []
    with open_shelf(place) as shelf:
        backup_shelf(place, folder / "b.sqlite", progress=lambda _words, share: steps.append(share))
        assert [entry.name for entry in folder.iterdir()] == ["b.sqlite"]
        assert read(folder / "b.sqlite") == content_of(shelf)
        assert shelf.load_picture("deep-blue") == PICTURE
    assert steps and steps[-1] == 1.0


def test_a_backup_while_others_write_is_of_one_moment(tmp_path: Path) -> None:
    place, stop = tmp_path / "shelf.sqlite", threading.Event()
    keys = [f"paint-{number}" for number in range(12)]
    with open_shelf(place) as shelf:
        shelf.save_paints(invented_paint(key) for key in keys)

    def write() -> None:
        with open_shelf(place) as shelf:
            seed = 1
            while not stop.is_set():
                shelf.save_paints(invented_paint(key, seed=seed) for key in keys)
                seed += 1

    writer = threading.Thread(target=write)
    writer.start()
    try:
        for number in range(5):
            backup_shelf(place, tmp_path / f"b{number}.sqlite")
    finally:
        stop.set()
        writer.join()
    for number in range(5):
        with open_shelf(tmp_path / f"b{number}.sqlite") as copy:
            assert len({entry.version for entry in copy.load_entries()}) == 1
            assert len(copy.load_paints()) == 12


def test_restoring_keeps_the_old_shelf_beside(place: Path, tmp_path: Path) -> None:
    before = read(place)
    backup_shelf(place, tmp_path / "b.sqlite")
    content = (tmp_path / "b.sqlite").read_bytes()
    with open_shelf(place) as shelf:
        shelf.save_paint(invented_paint("later"))
        later = content_of(shelf)
        # Who has the shelf open sees the restored one.
        kept = restore_shelf(tmp_path / "b.sqlite", place)
        assert content_of(shelf) == before
        assert shelf.save_paint(invented_paint("after")) == 1
    assert kept is not None and kept.name.startswith("shelf.before-2") and kept.suffix == ".sqlite"
    assert read(kept) == later
    assert (tmp_path / "b.sqlite").read_bytes() == content
    again = restore_shelf(tmp_path / "b.sqlite", place)
    assert again is not None and again != kept
    assert read(place) == before


def test_restoring_where_there_is_no_shelf(place: Path, tmp_path: Path) -> None:
    backup_shelf(place, tmp_path / "b.sqlite")
    assert restore_shelf(tmp_path / "b.sqlite", tmp_path / "new.sqlite") is None
    assert read(tmp_path / "new.sqlite") == read(place)


def test_a_damaged_shelf_is_kept_and_replaced(place: Path, tmp_path: Path) -> None:
    before = read(place)
    backup_shelf(place, tmp_path / "b.sqlite")
    damaged = bytearray(place.read_bytes())
    damaged[4096 : len(damaged) // 2] = b"\xff" * (len(damaged) // 2 - 4096)
    place.write_bytes(damaged)
    kept = restore_shelf(tmp_path / "b.sqlite", place)
    assert kept is not None and kept.read_bytes() == damaged
    assert read(place) == before


def test_strange_newer_and_damaged_backups_are_refused(place: Path, tmp_path: Path) -> None:
    before, copy = read(place), tmp_path / "b.sqlite"
    with pytest.raises(StoreError, match=r"There is no backup b\.sqlite"):
        restore_shelf(copy, place)
    copy.write_text("Dear reader")
    with pytest.raises(StoreError, match=r"b\.sqlite is not a shelf"):
        restore_shelf(copy, place)
    copy.unlink()
    other = sqlite3.connect(copy)
    other.execute("CREATE TABLE paints (key TEXT)")
    other.commit()
    other.close()
    with pytest.raises(StoreError, match=r"b\.sqlite is not a shelf\. .*nothing was changed"):
        restore_shelf(copy, place)
    copy.unlink()
    backup_shelf(place, copy)
    other = sqlite3.connect(copy)
    other.execute("UPDATE alembic_version SET version_num = '9999'")
    other.commit()
    other.close()
    with pytest.raises(StoreError, match=r"b\.sqlite was written by a newer Scumble\. Use that one"):
        restore_shelf(copy, place)
    copy.unlink()
    backup_shelf(place, copy)
    content = copy.read_bytes()
    copy.write_bytes(content[: len(content) // 2])
    with pytest.raises(StoreError, match=r"b\.sqlite is damaged"):
        restore_shelf(copy, place)
    with pytest.raises(StoreError, match=r"shelf\.sqlite is the shelf itself"):
        restore_shelf(place, place)
    assert read(place) == before
    assert sorted(entry.name for entry in tmp_path.iterdir()) == ["b.sqlite", "shelf.sqlite"]


def test_a_backup_takes_no_other_files_place(place: Path, tmp_path: Path) -> None:
    (tmp_path / "letter").write_text("Dear reader")
    with pytest.raises(StoreError, match=r"letter is there already; it was left as it is"):
        backup_shelf(place, tmp_path / "letter")
    with pytest.raises(StoreError, match=r"b cannot be written"):
        backup_shelf(place, tmp_path / "nowhere" / "b")
    with pytest.raises(StoreError, match=r"There is no shelf none to back up"):
        backup_shelf(tmp_path / "none", tmp_path / "b")
    assert sorted(entry.name for entry in tmp_path.iterdir()) == ["letter", "shelf.sqlite"]


def test_a_shelf_that_is_being_written_is_not_replaced(
    place: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    before = read(place)
    backup_shelf(place, tmp_path / "b.sqlite")
    monkeypatch.setattr(backup, "PATIENCE_S", 0.3)
    writer = sqlite3.connect(place, isolation_level=None)
    writer.execute("BEGIN IMMEDIATE")
    with pytest.raises(StoreError, match=r"shelf\.sqlite is being written by another program"):
        restore_shelf(tmp_path / "b.sqlite", place)
    writer.execute("ROLLBACK")
    writer.close()
    assert read(place) == before


def test_a_server_keeps_its_own_backups(server: Server, tmp_path: Path) -> None:
    with pytest.raises(StoreError, match=r"A server keeps its own backups\. Export the shelf as JSON"):
        backup_shelf(server.make_database(), tmp_path / "b")
