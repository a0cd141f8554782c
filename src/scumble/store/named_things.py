"""Things with a name that are kept beside the paints: grounds, recipes and plans."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from scumble.errors import InputError
from scumble.store.tube_facts import clean_notes
from scumble.tables import BANDS

_KEY = re.compile(r"[^\W_]+(-[^\W_]+)*")


def check_names(key: str, label: str) -> None:
    """Refuse a key or label that the shelf does not keep.

    Raises
    ------
    InputError
        Naming which.
    """
    if not _KEY.fullmatch(key) or key != key.casefold() or len(key) > 80:
        hint = "For example: ultramarine-blue."
        raise InputError("key", key, "lower-case words joined by hyphens, at most 80 letters", hint)
    if not label.strip() or not label.isprintable() or len(label) > 200:
        raise InputError("label", label, "a name of 1 to 200 characters on one line")


@dataclass(frozen=True, slots=True, eq=False)
class KeptGround:
    """A ground with a name: a spectrum or a colour.

    Parameters
    ----------
    key, label : str
        Short name, and what the person calls it.
    reflectance : array, shape (36,), optional
        Reflectance 0-1; this or ``lab``.
    lab : tuple of float, optional
        CIELAB under D65, 2 degrees.
    notes : str
        Anything else.
    """

    key: str
    label: str
    reflectance: NDArray[np.float64] | None = None
    lab: tuple[float, float, float] | None = None
    notes: str = ""

    def __post_init__(self) -> None:
        check_names(self.key, self.label)
        object.__setattr__(self, "notes", clean_notes(self.notes))
        if (self.reflectance is None) == (self.lab is None):
            raise InputError("ground", self.key, "either a reflectance or a lab colour")
        if self.reflectance is not None:
            values = np.asarray(self.reflectance, dtype=np.float64)
            if values.shape != (BANDS,) or not np.all((values >= 0) & (values <= 1)):
                raise InputError("reflectance", values, f"{BANDS} numbers from 0 to 1")
            object.__setattr__(self, "reflectance", values)
        if self.lab is not None and not (len(self.lab) == 3 and np.all(np.isfinite(self.lab))):
            raise InputError("lab", self.lab, "three finite numbers")

    def __eq__(self, other: object) -> bool:
        if not isinstance(other, KeptGround):
            return NotImplemented
        alike = (self.key, self.label, self.lab, self.notes) == (
            other.key,
            other.label,
            other.lab,
            other.notes,
        )
        if self.reflectance is None or other.reflectance is None:
            return alike and self.reflectance is other.reflectance
        return alike and np.array_equal(self.reflectance, other.reflectance)

    __hash__ = None  # type: ignore[assignment]


@dataclass(frozen=True, slots=True)
class Recipe:
    """A layering with a name.

    Parameters
    ----------
    key, label : str
        Short name, and what the person calls it.
    layering : mapping
        As it was asked for, plain data.
    notes : str
        Anything else.
    """

    key: str
    label: str
    layering: Mapping[str, Any] = field(default_factory=dict)
    notes: str = ""

    def __post_init__(self) -> None:
        check_names(self.key, self.label)
        object.__setattr__(self, "notes", clean_notes(self.notes))
        check_plain("layering", self.layering)


@dataclass(frozen=True, slots=True)
class KeptPlan:
    """A plan of a painting with a name.

    Parameters
    ----------
    key, label : str
        Short name, and what the person calls it.
    content : mapping
        What was asked, the small copy of the picture, its areas and their layers, plain data.
    notes : str
        Anything else.
    """

    key: str
    label: str
    content: Mapping[str, Any] = field(default_factory=dict)
    notes: str = ""

    def __post_init__(self) -> None:
        check_names(self.key, self.label)
        object.__setattr__(self, "notes", clean_notes(self.notes))
        check_plain("content", self.content)


def check_plain(name: str, data: Mapping[str, Any]) -> None:
    """Refuse what JSON does not give back as it was.

    Raises
    ------
    InputError
        Naming the field.
    """
    try:
        plain = json.loads(json.dumps(data, allow_nan=False))
    except (TypeError, ValueError):
        plain = None
    if plain != data or not isinstance(plain, dict):
        raise InputError(name, data, "plain data as JSON writes it")
