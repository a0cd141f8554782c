"""A wanted colour, and the lights it is wanted under."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from scumble.colour import lab_to_xyz, reflectance_to_xyz, smoothest_reflectance, white_point, xyz_to_lab
from scumble.errors import InputError
from scumble.tables import BANDS

Floats = NDArray[np.float64]

METAMERS = {
    ("D65", "D50"): 0.8, ("D65", "A"): 3.2, ("D65", "LED-B3"): 1.5,
    ("D50", "D65"): 0.8, ("D50", "A"): 2.4, ("D50", "LED-B3"): 1.2,
    ("A", "D65"): 3.4, ("A", "D50"): 2.5, ("A", "LED-B3"): 2.6,
    ("LED-B3", "D65"): 1.7, ("LED-B3", "D50"): 1.3, ("LED-B3", "A"): 2.5,
}  # fmt: skip
"""How far paints may be off the smoothest surface of their colour under the first light, seen under the second [dE00].

95 of 100 films of the starter pigments - thick, thin over white, and two tints of each - are nearer, and 95 of 100
drawn mixtures of three, for both observers. The tests work it out anew.
"""


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
    doubt : float [dE00]
        Where the colour under further lights was guessed: how far off the mean over all lights may be for it, 19 times
        in 20.
    """

    labs: Floats
    lights: tuple[str, ...] = ("D65",)
    observer: int = 2
    reflectance: Floats | None = None
    label: str = "wanted colour"
    doubt: float = 0.0

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


def target_of_bare_colour(
    lab: ArrayLike, *, lights: tuple[str, ...] = ("D65",), observer: int = 2, label: str = ""
) -> Target:
    """A colour known under the first light only, wanted under one or several.

    Under further lights it is taken to look like the smoothest surface that has it. :data:`METAMERS` says how far
    paints of that colour are off that.

    Raises
    ------
    InputError
        If it is no colour, or none of a surface and wanted under several lights.

    Examples
    --------
    >>> target_of_bare_colour([60, 20, 30], lights=("D65", "A")).labs.round(1).tolist()
    [[60.0, 20.0, 30.0], [63.5, 24.1, 35.2]]
    """
    first = target_of_lab(lab, light=lights[0], observer=observer, label=label)
    if len(lights) == 1:
        return first
    for light in lights[1:]:
        white_point(light, observer)
    try:
        guess = smoothest_reflectance(first.xyz, light=lights[0], observer=observer)
    except InputError as error:
        hint = f"{first.label} is more vivid than any surface; only under one light can it be aimed at."
        raise InputError("light", ", ".join(lights), "one light for this colour", hint) from error
    known = target_of_reflectance(guess, lights=lights, observer=observer)
    labs = np.concatenate([first.labs, known.labs[1:]])
    doubts = [METAMERS[lights[0], light] if light != lights[0] else 0.0 for light in lights]
    return Target(labs, lights, observer, None, first.label, float(np.sqrt(np.mean(np.square(doubts)))))


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
