"""Slabs and films against published plane-parallel radiative transfer."""

from __future__ import annotations

import numpy as np
import pytest
from tests.reference.many_streams import stack_reflectance

from scumble.optics.film import film_response
from scumble.optics.fresnel import mirror_reflectance
from scumble.optics.modes import decay_and_modes
from scumble.optics.phase import henyey_greenstein
from scumble.optics.stack import stack_response
from scumble.optics.streams import Streams, radau_rule


def matched_slab(
    albedo: float, thickness: float, asymmetry: float, count: int = 24
) -> tuple[float, float, float, float]:
    """Reflectance and transmittance of a slab without faces, for normal and for diffuse light."""
    cosine, weight = radau_rule(count)
    streams = Streams(cosine, weight, np.zeros(count))
    scatter = henyey_greenstein(streams, asymmetry)
    scattered = thickness * albedo * (1.0 - scatter.peak)
    depth = thickness * (1.0 - albedo) + scattered
    rates2, modes = decay_and_modes(np.array([scattered / depth]), streams, scatter)
    x = np.sqrt(np.maximum(rates2[0], 1e-14)) * depth
    c = (modes[0].T * (x / np.tanh(x) / depth)) @ modes[0]
    h = (modes[0].T * (x / np.sinh(np.minimum(x, 600)) / depth)) @ modes[0]
    through = np.linalg.solve(np.eye(count) + c, h)
    admittance = c - h @ through
    one = np.eye(count)
    up = np.linalg.solve(one + admittance, one - admittance)
    down = through @ (one + up)
    flux = streams.flux
    normal = np.zeros(count)
    normal[-1] = 1.0 / flux[-1]
    diffuse = flux
    return (
        float(flux @ up @ normal),
        float(flux @ down @ normal),
        float(flux @ up @ diffuse),
        float(flux @ down @ diffuse),
    )


# van de Hulst, Multiple Light Scattering (1980), vol. 2, p. 435, table 35: albedo 0.9, thickness 2, g 0.75, as
# cited in public adding-doubling and Monte Carlo tests. Five printed digits.
def test_van_de_hulst_forward_scattering_slab() -> None:
    reflectance, transmittance, _, _ = matched_slab(0.9, 2.0, 0.75)
    assert reflectance == pytest.approx(0.09739, abs=1e-5)
    assert transmittance == pytest.approx(0.66096, abs=1e-5)


# van de Hulst (1980), vol. 2, table 37, as cited by the public DISORT test suite (cases 3a, 3b): conservative
# scattering, g 0.75.
@pytest.mark.parametrize(
    ("thickness", "reflectance", "transmittance"), [(1.0, 0.07874, 0.92126), (8.0, 0.50642, 0.49358)]
)
def test_van_de_hulst_conservative_slabs(thickness: float, reflectance: float, transmittance: float) -> None:
    found = matched_slab(1.0 - 1e-12, thickness, 0.75)
    assert found[0] == pytest.approx(reflectance, abs=1.5e-5)
    assert found[1] == pytest.approx(transmittance, abs=1.5e-5)


# van de Hulst (1980), vol. 1, table 12, diffuse incidence, isotropic, as cited by the DISORT suite (case 1f).
def test_van_de_hulst_thick_isotropic_slab_in_diffuse_light() -> None:
    _, _, reflectance, transmittance = matched_slab(0.99, 32.0, 0.0)
    assert reflectance == pytest.approx(0.79456, abs=1e-5)
    assert transmittance == pytest.approx(0.00146, abs=1e-5)


# Film of index 1.5 in optical contact with a diffuse ground, g 0.6: normal incidence, mirror reflection included;
# computed by a converged doubling code and confirmed by iadpython 0.5.3 with 32 points to 2e-5.
CONTACT_FILMS = [
    (0.9, 2.0, 0.0, 0.104578),
    (0.9, 2.0, 0.8, 0.265033),
    (0.99, 5.0, 0.0, 0.30649),
    (0.99, 5.0, 0.8, 0.520235),
    (0.0, 0.5, 0.8, 0.154774),
]


@pytest.mark.parametrize(("albedo", "thickness", "ground", "reflectance"), CONTACT_FILMS)
def test_film_in_contact_with_a_ground(
    albedo: float, thickness: float, ground: float, reflectance: float
) -> None:
    absorption, scattering = (1 - albedo) * thickness, albedo * thickness * 0.4
    mirror = mirror_reflectance(1.5)
    # 8 streams against converged numerics: 1e-4 of reflectance is dE00 0.03 at most.
    engine = stack_response([[absorption]], [[scattering]]).over(ground).item()
    table = film_response(absorption, scattering).over(ground).item()
    assert engine + mirror == pytest.approx(reflectance, abs=1e-4)
    assert table + mirror == pytest.approx(reflectance, abs=1e-4)


# Giovanelli, Optica Acta 2, 153 (1955): endless isotropic scatterer of index 1.5 and albedo 0.9, normal incidence,
# 0.2600 with the mirror reflection; quoted in Wang, Jacques & Zheng, Comput. Meth. Prog. Biomed. 47, 131 (1995),
# table 2. The other rows are Chandrasekhar's exact H-function solution (Radiative Transfer, 1950) closed with the
# Fresnel face, computed. The engine's own phase function is g = 0.6, so its directions, modes and face are used here
# with isotropic scattering and 32 directions.
ENDLESS = [
    (0.9, 0.2600, 2e-4),
    (0.5, 0.084246, 2e-5),
    (0.8, 0.171979, 2e-5),
    (0.95, 0.361118, 2e-5),
    (0.99, 0.601981, 2e-5),
]


@pytest.mark.parametrize(("albedo", "reflectance", "digits"), ENDLESS)
def test_endless_isotropic_medium_under_a_face(albedo: float, reflectance: float, digits: float) -> None:
    film = [((1 - albedo) * 2000.0, albedo * 2000.0)]
    seen = stack_reflectance(film, 0.0, count=32, asymmetry=0.0) + mirror_reflectance(1.5)
    assert seen == pytest.approx(reflectance, abs=digits)
