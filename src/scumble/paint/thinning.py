"""What happens to a paint's colour as its film is thinned over white: from masstone to undertone."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from scumble.paint.drawdown import chroma_of, hue_of, lab_of, over_white
from scumble.paint.estimate import Estimate, estimate_of, share_of

Floats = NDArray[np.float64]

MASSTONE_COATS = 1.0
"""The film called masstone [coat]: full strength, as the card's full stroke lays it, over white."""

THINNEST_COATS = 0.01
"""Thinnest film that is looked at [coat]; nothing a brush can do is thinner."""

PATH_COATS = np.geomspace(MASSTONE_COATS, THINNEST_COATS, 61)
"""Films on the way, masstone first [coat]."""

LIGHTER_SHARE = 1.0 / 3.0
"""Share of the way from the masstone's lightness to the white's at which a thinned film is compared with it."""

BRIGHTER_BY, DULLER_BY = 8.0, 3.0
"""Change of CIELAB chroma that counts as brightening and as dulling. Scumble's own."""

LEAST_CHROMA = 6.0
"""CIELAB chroma below which a colour has no hue worth speaking of. Scumble's own."""

WARM_HUE = 55.0
"""CIELAB hue angle of the warmest colour, an orange; its opposite is the coolest [degree]. *Common practice, no
source* for the pole; the angle is Scumble's own."""


class Course(StrEnum):
    """What thinning does to the colour."""

    BRIGHTENS = "brightens"
    LIGHTENS = "only lightens"
    DULLS = "dulls"
    GREY = "stays a grey"


@dataclass(frozen=True, slots=True)
class Thinning:
    """The way from masstone to undertone.

    Parameters
    ----------
    masstone, undertone : array, shape (3,)
        CIELAB over white of the full coat and of the film of greatest chroma (D65, 2 degrees).
    masstone_reflectance, undertone_reflectance : array, shape (36,) [1]
        Their spectra.
    undertone_coats : Estimate [coat]
        Thickness of greatest chroma.
    chroma_gain : Estimate
        CIELAB chroma of the undertone above that of the masstone, 0 or more.
    lighter_change : Estimate
        Change of chroma when the film is a third of the way to white.
    hue_shift : Estimate [degree]
        Change of CIELAB hue angle from masstone to undertone, anticlockwise (red to yellow to green) positive; not
        a number where either is too grey to have a hue.
    warmth_shift : Estimate
        Change of the cosine of the angle to :data:`WARM_HUE`; above 0 is warmer.
    course : Course
        What thinning does.
    course_share : float [1]
        Share of the possible optics that agree.
    """

    masstone: Floats
    undertone: Floats
    masstone_reflectance: Floats
    undertone_reflectance: Floats
    undertone_coats: Estimate
    chroma_gain: Estimate
    lighter_change: Estimate
    hue_shift: Estimate
    warmth_shift: Estimate
    course: Course
    course_share: float


def predict_thinning(absorption: Floats, scattering: Floats, *, index: float = 1.5) -> Thinning:
    """Follow a paint's colour over white as its film gets thinner.

    Parameters
    ----------
    absorption, scattering : array, shape (possible, 36) [1/coat]
        Possible optics, the most probable first.
    index : float [1]
        Refractive index of the binder.
    """
    coats = PATH_COATS[:, None]
    seen = over_white(absorption[:, None] * coats, scattering[:, None] * coats, index=index)
    lab = lab_of(seen)
    chroma, hue, rows = chroma_of(lab), hue_of(lab), np.arange(len(lab))
    at_peak = chroma.argmax(axis=1)
    lighter = chroma[rows, _lighter(lab[..., 0])] - chroma[:, 0]
    courses = _courses(chroma.max(axis=1), lighter)
    turned = (hue[rows, at_peak] - hue[:, 0] + 180.0) % 360.0 - 180.0
    warmth = np.cos(np.radians(hue - WARM_HUE))
    has_hue = np.minimum(chroma[:, 0], chroma[rows, at_peak]) >= LEAST_CHROMA
    return Thinning(
        masstone=lab[0, 0],
        undertone=lab[0, at_peak[0]],
        masstone_reflectance=seen[0, 0],
        undertone_reflectance=seen[0, at_peak[0]],
        undertone_coats=estimate_of(PATH_COATS[at_peak]),
        chroma_gain=estimate_of(chroma[rows, at_peak] - chroma[:, 0]),
        lighter_change=estimate_of(lighter),
        hue_shift=_where_all(has_hue, turned),
        warmth_shift=_where_all(has_hue, warmth[rows, at_peak] - warmth[:, 0]),
        course=courses[0],
        course_share=share_of([course is courses[0] for course in courses]),
    )


def _lighter(lightness: Floats) -> NDArray[np.int_]:
    """First film of each path that is a third of the way to the thinnest one's lightness."""
    wanted = lightness[:, :1] + LIGHTER_SHARE * (lightness[:, -1:] - lightness[:, :1])
    rising = lightness[:, -1:] >= lightness[:, :1]
    return np.asarray(np.where(rising, lightness >= wanted, lightness <= wanted).argmax(axis=1))


def _courses(greatest_chroma: Floats, lighter_change: Floats) -> list[Course]:
    choices = [greatest_chroma < LEAST_CHROMA, lighter_change >= BRIGHTER_BY, lighter_change <= -DULLER_BY]
    named = [Course.GREY, Course.BRIGHTENS, Course.DULLS]
    return [
        next((course for course, holds in zip(named, each, strict=True) if holds), Course.LIGHTENS)
        for each in zip(*choices, strict=True)
    ]


def _where_all(holds: NDArray[np.bool_], numbers: Floats) -> Estimate:
    """Sum up where the most probable optics have a hue; the others count only if they have one."""
    if not holds[0]:
        return Estimate(np.nan, np.nan, np.nan)
    return estimate_of(numbers[holds])
