"""What a printer makes of a chart: its profile, which colours it cannot reach, and the sentence that says so."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from scumble.chart.profile import Profile, printed_colours, read_profile
from scumble.colour import delta_e_2000, srgb_to_xyz, white_point, xyz_to_lab
from scumble.paint.swatches import Swatches

Floats = NDArray[np.float64]

BEYOND_DE00: Final = 3.0
"""Colour difference from which a printed colour counts as another one than was asked for [dE00]. Scumble's own; a
reading of 8 bits strays by less than 1."""


def open_profile(content: bytes, intent: str) -> Profile | None:
    """The profile that a person chose, none where nothing was.

    Raises
    ------
    InputError
        If it is no profile, or the intent is none.
    """
    return read_profile(content, intent=intent or "relative") if content else None


def printable(swatches: Swatches, profile: Profile | None) -> Swatches:
    """The same swatches, those that the printer cannot reach marked like those that the screen cannot.

    Parameters
    ----------
    swatches : Swatches
        As they were predicted.
    profile : Profile or None
        Of the printer; ``None`` leaves them as they are.
    """
    if profile is None:
        return swatches
    reached = reaches(profile, swatches.srgb)
    return replace(swatches, in_gamut=np.asarray(swatches.in_gamut & reached))


def reaches(profile: Profile, srgb: Floats) -> NDArray[np.bool_]:
    """Whether a printer reaches colours, shape (...) for sRGB of shape (..., 3)."""
    asked = np.clip(srgb, 0.0, 1.0).reshape(-1, 3)
    printed = np.array(printed_colours(profile, [(red, green, blue) for red, green, blue in asked.tolist()]))
    away = delta_e_2000(_lab(asked), _lab(printed.reshape(-1, 3)))
    return np.asarray(away <= BEYOND_DE00).reshape(srgb.shape[:-1])


def press_notes(profile: Profile | None) -> tuple[str, ...]:
    """What is said at the foot of a chart made for one printer."""
    if profile is None:
        return ()
    named = f"{profile.name} ({profile.space}, {profile.intent} intent)"
    return (f"Written for {named}: print it without any further correction of colour.",)


def _lab(srgb: Floats) -> Floats:
    return xyz_to_lab(srgb_to_xyz(srgb), white_point("D65", 2))
