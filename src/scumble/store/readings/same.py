"""A written card is read again before it leaves: what would come back changed is refused."""

from __future__ import annotations

from dataclasses import fields, replace

import numpy as np

from scumble.errors import InputError
from scumble.paint.reading import CardReadings

BLIND_TRUST = 0.1
"""What is left of the weight of an area that is blind in some direction once a file can no longer say in which."""


def without_directions(readings: CardReadings) -> CardReadings:
    """A card as a table of numbers can hold it: areas that are blind in some direction lose weight instead."""
    told = tuple(
        replace(reading, blind=(), weight=BLIND_TRUST * reading.weight) if reading.blind else reading
        for reading in readings.readings
    )
    return replace(readings, readings=told)


def check_reads_back(readings: CardReadings, again: CardReadings) -> None:
    """Refuse what a file's own leniency would change: blanks around a name, a number below zero.

    Raises
    ------
    InputError
        Naming the area and what would change.
    """
    for one, other in zip(readings.readings, again.readings, strict=True):
        for name in (field.name for field in fields(one)):
            before, after = getattr(one, name), getattr(other, name)
            if not np.array_equal(before, after):
                raise InputError(
                    f"area {one.area}, {name}", before, f"what reads back the same, such as {after!r}"
                )
