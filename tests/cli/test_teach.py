"""``scumble teach`` at the terminal: a round typed, a lesson printed, a record told and erased."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from tests.jobs.shelves import illustrative_shelf
from typer.testing import CliRunner, Result

from scumble.cli.main import app
from scumble.errors import InputError


@pytest.fixture(scope="module")
def place(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return illustrative_shelf(tmp_path_factory.mktemp("teach") / "shelf.sqlite")


def run(place: Path, *words: str, typed: str = "") -> Result:
    answer = CliRunner().invoke(app, ["teach", *words, "--shelf", str(place)], input=typed)
    if answer.exception is not None and not isinstance(answer.exception, SystemExit):
        raise answer.exception
    return answer


def test_a_round_is_typed_and_kept(place: Path) -> None:
    listed = json.loads(run(place, "round", "grounds", "--seed", "3", "--count", "2", "--json").output)
    rights = [str(each["right"]) for each in listed]
    answer = run(
        place,
        "round",
        "grounds",
        "--seed",
        "3",
        "--count",
        "2",
        "--who",
        "A [B]",
        typed="0\n" + "\n".join(rights) + "\n",
    )
    assert answer.exit_code == 0
    assert "A number from 1 to" in answer.output and answer.output.count("Right.") == 2
    assert "2 of 2 foretold." in answer.output
    told = json.loads(run(place, "record", "a [b]", "--json").output)
    assert (told["right"], told["asked"]) == (2, 2)
    assert {each["due"] for each in told["comes_again"]} == {"in 2 days"}
    assert "A [B]" in run(place, "record").output
    assert run(place, "erase", "A [B]", typed="n\n").exit_code == 1
    assert "is erased" in run(place, "erase", "A [B]", "--yes").output
    with pytest.raises(InputError, match=r"trainee: saw 'A \[B\]'; allowed is nobody yet"):
        run(place, "record", "A [B]")


def test_a_round_can_be_left(place: Path) -> None:
    answer = run(place, "round", "--seed", "3", typed="\n")
    assert answer.exit_code == 0 and "0 of 0 foretold." in answer.output


def test_a_colour_is_said(place: Path) -> None:
    answer = run(place, "round", "mixing", "--seed", "4", "--count", "1", "--point", typed="60,40,30\n")
    assert "Yours is" in answer.output and "dE00" in answer.output


def test_questions_come_the_same_by_seed(place: Path) -> None:
    first, again = (run(place, "round", "--seed", "5", "--count", "3", "--json").output for _ in range(2))
    assert first == again
    for each in json.loads(first):
        assert [choice["slip"] is None for choice in each["choices"]].index(True) + 1 == each["right"]


def test_a_lesson_is_printed_again_by_its_seed(place: Path, tmp_path: Path) -> None:
    files = [tmp_path / "one.pdf", tmp_path / "two.pdf"]
    for file in files:
        answer = run(place, "lesson", "white", "--seed", "9", "--count", "4", "--out", str(file))
        assert "answers from page 3" in answer.output and "--seed 9" in answer.output
    assert files[0].read_bytes() == files[1].read_bytes()
    told = json.loads(run(place, "lesson", "--seed", "1", "--out", str(tmp_path / "l.svg"), "--json").output)
    assert len(told["files"]) == told["pages"] and told["seed"] == 1


def test_what_is_no_theme_is_refused(place: Path) -> None:
    for words in (("round", "dance"), ("lesson", "dance")):
        with pytest.raises(InputError, match="theme: saw 'dance'; allowed is undertone"):
            run(place, *words)
    with pytest.raises(InputError, match=r"a file that ends in \.pdf or \.svg"):
        run(place, "lesson", "--out", "lesson.doc")
