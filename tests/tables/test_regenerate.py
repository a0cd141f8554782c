"""The committed tables are what the script writes."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from scumble.tables import regenerate

WRITTEN = (
    "light_a",
    "light_d50",
    "light_d65",
    "light_led_b3",
    "munsell_renotation",
    "observer_10deg",
    "observer_2deg",
)


@pytest.mark.slow
@pytest.mark.filterwarnings("ignore")
def test_the_script_writes_the_committed_numbers_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    room = regenerate.ROOM
    monkeypatch.setattr(regenerate, "ROOM", tmp_path)
    with np.printoptions():  # colour-science sets them for everyone
        assert regenerate.main() == 0
    assert sorted(path.stem for path in tmp_path.iterdir()) == sorted(WRITTEN)
    for name in WRITTEN:
        again, committed = ((place / f"{name}.csv").read_text("utf-8") for place in (tmp_path, room))
        # The header names the version of the package, which may move on; the numbers may not.
        drop = "# read from"
        assert [line for line in again.splitlines() if not line.startswith(drop)] == [
            line for line in committed.splitlines() if not line.startswith(drop)
        ]


def test_neither_the_tables_nor_colour_import_colour_science() -> None:
    program = "import sys, scumble.colour, scumble.tables; print('colour' in sys.modules)"
    answer = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert answer.stdout.strip() == "False"
