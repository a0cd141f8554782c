"""The page that describes readings files shows files that can be read."""

from __future__ import annotations

import re
from pathlib import Path

from tests.store.cards import same_card

from scumble.store.readings.readings_file import parse_readings

PAGE = Path(__file__).parents[3] / "docs" / "readings-file.md"


def test_both_examples_are_the_same_card_and_leave_no_doubt() -> None:
    examples = re.findall(r"^```\w*\n(.*?)^```$", PAGE.read_text(encoding="utf-8"), re.MULTILINE | re.DOTALL)
    csv, cgats = (parse_readings(example) for example in examples)
    assert csv.doubts == cgats.doubts == ()
    assert same_card(csv.readings, cgats.readings)
    assert [reading.area for reading in csv.readings.painted()][-1] == "tint4-white"
