"""Read a painted proof back: from numbers that are typed, or from what an instrument wrote."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from scumble.colour import (
    LIGHTS,
    OBSERVERS,
    lab_to_xyz,
    reflectance_to_xyz,
    smoothest_reflectance,
    spectral_weights,
    white_point,
    xyz_to_lab,
    xyz_to_lab_jacobian,
)
from scumble.errors import InputError
from scumble.jobs.proofs.promise import over_ground, plain_matrix, promise_of, promised_layering
from scumble.paint.camera_doubt import CameraDoubt, own_covariance
from scumble.paint.reading import Quantity
from scumble.store.proof import LabPromise, Proof, ProofReading, ProofSource
from scumble.store.readings.samples import MeasuredSamples, measure_samples, parse_samples
from scumble.store.shelf import Shelf

Floats = NDArray[np.float64]

INSTRUMENT_NOISE: Final = 0.01
"""Relative scatter of each band of an instrument's spectrum, as of a card's; of its colours the doubt below is all."""

INSTRUMENT_DOUBT: Final = 0.3
"""Deviation of each of L*, a*, b* by which two good instruments differ on one swatch (*common practice, no source*)."""

TYPED_DOUBT: Final = 0.5
"""The same of numbers that are typed, unless the person says otherwise: an instrument of the pocket kind."""

DARKEST: Final = 1e-3
"""Share of white at which a reading of nothing is taken."""


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


def read_typed(
    shelf: Shelf,
    key: str,
    lab: str,
    *,
    ground: str = "",
    light: str = "",
    observer: int | None = None,
    doubt: float = TYPED_DOUBT,
) -> ProofReading:
    """Take down the colour of a painted proof.

    Parameters
    ----------
    shelf : Shelf
        Open.
    key : str
        Of the proof.
    lab : str
        L*, a*, b*.
    ground : str
        The same of the bare ground beside it, where it was measured too.
    light, observer : str, int
        What they hold for; those of the promise when left out.
    doubt : float
        Standard deviation of each number.

    Raises
    ------
    InputError, StoreError
        If something cannot be used, or the shelf cannot be written.
    """
    proof = shelf.proofs.load(key).proof
    light, observer = light or proof.light, observer or proof.observer
    check_light(light, observer)
    if not (np.isfinite(doubt) and 0.0 < doubt <= 20.0):
        raise InputError("doubt", doubt, "a number above 0, at most 20")
    numbers = parse_lab(lab, "lab")
    white = white_point(light, observer)
    bare = None if not ground.strip() else lab_to_xyz(parse_lab(ground, "ground"), white)
    reading = reading_of(
        shelf,
        proof,
        ProofSource.TYPED,
        lab_to_xyz(numbers, white),
        ground=bare,
        light=light,
        observer=observer,
        doubt=doubt,
        noise=0.0,
    )
    shelf.proofs.save_readings({proof.key: reading})
    return reading


def parse_lab(text: str, field: str) -> Floats:
    """Three numbers L*, a*, b* as a person types them.

    Raises
    ------
    InputError
        If they are not, or no surface has that colour.

    Examples
    --------
    >>> parse_lab("L* 62.5, a* −8, b* 24", "lab").tolist()
    [62.5, -8.0, 24.0]
    """
    plain = re.sub(r"(?i)(?<![a-z])[lab]\s*\*\s*=?|CIE\s*Lab", " ", text.replace("−", "-"))
    words = [word for word in re.split(r"[\s,;/]+", plain) if word]
    try:
        numbers = np.array([float(word) for word in words])
    except ValueError:
        numbers = np.zeros(0)
    fine = numbers.shape == (3,) and np.all(np.isfinite(numbers))
    if not (fine and 0.0 <= numbers[0] <= 100.0 and np.all(np.abs(numbers[1:]) <= 200.0)):
        allowed = "three numbers: L* from 0 to 100, a* and b* from -200 to 200"
        raise InputError(field, text, allowed)
    return numbers


def check_light(light: str, observer: int) -> None:
    """Refuse a light or observer that is not known.

    Raises
    ------
    InputError
        Naming which.
    """
    if light not in LIGHTS:
        raise InputError("light", light, ", ".join(LIGHTS))
    if observer not in OBSERVERS:
        raise InputError("observer", observer, " or ".join(map(str, OBSERVERS)))


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


def reading_of(
    shelf: Shelf,
    proof: Proof,
    source: ProofSource,
    values: Floats,
    *,
    ground: Floats | None,
    doubt: float,
    noise: float,
    quantity: Quantity = Quantity.XYZ,
    light: str = "D65",
    observer: int = 2,
    said: Sequence[str] = (),
) -> ProofReading:
    """A reading without a camera, beside what its promise comes to over the ground that was read.

    Parameters
    ----------
    shelf : Shelf
        Open.
    proof : Proof
        That was read.
    source : ProofSource
        By what.
    values, ground : array, shape (3,) or (36,)
        Of the swatch, and of the bare ground where it was read.
    doubt : float
        Standard deviation of each of L*, a*, b* beside the relative scatter.
    noise : float [1]
        Relative scatter.
    quantity, light, observer
        What the values are.
    said : sequence of str
        What has to be said of it.
    """
    white = white_point(light, observer)
    seen = reflectance_to_xyz(values, light=light, observer=observer) if len(values) > 3 else values
    xyz = np.maximum(seen, DARKEST * white)
    slope = xyz_to_lab_jacobian(xyz, white)
    doubted = doubt * np.linalg.inv(slope)
    own = _own_error(values, noise, light, observer)
    error = slope @ own @ slope.T + doubt**2 * np.eye(3)
    columns = [(float(x), float(y), float(z)) for x, y, z in doubted.T]
    return ProofReading(
        source,
        _triple(xyz_to_lab(xyz, white)),
        plain_matrix(error),
        expected_of(shelf, proof, ground, light=light, observer=observer),
        quantity,
        values if quantity is Quantity.REFLECTANCE else xyz,
        ground,
        light,
        observer,
        noise,
        blind=tuple(columns) if quantity is Quantity.XYZ else (),
        said=tuple(said),
    )


def _own_error(values: Floats, noise: float, light: str, observer: int) -> Floats:
    """Covariance of XYZ from the relative scatter of the values."""
    own = own_covariance(noise, CameraDoubt(), values)
    if len(values) == 3:
        return own
    weights = spectral_weights(light, observer)
    return np.asarray(weights.T @ own @ weights)


def expected_of(
    shelf: Shelf, proof: Proof, ground: Floats | None, *, light: str, observer: int
) -> LabPromise:
    """What the promise of a proof comes to under a light and over a ground that was read.

    Where a paint is no longer on the shelf as it was, the promise stands as it was written down.
    """
    if ground is None and (light, observer) == (proof.light, proof.observer):
        return proof.promise
    try:
        layering = promised_layering(shelf, proof)
    except InputError:
        return proof.promise
    if ground is not None:
        layering = over_ground(layering, ground_spectrum(ground, light, observer))
    return promise_of(layering, light=light, observer=observer)


def ground_spectrum(ground: Floats, light: str, observer: int) -> Floats:
    """Reflectance of a bare ground, the smoothest one where only its colour was read."""
    if len(ground) > 3:
        return ground
    return np.asarray(smoothest_reflectance(ground, light=light, observer=observer))


def _triple(values: Floats) -> tuple[float, float, float]:
    first, second, third = np.asarray(values).tolist()
    return first, second, third
