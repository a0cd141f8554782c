"""The published schema is the one the models have."""

from __future__ import annotations

import json
from pathlib import Path

from scumble.store.publish import shelf_schema

DOCS = Path(__file__).parents[2] / "docs"


def test_the_published_schema_is_current() -> None:
    """If this fails, run ``python -m scumble.store.publish``."""
    assert (DOCS / "shelf.schema.json").read_text(encoding="utf-8") == shelf_schema()


def test_the_page_names_every_list_of_the_file() -> None:
    page = (DOCS / "shelf-files.md").read_text(encoding="utf-8")
    assert [name for name in json.loads(shelf_schema())["properties"] if f"`{name}`" not in page] == []
