"""Draw the painted strip of one paint from its optics."""

from __future__ import annotations

from zlib import crc32

import numpy as np
from numpy.typing import NDArray

from scumble.chart.strip import HANGING, LYING, NARROW, StripColours, StripShape, draw_steps, draw_strip
from scumble.colour import reflectance_to_xyz, xyz_to_srgb
from scumble.optics.film import film_response
from scumble.optics.response import take_off_face
from scumble.paint import Paint
from scumble.paint.drawdown import CHART_WHITE
from scumble.paint.tinting import LADDER_PARTS
from scumble.tables import BANDS

Floats = NDArray[np.float64]

BAR_BLACK = 0.01
"""Reflectance of the drawn bar as seen: the darkest that a hiding-power chart must be (ASTM D2805, at most 1 %)."""

RIDGE_SPREAD = 0.36
"""Log of how much thicker than the film its thickest ridges are, and thinner its thinnest. Assumed, no source."""

RIDGE_LEVELS, TINT_LEVELS = 5, 3
"""Thicknesses told apart within one stroke, and within one step into white."""

HANGING_STOPS, LYING_STOPS = 15, 22
"""Places along the stroke where its colour is worked out."""

HANGING_COURSE = ((0.0, 1.0), (0.36, 1.0), (0.90, 0.03), (1.0, 0.004))
"""Share of the way of the brush and coats there; between them the thickness falls evenly in its logarithm."""

HALVINGS = 6
"""How many times the film of the lying strip is halved."""

FULL_UNTIL, HALVED_UNTIL = 0.05, 0.89
"""Share of the lying strip up to which it is one coat, and at which it has been halved for the last time."""

LYING_COURSE = ((0.0, 1.0), (FULL_UNTIL, 1.0), (HALVED_UNTIL, 0.5**HALVINGS), (1.0, 0.0025))

TINT_COATS = 1.0
"""Thickness of the steps into white [coat]."""


def draw_hanging_strip(paint: Paint, white: Paint | None) -> str:
    """Strip for the wall, downwards, with its steps into white if there is a white to mix with.

    Parameters
    ----------
    paint : Paint
        The tube.
    white : Paint or None
        What it is tinted with.

    Returns
    -------
    str
        An SVG document.
    """
    return draw_strip(strip_colours(paint, white, HANGING), HANGING, seed=crc32(paint.key.encode()))


def draw_lying_strip(paint: Paint, white: Paint | None) -> str:
    """Strip for the paint's own page, from left to right with its lower part on the bar; as for the wall."""
    return draw_strip(strip_colours(paint, white, LYING), LYING, seed=crc32(paint.key.encode()))


def draw_narrow_strip(paint: Paint, white: Paint | None) -> str:
    """The lying strip for a narrow screen."""
    return draw_strip(strip_colours(paint, white, NARROW), NARROW, seed=crc32(paint.key.encode()))


def draw_white_steps(paint: Paint, white: Paint | None) -> str:
    """The steps into white alone, larger; as for the wall."""
    return draw_steps(strip_colours(paint, white, HANGING), seed=crc32(paint.key.encode()) + 1)


def strip_colours(paint: Paint, white: Paint | None, shape: StripShape) -> StripColours:
    """Screen colours of every thickness that a strip shows.

    Parameters
    ----------
    paint : Paint
        The tube.
    white : Paint or None
        What it is tinted with.
    shape : StripShape
        Whose steps are to be coloured.
    """
    hangs = shape.stroke.runs_down
    course, stops = (HANGING_COURSE, HANGING_STOPS) if hangs else (LYING_COURSE, LYING_STOPS)
    places, coats = zip(*course, strict=True)
    thickness = np.exp(np.interp(np.linspace(0.0, 1.0, stops), places, np.log(coats)))
    films = (ridge_factors(RIDGE_LEVELS)[:, None] * thickness)[..., None]
    index = paint.binder.refractive_index
    response = film_response(paint.optics.absorption * films, paint.optics.scattering * films, index=index)
    return StripColours(
        over_white=screen_colour(response.over(take_off_face(CHART_WHITE, index))),
        over_black=screen_colour(response.over(take_off_face(BAR_BLACK, index))),
        tints=_tints(paint, white),
        white=screen_colour(np.full(BANDS, CHART_WHITE)),
        black=screen_colour(np.full(BANDS, BAR_BLACK)),
    )


def ridge_factors(levels: int) -> Floats:
    """How many times the mean thickness the thinnest to the thickest ridges have, shape (levels,) [1]."""
    return np.exp(np.linspace(-RIDGE_SPREAD, RIDGE_SPREAD, levels))


def screen_colour(reflectance: Floats) -> Floats:
    """SRGB 0-1 of spectra of shape (..., 36) under D65 for the 2 degree observer."""
    return xyz_to_srgb(reflectance_to_xyz(reflectance))[0]


def _tints(paint: Paint, white: Paint | None) -> Floats:
    """Screen colours of the steps into white, shape (steps, levels, 3)."""
    if white is None or white.key == paint.key:
        return np.zeros((0, TINT_LEVELS, 3))
    share = 1.0 / (1.0 + np.array(LADDER_PARTS))[:, None, None]
    coats = TINT_COATS * ridge_factors(TINT_LEVELS)[None, :, None]
    absorption, scattering = (
        coats * (share * getattr(paint.optics, name) + (1.0 - share) * getattr(white.optics, name))
        for name in ("absorption", "scattering")
    )
    index = paint.binder.refractive_index
    film = film_response(absorption, scattering, index=index)
    return screen_colour(film.over(take_off_face(CHART_WHITE, index)))
