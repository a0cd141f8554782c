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
