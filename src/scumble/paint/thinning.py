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

THINNED_COATS = 0.25
"""The film that is compared with the masstone to say what thinning does [coat]."""

BRIGHTER_BY, DULLER_BY = 8.0, 8.0
"""Change of CIELAB chroma that counts as brightening and as dulling. Scumble's own."""

NEUTRAL_CHROMA = 14.0
"""CIELAB chroma below which masstone and thinned film count as neutral. Scumble's own."""

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
    NEUTRAL = "stays neutral"


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
    thinned_chroma : Estimate
        Change of CIELAB chroma from the masstone to a quarter of a coat.
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
    thinned_chroma: Estimate
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
    thinned = chroma[:, int(np.abs(PATH_COATS - THINNED_COATS).argmin())]
    courses = [course_of(*each) for each in zip(chroma[:, 0], thinned, strict=True)]
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
        thinned_chroma=estimate_of(thinned - chroma[:, 0]),
        hue_shift=_where_all(has_hue, turned),
        warmth_shift=_where_all(has_hue, warmth[rows, at_peak] - warmth[:, 0]),
        course=courses[0],
        course_share=share_of([course is courses[0] for course in courses]),
    )


def course_of(masstone_chroma: float, thinned_chroma: float) -> Course:
    """What thinning does, from the CIELAB chroma of the masstone and of a quarter of a coat.

    Examples
    --------
    >>> course_of(50.0, 71.0).value, course_of(50.0, 55.0).value, course_of(50.0, 38.0).value
    ('brightens', 'only lightens', 'dulls')
    """
    if max(masstone_chroma, thinned_chroma) < NEUTRAL_CHROMA:
        return Course.NEUTRAL
    if thinned_chroma - masstone_chroma >= BRIGHTER_BY:
        return Course.BRIGHTENS
    return Course.DULLS if masstone_chroma - thinned_chroma >= DULLER_BY else Course.LIGHTENS


def _where_all(holds: NDArray[np.bool_], numbers: Floats) -> Estimate:
    """Sum up where the most probable optics have a hue; the others count only if they have one."""
    if not holds[0]:
        return Estimate(np.nan, np.nan, np.nan)
    return estimate_of(numbers[holds])
