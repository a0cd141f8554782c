"""The folder beside a shelf: it travels in the backup, and is laid out whole however often that is cut off."""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from tests.store.cards import invented_paint

from scumble.errors import StoreError
from scumble.store.database import backup, beside
from scumble.store.database.backup import backup_shelf, restore_shelf
from scumble.store.database.beside import folder_beside, lay_out_beside, read_records
from scumble.store.shelf import open_shelf

FILES = {
    "0a1b.json": b'{"key": "0a1b"}',
    "0a1b.card": b"\xff\xd8\xff" * 500,
    "0a1b.thumb.jpg": b"",
    "aids/2c.json": b'{"key": "2c"}',
    "aids/2c.aid": bytes(range(256)) * 40,
    "aids/chosen": b"{}",
}


def lay(folder: Path, files: dict[str, bytes]) -> None:
    for name, content in files.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_bytes(content)


def lies(folder: Path) -> dict[str, bytes]:
    return {
        path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()
    }


def packed_names(shelf: Path) -> set[str]:
    with closing(sqlite3.connect(shelf)) as opened:
        if not opened.execute("SELECT 1 FROM sqlite_master WHERE name = 'beside'").fetchone():
            return set()
        return {name for (name,) in opened.execute("SELECT name FROM beside")}


@pytest.fixture
def place(tmp_path: Path) -> Path:
    path = tmp_path / "shelf.sqlite"
    with open_shelf(path) as shelf:
        shelf.save_paint(invented_paint("blue"))
    lay(folder_beside(path), FILES)
    return path


def test_the_folder_comes_back_with_the_shelf(place: Path, tmp_path: Path) -> None:
    unfinished = folder_beside(place) / ".0a1b.json.77.unfinished"
    unfinished.write_bytes(b"{")
    backup_shelf(place, tmp_path / "b.sqlite")
    unfinished.unlink()
    lay(folder_beside(place), {"0a1b.json": b"changed", "later.card": b"later"})
    now = lies(folder_beside(place))
    kept = restore_shelf(tmp_path / "b.sqlite", place)
    assert lies(folder_beside(place)) == FILES
    assert packed_names(place) == set()
    # What lay there until now is in the file of the old shelf, and comes back with it.
    assert kept is not None
    restore_shelf(kept, place)
    assert lies(folder_beside(place)) == now
    assert not [path for path in tmp_path.iterdir() if path.name.startswith(".")]


def test_a_backup_leaves_the_shelf_and_its_folder_as_they_are(place: Path, tmp_path: Path) -> None:
    backup_shelf(place, tmp_path / "b.sqlite")
    assert packed_names(place) == set() and packed_names(tmp_path / "b.sqlite") == set(FILES)
    assert lies(folder_beside(place)) == FILES
    assert not lay_out_beside(place) and not lay_out_beside(tmp_path / "none.sqlite")


def test_it_comes_to_where_there_is_no_shelf(place: Path, tmp_path: Path) -> None:
    backup_shelf(place, tmp_path / "b.sqlite")
    restore_shelf(tmp_path / "b.sqlite", tmp_path / "new.sqlite")
    assert lies(folder_beside(tmp_path / "new.sqlite")) == FILES


def test_backups_of_before_the_folder_was_packed_leave_it_alone(place: Path, tmp_path: Path) -> None:
    backup_shelf(place, tmp_path / "b.sqlite")
    with closing(sqlite3.connect(tmp_path / "b.sqlite")) as old:
        old.execute("DROP TABLE beside")
        old.commit()
    restore_shelf(tmp_path / "b.sqlite", place)
    assert lies(folder_beside(place)) == FILES


class CutOffError(Exception):
    """The moment at which the power goes."""


def cut_off_at(monkeypatch: pytest.MonkeyPatch, step: int) -> None:
    """Fail at one of the steps that touch the folder or give the room back."""
    steps = iter(range(1000))

    def fail_at(does: object) -> object:
        def done(*given: object, **named: object) -> object:
            if next(steps) == step:
                raise CutOffError
            return does(*given, **named)  # type: ignore[operator]

        return done

    for owner, name in ((beside, "_write"), (beside, "_sync"), (Path, "rename"), (shutil, "rmtree")):
        monkeypatch.setattr(owner, name, fail_at(getattr(owner, name)))


@pytest.mark.parametrize("step", range(13))
def test_cut_off_anywhere_it_is_laid_out_at_the_next_opening(
    place: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: int
) -> None:
    backup_shelf(place, tmp_path / "b.sqlite")
    lay(folder_beside(place), {"0a1b.json": b"changed", "later.card": b"later"})
    with monkeypatch.context() as patched:
        cut_off_at(patched, step)
        try:
            restore_shelf(tmp_path / "b.sqlite", place)
            was_cut_off = False
        except CutOffError:
            was_cut_off = True
    # Steps: clear, six files, clear, two names, the disk told, clear.
    assert was_cut_off == (step < 12)
    assert packed_names(place) == (set(FILES) if was_cut_off else set())
    # A backup that is drawn at this moment holds what was restored, not the half of it that lies there.
    backup_shelf(place, tmp_path / "between.sqlite")
    assert packed_names(tmp_path / "between.sqlite") == set(FILES)
    assert lay_out_beside(place) == was_cut_off
    assert lies(folder_beside(place)) == FILES and packed_names(place) == set()


@pytest.mark.parametrize("name", ["../out", "/out", "a/b/c", ".hidden", "aids/../out", "a\\b", "", "a\n"])
def test_files_that_would_lie_elsewhere_are_refused(place: Path, tmp_path: Path, name: str) -> None:
    backup_shelf(place, tmp_path / "b.sqlite")
    with closing(sqlite3.connect(tmp_path / "b.sqlite")) as copy:
        copy.execute("INSERT INTO beside VALUES (?, x'00')", (name,))
        copy.commit()
    with pytest.raises(StoreError, match=r"b\.sqlite is damaged; nothing was changed"):
        restore_shelf(tmp_path / "b.sqlite", place)
    assert lies(folder_beside(place)) == FILES
    assert sorted(path.name for path in tmp_path.iterdir()) == [
        "b.sqlite",
        "shelf.sqlite",
        "shelf.sqlite-tray",
    ]


def test_the_folder_of_a_damaged_shelf_is_kept_beside_it(place: Path, tmp_path: Path) -> None:
    backup_shelf(place, tmp_path / "b.sqlite")
    lay(folder_beside(place), {"later.card": b"later"})
    now = lies(folder_beside(place))
    damaged = bytearray(place.read_bytes())
    damaged[4096:8192] = b"\xff" * 4096
    place.write_bytes(damaged)
    kept = restore_shelf(tmp_path / "b.sqlite", place)
    assert kept is not None and lies(folder_beside(kept)) == now
    assert lies(folder_beside(place)) == FILES


def test_a_folder_that_cannot_be_written_is_said(
    place: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    backup_shelf(place, tmp_path / "b.sqlite")

    def full(_path: Path, _content: bytes) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(beside, "_write", full)
    with pytest.raises(StoreError, match=r"shelf\.sqlite-tray cannot be written: No space left on device"):
        restore_shelf(tmp_path / "b.sqlite", place)
    assert lies(folder_beside(place)) == FILES


def test_cards_that_are_put_away_meanwhile_are_in_one_of_both(
    place: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A card's record is read before the shelf is copied: it waits still, if the shelf has no paint of it yet."""
    copy = backup._copy

    def put_away_and_copy(*given: object) -> None:
        lay(folder_beside(place), {"0a1b.json": b'{"key": "0a1b", "kept_as": "red"}'})
        (folder_beside(place) / "aids" / "2c.aid").unlink()
        copy(*given)  # type: ignore[arg-type]

    monkeypatch.setattr(backup, "_copy", put_away_and_copy)
    backup_shelf(place, tmp_path / "b.sqlite")
    restore_shelf(tmp_path / "b.sqlite", tmp_path / "new.sqlite")
    there = lies(folder_beside(tmp_path / "new.sqlite"))
    assert there["0a1b.json"] == FILES["0a1b.json"]
    assert "aids/2c.aid" not in there


def test_no_folder_is_no_fault(tmp_path: Path) -> None:
    assert read_records(tmp_path / "none") == {}
