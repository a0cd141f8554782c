"""How light falls on a card and into the lens: slopes, corners, casts, a shadow's edge, a mirrored lamp."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from demo.conditions import Falling, Glare, Shadow

Array = NDArray[np.float64]

PAPER_GLOSS = 0.17
"""What plain paper mirrors against a gloss film, as a share."""


def light_field(falling: Falling, place_mm: Array, place_frame: Array) -> Array:
    """Light in red, green and blue, 1 in the middle without accidents, shape (..., 3).

    Parameters
    ----------
    place_mm : array, shape (..., 2) [mm]
        Places on the card.
    place_frame : array, shape (..., 2)
        The same in the frame, 0 in its middle and 1 at its corners' distance.
    """
    direction = np.radians(falling.direction_degree)
    along = place_frame @ [np.cos(direction), np.sin(direction)]
    brightness = np.exp(falling.slope * along) * (
        1 - falling.vignetting * np.square(place_frame).sum(axis=-1)
    )
    if falling.shadow:
        brightness = brightness * shadow_field(falling.shadow, place_mm)
    red, blue = falling.cast_slope
    across = place_frame @ [-np.sin(direction), np.cos(direction)]
    colour = np.exp(np.stack([red * across, np.zeros(across.shape), blue * across], axis=-1))
    return brightness[..., None] * colour * (falling.cast[0], 1.0, falling.cast[1])


def shadow_field(shadow: Shadow, place_mm: Array) -> Array:
    """Light left by a shadow, from 1 before its edge to `light_left` behind it."""
    direction = np.radians(shadow.direction_degree)
    behind = (place_mm - shadow.place_mm) @ [np.cos(direction), np.sin(direction)]
    # The penumbra is the 10-to-90 % width of a logistic edge: 4.4 of its scales.
    share = 1 / (1 + np.exp(-np.clip(4.4 * behind / shadow.penumbra_mm, -40, 40)))
    return 1 - (1 - shadow.light_left) * share


def glare_field(glare: Glare, place_mm: Array) -> Array:
    """Mirrored light on a gloss film against white: flat within about the radius, then falling off softly."""
    distance = np.hypot(*np.moveaxis(place_mm - glare.place_mm, -1, 0)) / glare.radius_mm
    return glare.strength / (1 + distance**6)


def lamp_share(share: float, slope: float, direction_degree: float, place_frame: Array) -> Array:
    """Share of the second of two lights across the frame."""
    direction = np.radians(direction_degree + 180)
    along = place_frame @ [np.cos(direction), np.sin(direction)]
    return np.clip(share + slope * along, 0, 1)
