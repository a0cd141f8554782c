"""A folder of records beside their files: what a restart finds, what it passes over, and many hands at once."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from scumble.errors import InputError, StoreError
from scumble.jobs.record_folder import Record, RecordFolder


class Note(Record):
    """A record for these tests."""

    at: float = 0.0
    count: int = 0


def open_notes(path: Path) -> RecordFolder[Note]:
    return RecordFolder(
        path,
        Note,
        ending=".note",
        order=lambda note: note.at,
        holds="notes",
        missing=lambda key: InputError("note", key, "a note that is kept"),
    )


def test_a_restart_finds_what_was_kept_in_its_order(tmp_path: Path) -> None:
    notes = open_notes(tmp_path / "notes")
    for key, at in (("b", 2.0), ("a", 1.0)):
        notes.add(Note(key=key, at=at), key.encode())
    notes.change("a", lambda note: {"count": note.count + 1})
    again = open_notes(tmp_path / "notes")
    assert [note.key for note in again.all()] == ["a", "b"]
    assert again.find("a").count == 1 and again.file("b").read_bytes() == b"b"


def test_records_of_one_moment_stand_alike_before_and_after_a_restart(tmp_path: Path) -> None:
    notes = open_notes(tmp_path)
    for key, at in (("c", 1.0), ("a", 1.0), ("b", 0.0)):
        notes.add(Note(key=key, at=at), b"")
    assert [note.key for note in notes.all()] == ["b", "a", "c"]
    assert open_notes(tmp_path).all() == notes.all()


def test_a_key_that_is_not_there_is_said(tmp_path: Path) -> None:
    notes = open_notes(tmp_path)
    with pytest.raises(InputError, match=r"note: saw '\.\./a'; allowed is a note that is kept"):
        notes.find("../a")
    with pytest.raises(InputError, match="allowed is a note that is kept"):
        notes.change("none", lambda _note: {"count": 1})


def test_no_change_writes_nothing(tmp_path: Path) -> None:
    notes = open_notes(tmp_path)
    notes.add(Note(key="a"), b"")
    (tmp_path / "a.json").unlink()
    notes.change("a", lambda _note: {})
    assert not (tmp_path / "a.json").exists()


def test_what_is_let_go_leaves_none_of_its_files(tmp_path: Path) -> None:
    notes = open_notes(tmp_path)
    for key in ("a", "ab"):
        notes.add(Note(key=key), b"")
        notes.file(key, ".jpg").write_bytes(b"")
    notes.let_go(("a", "a"))
    assert [note.key for note in notes.all()] == ["ab"]
    assert sorted(path.name for path in tmp_path.iterdir()) == ["ab.jpg", "ab.json", "ab.note"]


def test_no_change_of_many_hands_is_lost(tmp_path: Path) -> None:
    notes = open_notes(tmp_path)
    notes.add(Note(key="a"), b"")
    with ThreadPoolExecutor(8) as hands:
        list(hands.map(lambda _: notes.change("a", lambda note: {"count": note.count + 1}), range(200)))
    assert notes.find("a").count == 200 == open_notes(tmp_path).find("a").count


@given(st.binary(max_size=60), st.text("ab.", min_size=1, max_size=3))
@settings(suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_damaged_records_are_passed_over(tmp_path: Path, content: bytes, name: str) -> None:
    folder = tmp_path / "worn"
    folder.mkdir(exist_ok=True)
    for path in folder.iterdir():
        path.unlink()
    (folder / f"{name}.json").write_bytes(content)
    (folder / f"{name}.note").write_bytes(b"")
    (folder / "lost.json").write_bytes(b'{"key": "lost"}')
    assert open_notes(folder).all() == ()


def test_a_folder_that_cannot_be_made_is_said(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("")
    with pytest.raises(StoreError, match="The folder of notes cannot be used"):
        open_notes(tmp_path / "file" / "notes")
