"""Get a shelf ready to be looked at: make it on first use, and fill a new one with the demo."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

from pydantic import BaseModel, ConfigDict

from scumble.errors import InputError
from scumble.jobs.cards.read_card import Tube, read_card
from scumble.jobs.files import shelf_path
from scumble.jobs.layering_request import parse_model
from scumble.paint import Binder
from scumble.store.shelf import Shelf, open_shelf

Progress = Callable[[str, float], None]

SERVERS = ("postgresql:", "postgres:")
"""How the place of a shelf on a server begins; it lies in no folder."""

DEMO_REMARK = "Demo: an invented paint; its card was simulated, painted and photographed by a program."
"""Said of every demo tube, lest it be taken for a measured paint."""


class DemoPaint(BaseModel):
    """One tube of a demo shelf."""

    model_config = ConfigDict(extra="ignore")

    key: str
    label: str
    photo: str
    pigments: list[str] = []
    binder: str = "acrylic"


class DemoShelf(BaseModel):
    """A demo shelf: its white, and the photographs of its cards."""

    model_config = ConfigDict(extra="ignore")

    white: str
    paints: list[DemoPaint]


def prepare_shelf(given: Path | None, *, demo: Path | None = None, progress: Progress | None = None) -> Path:
    """Make sure there is a shelf; fill one that is new with illustrative pigments and the demo's cards.

    Parameters
    ----------
    given : Path, optional
        The shelf's file; the person's own by default.
    demo : Path, optional
        Folder with ``shelf.json`` and the photographs it names.

    Returns
    -------
    Path
        The shelf's file.

    Raises
    ------
    InputError, CardError, StoreError
        If the shelf cannot be made or the demo cannot be read.
    """
    path = shelf_path(given)
    if not str(path).startswith(SERVERS):
        path.parent.mkdir(parents=True, exist_ok=True)
    tell = progress or (lambda _words, _share: None)
    with open_shelf(path) as shelf:
        if not shelf.load_entries() and not shelf.load_bin():
            fill_shelf(shelf, demo, tell)
    return path


def fill_shelf(shelf: Shelf, demo: Path | None, tell: Progress) -> None:
    """Put the illustrative pigments on a shelf, and the demo's cards read from their photographs."""
    from scumble.paint.pigment import starter_shelf

    tell("hanging the illustrative pigments", 0.0)
    shelf.save_paints(starter_shelf())
    if demo is None:
        return
    listed = _load_demo(demo)
    paints = sorted(listed.paints, key=lambda paint: paint.key != listed.white)
    for number, paint in enumerate(paints):
        tell(f"reading the demo card of {paint.label}", (number + 0.5) / (len(paints) + 1))
        is_white = paint.key == listed.white
        tube = Tube(
            paint.label, tuple(paint.pigments), Binder(paint.binder), is_white, paint.key, DEMO_REMARK
        )
        white_key = None if tube.is_white else listed.white
        read_card(demo / paint.photo, tube, shelf, white_key=white_key)


def _load_demo(folder: Path) -> DemoShelf:
    try:
        data = json.loads((folder / "shelf.json").read_text(encoding="utf-8"))
    except (OSError, ValueError) as error:
        raise InputError("demo", str(folder), "a folder with a shelf.json", str(error)) from None
    return parse_model(DemoShelf, data, field="shelf.json")
