"""``scumble match`` as a person runs it: words, JSON, negative numbers, and one line of error."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner

from scumble.cli.main import app
from scumble.errors import InputError
from scumble.paint.pigment import starter_shelf
from scumble.store.shelf import open_shelf


@pytest.fixture(scope="module")
def shelf(tmp_path_factory: pytest.TempPathFactory) -> str:
    path: Path = tmp_path_factory.mktemp("match") / "shelf.sqlite"
    with open_shelf(path) as opened:
        opened.save_paints(paint for paint in starter_shelf()[::8])
    return str(path)


def test_words_and_json_agree(shelf: str) -> None:
    asked = ["match", "--shelf", shelf, "-n", "1", "--ground", "cream", "--route", "cover"]
    told = CliRunner().invoke(app, [*asked, "--json", "--", "lab", "50", "-5", "-10"])
    assert told.exit_code == 0, told.output
    answer = json.loads(told.stdout)
    assert answer["target"]["lab"] == [50, -5, -10]
    assert answer["ground"] == "cream paper"
    (recipe,) = answer["routes"]["cover"]["recipes"]
    words = CliRunner().invoke(app, [*asked, "--", "lab", "50", "-5", "-10"])
    assert recipe["films"][0]["words"] in words.stdout
    assert recipe["why"] in words.stdout


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["match", "greenish"], "colour: saw 'greenish'"),
        (["match", "50", "0", "0", "--route", "spray"], "route: saw 'spray'"),
        (["match", "50", "0", "0", "--tubes", "9"], "most_tubes: saw '9'"),
        (["match", "50", "0", "0", "--ground", "{"], "ground: saw"),
    ],
)
def test_what_is_wrong_is_named(shelf: str, words: list[str], said: str) -> None:
    answer = CliRunner().invoke(app, [*words, "--shelf", shelf])
    assert isinstance(answer.exception, InputError)
    assert said in str(answer.exception)
