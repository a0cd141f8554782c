"""Publishes the JSON Schema of the shelf's file: ``python -m scumble.store.publish [FILE]``."""

from __future__ import annotations

import json
import sys
from pathlib import Path

from scumble.store.travel.shelf_json import ShelfModel


def shelf_schema() -> str:
    """JSON Schema (draft 2020-12) of what ``scumble export`` writes as JSON."""
    schema = {"$schema": "https://json-schema.org/draft/2020-12/schema"} | ShelfModel.model_json_schema()
    return json.dumps(schema, indent=1, ensure_ascii=False) + "\n"


if __name__ == "__main__":
    Path(sys.argv[1] if len(sys.argv) > 1 else "docs/shelf.schema.json").write_text(shelf_schema(), "utf-8")
