"""Trainees: kept by a name only, their first answer counts, and erased so that no trace is left in the file."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest
from tests.store.shelves import ANSWERS

from scumble.errors import InputError
from scumble.store.database.backup import backup_shelf
from scumble.store.shelf import Shelf, open_shelf
from scumble.store.trainee import Answer
from scumble.store.travel.shelf_export import format_shelf_json
from scumble.store.travel.shelf_import import import_shelf

NAME = "Quillon Zebedee"


@pytest.fixture
def shelf(place_of_shelf: Path | str) -> Iterator[Shelf]:
    with open_shelf(place_of_shelf) as opened:
        yield opened


def plain(answers: tuple[Answer, ...]) -> list[Answer]:
    return [replace(each, answered_at=None) for each in answers]


def test_answers_come_back_oldest_first_and_the_first_to_a_question_counts(shelf: Shelf) -> None:
    learner = shelf.trainees.add(f"  {NAME} ")
    assert shelf.trainees.load(learner.number) == learner == shelf.trainees.find("quillon  ZEBEDEE")
    assert [shelf.trainees.save_answer(learner.number, each) for each in ANSWERS] == [True] * 3
    assert not shelf.trainees.save_answer(learner.number, replace(ANSWERS[0], right=False))
    kept = shelf.trainees.load_answers(learner.number)[learner.number]
    assert plain(kept) == list(ANSWERS)
    assert all(each.moment.tzinfo is UTC for each in kept)
    other = shelf.trainees.add("Other")
    assert shelf.trainees.load_answers(other.number) == {}
    assert [each.name for each in shelf.trainees.load_all()] == ["Other", NAME]


def test_names_are_kept_once_and_checked(shelf: Shelf) -> None:
    shelf.trainees.add(NAME)
    with pytest.raises(InputError, match=r"allowed is a name that nobody here has yet\. Add a letter"):
        shelf.trainees.add(NAME.upper())
    for name in ("", "  ", "x" * 41, "a\nb\0"):
        with pytest.raises(InputError, match="Initials are enough"):
            shelf.trainees.add(name)
    with pytest.raises(InputError, match=f"trainee: saw 'Nobody'; allowed is {NAME}"):
        shelf.trainees.find("Nobody")
    for wrong in (lambda: shelf.trainees.load(999), lambda: shelf.trainees.save_answer(999, ANSWERS[0])):
        with pytest.raises(InputError, match="Their record may have been erased"):
            wrong()


@pytest.mark.parametrize(
    "changes",
    [
        {"paints": ()},
        {"round": "x y"},
        {"place": 0},
        {"difficulty": float("nan")},
        {"guessed": 1.0},
        {"kind": ""},
    ],
)
def test_answers_that_say_nothing_are_refused(changes: dict[str, object]) -> None:
    with pytest.raises(InputError):
        replace(ANSWERS[0], **changes)  # type: ignore[arg-type]


def test_erased_is_gone_from_every_table(shelf: Shelf) -> None:
    learner, other = shelf.trainees.add(NAME), shelf.trainees.add("Other")
    for each in ANSWERS:
        shelf.trainees.save_answer(learner.number, each)
        shelf.trainees.save_answer(other.number, each)
    assert shelf.trainees.erase(learner.number) == learner
    assert [each.name for each in shelf.trainees.load_all()] == ["Other"]
    assert shelf.trainees.load_answers().keys() == {other.number}
    assert NAME not in format_shelf_json(shelf)
    with pytest.raises(InputError, match="trainee: saw"):
        shelf.trainees.erase(learner.number)


def test_erased_leaves_no_byte_of_the_name_in_the_file(tmp_path: Path) -> None:
    place = tmp_path / "shelf.sqlite"
    slip = "an-error-that-only-they-made"
    with open_shelf(place) as shelf:
        learner = shelf.trainees.add(NAME)
        for place_in_round in range(1, 60):
            shelf.trainees.save_answer(
                learner.number,
                replace(ANSWERS[0], place=place_in_round, right=False, slip=f"{slip} {place_in_round}"),
            )
        assert traces(tmp_path, NAME) and traces(tmp_path, slip)
        shelf.trainees.erase(learner.number)
        assert traces(tmp_path, NAME) == [] == traces(tmp_path, slip)
        assert traces(tmp_path, NAME.casefold()) == []
    assert traces(tmp_path, NAME) == [] == traces(tmp_path, slip)
    with sqlite3.connect(place) as raw:
        assert raw.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    raw.close()


def traces(folder: Path, words: str) -> list[str]:
    """Files in which the words stand."""
    return [each.name for each in folder.iterdir() if words.encode() in each.read_bytes()]


def test_trainees_travel_in_a_backup(tmp_path: Path) -> None:
    with open_shelf(tmp_path / "shelf.sqlite") as shelf:
        learner = shelf.trainees.add(NAME)
        shelf.trainees.save_answer(learner.number, ANSWERS[0])
        backup_shelf(tmp_path / "shelf.sqlite", tmp_path / "copy.sqlite")
    with open_shelf(tmp_path / "copy.sqlite") as copy:
        assert plain(copy.trainees.load_answers(learner.number)[learner.number]) == [ANSWERS[0]]


def test_an_import_adds_the_answers_that_are_new(tmp_path: Path) -> None:
    with open_shelf(tmp_path / "one.sqlite") as one, open_shelf(tmp_path / "two.sqlite") as two:
        learner = one.trainees.add(NAME)
        one.trainees.save_answer(
            learner.number, replace(ANSWERS[0], answered_at=datetime(2026, 1, 5, tzinfo=UTC))
        )
        first = format_shelf_json(one).encode()
        assert [each.what for each in import_shelf(two, first, "json").outcomes] == ["new"]
        assert [each.what for each in import_shelf(two, first, "json").outcomes] == ["same"]
        one.trainees.save_answer(learner.number, ANSWERS[1])
        assert [
            each.what for each in import_shelf(two, format_shelf_json(one).encode(), "json").outcomes
        ] == ["changed"]
        theirs = two.trainees.load_answers()[two.trainees.find(NAME).number]
        assert theirs == one.trainees.load_answers()[learner.number]
        broken = json.loads(first)
        broken["trainees"][0]["name"] = ""
        report = import_shelf(two, json.dumps(broken).encode(), "json")
        assert not report.saved and "Initials are enough" in report.outcomes[0].said
