"""What a person says about the colour of a photograph: a target in it, a profile for it, a paper that was measured."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

import numpy as np

from scumble.colour import lab_to_xyz, reflectance_to_xyz, smoothest_reflectance, white_point
from scumble.errors import InputError

if TYPE_CHECKING:
    from scumble.paint.reference import ReferenceTarget

LARGEST_PROFILE: Final = 8_000_000
"""Bytes; a scanner's tables take some hundred kilobytes."""


@dataclass(frozen=True, slots=True)
class ColourRequest:
    """Ways to better colours than the photograph alone gives; all may be left out.

    Parameters
    ----------
    reference : Path, optional
        CGATS.17 text with the colours of a reference target that lies in the picture.
    corners : str
        Its corners in the picture, ``x,y x,y x,y x,y``: of the first patch, the end of the first row, the last patch,
        the start of the last row. Looked for when empty.
    columns : int, optional
        Patches in a row, where their names do not say.
    profile : Path, optional
        ICC profile of the scanner or camera.
    paper : str
        Measured colour of the bare paper, three numbers; ``""`` where none was measured.
    paper_is_lab : bool
        Whether these are L*, a*, b* and not X, Y, Z.
    light : str
        Light they hold for.
    """

    reference: Path | None = None
    corners: str = ""
    columns: int | None = None
    profile: Path | None = None
    paper: str = ""
    paper_is_lab: bool = False
    light: str = "D50"


PLAIN_COLOUR: Final = ColourRequest()


def colour_options(request: ColourRequest) -> dict[str, Any]:
    """Options of `scumble.card.read_photograph` for a request.

    Raises
    ------
    InputError, StoreError
        If a file cannot be read or a number is none.
    """
    options: dict[str, Any] = {}
    if request.reference is not None:
        from scumble.card.by_target import TargetView, corners_from_text

        corners = corners_from_text(request.corners) if request.corners else None
        options["target"] = TargetView(_load_target(request.reference), corners, request.columns)
    elif request.corners:
        raise InputError("target-corners", request.corners, "together with the target's reference file")
    if request.profile is not None:
        options["profile"] = _load_profile(request.profile)
    if request.paper:
        options["paper_xyz"] = paper_xyz(request.paper, is_lab=request.paper_is_lab, light=request.light)
    return options


def paper_xyz(text: str, *, is_lab: bool, light: str) -> np.ndarray[Any, np.dtype[np.float64]]:
    """XYZ of the paper under D65, 2 degrees, from three numbers for some light.

    Raises
    ------
    InputError
        If they are no colour of a paper.

    Examples
    --------
    >>> paper_xyz("94 0 0", is_lab=True, light="D50").round(1).tolist()
    [81.0, 85.3, 92.8]
    """
    field, allowed = ("paper-lab", "L*, a*, b*") if is_lab else ("paper-xyz", "X, Y, Z")
    try:
        numbers = np.array([float(part) for part in text.replace(",", " ").split()])
    except ValueError:
        numbers = np.zeros(0)
    if numbers.shape != (3,) or not np.isfinite(numbers).all():
        raise InputError(
            field, text, f"{allowed} of the bare paper, such as " + ("94 0 -2" if is_lab else "83 86 71")
        )
    xyz = lab_to_xyz(numbers, white_point(light, 2)) if is_lab else numbers
    if not 30.0 <= xyz[1] <= 100.0:
        raise InputError(field, text, "the colour of a paper, Y between 30 and 100")
    return np.asarray(reflectance_to_xyz(smoothest_reflectance(xyz, light=light), light="D65", observer=2))


def is_profile(content: bytes) -> bool:
    """Whether a file is an ICC profile, by its signature (ICC.1, 7.2.9).

    Examples
    --------
    >>> is_profile(bytes(36) + b"acsp"), is_profile(b"IT8.7/2")
    (True, False)
    """
    return content[36:40] == b"acsp"


def _load_target(path: Path) -> ReferenceTarget:
    """A target's reference; of many cards it is worked out for the first, for that takes longer than a card."""
    try:
        changed_ns = path.stat().st_mtime_ns
    except OSError:
        changed_ns = 0
    return _target(path, changed_ns)


@lru_cache(maxsize=4)
def _target(path: Path, _changed_ns: int) -> ReferenceTarget:
    from scumble.store.readings.reference_cgats import load_reference

    return load_reference(path)


def _load_profile(path: Path) -> bytes:
    try:
        with path.open("rb") as file:
            content = file.read(LARGEST_PROFILE + 1)
    except OSError as error:
        said = error.strerror or str(error)
        raise InputError("profile", str(path), "an ICC profile that can be read", said) from None
    if len(content) > LARGEST_PROFILE or not is_profile(content):
        raise InputError("profile", path.name, "an ICC profile, as came with the scanner or camera")
    return content
