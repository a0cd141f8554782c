"""Cards and pictures as rows, and back."""

from __future__ import annotations

from dataclasses import asdict

import numpy as np
from sqlalchemy import Connection, insert, select

from scumble.errors import InputError
from scumble.paint import CardReadings, Quantity, Reading
from scumble.paint.camera_doubt import CameraDoubt
from scumble.paint.reading import sized_directions
from scumble.store.database.array_bytes import bytes_to_spectrum, spectrum_to_bytes
from scumble.store.database.schema import cards, pictures, readings
from scumble.store.picture import Picture
from scumble.tables import BANDS


def insert_card(connection: Connection, card: CardReadings) -> int:
    """Add a card and its readings; its number.

    Raises
    ------
    InputError
        If a reading has not the numbers its quantity asks for.
    """
    plain = {name: getattr(card, name) for name in ("light", "observer", "noise")}
    known = {name: getattr(card, name) or None for name in ("condition", "backing", "serial")}
    camera = None if card.camera is None else asdict(card.camera)
    row = plain | known | {"quantity": card.quantity.value, "camera": camera}
    added = connection.execute(insert(cards).values(**row))
    card_id: int = added.inserted_primary_key[0]  # type: ignore[index]
    size = 3 if card.quantity is Quantity.XYZ else BANDS
    rows = [
        _row_of(reading, size) | {"card_id": card_id, "place": at} for at, reading in enumerate(card.readings)
    ]
    if rows:
        connection.execute(insert(readings), rows)
    return card_id


def _row_of(reading: Reading, size: int) -> dict[str, object]:
    values = np.asarray(reading.values, dtype=np.float64)
    if values.shape != (size,) or not np.all(np.isfinite(values)):
        raise InputError(f"reading of {reading.area}", values, f"{size} finite numbers")
    names = ("area", "film", "paint_parts", "white_parts", "ground", "weight")
    blind = [list(direction) for direction in reading.blind]
    return {name: getattr(reading, name) for name in names} | {
        "values": spectrum_to_bytes(values),
        "blind": blind,
    }


def select_card(connection: Connection, card_id: int) -> CardReadings:
    """One card with its readings in their order."""
    card = connection.execute(select(cards).where(cards.c.id == card_id)).one()
    quantity = Quantity(card.quantity)
    size = 3 if quantity is Quantity.XYZ else BANDS
    rows = connection.execute(
        select(readings).where(readings.c.card_id == card_id).order_by(readings.c.place)
    )
    read = tuple(
        Reading(
            area=row["area"],
            film=row["film"],
            paint_parts=row["paint_parts"],
            white_parts=row["white_parts"],
            ground=row["ground"],
            values=(values := bytes_to_spectrum(row["values"], size)),
            weight=row["weight"],
            blind=sized_directions(row["blind"] or (), values),
        )
        for row in rows.mappings()
    )
    return CardReadings(
        read,
        quantity,
        card.light,
        card.observer,
        card.noise,
        None if card.camera is None else CameraDoubt(**card.camera),
        *(said or "" for said in (card.condition, card.backing, card.serial)),
    )


def insert_picture(connection: Connection, picture: Picture) -> int:
    """Add a picture; its number."""
    outlines = {area: [list(corner) for corner in corners] for area, corners in picture.outlines.items()}
    row = {"media_type": picture.media_type, "content": picture.content, "outlines": outlines}
    added = connection.execute(insert(pictures).values(**row))
    picture_id: int = added.inserted_primary_key[0]  # type: ignore[index]
    return picture_id


def select_picture(connection: Connection, picture_id: int) -> Picture:
    """One picture as it came."""
    row = connection.execute(select(pictures).where(pictures.c.id == picture_id)).one()
    outlines = {area: tuple((x, y) for x, y in corners) for area, corners in row.outlines.items()}
    return Picture(row.content, row.media_type, outlines)
