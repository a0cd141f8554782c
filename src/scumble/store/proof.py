"""A proof as it is kept: what was promised, on which sheet it is painted, and what was read of it."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime
from enum import StrEnum
from itertools import chain
from math import isfinite
from typing import Any

import numpy as np
from numpy.typing import ArrayLike, NDArray

from scumble.errors import InputError
from scumble.paint.camera_doubt import CameraDoubt
from scumble.paint.paint import Optics
from scumble.paint.reading import Direction, Quantity
from scumble.store.tube_facts import clean_notes
from scumble.tables import BANDS

Floats = NDArray[np.float64]
Lab = tuple[float, float, float]
Matrix = tuple[Lab, Lab, Lab]

_KEY = re.compile(r"[0-9a-z]{1,20}")
_MARK = re.compile(r"[0-9a-f]{64}")


class ProofSource(StrEnum):
    """Where a reading of a proof comes from."""

    PHOTOGRAPH = "photograph"
    INSTRUMENT = "instrument"
    TYPED = "typed in"


def mark_of_optics(optics: Optics) -> str:
    """What tells optics from any others: a digest of their numbers, 64 hexadecimal digits."""
    from hashlib import sha256

    spectra = np.concatenate([optics.absorption, optics.scattering]).astype("<f8")
    return sha256(spectra.tobytes()).hexdigest()


@dataclass(frozen=True, slots=True)
class PromisedPaint:
    """A paint as it stood when the prediction was made.

    Parameters
    ----------
    key, label : str
        Of the paint.
    version : int
        That counted then.
    optics : str
        Their mark, see :func:`mark_of_optics`.
    is_illustrative : bool
        Whether they were measured by nobody.
    """

    key: str
    label: str
    version: int
    optics: str
    is_illustrative: bool = False

    def __post_init__(self) -> None:
        if not self.key or self.version < 1 or not _MARK.fullmatch(self.optics):
            raise InputError("paint of a proof", self.key, "a key, a version and the mark of its optics")


@dataclass(frozen=True, slots=True)
class LabPromise:
    """A predicted colour and how sure it is.

    Parameters
    ----------
    lab : three floats
        CIELAB.
    optics, hand : three by three floats
        Covariance of Lab from what is not known of the paints, and from the hand that paints.
    """

    lab: Lab
    optics: Matrix
    hand: Matrix

    def __post_init__(self) -> None:
        object.__setattr__(self, "lab", _plain(self.lab, (3,)))
        for name in ("optics", "hand"):
            object.__setattr__(self, name, _plain(getattr(self, name), (3, 3)))


@dataclass(frozen=True, slots=True)
class Proof:
    """A prediction kept to be proved.

    Parameters
    ----------
    key : str
        Short name, unique on the shelf.
    label : str
        What it is, in words.
    kind : str
        Kind of prediction.
    ground : str
        What the ground is called.
    layering : mapping
        Ground and films as ``scumble layer`` takes them, plain data.
    paints : tuple of PromisedPaint
        All that are in it.
    light, observer : str, int
        What the promised colour is seen under.
    promise : LabPromise
        What was predicted.
    notes : str
        Anything else.
    """

    key: str
    label: str
    kind: str
    ground: str
    layering: Mapping[str, Any]
    paints: tuple[PromisedPaint, ...]
    light: str
    observer: int
    promise: LabPromise
    notes: str = ""

    @property
    def is_illustrative(self) -> bool:
        """Whether a paint in it was measured by nobody."""
        return any(paint.is_illustrative for paint in self.paints)

    def __post_init__(self) -> None:
        if not _KEY.fullmatch(self.key):
            raise InputError("key of a proof", self.key, "1 to 20 small letters and digits")
        if not self.label.strip() or not self.label.isprintable() or len(self.label) > 200:
            raise InputError("label", self.label, "a name of 1 to 200 characters on one line")
        for name in ("kind", "ground", "light"):
            said = getattr(self, name)
            if not said.isprintable() or len(said) > 200:
                raise InputError(name, said, "at most 200 characters on one line")
        object.__setattr__(self, "notes", clean_notes(self.notes))
        try:
            plain = json.loads(json.dumps(self.layering, allow_nan=False))
        except (TypeError, ValueError):
            plain = None
        if plain != self.layering or not isinstance(plain, dict):
            raise InputError("layering", self.layering, "plain data as JSON writes it")
        if not self.paints:
            raise InputError("paints", "none", "at least one paint")


@dataclass(frozen=True, slots=True, eq=False)
class ProofReading:
    """What was read of a painted proof.

    Parameters
    ----------
    source : ProofSource
        By what.
    lab : three floats
        What was read, CIELAB under the light below.
    error : three by three floats
        Covariance of that Lab from the reading itself.
    expected : LabPromise
        What the promise comes to over the ground that was read, under that light.
    quantity : Quantity
        What the values are.
    values : array, shape (3,) or (36,)
        XYZ with the perfect diffuser at Y = 100, or reflectance 0-1.
    ground : array, shape (3,) or (36,), optional
        The same of the bare ground; ``None`` where it was not read.
    light, observer : str, int
        Of the Lab, and of XYZ.
    noise : float [1]
        Relative scatter.
    camera : CameraDoubt, optional
        What all readings of one photograph share.
    blind : tuple of three floats each
        Directions in XYZ about which the reading says little.
    sheet, area : str
        Serial of the proof sheet and name of the box, where it was painted on one.
    said : tuple of str
        What has to be said of it.
    """

    source: ProofSource
    lab: Lab
    error: Matrix
    expected: LabPromise
    quantity: Quantity
    values: Floats
    ground: Floats | None = None
    light: str = "D65"
    observer: int = 2
    noise: float = 0.01
    camera: CameraDoubt | None = None
    blind: tuple[Direction, ...] = ()
    sheet: str = ""
    area: str = ""
    said: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        object.__setattr__(self, "lab", _plain(self.lab, (3,)))
        object.__setattr__(self, "error", _plain(self.error, (3, 3)))
        for name in ("values", "ground"):
            numbers = getattr(self, name)
            if numbers is not None:
                object.__setattr__(self, name, _numbers(numbers, self.size))
        if not (np.isfinite(self.noise) and 0.0 <= self.noise <= 1.0):
            raise InputError("noise", self.noise, "a number from 0 to 1")

    @property
    def size(self) -> int:
        """Numbers in it."""
        return 3 if self.quantity is Quantity.XYZ else BANDS

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, ProofReading):
            return NotImplemented
        plain = [name for name in self.__slots__ if name not in ("values", "ground")]
        if any(getattr(self, name) != getattr(other, name) for name in plain):
            return False
        if (self.ground is None) != (other.ground is None) or not np.array_equal(self.values, other.values):
            return False
        return self.ground is None or np.array_equal(self.ground, other.ground)  # type: ignore[arg-type]

    __hash__ = None  # type: ignore[assignment]


@dataclass(frozen=True, slots=True)
class ProofUse:
    """That a reading went into the optics of a paint.

    Parameters
    ----------
    paint : str
        Its key.
    optics : str
        Mark of the optics that came of it.
    """

    paint: str
    optics: str

    def __post_init__(self) -> None:
        if not self.paint or not _MARK.fullmatch(self.optics):
            raise InputError("use of a proof", self.paint, "a paint's key and the mark of its optics")


@dataclass(frozen=True, slots=True)
class KeptReading:
    """A reading as the shelf keeps it.

    Parameters
    ----------
    number : int
        Of this proof, counted from 1.
    read_at : datetime
        When it was kept, UTC.
    binned_at : datetime or None
        When a person set it aside.
    reading : ProofReading
        What was read.
    uses : tuple of ProofUse
        Optics that it went into.
    has_picture : bool
        Whether its picture is kept.
    """

    number: int
    read_at: datetime
    binned_at: datetime | None
    reading: ProofReading
    uses: tuple[ProofUse, ...] = ()
    has_picture: bool = False


@dataclass(frozen=True, slots=True)
class KeptProof:
    """A proof as the shelf keeps it.

    Parameters
    ----------
    proof : Proof
        What was promised.
    kept_at : datetime
        When, UTC.
    binned_at : datetime or None
        When it went into the bin.
    readings : tuple of KeptReading
        All of them, oldest first.
    """

    proof: Proof
    kept_at: datetime
    binned_at: datetime | None = None
    readings: tuple[KeptReading, ...] = ()

    @property
    def reading(self) -> KeptReading | None:
        """The one that counts: the newest that was not set aside."""
        return next((each for each in reversed(self.readings) if each.binned_at is None), None)


@dataclass(frozen=True, slots=True)
class ProofSheet:
    """A printed sheet, and which proof is painted in which of its boxes.

    Parameters
    ----------
    serial : str
        Printed on it.
    page : str
        Paper it was printed for.
    boxes : mapping of str to str
        Keys of proofs by area.
    printed_at : datetime or None
        When, UTC; ``None`` for now.
    """

    serial: str
    page: str
    boxes: Mapping[str, str] = field(default_factory=dict)
    printed_at: datetime | None = None

    def __post_init__(self) -> None:
        if not re.fullmatch(r"[0-9A-Z]{8}", self.serial):
            raise InputError("serial", self.serial, "eight capitals and digits")
        words = (*self.boxes, *self.boxes.values())
        if len(self.boxes) > 100 or not all(0 < len(word) <= 80 and word.isprintable() for word in words):
            raise InputError("boxes", f"{len(self.boxes)} boxes", "at most 100 areas with a proof each")


def _plain(numbers: Any, shape: tuple[int, ...]) -> Any:
    """Three numbers, or three by three, as plain tuples; a long record has thousands of them."""
    try:
        rows = [[float(number) for number in row] for row in (numbers if len(shape) > 1 else [numbers])]
    except (TypeError, ValueError):
        rows = []
    wanted = (1, *shape) if len(shape) == 1 else shape
    if [len(row) for row in rows] != [wanted[1]] * wanted[0] or not all(map(isfinite, chain(*rows))):
        said = " by ".join(map(str, shape))
        raise InputError("colour of a proof", numbers, f"finite numbers, {said}")
    plain = tuple(tuple(row) for row in rows)
    return plain if len(shape) > 1 else plain[0]


def _numbers(numbers: ArrayLike, size: int) -> Floats:
    values = np.asarray(numbers, dtype=np.float64)
    if values.shape != (size,) or not np.all(np.isfinite(values)):
        raise InputError("reading of a proof", values.shape, f"{size} finite numbers")
    return values
