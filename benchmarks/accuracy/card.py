"""Readings of a painted card as a careless painter and a noisy camera would give them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from scumble.colour import spectral_weights
from scumble.optics.film import film_response
from scumble.paint.paint import Optics
from scumble.paint.reading import CardReadings, Quantity, Reading
from scumble.tables import WAVELENGTH_NM

Floats = NDArray[np.float64]

FULL_CARD = (
    ("full", 1, 0, ("white", "black")),
    ("thin1", 1, 0, ("white", "black", "yellow", "red", "cyan", "magenta")),
    ("thin2", 1, 0, ("white", "black", "yellow", "cyan")),
    ("tint1", 1, 1, ("white",)),
    ("tint4", 1, 4, ("white",)),
    ("tint19", 1, 19, ("white", "black")),
)
QUICK_CARD = (
    ("full", 1, 0, ("white", "black")),
    ("thin1", 1, 0, ("white", "black", "yellow")),
    ("tint4", 1, 4, ("white",)),
)
_ALL = ("white", "black", "yellow", "red", "cyan", "magenta")
WHITE_CARD = (("full", 1, 0, _ALL), ("thin1", 1, 0, _ALL), ("thin2", 1, 0, _ALL))
NOMINAL_COATS = {"full": 1.0, "thin1": 0.3, "thin2": 0.1, "tint1": 1.0, "tint4": 1.0, "tint19": 1.0}


@dataclass(frozen=True)
class Carelessness:
    """Relative errors of painting and reading."""

    noise: float = 0.01
    thickness: float = 0.25
    tint_ratio: float = 0.10
    jitter: float = 0.05


def printed_grounds(rng: np.random.Generator) -> dict[str, Floats]:
    """Spectra of a paper, a black and four printed stripes; no two printers alike."""
    bend = (WAVELENGTH_NM - 550.0) / 175.0
    paper = rng.uniform(0.82, 0.9) * (1 - 0.5 / (1 + np.exp((WAVELENGTH_NM - 395) / 8))) + 0.02 * bend
    inks = {
        "yellow": (440.0, 38.0, rng.uniform(1.6, 2.6)),
        "magenta": (545.0, 36.0, rng.uniform(1.4, 2.2)),
        "cyan": (650.0, 62.0, rng.uniform(1.4, 2.2)),
    }
    density = {
        name: strength * np.exp(-0.5 * ((WAVELENGTH_NM - centre - rng.normal(0, 5)) / width) ** 2) + 0.04
        for name, (centre, width, strength) in inks.items()
    }
    density["red"] = density["yellow"] + density["magenta"]
    grounds = {name: paper * 10 ** -density[name] for name in ("yellow", "red", "cyan", "magenta")}
    return {"white": paper, "black": rng.uniform(0.03, 0.06) * np.ones_like(paper), **grounds}


def film_colour(absorption: Floats, scattering: Floats, ground: Floats) -> Floats:
    """Reflectance of one film over a ground, shape (36,)."""
    return film_response(absorption, scattering).over(ground)


def paint_card(
    paint: Optics,
    white: Optics,
    rng: np.random.Generator,
    *,
    layout: tuple[tuple[str, int, int, tuple[str, ...]], ...] = FULL_CARD,
    care: Carelessness = Carelessness(),
    quantity: Quantity = Quantity.XYZ,
    grounds: dict[str, Floats] | None = None,
) -> CardReadings:
    """Paint and read one card: unknown film thicknesses, tint ratios, stripes, and noise; or given stripes."""
    grounds = printed_grounds(rng) if grounds is None else grounds
    used = {ground for *_, under in layout for ground in under}
    areas = [(name, "bare", 1.0, 0.0, name, grounds[name]) for name in grounds if name in used]
    for film, parts, white_parts, under in layout:
        coats = NOMINAL_COATS[film] * (1.0 if film == "full" else np.exp(rng.normal(0, care.thickness)))
        ratio = parts / (parts + white_parts * np.exp(rng.normal(0, care.tint_ratio)))
        absorption = ratio * paint.absorption + (1 - ratio) * white.absorption
        scattering = ratio * paint.scattering + (1 - ratio) * white.scattering
        for ground in under:
            t = coats * np.exp(rng.normal(0, care.jitter))
            seen = film_colour(t * absorption, t * scattering, grounds[ground])
            areas.append((f"{film}-{ground}", film, parts, white_parts, ground, seen))
    readings = tuple(Reading(*area[:5], values=_read(area[5], rng, care.noise, quantity)) for area in areas)
    return CardReadings(readings, quantity, noise=care.noise)


def _read(reflectance: Floats, rng: np.random.Generator, noise: float, quantity: Quantity) -> Floats:
    values = reflectance if quantity is Quantity.REFLECTANCE else reflectance @ spectral_weights("D65", 2)
    return values * (1.0 + rng.normal(0.0, noise, values.shape))
