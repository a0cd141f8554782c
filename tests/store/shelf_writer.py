"""Saves versions of one paint without end and says each number once it is confirmed; made to be killed."""

from __future__ import annotations

import sys
from dataclasses import replace

import numpy as np
from tests.store.cards import invented_paint, small_card

from scumble.paint import CardReadings, Paint
from scumble.store.shelf import Picture, open_shelf


def content_of(number: int) -> tuple[Paint, CardReadings, Picture]:
    """What version ``number`` holds; everything in it tells the number."""
    paint = replace(invented_paint(seed=number), label=f"Version {number}")
    card = small_card()
    readings = tuple(replace(reading, values=np.full(3, float(number))) for reading in card.readings)
    picture = Picture(number.to_bytes(4, "big") * 75_000, "image/png", {"white": ((float(number), 0.0),)})
    return paint, replace(card, readings=readings), picture


def main(path: str) -> None:
    with open_shelf(path) as shelf:
        number = 1
        if shelf.load_entries():
            number = shelf.load_versions("deep-blue")[-1].version + 1
        while True:
            paint, readings, picture = content_of(number)
            print(shelf.save_paint(paint, readings=readings, picture=picture), flush=True)
            number += 1


if __name__ == "__main__":
    main(sys.argv[1])
