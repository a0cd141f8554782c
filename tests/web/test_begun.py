"""Pages that begin work: what follows it finds its own elements there, and no others."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import scumble.web

TEMPLATES = Path(scumble.web.__file__).parent / "templates"
IDS = re.compile(r'\bid="([a-z-]+)"')
FOLLOWED = IDS.findall((TEMPLATES / "begun.html").read_text())


@pytest.mark.parametrize(
    "name", sorted(path.name for path in TEMPLATES.glob("*.html") if "progress(begun" in path.read_text())
)
def test_no_other_element_of_a_page_has_the_name_of_one_that_is_followed(name: str) -> None:
    assert {"said", "search", "share", "stage", "stop"} == set(FOLLOWED)
    if name != "begun.html":
        assert not set(FOLLOWED) & set(IDS.findall((TEMPLATES / name).read_text()))
