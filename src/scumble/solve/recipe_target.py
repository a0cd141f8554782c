"""A wanted colour, and the lights it is wanted under."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from scumble.colour import lab_to_xyz, reflectance_to_xyz, white_point, xyz_to_lab
from scumble.errors import InputError
from scumble.tables import BANDS

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Target:
    """A wanted colour.

    Parameters
    ----------
    labs : array, shape (lights, 3)
        CIELAB wanted under each of ``lights``.
    lights : tuple of str
        The first is the one answers are shown under.
    observer : int [degrees]
        2 or 10.
    reflectance : array, shape (36,), optional [1]
        The spectrum, where it is known; then the colour is known under every light.
    label : str
        What a person calls it.
    """

    labs: Floats
    lights: tuple[str, ...] = ("D65",)
    observer: int = 2
    reflectance: Floats | None = None
    label: str = "wanted colour"

    @property
    def lab(self) -> Floats:
        """CIELAB under the first light, shape (3,)."""
        return np.asarray(self.labs[0])

    @property
    def xyz(self) -> Floats:
        """Tristimulus values under the first light, shape (3,)."""
        return lab_to_xyz(self.lab, white_point(self.lights[0], self.observer))


def target_of_lab(lab: ArrayLike, *, light: str = "D65", observer: int = 2, label: str = "") -> Target:
    """A colour wanted under one light.

    Raises
    ------
    InputError
        If it is not three finite numbers, or no surface is so light or so dark.

    Examples
    --------
    >>> target_of_lab([60, 20, 30]).label
    'L* 60.0 a* 20.0 b* 30.0'
    """
    wanted = np.asarray(lab, dtype=np.float64)
    if wanted.shape != (3,) or not np.all(np.isfinite(wanted)):
        raise InputError("colour", lab, "three numbers: L*, a*, b*")
    if not 0.0 <= wanted[0] <= 100.0:
        raise InputError("colour", f"L* {wanted[0]:g}", "a lightness from 0 to 100")
    if np.max(np.abs(wanted[1:])) > 200.0:
        raise InputError("colour", "a* {:g} b* {:g}".format(*wanted[1:]), "a* and b* from -200 to 200")
    white_point(light, observer)
    return Target(
        wanted[None], (light,), observer, None, label or "L* {:.1f} a* {:.1f} b* {:.1f}".format(*wanted)
    )


def target_of_reflectance(
    reflectance: ArrayLike,
    *,
    lights: tuple[str, ...] = ("D65",),
    observer: int = 2,
    label: str = "given spectrum",
) -> Target:
    """A surface wanted under one or several lights.

    Raises
    ------
    InputError
        If it is not 36 numbers from 0 to 1, or no light is named.
    """
    shown = np.asarray(reflectance, dtype=np.float64)
    if shown.shape != (BANDS,):
        raise InputError("colour", f"{shown.size} numbers", f"{BANDS} numbers, 380 to 730 nm by 10")
    if not np.all(np.isfinite(shown)) or shown.min() < 0.0 or shown.max() > 1.0:
        raise InputError("colour", f"{shown.min():g} to {shown.max():g}", "reflectances from 0 to 1")
    if not lights:
        raise InputError("light", "none", "at least one light")
    labs = [
        xyz_to_lab(reflectance_to_xyz(shown, light=light, observer=observer), white_point(light, observer))
        for light in lights
    ]
    return Target(np.array(labs), lights, observer, shown, label)
