"""Small shelves to show pages from."""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
from PIL import Image

from scumble.jobs.cards.card_file import load_card
from scumble.jobs.cards.read_card import Tube, fit_tube
from scumble.paint import Paint, Provenance
from scumble.paint.pigment import starter_shelf
from scumble.store.picture import Picture
from scumble.store.shelf import open_shelf

READINGS = Path(__file__).parents[2] / "demo" / "readings"

READ_TUBES = (
    ("white", "Class white", ("PW6",)),
    ("deep-blue", "Class blue", ("PB15:3",)),
)


def illustrative_shelf(path: Path) -> Path:
    """The starter shelf."""
    with open_shelf(path) as shelf:
        shelf.save_paints(starter_shelf())
    return path


def read_shelf(path: Path) -> Path:
    """The starter shelf and two tubes read from cards, one of them with a picture."""
    illustrative_shelf(path)
    with open_shelf(path) as shelf:
        for file, label, pigments in READ_TUBES:
            tube = Tube(label, pigments, is_white=file == "white")
            readings, _, remarks = load_card(READINGS / f"{file}.csv")
            white = None if tube.is_white else shelf.load_paint("class-white").optics
            fit, status = fit_tube(readings, tube, white)
            paint = Paint(tube.key, label, fit.optics, Provenance.CARD, pigments, status=(*status, *remarks))
            picture = None if tube.is_white else card_picture([each.area for each in readings.readings])
            shelf.save_paint(paint, readings=readings, picture=picture)
    return path


def card_picture(areas: list[str]) -> Picture:
    """A grey picture with made-up outlines in a row."""
    file = io.BytesIO()
    Image.fromarray(np.full((300, 60 * len(areas), 3), 180, np.uint8)).save(file, "JPEG")
    outlines = {
        area: tuple((60.0 * at + x, 100.0 + y) for x, y in ((5, 0), (55, 0), (55, 80), (5, 80)))
        for at, area in enumerate(areas)
    }
    return Picture(file.getvalue(), "image/jpeg", outlines)
