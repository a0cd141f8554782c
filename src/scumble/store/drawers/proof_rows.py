"""Proofs, their readings and their sheets as rows, and back."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict
from datetime import UTC, datetime
from typing import Any

from sqlalchemy import Row

from scumble.errors import StoreError
from scumble.paint.camera_doubt import CameraDoubt
from scumble.paint.reading import Quantity
from scumble.store.database.array_bytes import bytes_to_spectrum, spectrum_to_bytes
from scumble.store.proof import (
    KeptReading,
    LabPromise,
    PromisedPaint,
    Proof,
    ProofReading,
    ProofSheet,
    ProofSource,
    ProofUse,
)
from scumble.tables import BANDS

_OF_A_PROOF = ("key", "label", "notes", "kind", "ground", "layering", "light", "observer")
_OF_A_READING = ("lab", "error", "light", "observer", "noise", "sheet", "area")


def proof_to_row(proof: Proof) -> dict[str, Any]:
    """A proof as the columns of its table."""
    row = {name: getattr(proof, name) for name in _OF_A_PROOF}
    return row | {
        "layering": dict(proof.layering),
        "paints": [asdict(paint) for paint in proof.paints],
        "promise": asdict(proof.promise),
    }


def row_to_proof(row: Row[Any]) -> Proof:
    """A proof from its row."""
    plain = {name: row._mapping[name] for name in _OF_A_PROOF}
    paints = tuple(PromisedPaint(**each) for each in row.paints)
    return Proof(**plain, paints=paints, promise=promise_of(row.promise))


def reading_to_row(reading: ProofReading) -> dict[str, Any]:
    """A reading as the columns of its table, without its picture."""
    row = {name: getattr(reading, name) for name in _OF_A_READING}
    return row | {
        "source": reading.source.value,
        "expected": asdict(reading.expected),
        "quantity": reading.quantity.value,
        "values": spectrum_to_bytes(reading.values),
        "ground": None if reading.ground is None else spectrum_to_bytes(reading.ground),
        "camera": None if reading.camera is None else asdict(reading.camera),
        "blind": [list(direction) for direction in reading.blind],
        "said": list(reading.said),
    }


def row_to_reading(row: Row[Any], uses: tuple[ProofUse, ...]) -> KeptReading:
    """A reading from its row."""
    plain = {name: row._mapping[name] for name in _OF_A_READING}
    quantity = Quantity(row.quantity)
    size = 3 if quantity is Quantity.XYZ else BANDS
    reading = ProofReading(
        ProofSource(row.source),
        **plain,
        expected=promise_of(row.expected),
        quantity=quantity,
        # `values` is also what a row calls its own content.
        values=bytes_to_spectrum(row._mapping["values"], size),
        ground=None if row.ground is None else bytes_to_spectrum(row.ground, size),
        camera=None if row.camera is None else CameraDoubt(**row.camera),
        blind=tuple(tuple(direction) for direction in row.blind),
        said=tuple(row.said),
    )
    return KeptReading(
        row.number,
        row.read_at.replace(tzinfo=UTC),
        moment_of(row.binned_at),
        reading,
        uses,
        row.picture_id is not None,
    )


def row_to_sheet(row: Row[Any]) -> ProofSheet:
    """A sheet from its row."""
    return ProofSheet(row.serial, row.page, row.boxes, row.printed_at.replace(tzinfo=UTC))


def promise_of(plain: Mapping[str, Any]) -> LabPromise:
    """A promise from plain data.

    Raises
    ------
    StoreError
        If something is missing.
    """
    try:
        return LabPromise(plain["lab"], plain["optics"], plain["hand"])
    except (KeyError, TypeError):
        raise StoreError("A record of the shelf is damaged; fetch it back from a backup.") from None


def moment_of(moment: datetime | None) -> datetime | None:
    """A moment of the tables as UTC that says so."""
    return None if moment is None else moment.replace(tzinfo=UTC)
