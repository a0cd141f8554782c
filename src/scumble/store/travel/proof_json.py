"""Proofs, their readings, pictures and sheets as JSON, and taken from it into a shelf."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import asdict

import numpy as np
from sqlalchemy import Connection

from scumble.errors import InputError
from scumble.store.drawers.card_table import insert_picture, select_picture
from scumble.store.drawers.proof_drawer import (
    add_proof,
    add_reading,
    find_proof,
    picture_places,
    select_proofs,
)
from scumble.store.proof import (
    KeptProof,
    KeptReading,
    LabPromise,
    PromisedPaint,
    Proof,
    ProofReading,
    ProofSheet,
    ProofUse,
)
from scumble.store.travel.model_of import model_to_picture, picture_to_model
from scumble.store.travel.shelf_json import (
    LabModel,
    PictureModel,
    PromisedPaintModel,
    ProofModel,
    ProofReadingModel,
    ProofSheetModel,
    ProofUseModel,
)

NEW, CHANGED, SAME = "new", "changed", "same"

_OF_A_PROOF = ("key", "label", "kind", "ground", "light", "observer", "notes")
_OF_A_READING = (
    "source",
    "lab",
    "error",
    "quantity",
    "light",
    "observer",
    "noise",
    "camera",
    "sheet",
    "area",
)


def proofs_to_models(connection: Connection) -> tuple[list[ProofModel], list[int]]:
    """Every proof as JSON, and the numbers of the pictures that they name by their places."""
    places = picture_places(connection)
    pictures = list(dict.fromkeys(places.values()))
    models = []
    for kept in select_proofs(connection):
        readings = []
        for each in kept.readings:
            picture = places.get((kept.proof.key, each.number))
            readings.append(_reading_to_model(each, None if picture is None else pictures.index(picture)))
        models.append(_proof_to_model(kept, readings))
    return models, pictures


def write_pictures(connection: Connection, numbers: Sequence[int]) -> Iterator[str]:
    """Pictures as JSON, one after the other."""
    for number in numbers:
        yield picture_to_model(select_picture(connection, number)).model_dump_json()


def _proof_to_model(kept: KeptProof, readings: list[ProofReadingModel]) -> ProofModel:
    proof = kept.proof
    return ProofModel(
        **{name: getattr(proof, name) for name in _OF_A_PROOF},
        layering=dict(proof.layering),
        paints=[PromisedPaintModel(**asdict(paint)) for paint in proof.paints],
        promise=LabModel(**asdict(proof.promise)),
        kept_at=kept.kept_at,
        binned_at=kept.binned_at,
        readings=readings,
    )


def _reading_to_model(kept: KeptReading, picture: int | None) -> ProofReadingModel:
    reading = kept.reading
    return ProofReadingModel(
        **{name: getattr(reading, name) for name in _OF_A_READING},
        read_at=kept.read_at,
        binned_at=kept.binned_at,
        expected=LabModel(**asdict(reading.expected)),
        values=reading.values.tolist(),
        ground=None if reading.ground is None else reading.ground.tolist(),
        blind=list(reading.blind),
        said=list(reading.said),
        uses=[ProofUseModel(**asdict(use)) for use in kept.uses],
        picture=picture,
    )


def model_to_proof(model: ProofModel) -> KeptProof:
    """A proof from JSON.

    Raises
    ------
    InputError
        If a number or a name cannot be.
    """
    proof = Proof(
        **{name: getattr(model, name) for name in _OF_A_PROOF},
        layering=model.layering,
        paints=tuple(PromisedPaint(**each.model_dump()) for each in model.paints),
        promise=_model_to_promise(model.promise),
    )
    readings = tuple(_model_to_reading(number, each) for number, each in enumerate(model.readings, start=1))
    return KeptProof(proof, model.kept_at, model.binned_at, readings)


def _model_to_reading(number: int, model: ProofReadingModel) -> KeptReading:
    reading = ProofReading(
        **{name: getattr(model, name) for name in _OF_A_READING},
        expected=_model_to_promise(model.expected),
        values=np.array(model.values),
        ground=None if model.ground is None else np.array(model.ground),
        blind=tuple(model.blind),
        said=tuple(model.said),
    )
    uses = tuple(ProofUse(**each.model_dump()) for each in model.uses)
    return KeptReading(number, model.read_at, model.binned_at, reading, uses, model.picture is not None)


def _model_to_promise(model: LabModel) -> LabPromise:
    return LabPromise(model.lab, model.optics, model.hand)


def sheet_to_model(sheet: ProofSheet) -> ProofSheetModel:
    """A sheet as JSON."""
    return ProofSheetModel(**asdict(sheet))


def model_to_sheet(model: ProofSheetModel) -> ProofSheet:
    """A sheet from JSON.

    Raises
    ------
    InputError
        If its serial or a box cannot be.
    """
    return ProofSheet(model.serial, model.page, model.boxes, model.printed_at)


class ProofTaker:
    """Takes proofs of one file into a shelf; a picture that several share is taken once.

    Parameters
    ----------
    pictures : sequence of PictureModel
        Of the file.
    """

    def __init__(self, pictures: Sequence[PictureModel]) -> None:
        self._pictures = pictures
        self._taken: dict[int, int] = {}

    def take(self, connection: Connection, model: ProofModel) -> str:
        """Take one proof: a new one whole, of a known one the readings that are new; what became of it.

        Raises
        ------
        InputError
            If something in it cannot be kept.
        """
        kept = model_to_proof(model)
        for each in model.readings:
            if each.picture is not None and each.picture >= len(self._pictures):
                allowed = f"a place in a list of {len(self._pictures)}, counted from 0"
                raise InputError("picture", each.picture, allowed)
        found = find_proof(connection, kept.proof.key)
        if found is None:
            place, known = add_proof(connection, kept), []
        else:
            place, known = found[0], [each.reading for each in found[1].readings]
        new = [
            (reading, said.picture)
            for reading, said in zip(kept.readings, model.readings, strict=True)
            if reading.reading not in known
        ]
        for reading, picture in new:
            add_reading(connection, place, reading, picture_id=self._take_picture(connection, picture))
        if found is None:
            return NEW
        return CHANGED if new else SAME

    def _take_picture(self, connection: Connection, at: int | None) -> int | None:
        if at is None:
            return None
        if at not in self._taken:
            self._taken[at] = insert_picture(connection, model_to_picture(self._pictures[at]))
        return self._taken[at]
