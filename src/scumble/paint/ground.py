"""What lies under the paint."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import ArrayLike, NDArray

from scumble.colour import lab_to_xyz, smoothest_reflectance, white_point
from scumble.errors import InputError
from scumble.optics.response import take_off_face
from scumble.tables import BANDS, WAVELENGTH_NM

Floats = NDArray[np.float64]


class GroundFace(StrEnum):
    """Whether the bare ground has a smooth face of its own that a new film would remove."""

    NONE = "none"
    GLOSS = "gloss"


@dataclass(frozen=True, slots=True)
class Ground:
    """A diffuse ground.

    Parameters
    ----------
    reflectance : array, shape (36,) [1]
        What it shows bare, mirror reflection excluded, 0-1.
    face : GroundFace
        ``none`` for paper, gesso and print, ``gloss`` for a painted or varnished ground.
    label : str
        What a person calls it.
    """

    reflectance: Floats
    face: GroundFace = GroundFace.NONE
    label: str = "ground"

    def __post_init__(self) -> None:
        shown = np.asarray(self.reflectance, dtype=np.float64)
        if shown.shape != (BANDS,):
            raise InputError("reflectance", f"{shown.size} numbers", f"{BANDS} numbers, 380 to 730 nm by 10")
        if not np.all(np.isfinite(shown)) or shown.min() < 0 or shown.max() > 1:
            raise InputError("reflectance", f"{shown.min():g} to {shown.max():g}", "numbers from 0 to 1")
        object.__setattr__(self, "reflectance", shown)

    def under_film(self, index: float) -> Floats:
        """Reflectance seen from inside a film that lies on it, shape (36,) [1]."""
        if self.face is GroundFace.GLOSS:
            return take_off_face(self.reflectance, index)
        return self.reflectance


def _paper(level: float, warmth: float) -> Floats:
    """A sheet of the given reflectance in the red, falling towards the violet by ``warmth``."""
    return level * (1.0 - warmth / (1.0 + np.exp((WAVELENGTH_NM - 460.0) / 40.0)))


PAPERS: dict[str, Floats] = {
    "white": _paper(0.88, 0.05),
    "cream": _paper(0.80, 0.22),
    "grey": _paper(0.30, 0.03),
    "toned": _paper(0.42, 0.45),
    "black": _paper(0.04, 0.0),
}
"""Sheets for trying things out, invented: an uncoated white, a cream, a grey, a warm toned and a black one."""


def paper_ground(name: str) -> Ground:
    """One of the :data:`PAPERS` by name.

    Raises
    ------
    InputError
        If there is no sheet of that name.
    """
    if name not in PAPERS:
        raise InputError("paper", name, ", ".join(PAPERS))
    return Ground(PAPERS[name], label=f"{name} paper")


def ground_of_colour(
    lab: ArrayLike, *, light: str = "D65", observer: int = 2, face: GroundFace = GroundFace.NONE
) -> Ground:
    """The smoothest ground of a given colour.

    Parameters
    ----------
    lab : array, shape (3,)
        CIELAB under ``light`` for ``observer``.

    Raises
    ------
    InputError
        If it is not three finite numbers, or no surface can have that colour.
    """
    wanted = np.asarray(lab, dtype=np.float64)
    if wanted.shape != (3,) or not np.all(np.isfinite(wanted)):
        raise InputError("lab", lab, "three numbers: L*, a*, b*")
    xyz = lab_to_xyz(wanted, white_point(light, observer))
    reflectance = smoothest_reflectance(xyz, light=light, observer=observer)
    return Ground(reflectance, face=face, label="L* {:.0f} a* {:.0f} b* {:.0f}".format(*wanted))
