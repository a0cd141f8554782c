"""What a file of optics says besides its numbers, checked when it is read and again before it leaves."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Final

import numpy as np
from numpy.typing import NDArray

from scumble.errors import InputError
from scumble.paint import Binder, Optics, Paint, Provenance
from scumble.store.named_things import check_names
from scumble.tables import BANDS

Floats = NDArray[np.float64]

PART: Final = " | "
"""Between the sentences of a status."""

LONGEST_STATUS: Final = 20_000


def words_of(paint: Paint) -> dict[str, str]:
    """Everything a paint says in words."""
    return {
        "key": paint.key,
        "label": paint.label,
        "pigments": " ".join(paint.pigments),
        "binder": paint.binder.value,
        "provenance": paint.provenance.value,
        "status": PART.join(paint.status),
    }


def paint_of(words: Mapping[str, str], absorption: Floats, scattering: Floats, covariance: Floats) -> Paint:
    """A paint of what a file says.

    Raises
    ------
    InputError
        For names that no shelf keeps, unknown words, and numbers that are no optics.
    """
    if missing := [name for name in ("key", "label", "binder", "provenance") if not words.get(name)]:
        raise InputError(
            "optics file", f"no {missing[0].upper()}", "KEY, LABEL, BINDER and PROVENANCE of the paint"
        )
    check_names(words["key"], words["label"])
    binder = _known("binder", words["binder"], tuple(each.value for each in Binder))
    provenance = _known("provenance", words["provenance"], tuple(each.value for each in Provenance))
    status = words.get("status", "")
    if len(status) > LONGEST_STATUS:
        raise InputError("status", f"{len(status)} signs", f"at most {LONGEST_STATUS}")
    return Paint(
        words["key"],
        words["label"],
        Optics(absorption, scattering, covariance),
        Provenance(provenance),
        tuple(words.get("pigments", "").split()),
        Binder(binder),
        tuple(status.split(PART)) if status else (),
    )


def lower_rows(covariance: Floats) -> list[list[float]]:
    """Rows of the lower triangle of a covariance."""
    return [row[: at + 1].tolist() for at, row in enumerate(covariance)]


def from_lower_rows(rows: list[list[float]]) -> Floats:
    """The whole of a covariance from the rows of its lower triangle.

    Raises
    ------
    InputError
        If there are not as many rows, or numbers in a row, as bands ask for.
    """
    size = 2 * BANDS
    if [len(row) for row in rows] != list(range(1, size + 1)):
        raise InputError("covariance", f"{len(rows)} rows", f"{size} rows of 1 to {size} numbers")
    matrix = np.zeros((size, size))
    for at, row in enumerate(rows):
        matrix[at, : at + 1] = matrix[: at + 1, at] = row
    return matrix


def check_same(paint: Paint, again: Paint) -> None:
    """Refuse to write what would come back changed.

    Raises
    ------
    InputError
        Naming what would change.
    """
    before, after = words_of(paint), words_of(again)
    for name in before:
        if before[name] != after[name]:
            raise InputError(name, before[name], f"what reads back the same, such as {after[name]!r}")
    if paint.pigments != again.pigments or paint.status != again.status:
        raise InputError("pigments", paint.pigments, "Colour Index names without blanks, and plain sentences")
    for name in ("absorption", "scattering", "covariance"):
        if not np.array_equal(getattr(paint.optics, name), getattr(again.optics, name)):
            raise InputError(
                name, "numbers that change on the way", "a symmetric covariance of finite numbers"
            )


def _known(name: str, said: str, allowed: tuple[str, ...]) -> str:
    if said not in allowed:
        raise InputError(name, said, ", ".join(allowed))
    return said
