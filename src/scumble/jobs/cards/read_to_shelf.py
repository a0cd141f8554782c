"""Read a card into the person's shelf and report it as plain data."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from scumble.errors import InputError
from scumble.jobs.cards.instrument_card import PLAIN_REQUEST, SampleRequest
from scumble.jobs.cards.mark_up import load_mark_up
from scumble.jobs.cards.read_card import CardResult, Progress, Tube, read_card
from scumble.jobs.colour_request import PLAIN_COLOUR, ColourRequest
from scumble.jobs.files import shelf_path
from scumble.paint import Binder
from scumble.store.shelf import open_shelf


def read_to_shelf(
    card: Path,
    shelf: Path | None,
    *,
    label: str,
    pigments: tuple[str, ...] = (),
    binder: str = "acrylic",
    white_key: str | None = None,
    is_white: bool = False,
    samples: SampleRequest = PLAIN_REQUEST,
    marks: Path | None = None,
    more: Sequence[Path] = (),
    colour: ColourRequest = PLAIN_COLOUR,
    overrule: Sequence[str] = (),
    progress: Progress | None = None,
) -> dict[str, Any]:
    """Read a card into a shelf.

    Returns
    -------
    dict
        ``key``, ``label``, ``status`` (sentences) and ``areas`` with what was read and what is predicted.

    Raises
    ------
    InputError, CardError, StoreError
        If anything given cannot be used; then nothing was saved.
    """
    if binder not in {known.value for known in Binder}:
        raise InputError("binder", binder, ", ".join(known.value for known in Binder))
    tube = Tube(label, pigments, Binder(binder), is_white)
    boxes = None if marks is None else load_mark_up(marks)
    words = _words_of(overrule)
    with open_shelf(shelf_path(shelf)) as opened:
        result = read_card(
            card,
            tube,
            opened,
            white_key=white_key,
            samples=samples,
            marks=boxes,
            more=more,
            colour=colour,
            overrule=words,
            progress=progress,
        )
    return result_as_data(result)


def _words_of(overrule: Sequence[str]) -> dict[str, str]:
    """AREA=WORD pairs as a mapping."""
    words = {}
    for pair in overrule:
        area, sign, word = pair.partition("=")
        if not sign or not word.strip():
            raise InputError("overrule", pair, "AREA=WORD", "Such as thin1-red=accept.")
        words[area.strip()] = word.strip()
    return words


def result_as_data(result: CardResult) -> dict[str, Any]:
    """A card result as JSON-ready data."""
    areas = [
        {
            "area": area.reading.area,
            "read": [round(value, 4) for value in area.reading.values.tolist()],
            "predicted": [round(value, 4) for value in area.predicted.tolist()],
            "coats": round(area.coats, 4),
        }
        for area in result.fit.areas
    ]
    paint = result.paint
    return {"key": paint.key, "label": paint.label, "status": list(paint.status), "areas": areas}
