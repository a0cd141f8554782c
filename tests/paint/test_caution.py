"""Cautions: sourced, deferring, and never a word of comfort."""

from __future__ import annotations

import re

import pytest

from scumble.paint.caution import ALWAYS, pigment_cautions, pigment_families
from scumble.tables import load_table

TABLE = load_table("pigment_cautions")


def test_every_family_says_who_says_so_and_whether_that_was_read() -> None:
    for source, status in zip(TABLE["source"], TABLE["status"], strict=True):
        assert source
        assert re.match(r"published|from memory", status)
        assert "memory" in status or "no source" not in source


def test_no_caution_comforts() -> None:
    for words in (*TABLE["caution"].tolist(), *ALWAYS):
        assert not re.search(r"(?<!not )\bsafe\b|non-?toxic|harmless|no risk", words.replace("safety", ""))
    assert any("safety data sheet" in words and "local rules" in words for words in ALWAYS)


@pytest.mark.parametrize(
    ("names", "families"),
    [
        (["PY34"], ("lead", "chromate")),
        (["PG18"], ("chromium oxide",)),
        (["PY53"], ("nickel", "antimony")),
        (["pbk 7"], ("fine carbon",)),
        (["PW4", "PB28"], ("cobalt", "zinc")),
        (["PB29"], ()),
    ],
)
def test_pigments_have_their_families(names: list[str], families: tuple[str, ...]) -> None:
    assert pigment_families(names) == families
    assert len(pigment_cautions(names)) == len(families)


def test_each_name_stands_once_in_a_family() -> None:
    for names in TABLE["names"]:
        each = names.split()
        assert len(each) == len(set(each))
        assert all(re.fullmatch(r"P(B|Bk|Br|G|O|R|V|W|Y)\d+(:\d)?", name) for name in each)
