"""Many cards in one go: each kept under its file's name, and none stopped by another."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from PIL import Image

from scumble.errors import InputError
from scumble.jobs.cards.card_list import load_card_list, name_of, orders_of
from scumble.jobs.cards.read_many import read_many
from scumble.store.shelf import open_shelf

DEMO = Path(__file__).parents[3] / "demo"

PEAK = """
import sys
from scumble.cli.main import app
sys.argv = ["scumble", "read", *sys.argv[1:]]
app(standalone_mode=False)
print(next(line.split()[1] for line in open("/proc/self/status") if line.startswith("VmHWM")))
"""
"""Reads cards and prints the most memory that was ever taken [kB], by this program alone: see proc(5)."""


def test_each_file_is_a_card_and_what_cannot_be_read_stops_none(tmp_path: Path) -> None:
    good = [tmp_path / "first_blue.csv", tmp_path / "second.jpg"]
    shutil.copy(DEMO / "readings" / "deep-blue.csv", good[0])
    shutil.copy(DEMO / "cards" / "classroom-red.jpg", good[1])
    bad = tmp_path / "cut.jpg"
    bad.write_bytes(good[1].read_bytes()[:4000])
    told: list[tuple[str, float]] = []
    reports = read_many(
        orders_of([good[0], bad, tmp_path / "missing.jpg", good[1]], binder="acrylic"),
        tmp_path / "shelf.sqlite",
        progress=lambda words, share: told.append((words, share)),
    )
    assert [report.get("key") for report in reports] == ["first-blue", None, None, "second"]
    assert "cut short" in reports[1]["error"] and "missing.jpg" in reports[2]["error"]
    with open_shelf(tmp_path / "shelf.sqlite") as shelf:
        assert [entry.label for entry in shelf.load_entries()] == ["First blue", "Second"]
    shares = [share for _, share in told]
    assert shares == sorted(shares) and shares[-1] == pytest.approx(1.0)
    assert told[0][0].startswith("1 of 4: ") and told[-1][0] == "done"


def test_files_that_would_be_one_tube_are_refused_before_any_is_read(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"red\.jpg and Red\.png"):
        read_many(orders_of([Path("red.jpg"), Path("Red.png")], binder="acrylic"), tmp_path / "shelf.sqlite")
    assert not (tmp_path / "shelf.sqlite").exists()


def test_a_table_names_tubes_whites_come_first_and_their_cards_are_solved_together(tmp_path: Path) -> None:
    for file in ("magenta", "deep-blue", "white"):
        shutil.copy(DEMO / "readings" / f"{file}-spectral.csv", tmp_path / f"{file}.csv")
    table = tmp_path / "cards.csv"
    table.write_text(
        "file,tube,pigments,is_white\nmagenta.csv,Rose,PV19,\ndeep-blue.csv,Night blue,PB15:3,\n"
        "white.csv,Chalk white,PW6,yes\n",
        encoding="utf-8",
    )
    reports = read_many(load_card_list(table), tmp_path / "shelf.sqlite")
    assert [report["key"] for report in reports] == ["rose", "night-blue", "chalk-white"]
    assert [report.get("together") for report in reports] == [1, 1, None]
    with open_shelf(tmp_path / "shelf.sqlite") as shelf:
        assert shelf.load_paint("rose").pigments == ("PV19",)
        # Read before their white in the table, and tinted with it all the same.
        assert not any("no white" in said.lower() for said in shelf.load_paint("rose").status)
        # Each by itself, and then together: no version and no reading is lost.
        assert [entry.version for entry in shelf.load_versions("rose")] == [1, 2]
        assert len(shelf.load_readings("rose").readings) == 22  # type: ignore[union-attr]
        assert any("worked out together" in said for said in shelf.load_paint("chalk-white").status)


def test_alone_is_alone(tmp_path: Path) -> None:
    for file in ("magenta", "deep-blue", "white"):
        shutil.copy(DEMO / "readings" / f"{file}-spectral.csv", tmp_path / f"{file}.csv")
    table = tmp_path / "cards.csv"
    table.write_text(
        "file,pigments,is_white\nmagenta.csv,PV19,\ndeep-blue.csv,PB15:3,\nwhite.csv,PW6,yes\n",
        encoding="utf-8",
    )
    reports = read_many(load_card_list(table), tmp_path / "shelf.sqlite", together=False)
    assert not any("together" in report or "error" in report for report in reports)
    with open_shelf(tmp_path / "shelf.sqlite") as shelf:
        assert [entry.version for entry in shelf.load_versions("magenta")] == [1]


@pytest.mark.parametrize(("file", "name"), [("a_b-c.jpg", "A b c"), ("Lemon  yellow.JPG", "Lemon yellow")])
def test_names_are_read_from_files(file: str, name: str) -> None:
    assert name_of(Path(file)) == name


@pytest.mark.slow
def test_many_large_photographs_take_no_more_memory_than_one(tmp_path: Path) -> None:
    """The issue allows 1.5 GB for 60 cards; each is let go before the next, so that a few show what all take."""
    photograph = Image.open(DEMO / "cards" / "classroom-red.jpg").resize((3024, 4032))
    for number in range(4):
        photograph.save(tmp_path / f"card {number}.jpg", quality=90)
    peaks = []
    for count in (1, 4):
        files = [str(tmp_path / f"card {number}.jpg") for number in range(count)]
        command = [sys.executable, "-c", PEAK, *files, "--each", "--shelf", str(tmp_path / f"{count}.sqlite")]
        answer = subprocess.run(command, capture_output=True, text=True, timeout=300)
        assert answer.returncode == 0, answer.stderr
        peaks.append(int(answer.stdout.split()[-1]))
    assert peaks[1] < 1_500_000 and peaks[1] < 1.25 * peaks[0], peaks
