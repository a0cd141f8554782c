"""``scumble tube`` and ``describe --against`` as a person runs them."""

from __future__ import annotations

import json
from pathlib import Path

from tests.cli.test_travel import LIST, scumble


def test_a_tube_is_told_of_and_then_tells_how_far_it_goes(tmp_path: Path) -> None:
    (tmp_path / "list.csv").write_text(LIST)
    scumble(tmp_path, "import", "list.csv")
    said = scumble(tmp_path, "tube", "ultramarine", "--size-ml", "37", "--coat", "0.4 ml on 5 x 10 cm")
    assert (
        "coat           0.4 ml on 5 x 10 cm" in said.stdout and "what was said before is kept" in said.stdout
    )
    told = json.loads(scumble(tmp_path, "describe", "ultramarine", "--json").stdout)
    assert told["spreading"]["coat"]["wet_um"] == 80.0
    assert any("One tube of 37 ml" in sentence for sentence in told["sentences"])
    wrong = scumble(tmp_path, "tube", "ultramarine", "--coat", "0.6 g on 50 cm2")
    assert (wrong.returncode, wrong.stderr.count("\n")) == (2, 1)
    assert "What was weighed needs the density" in wrong.stderr
    scumble(tmp_path, "export", "own.csv")
    assert "0.4 ml on 5 x 10 cm" in (tmp_path / "own.csv").read_text()


def test_a_shelf_is_narrowed_and_tubes_are_laid_side_by_side(tmp_path: Path) -> None:
    (tmp_path / "list.csv").write_text(LIST)
    scumble(tmp_path, "import", "list.csv")
    rows = json.loads(scumble(tmp_path, "shelf", "--most-price", "8.95", "--json").stdout)
    assert [(row["key"], row["price"], row["currency"]) for row in rows] == [("ultramarine", 8.9, "EUR")]
    listed = scumble(tmp_path, "shelf", "--order", "price").stdout.splitlines()
    assert [line.split()[0] for line in listed] == ["ultramarine", "phthalo"] and listed[1].endswith(
        "9.00 EUR"
    )
    wrong = scumble(tmp_path, "shelf", "--mark", "see-through")
    assert wrong.returncode == 2 and "mark: saw 'see-through'; allowed is transparent" in wrong.stderr
    told = json.loads(scumble(tmp_path, "beside", "ultramarine", "Phthalo", "--json").stdout)
    assert [each["key"] for each in told["paints"]] == ["ultramarine", "phthalo"]
    assert len(told["rows"]["price"]) == 2 and len(told["pairs"]) == 1
    said = scumble(tmp_path, "beside", "ultramarine", "phthalo").stdout
    assert "Ultramarine and Phthalo" in said and "contrast ratio of one coat" in said
    assert "two to 6. Name one more." in scumble(tmp_path, "beside", "ultramarine").stderr
