"""``scumble proof`` at the terminal, from promise to sharpened paint."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from tests.jobs.shelves import read_shelf
from typer.testing import CliRunner

from scumble.cli.main import app
from scumble.errors import InputError


@pytest.fixture(scope="module")
def shelf(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return read_shelf(tmp_path_factory.mktemp("proof") / "shelf.sqlite")


def say(shelf: Path, *words: str) -> str:
    answer = CliRunner().invoke(app, ["proof", *words, "--shelf", str(shelf)], catch_exceptions=False)
    assert answer.exit_code == 0, answer.output
    return answer.output


def ask(shelf: Path, *words: str) -> Any:
    return json.loads(say(shelf, *words, "--json"))


def test_from_promise_to_sharpened_paint(shelf: Path, tmp_path: Path) -> None:
    thin = '{"ground": {"paper": "white"}, "films": [{"parts": {"class-blue": 1}, "coats": 0.3}]}'
    told = ask(shelf, "keep", thin)
    assert told["kind"] == "undertone" and told["read"] is None and told["light"] == "D65"
    assert 0 < told["optics_de00"] < told["interval_de00"]
    assert "waits to be painted" in say(shelf, "list")
    out = tmp_path / "sheet.pdf"
    (sheet,) = ask(shelf, "print", "--out", str(out))
    assert out.read_bytes().startswith(b"%PDF") and [*sheet["boxes"]] == ["p1-white"]
    assert {"areas", "fiducials", "steps", "grounds"} <= set(sheet)
    lab = " ".join(f"{value + 0.5:.2f}" for value in told["lab"])
    assert "inside the promised" in say(shelf, "read", told["proof"], "--lab", lab)
    assert "1 of 1 inside" in say(shelf, "record")
    assert "Nothing was saved" in say(shelf, "sharpen", "class-blue", "--preview")
    done = ask(shelf, "sharpen", "class-blue")
    assert done["version"] == 2 and done["interval_now"] < done["interval_before"]
    assert [each["key"] for each in done["taken"]] == [told["proof"]]
    record = ask(shelf, "record")
    assert record["all"]["count"] == 1 and record["today"] == record["today"] | {"count": 0, "used": 1}
    with pytest.raises(InputError, match="a proof with Class blue that was read"):
        say(shelf, "sharpen", "class-blue")
    assert "version 1 counts again" in say(shelf, "sharpen", "class-blue", "--back")
    assert ask(shelf, "record")["today"]["count"] == 1
    assert "in the bin" in say(shelf, "bin", told["proof"])
    assert ask(shelf, "record")["all"]["count"] == 0
    assert "is back" in say(shelf, "restore", told["proof"])
    assert ask(shelf, "record", "--paint", "Class blue")["all"]["count"] == 1


def test_a_file_of_an_instrument_goes_by_boxes_names_and_a_map(shelf: Path, tmp_path: Path) -> None:
    keys = [
        ask(shelf, "keep", "--paint", "class-blue", "--swatch", swatch)["proof"]
        for swatch in ("masstone", "dark", "tint9")
    ]
    (sheet,) = ask(shelf, "print", *keys, "--out", str(tmp_path / "sheet.pdf"))
    assert [*sheet["boxes"]] == ["p1-white", "p2-white", "p10-black"]
    file = tmp_path / "read.csv"
    rows = ["box 1,14,-18,-25", f"{keys[1]},7,-6,-18", "S7,70,-24,-24", "bare white,94,0,-2", "other,1,2,3"]
    file.write_text("SAMPLE_ID,L,a,b\n" + "\n".join(rows) + "\n")
    told = ask(shelf, "read", str(file), "--map", f"S7={keys[2]}")
    assert {each["proof"] for each in told["proofs"]} == set(keys) and told["left_over"] == ["other"]
    first = next(each for each in told["proofs"] if each["proof"] == keys[0])
    assert (first["read"]["sheet"], first["read"]["area"]) == (sheet["serial"], "p1-white")
    assert first["read"]["source"] == "instrument"


@pytest.mark.parametrize(
    ("words", "match"),
    [
        (("keep",), "a layering, or --paint"),
        (("keep", "--paint", "class-blue", "--swatch", "moon"), "masstone, undertone"),
        (("keep", "{}"), "an entry of that name"),
        (("read", "nobody", "--lab", "1 2 3"), "a proof of this shelf"),
        (("print", "--sheet", "00000000"), "the serial of a sheet"),
        (("record", "--kind", "moon"), "masstone, undertone"),
        (("sharpen", "ultramarine-blue"), "a paint that was measured"),
        (("sharpen", "class-white", "--back"), "sharpened by proofs"),
    ],
)
def test_what_cannot_be_used_is_said(shelf: Path, words: tuple[str, ...], match: str, tmp_path: Path) -> None:
    extra = ("--out", str(tmp_path / "x.pdf")) if words[0] == "print" else ()
    with pytest.raises(InputError, match=match):
        say(shelf, *words, *extra)
