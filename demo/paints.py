"""Ten invented tubes of a class set: each an absorption and a scattering spectrum from a recipe of our own.

Nothing here was measured and no maker's paint is meant. The Colour Index names say which kind of pigment the
recipe imitates; the numbers are chosen so that the film behaves as that kind does at the easel (*common
practice, no source*): absorption is a sum of bands and edges, scattering a power law of wavelength that rises
beside an absorption edge, where the pigment's refractive index does (anomalous dispersion).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

WAVELENGTH_NM: Array = np.linspace(380.0, 730.0, 36)
ELECTRONVOLT_NM = 1239.842
"""Photon energy times wavelength [eV nm] (CODATA 2018)."""

_ENERGY_EV = ELECTRONVOLT_NM / WAVELENGTH_NM


@dataclass(frozen=True)
class Band:
    """An absorption band, Gaussian in photon energy: centre [nm], full width at half height [nm], peak [1/coat]."""

    centre_nm: float
    width_nm: float
    peak: float

    def spectrum(self) -> Array:
        """Absorption depth of one coat, shape (36,)."""
        centre = ELECTRONVOLT_NM / self.centre_nm
        width = ELECTRONVOLT_NM * self.width_nm / self.centre_nm**2
        return self.peak * np.exp(-4 * np.log(2) * ((_ENERGY_EV - centre) / width) ** 2)


@dataclass(frozen=True)
class Edge:
    """An absorption edge with an exponential (Urbach) tail: position [nm], tail energy [eV], plateau [1/coat]."""

    position_nm: float
    tail_ev: float
    plateau: float

    def spectrum(self) -> Array:
        """Absorption depth of one coat, shape (36,)."""
        position = ELECTRONVOLT_NM / self.position_nm
        return self.plateau / (1 + np.exp((position - _ENERGY_EV) / self.tail_ev))


@dataclass(frozen=True)
class Scatter:
    """Reduced scattering: depth of one coat at 550 nm, falling as a power of wavelength, raised beside an edge."""

    at_550_nm: float
    power: float
    rise: float = 0.0
    rise_nm: float = 550.0

    def spectrum(self) -> Array:
        """Reduced-scattering depth of one coat, shape (36,)."""
        beside = np.exp(-(((WAVELENGTH_NM - self.rise_nm) / 45.0) ** 2))
        return self.at_550_nm * (550.0 / WAVELENGTH_NM) ** self.power * (1 + self.rise * beside)


@dataclass(frozen=True)
class Tube:
    """One invented paint; its optics are per nominal coat."""

    key: str
    label: str
    pigments: tuple[str, ...]
    kind: str
    features: tuple[Band | Edge, ...]
    floor: float
    scatter: Scatter

    def absorption(self) -> Array:
        """Absorption depth of one nominal coat, shape (36,)."""
        return self.floor + np.sum([feature.spectrum() for feature in self.features], axis=0)

    def scattering(self) -> Array:
        """Reduced-scattering depth of one nominal coat, shape (36,)."""
        return self.scatter.spectrum()


WHITE_KEY = "classroom-white"

TUBES: tuple[Tube, ...] = (
    Tube(
        WHITE_KEY,
        "Classroom white",
        ("PW6",),
        "titanium white: scatters most, absorbs only at the violet end (rutile's edge near 3.05 eV)",
        (Edge(391.0, 0.042, 8.0),),
        0.005,
        Scatter(18.0, 0.9),
    ),
    Tube(
        "classroom-deep-blue",
        "Classroom deep blue",
        ("PB15:3",),
        "phthalo-like blue: two strong red bands, fine particles, all but no scattering",
        (Band(622, 62, 20.0), Band(684, 62, 15.0), Band(574, 70, 7.0), Band(372, 75, 6.0)),
        0.35,
        Scatter(0.7, 3.0),
    ),
    Tube(
        "classroom-warm-earth",
        "Classroom warm earth",
        ("PY43",),
        "yellow earth: goethite-like edge near 545 nm and a weak band near 650 nm, coarse and opaque",
        (Edge(508, 0.085, 4.6), Band(655, 130, 0.16), Band(480, 60, 1.0)),
        0.09,
        Scatter(10.0, 0.9, 0.25, 585.0),
    ),
    Tube(
        "classroom-clear-yellow",
        "Classroom clear yellow",
        ("PY150",),
        "nickel azo-like yellow: strong edge with a long brownish tail, transparent",
        (Edge(478, 0.055, 11.0), Band(500, 60, 1.1), Band(560, 150, 0.16)),
        0.06,
        Scatter(0.8, 2.4),
    ),
    Tube(
        "classroom-opaque-yellow",
        "Classroom opaque yellow",
        ("PY184",),
        "vanadate-like yellow: clean steep edge near 495 nm, opaque",
        (Edge(488, 0.048, 9.0),),
        0.025,
        Scatter(10.5, 1.0, 0.35, 530.0),
    ),
    Tube(
        "classroom-magenta",
        "Classroom magenta",
        ("PR122",),
        "quinacridone-like magenta: structured green band, blue window, transparent",
        (Band(560, 36, 9.0), Band(527, 46, 9.5), Band(492, 62, 4.2), Band(378, 80, 2.2)),
        0.07,
        Scatter(0.9, 2.4),
    ),
    Tube(
        "classroom-violet",
        "Classroom violet",
        ("PV23",),
        "dioxazine-like violet: three crowded bands from 500 to 630 nm, very strong, transparent",
        (Band(616, 46, 7.0), Band(572, 50, 8.5), Band(532, 58, 7.0), Band(490, 75, 2.6), Band(395, 60, 0.9)),
        0.35,
        Scatter(1.3, 2.6),
    ),
    Tube(
        "classroom-dull-green",
        "Classroom dull green",
        ("PG17",),
        "chromium oxide-like green: two broad crystal-field bands near 460 and 600 nm, opaque",
        (Band(605, 105, 3.6), Band(452, 92, 5.6), Edge(385, 0.14, 6.0)),
        0.20,
        Scatter(7.5, 0.7),
    ),
    Tube(
        "classroom-red",
        "Classroom red",
        ("PR254",),
        "opaque grade of a diketopyrrolopyrrole-like red: edge near 590 nm",
        (Edge(575, 0.036, 7.0), Band(538, 60, 3.0), Band(460, 110, 2.5)),
        0.04,
        Scatter(8.0, 1.1, 0.3, 625.0),
    ),
    Tube(
        "classroom-black",
        "Classroom black",
        ("PBk7",),
        "carbon-like black: absorbs everywhere, a little more towards the violet",
        (Edge(900, 1.2, 14.0),),
        1.0,
        Scatter(1.9, 1.3),
    ),
)
