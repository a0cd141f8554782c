"""The drawer of proofs: kept once, read as often as one likes, binned and fetched back, never overwritten."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from datetime import UTC, datetime
from typing import Any

from sqlalchemy import Connection, func, insert, select, update

from scumble.errors import InputError
from scumble.store.database.door import Door, now
from scumble.store.database.schema import proof_readings, proof_sheets, proof_uses, proofs
from scumble.store.drawers.card_table import insert_picture, select_picture
from scumble.store.drawers.paint_history import plain_moment
from scumble.store.drawers.proof_rows import (
    moment_of,
    proof_to_row,
    reading_to_row,
    row_to_proof,
    row_to_reading,
    row_to_sheet,
)
from scumble.store.picture import Picture
from scumble.store.proof import KeptProof, KeptReading, Proof, ProofReading, ProofSheet, ProofUse


class ProofDrawer:
    """Proofs of one shelf, with their readings, pictures and sheets.

    Parameters
    ----------
    door : Door
        Of the shelf.
    """

    def __init__(self, door: Door) -> None:
        self._door = door

    def keep(self, proof: Proof) -> None:
        """Keep a prediction to be proved.

        Raises
        ------
        InputError
            If there is a proof of that key.
        StoreError
            If the shelf cannot be written; nothing was saved.
        """
        with self._door.writing() as connection:
            if _find(connection, proof.key) is not None:
                raise InputError("proof", proof.key, "a key that no other proof has")
            add_proof(connection, KeptProof(proof, datetime.now(UTC)))

    def load(self, key: str) -> KeptProof:
        """One proof with its readings, also from the bin.

        Raises
        ------
        InputError
            If there is none.
        """
        with self._door.reading() as connection:
            found = select_proofs(connection, keys=(key.strip().lower(),))
        if not found:
            raise InputError("proof", key, "a proof of this shelf", "scumble proof list names them.")
        return found[0]

    def load_all(self, *, binned: bool = False) -> tuple[KeptProof, ...]:
        """Every proof that is not in the bin, or that is, oldest first."""
        with self._door.reading() as connection:
            return tuple(each for each in select_proofs(connection) if (each.binned_at is not None) == binned)

    def count(self) -> int:
        """How many there are, those in the bin too."""
        with self._door.reading() as connection:
            found: int = connection.execute(select(func.count()).select_from(proofs)).scalar_one()
            return found

    def save_readings(self, read: Mapping[str, ProofReading], picture: Picture | None = None) -> None:
        """Keep what was read of proofs, all or nothing; a picture of them is kept once.

        A reading that is the one that counts already, to the last digit, is not kept again.

        Parameters
        ----------
        read : mapping of str to ProofReading
            By the proof's key.
        picture : Picture, optional
            That they were read from.

        Raises
        ------
        InputError
            If there is no such proof.
        StoreError
            If the shelf cannot be written; nothing was saved.
        """
        with self._door.writing() as connection:
            places = {key: _need(connection, key) for key in read}
            known = {kept.proof.key: kept.reading for kept in select_proofs(connection, keys=tuple(read))}
            new = {
                key: reading
                for key, reading in read.items()
                if (before := known.get(key)) is None or before.reading != reading
            }
            shared = insert_picture(connection, picture) if picture is not None and new else None
            for key, reading in new.items():
                add_reading(connection, places[key], reading, picture_id=shared)

    def load_picture(self, key: str, number: int) -> Picture | None:
        """The picture that a reading comes from; ``None`` if there was none.

        Raises
        ------
        InputError
            If there is no such proof.
        """
        with self._door.reading() as connection:
            query = select(proof_readings.c.picture_id).where(
                proof_readings.c.proof_id == _need(connection, key), proof_readings.c.number == number
            )
            picture_id = connection.execute(query).scalar()
            return None if picture_id is None else select_picture(connection, picture_id)

    def set_reading_aside(self, key: str, number: int, *, aside: bool) -> None:
        """Set a reading aside, or let it count again.

        Raises
        ------
        InputError
            If there is no such proof or reading.
        """
        with self._door.writing() as connection:
            mine = (
                proof_readings.c.proof_id == _need(connection, key),
                proof_readings.c.number == number,
            )
            if connection.execute(select(proof_readings.c.id).where(*mine)).first() is None:
                raise InputError("reading", number, "a reading of this proof")
            binned_at = now() if aside else None
            connection.execute(update(proof_readings).where(*mine).values(binned_at=binned_at))

    def move(self, key: str, *, binned: bool) -> None:
        """Put a proof into the bin with all that was read of it, or fetch it back.

        Raises
        ------
        InputError
            If there is no such proof.
        """
        with self._door.writing() as connection:
            proof_id = _need(connection, key)
            binned_at = now() if binned else None
            connection.execute(update(proofs).where(proofs.c.id == proof_id).values(binned_at=binned_at))

    def add_uses(self, used: Collection[tuple[str, int]], use: ProofUse) -> None:
        """Write down that readings went into optics.

        Parameters
        ----------
        used : collection of (str, int)
            Keys of proofs and numbers of their readings.
        use : ProofUse
            The paint and the optics that came of it.
        """
        with self._door.writing() as connection:
            for key, number in used:
                query = select(proof_readings.c.id).where(
                    proof_readings.c.proof_id == _need(connection, key), proof_readings.c.number == number
                )
                _add_use(connection, connection.execute(query).scalar_one(), use)

    def save_sheets(self, sheets: Iterable[ProofSheet]) -> None:
        """Keep which proof is painted where on sheets that are printed now.

        Raises
        ------
        StoreError
            If the shelf cannot be written; nothing was saved.
        """
        with self._door.writing() as connection:
            for sheet in sheets:
                add_sheet(connection, sheet)

    def load_sheet(self, serial: str) -> ProofSheet | None:
        """The sheet of a serial, ``None`` if this shelf did not print it."""
        with self._door.reading() as connection:
            row = connection.execute(select(proof_sheets).where(proof_sheets.c.serial == serial)).first()
        return None if row is None else row_to_sheet(row)

    def load_sheets(self) -> tuple[ProofSheet, ...]:
        """Every sheet, oldest first."""
        with self._door.reading() as connection:
            rows = connection.execute(select(proof_sheets).order_by(proof_sheets.c.id)).all()
        return tuple(row_to_sheet(row) for row in rows)


def select_proofs(connection: Connection, keys: Collection[str] | None = None) -> list[KeptProof]:
    """Proofs with all their readings, oldest first; of some keys only."""
    query = select(proofs).order_by(proofs.c.id)
    read = select(proof_readings).order_by(proof_readings.c.number)
    if keys is not None:
        query = query.where(proofs.c.key.in_(keys))
        read = read.where(proof_readings.c.proof_id.in_(select(proofs.c.id).where(proofs.c.key.in_(keys))))
    uses: dict[int, list[ProofUse]] = {}
    for each in connection.execute(select(proof_uses).order_by(proof_uses.c.id)):
        uses.setdefault(each.reading_id, []).append(ProofUse(each.paint, each.optics))
    readings: dict[int, list[KeptReading]] = {}
    for row in connection.execute(read):
        kept = row_to_reading(row, tuple(uses.get(row.id, ())))
        readings.setdefault(row.proof_id, []).append(kept)
    return [
        KeptProof(
            row_to_proof(row),
            row.kept_at.replace(tzinfo=UTC),
            moment_of(row.binned_at),
            tuple(readings.get(row.id, ())),
        )
        for row in connection.execute(query)
    ]


def picture_places(connection: Connection) -> dict[tuple[str, int], int]:
    """Which picture each reading comes from, by the proof's key and the reading's number."""
    query = (
        select(proofs.c.key, proof_readings.c.number, proof_readings.c.picture_id)
        .join_from(proof_readings, proofs)
        .where(proof_readings.c.picture_id.is_not(None))
        .order_by(proofs.c.id, proof_readings.c.number)
    )
    return {(row.key, row.number): row.picture_id for row in connection.execute(query)}


def add_proof(connection: Connection, kept: KeptProof) -> int:
    """Add a proof without its readings, within a visit; its place."""
    row = proof_to_row(kept.proof) | {
        "kept_at": plain_moment(kept.kept_at),
        "binned_at": plain_moment(kept.binned_at),
    }
    added = connection.execute(insert(proofs).values(**row))
    number: int = added.inserted_primary_key[0]  # type: ignore[index]
    return number


def add_reading(
    connection: Connection,
    proof_id: int,
    reading: ProofReading | KeptReading,
    *,
    picture_id: int | None = None,
) -> None:
    """Add a reading to a proof within a visit; one that was kept before keeps its dates and uses."""
    kept = reading if isinstance(reading, KeptReading) else None
    newest = select(func.max(proof_readings.c.number)).where(proof_readings.c.proof_id == proof_id)
    row = reading_to_row(kept.reading if kept else reading) | {  # type: ignore[arg-type]
        "proof_id": proof_id,
        "number": (connection.execute(newest).scalar() or 0) + 1,
        "read_at": plain_moment(kept.read_at) if kept else now(),
        "binned_at": plain_moment(kept.binned_at) if kept else None,
        "picture_id": picture_id,
    }
    added = connection.execute(insert(proof_readings).values(**row))
    for use in kept.uses if kept else ():
        _add_use(connection, added.inserted_primary_key[0], use)  # type: ignore[index]


def add_sheet(connection: Connection, sheet: ProofSheet) -> bool:
    """Add a sheet unless its serial is known, within a visit; whether it was added."""
    known = select(proof_sheets.c.id).where(proof_sheets.c.serial == sheet.serial)
    if connection.execute(known).first() is not None:
        return False
    row = {"serial": sheet.serial, "page": sheet.page, "boxes": dict(sheet.boxes)}
    printed_at = plain_moment(sheet.printed_at) or now()
    connection.execute(insert(proof_sheets).values(**row, printed_at=printed_at))
    return True


def find_proof(connection: Connection, key: str) -> tuple[int, KeptProof] | None:
    """Place of a proof and what is kept of it, within a visit; ``None`` if there is none."""
    place = _find(connection, key)
    return None if place is None else (place, select_proofs(connection, keys=(key,))[0])


def _add_use(connection: Connection, reading_id: int, use: ProofUse) -> None:
    row: dict[str, Any] = {"reading_id": reading_id, "paint": use.paint, "optics": use.optics}
    mine = [proof_uses.c[name] == value for name, value in row.items()]
    if connection.execute(select(proof_uses.c.id).where(*mine)).first() is None:
        connection.execute(insert(proof_uses).values(**row))


def _find(connection: Connection, key: str) -> int | None:
    found: int | None = connection.execute(select(proofs.c.id).where(proofs.c.key == key)).scalar()
    return found


def _need(connection: Connection, key: str) -> int:
    found = _find(connection, key.strip().lower())
    if found is None:
        raise InputError("proof", key, "a proof of this shelf", "scumble proof list names them.")
    return found
