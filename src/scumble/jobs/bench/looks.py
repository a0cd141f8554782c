"""Everything the bench shows of a layering, from one call of the engine."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from scumble.colour import (
    reflectance_to_xyz,
    spectral_weights,
    white_point,
    xyz_to_lab,
    xyz_to_lab_jacobian,
    xyz_to_srgb,
)
from scumble.optics.face import add_face
from scumble.optics.film import film_response
from scumble.optics.response import Response
from scumble.optics.stack import stack_response
from scumble.paint import Film, Ground, Layering, interval_de00
from scumble.paint.look import film_depths, lab_covariance
from scumble.tables import BANDS

Floats = NDArray[np.float64]

STEP = 1e-3
"""Relative step of depth for the slopes behind an interval."""

RIDGES = np.array([0.7, 1.0, 1.35])
"""Thickness of the furrows, the body and the ridges of a brushed film, relative to its mean. Assumed, no source."""


class Seen(NamedTuple):
    """Colours of spectra under one light, each of shape (..., 3) or (...)."""

    reflectance: Floats
    xyz: Floats
    lab: Floats
    srgb: Floats
    in_gamut: NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class BenchLooks:
    """What a layering looks like on several grounds.

    Parameters
    ----------
    on_grounds : Seen, shape (grounds, ...)
        The whole layering on each ground.
    intervals : tuple of float [dE00]
        Within which each lies 19 times in 20.
    thickening : Seen, shape (coats, ...)
        On the first ground, the top film ever thicker; empty without a film.
    stages : Seen, shape (films, 3, ...)
        On the first ground, when only the films up to each one lie there: its furrows, its body, its ridges.
    brushed : Seen, shape (grounds, 3, ...)
        On each ground, the top film's furrows, its body, its ridges.
    bare : Seen, shape (grounds, ...)
        The grounds alone.
    """

    on_grounds: Seen
    intervals: tuple[float, ...]
    thickening: Seen
    stages: Seen
    brushed: Seen
    bare: Seen


def see(reflectance: Floats, light: str) -> Seen:
    """Colours of spectra of shape (..., 36) under a light, 2 degrees."""
    xyz = reflectance_to_xyz(reflectance, light=light)
    srgb, in_gamut = xyz_to_srgb(xyz, light=light)
    return Seen(reflectance, xyz, xyz_to_lab(xyz, white_point(light, 2)), srgb, np.asarray(in_gamut))


def look_at(layering: Layering, grounds: tuple[Ground, ...], *, light: str, coats: Floats) -> BenchLooks:
    """Look at a layering on several grounds.

    Parameters
    ----------
    layering : Layering
        Its own ground does not matter.
    grounds : tuple of Ground
        The first is where it lies.
    light : str
        ``D65``, ``D50``, ``A`` or ``LED-B3``.
    coats : array, shape (coats,) [coat]
        Thicknesses of the top film for ``thickening``.
    """
    bare = np.array([ground.reflectance for ground in grounds])
    films = layering.films[::-1]
    if not films:
        nothing = np.empty((0, BANDS))
        empty = see(nothing, light), see(nothing.reshape(0, 3, BANDS), light)
        unpainted = see(np.repeat(bare[:, None], 3, axis=1), light)
        return BenchLooks(see(bare, light), (0.0,) * len(grounds), *empty, unpainted, see(bare, light))
    absorption, scattering = film_depths(layering)
    bumps, thicker, stages = 1 + 2 * len(films), len(coats), 3 * len(films)
    scale_a, scale_s = _scales(len(films), np.asarray(coats) / films[0].coats)
    response = _respond(absorption * scale_a, scattering * scale_s, layering.index)
    below = np.array([ground.under_film(layering.index) for ground in grounds])[:, None, :]
    shown = add_face(_rows(response, 0, bumps).over(below), layering.face, layering.index)
    rest = _rows(response, bumps, bumps + thicker + stages).over(below[0])
    on_first = add_face(rest, layering.face, layering.index)
    last = _rows(response, bumps + thicker + stages - 3, bumps + thicker + stages).over(below)
    seen = see(shown[:, 0], light)
    slopes = (shown[:, 1:] - shown[:, :1]) / STEP
    return BenchLooks(
        on_grounds=seen,
        intervals=_intervals(films, slopes, seen, light),
        thickening=see(on_first[:thicker], light),
        stages=see(on_first[thicker:].reshape(len(films), 3, BANDS), light),
        brushed=see(add_face(last, layering.face, layering.index), light),
        bare=see(bare, light),
    )


def look_through(layering: Layering, grounds: tuple[Ground, ...], scale: Floats) -> Floats:
    """Reflectance of a layering on several grounds, its films thicker or thinner.

    Parameters
    ----------
    layering : Layering
        With at least one film; its own ground does not matter.
    grounds : tuple of Ground
        Where it lies.
    scale : array, shape (stacks, films) [1]
        Thickness of each film relative to the layering's, top film first.

    Returns
    -------
    array, shape (grounds, stacks, 36) [1]
    """
    absorption, scattering = film_depths(layering)
    response = _respond(absorption * scale[..., None], scattering * scale[..., None], layering.index)
    below = np.array([ground.under_film(layering.index) for ground in grounds])[:, None, :]
    return add_face(response.over(below), layering.face, layering.index)


def _scales(films: int, thicker: Floats) -> tuple[Floats, Floats]:
    """Factors on absorption and scattering of every stack to solve, shape (stacks, films, 1), top film first.

    The layering itself; each film's absorption a little more, then each film's scattering; the top film at other
    thicknesses; and the layering film by film, with no depth where nothing lies yet.
    """
    bumped, plain = 1.0 + STEP * np.eye(films), np.ones((films, films))
    top = np.ones((len(thicker), films))
    top[:, 0] = thicker
    place = np.arange(films)
    laid = (place[::-1, None] <= place).astype(float)
    stages = np.repeat(laid, 3, axis=0)
    stages[np.arange(3 * films), np.repeat(place[::-1], 3)] *= np.tile(RIDGES, films)
    whole = np.ones((1, films))
    absorption = np.concatenate([whole, bumped, plain, top, stages])
    scattering = np.concatenate([whole, plain, bumped, top, stages])
    return absorption[..., None], scattering[..., None]


def _respond(absorption: Floats, scattering: Floats, index: float) -> Response:
    if absorption.shape[1] == 1:
        return film_response(absorption[:, 0], scattering[:, 0], index=index)
    return stack_response(absorption, scattering, index=index)


def _rows(response: Response, start: int, end: int) -> Response:
    return Response(
        response.reflected[start:end],
        response.inward[start:end],
        response.outward[start:end],
        response.returned[start:end],
    )


def _intervals(films: tuple[Film, ...], slopes: Floats, seen: Seen, light: str) -> tuple[float, ...]:
    """Interval on each ground.

    Parameters
    ----------
    films : tuple of Film
        Top film first.
    slopes : array, shape (grounds, 2 films, 36)
        Of reflectance by log absorption of each film, then by log scattering.
    seen : Seen
        The layering on each ground.
    light : str
        Under which it is seen.
    """
    per_band = xyz_to_lab_jacobian(seen.xyz, white_point(light, 2)) @ spectral_weights(light, 2).T
    by_absorption, by_scattering = np.split(np.moveaxis(slopes, 1, 0), 2)
    total = lab_covariance(films, by_absorption, by_scattering, per_band)
    return tuple(interval_de00(lab, spread) for lab, spread in zip(seen.lab, total, strict=True))
