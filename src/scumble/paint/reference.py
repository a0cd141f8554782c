"""A reference target: patches of known colour that lie beside a card in its picture."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from scumble.errors import InputError

Floats = NDArray[np.float64]

LEAST_PATCHES: Final = 12
"""Fewer patches than this leave nothing over to judge a correction by."""

_LETTERED = re.compile(r"([A-Z]{1,2})[\s_-]?0*(\d{1,2})", re.IGNORECASE)
_NUMBERED = re.compile(r"0*(\d{1,4})")


@dataclass(frozen=True, slots=True)
class ReferenceTarget:
    """What is known of a target.

    Parameters
    ----------
    names : tuple of str
        Of the patches: ``A1`` is the first of row A, or plain numbers row by row.
    xyz : array, shape (patches, 3)
        Under D65, 2 degrees, the perfect diffuser at Y = 100.
    doubts : tuple of str
        What had to be guessed about it.
    stated : array, shape (patches, 3), optional
        XYZ as the file states them, under `light` and `observer`; the same as `xyz` when left out.
    light, observer : str, int
        Of what is stated.
    spectra : array, shape (patches, 36), optional
        Reflectance, where the file has it.
    """

    names: tuple[str, ...]
    xyz: Floats
    doubts: tuple[str, ...] = ()
    stated: Floats | None = None
    light: str = "D65"
    observer: int = 2
    spectra: Floats | None = None


@dataclass(frozen=True, slots=True)
class PatchGrid:
    """The patches of a target that lie in rows and columns.

    Parameters
    ----------
    rows, columns : int
        Size of the grid.
    places : array of int, shape (patches, 2)
        Row and column of each patch, from 0.
    members : array of int, shape (patches,)
        Which patch of the target each one is.
    """

    rows: int
    columns: int
    places: NDArray[np.intp]
    members: NDArray[np.intp]


def patch_grid(target: ReferenceTarget, *, columns: int | None = None) -> PatchGrid:
    """Where the patches of a target lie, from their names.

    Parameters
    ----------
    target : ReferenceTarget
        With names such as ``A1`` to ``L22``; names of other kinds (a strip of greys below the grid) are left out.
    columns : int, optional
        Patches in a row, for targets whose patches only have numbers.

    Raises
    ------
    InputError
        If too few names say where they lie.

    Examples
    --------
    >>> target = ReferenceTarget(tuple(f"{row}{column}" for row in "ABCD" for column in range(1, 7)), np.ones((24, 3)))
    >>> grid = patch_grid(target)
    >>> grid.rows, grid.columns, grid.places[7].tolist()
    (4, 6, [1, 1])
    """
    found = [(number, *place) for number, name in enumerate(target.names) if (place := _place(name, columns))]
    if len(found) < LEAST_PATCHES:
        raise InputError(
            "reference",
            f"{len(found)} patches whose names say where they lie",
            f"at least {LEAST_PATCHES}, named as A1, A2, ... row by row",
            "If they only have numbers, say how many lie in a row.",
        )
    numbers = np.array(found, dtype=np.intp)
    places = numbers[:, 1:] - numbers[:, 1:].min(axis=0)
    if len(np.unique(places, axis=0)) < len(places):
        raise InputError("reference", "two patches in one place", "every name once")
    rows, width = (int(count) + 1 for count in places.max(axis=0))
    return PatchGrid(rows, width, places, numbers[:, 0])


def _place(name: str, columns: int | None) -> tuple[int, int] | None:
    """Row and column that a name says, counted from any beginning."""
    if lettered := _LETTERED.fullmatch(name.strip()):
        letters = lettered[1].upper()
        # GS0 to GS23 is the strip of greys of ISO 12641, which lies apart from the grid.
        return None if letters == "GS" else (_row(letters), int(lettered[2]))
    if columns and (numbered := _NUMBERED.fullmatch(name.strip())):
        row, column = divmod(int(numbered[1]) - 1, columns)
        return row, column
    return None


def _row(letters: str) -> int:
    row = 0
    for letter in letters:
        row = 26 * row + ord(letter) - ord("A") + 1
    return row
