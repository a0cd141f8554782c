"""Read painted proofs back from what an instrument wrote: its samples go by box, by short name or as a person says."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from scumble.errors import InputError
from scumble.jobs.proofs.read_back import reading_of
from scumble.paint.reading import Quantity
from scumble.store.proof import Proof, ProofReading, ProofSource
from scumble.store.readings.samples import MeasuredSamples, measure_samples, parse_samples
from scumble.store.shelf import Shelf

Floats = NDArray[np.float64]

INSTRUMENT_NOISE: Final = 0.01
"""Relative scatter of each band of an instrument's spectrum, as of a card's; of its colours the doubt below is all."""

INSTRUMENT_DOUBT: Final = 0.3
"""Deviation of each of L*, a*, b* by which two good instruments differ on one swatch (*common practice, no source*)."""


@dataclass(frozen=True, slots=True)
class ReadBack:
    """One proof that was read.

    Parameters
    ----------
    key, label : str
        Which.
    name : str
        What the file calls it.
    """

    key: str
    label: str
    name: str


@dataclass(frozen=True, slots=True)
class ReadFile:
    """What became of a file of readings.

    Parameters
    ----------
    read : tuple of ReadBack
        Proofs that were read.
    left_over : tuple of str
        Names in the file that are no proof's.
    said : tuple of str
        What had to be guessed.
    """

    read: tuple[ReadBack, ...]
    left_over: tuple[str, ...]
    said: tuple[str, ...]


def read_instrument(
    shelf: Shelf, content: bytes, *, sheet: str = "", said: Sequence[str] = (), condition: str = ""
) -> ReadFile:
    """Take down what an instrument read of proofs.

    Parameters
    ----------
    shelf : Shelf
        Open.
    content : bytes
        CGATS.17, CxF3 or a table of samples. A sample goes by its proof's key or label, or by the number of its box;
        one called ``white``, ``bare black`` and the like is the ground of the proofs over it.
    sheet : str
        Serial of the sheet whose boxes are meant; of the newest when left out.
    said : sequence of str
        ``SAMPLE=PROOF`` for samples whose names do not tell.
    condition : str
        Measurement condition to take, M0 to M3, where the file holds several.

    Raises
    ------
    InputError, StoreError
        If nothing in it is a proof's, or the shelf cannot be written.
    """
    samples = measure_samples(parse_samples(content, condition=condition))
    given = _given(said)
    proofs = {kept.proof.key: kept.proof for kept in shelf.proofs.load_all()}
    boxes, serial = _boxes(shelf, sheet)
    grounds = {name: value for at, value in enumerate(samples.values) if (name := _ground(samples.names[at]))}
    found: dict[str, ProofReading] = {}
    read, left_over = [], []
    for name, values in zip(samples.names, samples.values, strict=True):
        key = _find(name, given, proofs, boxes)
        if key is None:
            if not _ground(name):
                left_over.append(name)
            continue
        proof = proofs[key]
        bare = grounds.get(proof.ground.split()[0].casefold())
        reading = _measured(shelf, proof, samples, values, bare)
        box = next((area for area, mine in boxes.items() if mine == key), "")
        found[key] = replace(reading, sheet=serial if box else "", area=box)
        read.append(ReadBack(key, proof.label, name))
    if not found:
        hint = "Call a sample by the proof's short name, or say SAMPLE=PROOF."
        raise InputError("samples", ", ".join(samples.names[:6]), "at least one that is a proof's", hint)
    shelf.proofs.save_readings(found)
    return ReadFile(tuple(read), tuple(left_over), samples.doubts)


def _given(said: Sequence[str]) -> dict[str, str]:
    pairs = {}
    for each in said:
        sample, sign, proof = (part.strip() for part in each.rpartition("="))
        if not (sample and sign and proof):
            raise InputError("map", each, "SAMPLE=PROOF, such as S12=03nqk8ng")
        pairs[sample] = proof.lower()
    return pairs


def _boxes(shelf: Shelf, serial: str) -> tuple[Mapping[str, str], str]:
    if serial:
        wanted = "".join(serial.upper().split()).replace("-", "")
        found = shelf.proofs.load_sheet(wanted)
        if found is None:
            raise InputError("sheet", serial, "the serial of a proof sheet that this shelf printed")
        return found.boxes, found.serial
    sheets = shelf.proofs.load_sheets()
    return (sheets[-1].boxes, sheets[-1].serial) if sheets else ({}, "")


def _ground(name: str) -> str:
    """Which bare ground a sample is of, by its name; empty for none."""
    plain = re.sub(r"^(bare|ground|paper)[\s_-]+|[\s_-]+(bare|ground|paper)$", "", name.strip().casefold())
    return plain if plain in ("white", "black", "grey", "cream", "toned", "yellow", "red", "cyan") else ""


def _find(
    name: str, given: Mapping[str, str], proofs: Mapping[str, Proof], boxes: Mapping[str, str]
) -> str | None:
    """Key of the proof that a sample is of."""
    if name in given:
        if given[name] not in proofs:
            raise InputError("map", given[name], "the short name of a proof on this shelf")
        return given[name]
    plain = " ".join(name.split()).casefold()
    squeezed = plain.replace(" ", "").replace("-", "")
    for key, proof in proofs.items():
        if squeezed == key or plain == proof.label.casefold():
            return key
    number = re.fullmatch(r"(?:box|proof|no\.?|#|p)?\s*(\d{1,2})", plain)
    wanted = f"p{int(number[1])}-" if number else plain
    return next((key for area, key in boxes.items() if area.startswith(wanted) and key in proofs), None)


def _measured(
    shelf: Shelf, proof: Proof, samples: MeasuredSamples, values: Floats, bare: Floats | None
) -> ProofReading:
    spectral = samples.quantity is Quantity.REFLECTANCE
    return reading_of(
        shelf,
        proof,
        ProofSource.INSTRUMENT,
        values,
        ground=bare,
        quantity=samples.quantity,
        light=proof.light if spectral else samples.light,
        observer=proof.observer if spectral else samples.observer,
        doubt=INSTRUMENT_DOUBT,
        noise=INSTRUMENT_NOISE if spectral else 0.0,
        said=samples.doubts,
    )
