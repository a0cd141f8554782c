"""What each route from a picture to colours leaves in doubt of all areas of a card at once."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import numpy as np

from scumble.card.find.placement import Placement
from scumble.card.light.calibrate import Calibration
from scumble.card.light.lighting import Lighting
from scumble.card.light.tone_curve import ToneCurve
from scumble.card.light.veil import Veil
from scumble.card.picture.points import Picture
from scumble.paint.camera_doubt import CameraDoubt

LEAST_TONE: Final = 0.012
"""Doubt of a tone curve that the card's steps have shown: they hang on the spread of the ink."""

PAPER_TINT: Final = 0.025
"""Relative doubt of Z of the assumed paper: unbleached and brightened ones lie within some 5 %."""

DEVICE_TINT: Final = 0.005
"""The same where a device's own profile says what the paper is."""

APART: Final = 0.35
"""Share of a reading's scatter by which its channels differ: ridges, light that falls otherwise and a thicker film move
the three alike; grain, steps of 8 bits and the coarse colours of a JPEG leave some 0.5 % to each of them."""

UNKNOWN_CAMERA: Final = CameraDoubt(sensor=0.4, tone=0.035, chroma=0.04, apart=APART)
KNOWN_SPACE: Final = CameraDoubt(sensor=0.5, tone=0.02, chroma=0.02, apart=APART)
SCAN: Final = CameraDoubt(sensor=0.25, tone=0.012, chroma=0.01, apart=APART)
"""What is in doubt of a picture without a profile, which a phone made as it likes; of one that says what its numbers
mean; and of a scan that does, whose colours were set for its own lamp. Sensors: cameras drawn at random under any lamp
are somewhat worse than published ones; sizes are those with which 19 of 20 areas lie within their bounds
(docs/reading.md)."""

SCAN_EVEN: Final = 1.05
SCAN_SQUARE: Final = 0.004
"""Brightest over darkest place of a scanned card, and by how much its opposite sides differ, at the most: a camera's
corners are darker by more, and its sides differ by 1 % at a tilt of a degree or two."""


def route_doubt(
    picture: Picture,
    placement: Placement,
    lighting: Lighting,
    calibration: Calibration,
    veil: Veil,
    tone: ToneCurve | None,
) -> CameraDoubt:
    """What all areas share, as far as this picture's own word and the card leave it open.

    Parameters
    ----------
    picture, placement, lighting, calibration, veil : Picture, Placement, Lighting, Calibration, Veil
        The photograph, the card in it, and what was found of its light, its paper and its black.
    tone : ToneCurve, optional
        What the card's steps say of the tone curve.
    """
    usual = picture.doubt or usual_doubt(picture, placement, lighting)
    return camera_doubt(picture, usual, calibration, veil, tone)


def camera_doubt(
    picture: Picture,
    usual: CameraDoubt,
    calibration: Calibration,
    veil: Veil,
    tone: ToneCurve | None = None,
) -> CameraDoubt:
    """The usual doubt of a camera with what was found of this picture's paper, veil and tone curve."""
    tint = DEVICE_TINT if picture.is_absolute else PAPER_TINT
    return replace(
        usual,
        tone=usual.tone if tone is None else round(float(np.hypot(tone.known * usual.tone, LEAST_TONE)), 5),
        paper=calibration.doubt,
        tint=tint if calibration.doubt else 0.0,
        veil=round(veil.doubt, 5),
        apart=APART,
    )


def usual_doubt(picture: Picture, placement: Placement, lighting: Lighting) -> CameraDoubt:
    """The doubt of a picture whose way into the computer says nothing by itself."""
    if picture.notes:
        return UNKNOWN_CAMERA
    return SCAN if is_scan(placement, lighting) else KNOWN_SPACE


def is_scan(placement: Placement, lighting: Lighting) -> bool:
    """Whether a card lies as flat and as evenly lit as only a scanner shows it."""
    corners = placement.block_px
    top, right, bottom, left = np.linalg.norm(np.roll(corners, -1, axis=0) - corners, axis=1)
    apart = max(abs(float(np.log(top / bottom))), abs(float(np.log(left / right))))
    return lighting.unevenness < SCAN_EVEN and apart < SCAN_SQUARE
