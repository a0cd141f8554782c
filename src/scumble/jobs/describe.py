"""Say how a paint behaves, as plain data."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from scumble.jobs.files import shelf_path
from scumble.jobs.show_shelf import white_for
from scumble.paint.behaviour import predict_behaviour
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
        paint = opened.load_paint(key)
        white = white_for(paint, opened.load_paints())
    behaviour = predict_behaviour(paint, white=white)
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
