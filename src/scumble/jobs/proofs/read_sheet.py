"""Read proofs from a photograph: of their sheet, known by its code, or of boxes that a person drew over it."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from scumble.card.photographed import AreaSeen, PhotographedCard
from scumble.card.read import read_photograph
from scumble.colour import upsample_colours, white_point, xyz_to_lab, xyz_to_lab_jacobian
from scumble.errors import CardError, InputError
from scumble.jobs.cards.mark_up import MarkUp, read_chart
from scumble.jobs.proofs.promise import plain_matrix
from scumble.jobs.proofs.read_back import DARKEST, expected_of
from scumble.jobs.proofs.read_instrument import ReadBack, ReadFile
from scumble.paint import interval_de00
from scumble.paint.camera_doubt import CameraDoubt, own_covariance, shared_covariance
from scumble.paint.reading import Quantity, Reading
from scumble.store.picture import Picture
from scumble.store.proof import Proof, ProofReading, ProofSheet, ProofSource
from scumble.store.shelf import Shelf

Floats = NDArray[np.float64]
Progress = Callable[[str, float], None]

BLACK_NOISE: Final = 0.02
"""Error of a black reading, Y of a perfect diffuser at 100: steps of 8 bits."""

LEAST_TRUST: Final = 0.05
"""Weight below which a reading that counts at all is not taken to scatter any more."""


def read_sheet(
    shelf: Shelf,
    content: bytes,
    media_type: str,
    *,
    sheet: str = "",
    colour: Mapping[str, Any] | None = None,
    progress: Progress | None = None,
) -> ReadFile:
    """Take down what a photograph or scan shows of a painted sheet.

    Parameters
    ----------
    shelf : Shelf
        Open.
    content : bytes
        The picture's file.
    media_type : str
        What it is.
    sheet : str
        Serial of the sheet, where its code cannot be read.
    colour : mapping, optional
        Ways to better colours than a photograph alone gives, as options of `scumble.card.read_photograph`.
    progress : callable, optional
        Told what is being done and the share done, 0 to 1.

    Raises
    ------
    CardError
        If no sheet of proofs is found in the picture.
    InputError
        If this shelf did not print the sheet, or nothing on it was painted.
    StoreError
        If the shelf cannot be written; nothing was saved.
    """
    seen = read_photograph(content, sheet_of_proofs=True, progress=progress, **(colour or {}))
    found = _find_sheet(shelf, seen, sheet)
    return _take_down(shelf, content, media_type, seen, found.boxes, found.serial)


def read_marked_proofs(
    shelf: Shelf,
    content: bytes,
    media_type: str,
    marks: MarkUp,
    *,
    colour: Mapping[str, Any] | None = None,
    progress: Progress | None = None,
) -> ReadFile:
    """Take down what a photograph shows of proofs that were painted on a ground of their own.

    Parameters
    ----------
    shelf : Shelf
        Open.
    content : bytes
        The picture's file.
    media_type : str
        What it is.
    marks : MarkUp
        Boxes over the picture: bare paper, the bare grounds, and each painted proof under its short name.
    colour, progress
        As for :func:`read_sheet`.

    Raises
    ------
    CardError, InputError
        If the picture or the boxes cannot be used, or no box is a proof's.
    StoreError
        If the shelf cannot be written; nothing was saved.
    """
    seen = read_chart(content, marks, progress=progress, **(colour or {}))
    known = {kept.proof.key for kept in shelf.proofs.load_all()}
    painted = [area.reading.area for area in seen.areas if not area.reading.is_bare]
    boxes = {area: area.strip().lower() for area in painted if area.strip().lower() in known}
    if not boxes:
        hint = "Name a painted box by the short name of its proof."
        raise InputError("marks", ", ".join(painted), "at least one box that is a proof's", hint)
    return _take_down(shelf, content, media_type, seen, boxes, "")


def _take_down(
    shelf: Shelf,
    content: bytes,
    media_type: str,
    seen: PhotographedCard,
    boxes: Mapping[str, str],
    serial: str,
) -> ReadFile:
    """Hold every painted box to the promise of its proof, and keep what was read with the picture."""
    bare = {area.reading.area: area.reading for area in seen.areas if area.reading.is_bare}
    proofs = {kept.proof.key: kept.proof for kept in shelf.proofs.load_all()}
    readings: dict[str, ProofReading] = {}
    read, left_over = [], []
    for area in seen.areas:
        key = boxes.get(area.reading.area, "")
        proof = proofs.get(key)
        if proof is None:
            continue
        name = _say_box(area.reading.area) if serial else area.reading.area
        if area.reading.weight <= 0.0:
            left_over.append(f"{name}: {area.verdict}")
            continue
        readings[key] = _reading(shelf, proof, area, bare[area.reading.ground], seen, serial)
        read.append(ReadBack(key, proof.label, name))
    if not readings:
        allowed = "a picture with at least one painted box"
        raise InputError("sheet", serial or "marked boxes", allowed, " ".join(left_over))
    outlines = {area.reading.area: area.outline_px for area in seen.areas}
    shelf.proofs.save_readings(readings, Picture(content, _picture_type(media_type), outlines))
    return ReadFile(tuple(read), tuple(left_over), (*seen.warnings, *seen.assumptions))


def _say_box(area: str) -> str:
    return f"box {area.partition('-')[0].removeprefix('p')}"


def _find_sheet(shelf: Shelf, seen: PhotographedCard, given: str) -> ProofSheet:
    serial = "".join(given.upper().split()).replace("-", "") or seen.readings.serial
    if not serial:
        raise CardError(
            "The code of the sheet cannot be read in this picture.",
            "Type in the serial that is printed under it.",
        )
    found = shelf.proofs.load_sheet(serial)
    if found is None:
        raise InputError("sheet", serial, "a sheet that this shelf printed")
    return found


def _picture_type(media_type: str) -> str:
    return media_type if media_type.startswith("image/") else "image/x-raw"


def _reading(
    shelf: Shelf, proof: Proof, area: AreaSeen, bare: Reading, seen: PhotographedCard, serial: str
) -> ProofReading:
    """One box held to its promise."""
    reading, card = area.reading, seen.readings
    white = white_point(card.light, card.observer)
    xyz = np.maximum(reading.values, DARKEST * white)
    slope = xyz_to_lab_jacobian(xyz, white)
    covariance = reading_covariance(reading, card.noise, card.camera or CameraDoubt())
    lab = xyz_to_lab(xyz, white)
    lightness, a, b = lab.tolist()
    return ProofReading(
        ProofSource.PHOTOGRAPH,
        (lightness, a, b),
        plain_matrix(_bounded(lab, slope @ covariance @ slope.T, area)),
        expected_of(shelf, proof, bare.values, light=card.light, observer=card.observer),
        Quantity.XYZ,
        xyz,
        bare.values,
        card.light,
        card.observer,
        card.noise,
        card.camera,
        reading.blind,
        serial,
        reading.area,
        (area.verdict,) if area.faults else (),
    )


def _bounded(lab: Floats, error: Floats, area: AreaSeen) -> Floats:
    """Covariance of Lab no wider than what the reader found by drawing: slopes mislead where a colour is deep."""
    wide = interval_de00(lab, error)
    if not np.isfinite(area.bound_de00) or wide <= area.bound_de00:
        return error
    trust = max(area.reading.weight, LEAST_TRUST)
    return error * min(1.0, (area.bound_de00 / wide) ** 2 / trust)


def reading_covariance(reading: Reading, noise: float, camera: CameraDoubt) -> Floats:
    """Covariance of the XYZ of one area of a photograph: its own scatter, what all share, and what it is blind to.

    A reading of less trust is taken as scattering more.
    """
    xyz = np.maximum(reading.values, DARKEST * white_point("D65", 2))
    lost = np.array(reading.blind).reshape(-1, 3)
    trust = max(reading.weight, LEAST_TRUST)
    own = own_covariance(noise, camera, xyz) / trust
    shared = shared_covariance(camera, upsample_colours(xyz), xyz)
    return np.asarray(own + shared + BLACK_NOISE**2 * np.eye(3) + lost.T @ lost)
