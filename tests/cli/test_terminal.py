"""The commands as a person runs them: answers, exit codes, one line of error, and time to the first answer."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

READINGS = Path(__file__).parents[2] / "demo" / "readings"


@pytest.fixture(scope="module")
def home(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("home")
    assert (
        scumble(
            folder, "read", str(READINGS / "white.csv"), "-l", "White", "--is-white", "--pigment", "PW6"
        ).returncode
        == 0
    )
    return folder


def scumble(home: Path, *words: str, text: str | None = None) -> subprocess.CompletedProcess[str]:
    environment = {
        **os.environ,
        "SCUMBLE_SHELF": str(home / "shelf.sqlite"),
        "NO_COLOR": "1",
        "COLUMNS": "120",
    }
    command = [sys.executable, "-m", "scumble.cli.main", *words]
    return subprocess.run(
        command, capture_output=True, text=True, env=environment, cwd=home, input=text, timeout=60
    )


def test_read_then_layer(home: Path) -> None:
    read = scumble(
        home, "read", str(READINGS / "magenta.csv"), "-l", "My magenta", "--white", "white", "--json"
    )
    assert read.returncode == 0, read.stderr
    told = json.loads(read.stdout)
    assert told["key"] == "my-magenta"
    assert len(told["areas"]) == 22
    request = '{"ground":{"paper":"white"},"films":[{"parts":{"my-magenta":1,"white":3},"coats":0.3}]}'
    layer = scumble(home, "layer", request, "--json")
    assert layer.returncode == 0, layer.stderr
    assert len(json.loads(layer.stdout)["reflectance"]) == 36
    assert scumble(home, "layer", "-", "--json", text=request).stdout == layer.stdout


def test_words_for_people(home: Path) -> None:
    layer = scumble(home, "layer", '{"ground":{"paper":"black"},"films":[{"parts":{"white":1},"coats":1}]}')
    assert "19 times in 20 within dE00" in layer.stdout
    described = scumble(home, "describe", "white")
    assert described.returncode == 0, described.stderr
    assert "contrast ratio" in described.stdout


def test_predict_needs_no_shelf(tmp_path: Path) -> None:
    answer = scumble(tmp_path, "predict", str(READINGS / "job.json"))
    assert answer.returncode == 0, answer.stderr
    assert set(json.loads(answer.stdout)) == {"paints", "predictions"}
    assert not (tmp_path / "shelf.sqlite").exists()


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("describe", "whyte"), "whyte"),
        (("read", "nothing.csv", "-l", "X"), "nothing.csv"),
        (("layer", "{"), "layering"),
        (("layer", '{"ground":{"paper":"velvet"}}'), "velvet"),
        (("card", "--layout", "huge"), "huge"),
        (("predict", "nothing.json"), "nothing.json"),
        (("read", str(READINGS / "magenta.csv"), "-l", "X", "--binder", "wax"), "wax"),
        (("shelf", "--order", "taste"), "taste"),
    ],
)
def test_bad_input_is_one_line_and_exit_2(home: Path, words: tuple[str, ...], said: str) -> None:
    answer = scumble(home, *words)
    assert answer.returncode == 2
    assert said in answer.stderr
    assert answer.stderr.count("\n") == 1
    assert "Traceback" not in answer.stderr


def test_nothing_is_saved_when_reading_fails(home: Path) -> None:
    before = scumble(home, "shelf", "--json").stdout
    spoilt = home / "spoilt.csv"
    spoilt.write_text((READINGS / "magenta.csv").read_text().replace("thin1-red", "thin1-white", 1))
    assert scumble(home, "read", str(spoilt), "-l", "Spoilt").returncode == 2
    assert scumble(home, "shelf", "--json").stdout == before


def test_card_prints_and_maps(home: Path) -> None:
    told = scumble(home, "card", "--layout", "quick", "--out", "card.pdf", "--json")
    assert told.returncode == 0, told.stderr
    assert json.loads(told.stdout)["layout"] == "quick"
    assert (home / "card.pdf").read_bytes().startswith(b"%PDF")


def test_no_slow_library_is_loaded_for_an_answer() -> None:
    """A cold answer stays quick because these are not imported for it."""
    slow = ("colour", "cv2", "reportlab", "fastapi", "scipy.optimize", "scipy.stats", "matplotlib")
    code = f"import sys, scumble.jobs.predict; print([name for name in {slow!r} if name in sys.modules])"
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, text=True).stdout.strip() == "[]"


def test_help_names_every_command() -> None:
    answer = subprocess.run(
        [sys.executable, "-m", "scumble.cli.main", "--help"], capture_output=True, text=True
    )
    for command in ("open", "card", "read", "shelf", "describe", "layer", "predict"):
        assert command in answer.stdout


def test_command_is_installed() -> None:
    assert shutil.which("scumble", path=str(Path(sys.executable).parent))
