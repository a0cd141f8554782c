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
    command = [sys.executable, "-m", "scumble", *words]
    return subprocess.run(
        command, capture_output=True, text=True, env=environment, cwd=home, input=text, timeout=300
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


def test_card_prints_each_with_its_serial(home: Path) -> None:
    told = scumble(home, "card", "--serial", "03nq-k8ng", "--no-guide", "--out", "one.pdf", "--json")
    assert json.loads(told.stdout)["serial"] == "03NQK8NG"
    assert "3 cards" in scumble(home, "card", "--layout", "quick", "--count", "3").stdout
    assert (home / "sample-card-quick-A4.pdf").read_bytes().startswith(b"%PDF")
    assert "strips-A4.pdf" in scumble(home, "card", "--layout", "strips").stdout


def test_refit_says_what_changed(home: Path) -> None:
    told = scumble(home, "refit", "--preview")
    assert told.returncode == 0, told.stderr
    assert "older versions, cards and pictures stay" in told.stdout
    rows = json.loads(scumble(home, "refit", "white", "--alone", "--json").stdout)
    assert [(row["key"], row["what"]) for row in rows] == [("white", "same")]
    assert scumble(home, "refit", "nobody").returncode == 2


def test_no_slow_library_is_loaded_for_an_answer() -> None:
    """A cold answer stays quick because these are not imported for it."""
    slow = ("colour", "cv2", "reportlab", "fastapi", "scipy.optimize", "scipy.stats", "matplotlib")
    code = f"import sys, scumble.jobs.predict; print([name for name in {slow!r} if name in sys.modules])"
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, text=True).stdout.strip() == "[]"


def test_help_names_every_command() -> None:
    answer = subprocess.run([sys.executable, "-m", "scumble", "--help"], capture_output=True, text=True)
    for command in ("open", "card", "read", "shelf", "describe", "layer", "predict"):
        assert command in answer.stdout


def test_command_is_installed() -> None:
    assert shutil.which("scumble", path=str(Path(sys.executable).parent))


def test_a_chart_is_read_with_its_marks(home: Path) -> None:
    from tests.card.marked.test_read_marked import BOXES, photograph

    what = {"bare": "bare", "full": "masstone", "thin": "thin", "tint4": "tint"}
    boxes = [
        {"box_px": [*box.corner_px, *box.size_px], "what": what[box.film], "over": box.ground}
        for box in BOXES
    ]
    (home / "chart.png").write_bytes(photograph())
    (home / "marks.json").write_text(json.dumps({"boxes": boxes}), encoding="utf-8")
    read = scumble(home, "read", "chart.png", "--marks", "marks.json", "-l", "Old red", "--json")
    assert read.returncode == 0, read.stderr
    assert [area["area"] for area in json.loads(read.stdout)["areas"]][-1] == "thin over white"
    paper = scumble(
        *(
            home,
            "read",
            "chart.png",
            "--marks",
            "marks.json",
            "-l",
            "Old red",
            "--paper-lab",
            "80 0 0",
            "--json",
        )
    )
    assert json.loads(paper.stdout)["areas"][0]["read"] != json.loads(read.stdout)["areas"][0]["read"]
    (home / "marks.json").write_text('{"boxes": []}', encoding="utf-8")
    refused = scumble(home, "read", "chart.png", "--marks", "marks.json", "-l", "Old red")
    assert refused.returncode == 2 and "marks.boxes" in refused.stderr


def test_many_cards_in_one_go(home: Path) -> None:
    shutil.copy(READINGS / "magenta.csv", home / "late_violet.csv")
    (home / "empty.csv").write_text("", encoding="utf-8")
    read = scumble(home, "read", "late_violet.csv", "empty.csv", "--each")
    assert read.returncode == 1
    assert "late_violet.csv: on the shelf as late-violet." in read.stdout and "empty.csv: " in read.stdout
    alone = scumble(home, "read", "late_violet.csv", "empty.csv", "-l", "x")
    assert alone.returncode == 2 and "With --each every file is a card of its own." in alone.stderr
    unnamed = scumble(home, "read", "late_violet.csv")
    assert unnamed.returncode == 2 and "Say it with --label." in unnamed.stderr


def test_strips_are_printed_and_told_as_data(home: Path) -> None:
    told = scumble(home, "card", "--layout", "strips", "--page", "Letter", "--json")
    assert json.loads(told.stdout) == {"layout": "strips", "page": "Letter", "file": "strips-Letter.pdf"}
    assert (home / "strips-Letter.pdf").read_bytes().startswith(b"%PDF")


def test_many_cards_by_a_table(home: Path) -> None:
    shutil.copy(READINGS / "deep-blue-spectral.csv", home / "IMG_1.csv")
    (home / "cards.csv").write_text(
        "file,tube,pigments,white\nIMG_1.csv,Table blue,PB15:3,white\n", encoding="utf-8"
    )
    read = scumble(home, "read", "--list", "cards.csv")
    assert read.returncode == 0, read.stderr
    assert read.stdout.startswith("IMG_1.csv: on the shelf as table-blue. ")
    described = scumble(home, "shelf", "table blue", "--json")
    assert "PB15:3" in described.stdout


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("a.jpg", "b.jpg", "--each", "-l", "x"), "Say it in a table, with --list."),
        (("a.jpg", "--each", "--is-white"), "is-white: saw 'many cards'"),
        (("a.jpg", "--each", "--marks", "m.json"), "marks: saw 'many cards'"),
        (("--list", "nothing.csv"), "nothing.csv"),
        (("--each",), "photographs, scans or readings files of cards"),
        ((), "a photograph, a scan or a readings file of a card"),
    ],
)
def test_what_means_one_card_is_not_passed_over_with_many(
    home: Path, words: tuple[str, ...], said: str
) -> None:
    answer = scumble(home, "read", *words)
    assert answer.returncode == 2 and said in answer.stderr, answer.stderr
