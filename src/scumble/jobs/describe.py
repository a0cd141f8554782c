"""Say how a paint behaves, as plain data."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from scumble.jobs.files import shelf_path
from scumble.jobs.show_paint import behaviour_of, fetch
from scumble.paint.words import describe_behaviour
from scumble.store.shelf import open_shelf


def describe_paint(key: str, shelf: Path | None) -> dict[str, Any]:
    """What a paint of the shelf does in a film, in sentences.

    Raises
    ------
    InputError, StoreError
        For an unknown paint, or a shelf that cannot be read.
    """
    with open_shelf(shelf_path(shelf)) as opened:
        paint, white, _ = fetch(opened, key)
    behaviour = behaviour_of(paint, white)
    return {
        "key": paint.key,
        "label": paint.label,
        "pigments": list(paint.pigments),
        "provenance": paint.provenance.value,
        "contrast_ratio": round(behaviour.contrast_ratio.value, 4),
        "mark": behaviour.mark.value,
        "masstone": behaviour.masstone_name,
        "undertone": behaviour.undertone_name,
        "sentences": [str(sentence) for sentence in describe_behaviour(behaviour)],
        "status": list(paint.status),
    }
