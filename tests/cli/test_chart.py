"""``scumble chart`` as a person runs it."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from tests.chart.profiles import four_ink_profile
from tests.jobs.shelves import illustrative_shelf


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("home")
    illustrative_shelf(folder / "shelf.sqlite")
    return folder


def scumble(home: Path, *words: str) -> subprocess.CompletedProcess[str]:
    environment = {
        **os.environ,
        "SCUMBLE_SHELF": str(home / "shelf.sqlite"),
        "NO_COLOR": "1",
        "COLUMNS": "120",
    }
    command = [sys.executable, "-m", "scumble", "chart", *words]
    return subprocess.run(command, capture_output=True, text=True, env=environment, cwd=home, timeout=300)


def test_a_chart_is_written_and_said(home: Path) -> None:
    answer = scumble(home, "mix", "cadmium-red", "cobalt-blue", "--out", "mix.svg")
    assert answer.returncode == 0, answer.stderr
    assert answer.stdout == "mix.svg: one page. Print at 100 % and check the ruler.\n"
    assert (home / "mix.svg").read_text(encoding="utf-8").startswith("<svg")


def test_json_says_what_was_drawn(home: Path) -> None:
    answer = scumble(home, "labels", "cobalt-blue", "--start", "2", "--json")
    assert answer.returncode == 0, answer.stderr
    told = json.loads(answer.stdout)
    assert told["files"] == ["labels.pdf"] and told["page_mm"] == [210.0, 297.0]
    assert told["paints"] == [
        {"key": "cobalt-blue", "label": "Cobalt blue", "page": 1, "box_mm": [70.0, 0.5, 70.0, 37.0]}
    ]
    assert (home / "labels.pdf").read_bytes().startswith(b"%PDF")


def test_bad_input_is_one_line_and_exit_2(home: Path) -> None:
    answer = scumble(home, "wall", "--page", "A9")
    assert answer.returncode == 2
    assert "page: saw 'A9'" in answer.stderr and answer.stderr.count("\n") == 1


def test_a_chart_is_written_for_a_printer(home: Path) -> None:
    (home / "paper.icc").write_bytes(four_ink_profile())
    answer = scumble(
        home,
        "mix",
        "cadmium-red",
        "cobalt-blue",
        "--profile",
        "paper.icc",
        "--intent",
        "perceptual",
        "--json",
    )
    assert answer.returncode == 0, answer.stderr
    assert json.loads(answer.stdout)["profile"] == "Invented press of four inks"
    assert b"/DefaultCMYK" in (home / "mix.pdf").read_bytes()
    refused = scumble(home, "mix", "cadmium-red", "cobalt-blue", "--profile", "nowhere.icc")
    assert refused.returncode == 2
    assert "profile: saw 'nowhere.icc'; allowed is an ICC file that can be read" in refused.stderr


def test_size_ladder_and_coats_are_taken(home: Path) -> None:
    wall = scumble(home, "wall", "--scale", "2", "--page", "A4", "--find", "blue", "--json")
    told = json.loads(wall.stdout)
    assert told["pages"] > 1 and told["paints"][0]["box_mm"][2] >= 44.0
    mix = scumble(home, "mix", "cadmium-red", "cobalt-blue", "--ladder", "2:8", "--coats", "0.5", "--json")
    squares = json.loads(mix.stdout)["squares"]
    assert {square["white_parts"] for square in squares} == {0.0, 2.0, 8.0}
    blank = scumble(home, "wall", "--blank", "--find", "red", "--json")
    assert json.loads(blank.stdout)["blank"] is True
