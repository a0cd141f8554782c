"""How a layering of paints from the shelf will look."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from scumble.colour import name_colour
from scumble.jobs.files import shelf_path
from scumble.jobs.layering_request import answer_layering, parse_layering


def predict_layering(data: object, shelf: Path | None) -> dict[str, Any]:
    """Predict a layering given as JSON-ready data.

    Parameters
    ----------
    data : object
        ``{"ground": ..., "films": [...], "light": ..., "observer": ..., "face": ...}``.
    shelf : Path, optional
        The shelf's file.

    Raises
    ------
    InputError, StoreError
        If something in it cannot be used, or the shelf cannot be read.
    """
    from scumble.store.shelf import open_shelf

    request = parse_layering(data)
    with open_shelf(shelf_path(shelf)) as opened:
        return answer_layering(request, opened.load_paint)


def say_answer(answer: dict[str, Any]) -> str:
    """An answer in words."""
    lightness, a, b = answer["lab"]
    name = name_colour(answer["xyz"])
    gamut = "" if answer["in_gamut"] else " No screen shows it as vivid as it is."
    return (
        f"{name[0].upper()}{name[1:]}: L* {lightness:.1f}, a* {a:.1f}, b* {b:.1f}; "
        f"19 times in 20 within dE00 {answer['interval_de00']:.1f}.{gamut}"
    )
