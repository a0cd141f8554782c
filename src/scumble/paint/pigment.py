"""The starter shelf: illustrative pigments, each argued from what is known about its kind."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from scumble.paint.colourant import Feature, Haze, Shape
from scumble.paint.grains import Grains
from scumble.paint.paint import Binder, Optics, Paint, Provenance
from scumble.tables import BANDS, WAVELENGTH_NM, Table, load_table

Floats = NDArray[np.float64]

LEVEL_DEVIATION = 0.15
SHAPE_DEVIATION = 0.13
SHAPE_LENGTH_NM = 80.0
"""How far an illustrative paint may be off, assumed: its strength as a whole by 15 %, and its spectrum by another
13 % that keeps its sign over some 80 nm; together 20 % in any band, in absorption and in scattering alike."""

STATUS = (
    "Illustrative: argued from physics and common practice, not measured.",
    "Real tubes of this pigment differ; paint a sample card to know yours.",
)


@dataclass(frozen=True, slots=True)
class Pigment:
    """One kind of pigment, brushed out at full strength in acrylic binder.

    Parameters
    ----------
    key, label : str
        Short name and plain name.
    colour_index : tuple of str
        Colour Index names.
    family : str
        Earth, iron oxide, cadmium, phthalocyanine and so on.
    floor, floor_fall : float [1/coat], [1]
        Absorption everywhere, at 550 nm, and the power by which it falls with wavelength.
    haze : Haze
        Scattering, apart from that of the grains.
    features : tuple of Feature
        Edges and bands of absorption.
    grains : tuple of Grains
        Minerals with published optical constants.
    why : str
        The argument for these numbers.
    """

    key: str
    label: str
    colour_index: tuple[str, ...]
    family: str
    floor: float
    floor_fall: float
    haze: Haze
    features: tuple[Feature, ...]
    grains: tuple[Grains, ...]
    why: str

    @property
    def optics(self) -> Optics:
        """Absorption and reduced scattering per coat, with the doubt of an illustrative paint."""
        absorption = self.floor * (550.0 / WAVELENGTH_NM) ** self.floor_fall
        scattering = self.haze.scattering
        for feature in self.features:
            absorption = absorption + feature.absorption
        for grain in self.grains:
            absorbed, scattered = grain.depths
            absorption, scattering = absorption + absorbed, scattering + scattered
        return Optics(absorption, scattering, illustrative_covariance())

    @property
    def paint(self) -> Paint:
        """The pigment as a tube of acrylic paint."""
        return Paint(
            key=self.key,
            label=self.label,
            optics=self.optics,
            provenance=Provenance.ILLUSTRATIVE,
            pigments=self.colour_index,
            binder=Binder.ACRYLIC,
            status=STATUS,
        )


@cache
def starter_shelf() -> tuple[Paint, ...]:
    """Every pigment of the starter shelf as an illustrative acrylic paint.

    Returns
    -------
    tuple of Paint
        In the order of the table: whites, yellows to violets, blues, greens, earths, blacks.

    Examples
    --------
    >>> shelf = {paint.key: paint for paint in starter_shelf()}
    >>> shelf["ultramarine-blue"].pigments, shelf["ultramarine-blue"].provenance.value
    (('PB29',), 'illustrative')
    """
    return tuple(pigment.paint for pigment in starter_pigments())


@cache
def starter_pigments() -> tuple[Pigment, ...]:
    """The recipes of the starter shelf, from ``starter_pigments``, ``starter_features`` and ``starter_grains``."""
    rows = _rows(load_table("starter_pigments"))
    features = _rows(load_table("starter_features"))
    grains = _rows(load_table("starter_grains"))
    return tuple(_pigment(row, features, grains) for row in rows)


@cache
def illustrative_covariance() -> Floats:
    """Covariance of ``[log absorption, log scattering]`` of an illustrative paint, shape (72, 72) [1].

    Notes
    -----
    Matern covariance of order 3/2 on top of a common level; absorption and scattering are taken as independent.
    *Source:* Rasmussen & Williams, Gaussian Processes for Machine Learning (2006), equation 4.17.
    """
    distance = np.sqrt(3.0) * np.abs(WAVELENGTH_NM[:, None] - WAVELENGTH_NM) / SHAPE_LENGTH_NM
    block = LEVEL_DEVIATION**2 + SHAPE_DEVIATION**2 * (1.0 + distance) * np.exp(-distance)
    covariance = np.zeros((2 * BANDS, 2 * BANDS))
    covariance[:BANDS, :BANDS] = covariance[BANDS:, BANDS:] = block
    covariance.flags.writeable = False
    return covariance


def _rows(table: Table) -> list[dict[str, str | float]]:
    names = list(table.columns)
    return [
        dict(zip(names, row, strict=True))
        for row in zip(*(table[name].tolist() for name in names), strict=True)
    ]


def _pigment(
    row: dict[str, str | float], features: list[dict[str, str | float]], grains: list[dict[str, str | float]]
) -> Pigment:
    key = row["key"]
    return Pigment(
        key=str(key),
        label=str(row["label"]),
        colour_index=tuple(str(row["colour_index"]).split()),
        family=str(row["family"]),
        floor=float(row["floor"]),
        floor_fall=float(row["floor_fall"]),
        haze=Haze(*(float(row[name]) for name in ("haze", "haze_fall", "rise", "rise_nm"))),
        features=tuple(_feature(part) for part in features if part["key"] == key),
        grains=tuple(_grains(part) for part in grains if part["key"] == key),
        why=str(row["why"]),
    )


def _feature(row: dict[str, str | float]) -> Feature:
    numbers = (float(row[name]) for name in ("position_nm", "width_per_cm", "depth"))
    return Feature(Shape(str(row["shape"])), *numbers)


def _grains(row: dict[str, str | float]) -> Grains:
    numbers = (
        float(row[name]) for name in ("diameter_um", "spread", "pigment_um", "kept", "shift_ev", "clear_nm")
    )
    return Grains(str(row["material"]), *numbers)
