"""From light relative to the card's paper to XYZ relative to a perfect diffuser."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from scumble.card.light.lost import restore_lost
from scumble.card.photographed import Direction
from scumble.card.picture.profile import Encoding
from scumble.colour import white_point

Floats = NDArray[np.float64]

PAPER_Y: Final = 86.0
"""Y of plain white paper against a perfect diffuser: L* about 94. Uncoated printing papers lie at L* 93 to 95
(*from memory*: ISO 12647-2, print substrates). A paper that is lighter by 1 makes every reading 1.2 % too dark."""

PAPER_DOUBT: Final = 0.025
"""Relative error of that assumption: common papers lie within some 4 % of it. All areas share it, so that it never
shows as scatter; promised as noise, it keeps the intervals honest."""

DEVICE_DOUBT: Final = 0.01
"""The same where a scanner's own profile says how light the paper is: its lamp drifts by about as much."""

FAR_PAPER: Final = 0.12
"""Log distance from the usual paper beyond which such a word is not believed."""

BLACKEST_SHARE: Final = 0.09
"""Light a printed black gives back, against its paper, at the most: a weak black of an ink-jet on plain paper,
*common practice, no source*. What a picture shows beyond it is veiling light and is taken off."""


@dataclass(frozen=True, slots=True)
class Calibration:
    """How light becomes XYZ, and what was assumed.

    Parameters
    ----------
    rgb_to_xyz : array, shape (3, 3)
        From linear channels relative to the paper to XYZ.
    flare : array, shape (3,) [1]
        Veiling light taken off, against the paper.
    notes : tuple of str
        What was assumed, in sentences.
    doubt : float [1]
        Relative error that all readings share.
    """

    rgb_to_xyz: Floats
    flare: Floats
    notes: tuple[str, ...]
    doubt: float

    def to_xyz(self, light: Floats) -> Floats:
        """XYZ of linear channels relative to the paper, shape (..., 3); never below 0."""
        seen = (light - self.flare) / (1.0 - self.flare)
        return np.asarray(np.maximum(seen @ self.rgb_to_xyz.T, 0.0))

    def to_reading(
        self, _area: str, light: Floats, lost: NDArray[np.bool_], /
    ) -> tuple[Floats, tuple[Direction, ...]]:
        """XYZ of an area, and the directions in which it is in doubt where channels were cut off at zero."""
        return restore_lost(self.to_xyz(light), light, self.rgb_to_xyz, lost)

    def directions(self, channels: NDArray[np.bool_]) -> tuple[Direction, ...]:
        """Directions in XYZ along which some of the channels move a colour, each of length 1."""
        columns = self.rgb_to_xyz.T[channels]
        lengths = np.linalg.norm(columns, axis=1)[:, None]
        return tuple((float(x), float(y), float(z)) for x, y, z in columns / lengths)


def calibrate(
    encoding: Encoding,
    bare_black: Floats,
    *,
    paper_xyz: Floats | None = None,
    paper_doubt: float = 0.0,
    black_share: float | None = None,
) -> Calibration:
    """Make the paper white and the printed black come out right.

    Parameters
    ----------
    encoding : Encoding
        Of the picture.
    bare_black : array, shape (3,) [1]
        Linear channels of the printed black, relative to the paper.
    paper_xyz : array, shape (3,), optional
        Measured XYZ of the paper under D65, 2 degrees; plain neutral paper when left out.
    paper_doubt : float [1]
        Relative error of those.
    black_share : float, optional [1]
        Measured Y of the printed black over that of the paper. When left out, the black is believed as the picture
        shows it unless no printer makes it so pale.

    Returns
    -------
    Calibration
        Each channel is scaled by itself to make the paper white, as a camera's white balance does.
    """
    notes = []
    doubt = PAPER_DOUBT if paper_xyz is None else paper_doubt
    if paper_xyz is None:
        paper_xyz = white_point("D65", 2) * PAPER_Y / 100.0
        notes.append(f"The paper is taken to be a neutral white of Y {PAPER_Y:g}.")
    allowed = BLACKEST_SHARE if black_share is None else black_share
    flare = np.clip((bare_black - allowed) / (1.0 - allowed), 0.0, 0.9)
    if black_share is None and flare.max() > 0:
        notes.append(
            f"The printed black looks paler than any printer leaves it: {100 * flare.mean():.1f} %"
            " of veiling light was taken off."
        )
    to_paper = paper_xyz / encoding.rgb_to_xyz.sum(axis=1)
    return Calibration(encoding.rgb_to_xyz * to_paper[:, None], flare, tuple(notes), doubt)


def paper_of_device(encoding: Encoding, paper: Floats) -> tuple[Floats, float]:
    """XYZ of the paper as a scanner's or camera's own profile says it, and its relative doubt.

    Parameters
    ----------
    encoding : Encoding
        Made from the profile of the device, colours against a perfect diffuser.
    paper : array, shape (3,) [1]
        Linear channels of the paper.

    Notes
    -----
    A profile holds for the exposure it was made with, as a scanner's lamp keeps it. A paper far from any usual one
    tells that it was not kept; then the profile's word on lightness is passed over.
    """
    xyz = 100.0 * encoding.rgb_to_xyz @ paper
    if not abs(np.log(xyz[1] / PAPER_Y)) < FAR_PAPER:
        return xyz * PAPER_Y / max(float(xyz[1]), 1e-6), PAPER_DOUBT
    return np.asarray(xyz), DEVICE_DOUBT
