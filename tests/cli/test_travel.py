"""Export, import, backup and restore as a person runs them."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

LIST = "label,pigments,price,currency\nUltramarine,PB29,8.90,EUR\nPhthalo,PG7,9,EUR\n"


def scumble(home: Path, *words: str) -> subprocess.CompletedProcess[str]:
    environment = {**os.environ, "SCUMBLE_SHELF": str(home / "shelf.sqlite"), "COLUMNS": "120"}
    command = [sys.executable, "-m", "scumble", *words]
    return subprocess.run(command, capture_output=True, text=True, env=environment, cwd=home, timeout=300)


def test_a_list_comes_in_and_the_shelf_goes_out_and_back(tmp_path: Path) -> None:
    (tmp_path / "list.csv").write_text(LIST + "Odd,PX9,1,EUR\n")
    preview = scumble(tmp_path, "import", "list.csv", "--preview")
    assert preview.returncode == 2
    first, *_, last = preview.stdout.splitlines()
    assert first == "row 2      new      ultramarine"
    assert last == (
        "list.csv: 2 new, 0 changed, 0 same, 1 refused. "
        "Nothing was saved: put the refused rows right, or take them out."
    )
    (tmp_path / "list.csv").write_text(LIST)
    assert "All of it is on the shelf." in scumble(tmp_path, "import", "list.csv").stdout
    told = json.loads(scumble(tmp_path, "export", "all.json", "--json").stdout)
    assert (told["paints"], told["bytes"]) == (2, (tmp_path / "all.json").stat().st_size)

    saved = json.loads(scumble(tmp_path, "backup", "--json").stdout)
    assert (tmp_path / saved["file"]).stat().st_size == saved["bytes"]
    assert scumble(tmp_path, "import", "all.json", "--shelf", "other.sqlite").returncode == 0
    scumble(tmp_path, "export", "other.csv", "--shelf", "other.sqlite")
    scumble(tmp_path, "export", "own.csv")
    assert (tmp_path / "other.csv").read_text() == (tmp_path / "own.csv").read_text()
    restored = scumble(tmp_path, "restore", saved["file"]).stdout.splitlines()
    assert restored[0] == f"The shelf is as it was in {saved['file']}: 2 paints."
    assert Path(restored[1].removeprefix("What stood there before is kept as ").rstrip(".")).exists()


def test_what_cannot_be_is_said_in_a_line(tmp_path: Path) -> None:
    for words, code, said in (
        (("export", "shelf.pdf"), 2, "allowed is a name that ends in .json, .csv, .xlsx"),
        (("import", "none.csv"), 2, "a file that can be read. No such file"),
        (("backup",), 1, "There is no shelf shelf.sqlite to back up."),
        (("restore", "none"), 1, "There is no backup none."),
    ):
        answer = scumble(tmp_path, *words)
        assert (answer.returncode, answer.stderr.count("\n")) == (code, 1)
        assert said in answer.stderr


def test_a_card_goes_out_and_is_read_again(tmp_path: Path) -> None:
    white = Path(__file__).parents[2] / "demo" / "readings" / "white.csv"
    assert scumble(tmp_path, "read", str(white), "-l", "White", "--is-white").returncode == 0
    for name in ("white.csv", "white.cgats", "white.cxf"):
        told = json.loads(scumble(tmp_path, "export", name, "--paint", "White", "--json").stdout)
        assert told["bytes"] == (tmp_path / name).stat().st_size
        answer = scumble(tmp_path, "read", name, "-l", name.replace(".", " "), "--is-white", "--json")
        assert answer.returncode == 0, answer.stderr
        assert len(json.loads(answer.stdout)["areas"]) == told["areas"]
    scumble(tmp_path, "export", "all.json")
    data = json.loads((tmp_path / "all.json").read_text())
    # The same readings make the same optics, whichever file they travelled in.
    assert len({json.dumps(paint["optics"][0]["absorption"]) for paint in data["paints"]}) == 1
    refused = scumble(tmp_path, "export", "white.pdf", "--paint", "white")
    assert "a name that ends in .csv, .cgats, .cxf" in refused.stderr
