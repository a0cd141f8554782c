"""The README's tour as a newcomer runs it: every line, in its order, on a clean shelf; and the pictures beside it."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest
from PIL import Image
from tests.cli.test_terminal import scumble

ROOT = Path(__file__).parents[2]
TOUR = (ROOT / "README.md").read_text(encoding="utf-8").partition("## Five minutes")[2].partition("\n## ")[0]
LINES = [
    line for block in re.findall(r"```\n(.*?)```", TOUR, re.DOTALL) for line in block.splitlines() if line
]
PICTURES = re.findall(r"!\[(.+?)\]\((docs/pictures/[\w.-]+)\)", TOUR)

LARGEST = 150_000


@pytest.mark.slow
def test_every_line_of_the_tour_does_what_it_says(tmp_path: Path) -> None:
    (tmp_path / "demo").symlink_to(ROOT / "demo")
    assert LINES[0] == "export SCUMBLE_SHELF=tour.sqlite" and LINES[-1] == "scumble open"
    said = []
    for line in LINES[1:-1]:
        program, *words = shlex.split(line)
        assert program == "scumble"
        answer = scumble(tmp_path, *words)
        assert answer.returncode == 0, f"{line}\n{answer.stderr}"
        said.append(answer.stdout)
    assert {path.name for path in tmp_path.glob("*.pdf")} == {
        "sample-card-full-A4.pdf",
        "sample-card-white-A4.pdf",
    }
    assert "It is the card for the white, so it was read as a white's." in said[2]
    assert "Magenta is on the shelf as magenta." in said[3]
    assert "19 times in 20" in said[5]


def test_the_pictures_are_small_whole_and_all_of_them_shown() -> None:
    kept = {path.relative_to(ROOT).as_posix() for path in (ROOT / "docs" / "pictures").iterdir()}
    assert {path for _, path in PICTURES} == kept and len(kept) == 5
    for words, path in PICTURES:
        assert len(words) > 30 and (ROOT / path).stat().st_size <= LARGEST
        with Image.open(ROOT / path) as picture:
            picture.load()
            assert min(picture.size) > 500
