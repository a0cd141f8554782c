"""Cards, paints and comparisons that the tests of the store share."""

from __future__ import annotations

from dataclasses import fields

import numpy as np

from scumble.paint import Binder, CardReadings, Optics, Paint, Provenance, Quantity, Reading
from scumble.tables import BANDS

XYZ_CARD = """# illuminant: D65
# observer: 2
area,film,paint_parts,white_parts,ground,X,Y,Z
white,bare,1,0,white,85.0,90.0,97.0
black,bare,1,0,black,3.9,4.1,4.4
full-white,full,1,0,white,12.0,9.0,5.0
full-black,full,1,0,black,11.0,8.0,4.5
thin1-white,thin1,1,0,white,30.0,25.0,20.0
tint4-white,tint4,1,4,white,55.0,50.0,52.0
"""


def spectral_card(columns: list[str], level: float = 1.0) -> str:
    """The rows of a small card in spectral columns; every value a plain ramp times ``level``."""
    lines = ["area,film,paint_parts,white_parts,ground," + ",".join(columns)]
    for number, label in enumerate(
        ("white,bare,1,0,white", "black,bare,1,0,black", "full-white,full,1,0,white")
    ):
        ramp = np.linspace(0.8, 0.9, len(columns)) / (1 + 9 * number) * level
        lines.append(label + "," + ",".join(f"{value:.6f}" for value in ramp))
    return "\n".join(lines) + "\n"


def same_card(one: CardReadings, other: CardReadings) -> bool:
    """Whether two cards are equal to the last digit."""
    names = [field.name for field in fields(one) if field.name != "readings"]
    if any(getattr(one, name) != getattr(other, name) for name in names):
        return False
    if len(one.readings) != len(other.readings):
        return False
    return all(_same_reading(a, b) for a, b in zip(one.readings, other.readings, strict=True))


def _same_reading(one: Reading, other: Reading) -> bool:
    words = ("area", "film", "paint_parts", "white_parts", "ground", "weight")
    alike = all(getattr(one, word) == getattr(other, word) for word in words)
    return alike and np.array_equal(one.values, other.values)


def same_paint(one: Paint, other: Paint) -> bool:
    """Whether two paints are equal to the last digit."""
    words = ("key", "label", "provenance", "pigments", "binder", "status")
    spectra = ("absorption", "scattering", "covariance")
    return all(getattr(one, word) == getattr(other, word) for word in words) and all(
        np.array_equal(getattr(one.optics, name), getattr(other.optics, name)) for name in spectra
    )


def invented_paint(key: str = "deep-blue", *, seed: int = 0) -> Paint:
    """A paint of random optics with a full covariance."""
    rng = np.random.default_rng(seed)
    factor = rng.normal(size=(2 * BANDS, 2 * BANDS)) * 0.01
    optics = Optics(rng.uniform(0.01, 9, BANDS), rng.uniform(0.01, 9, BANDS), factor @ factor.T)
    label = key.replace("-", " ").capitalize()
    status = ("Well determined.", "Nothing thin was painted.")
    return Paint(key, label, optics, Provenance.CARD, ("PB15:3", "PW6"), Binder.OIL, status)


def small_card(quantity: Quantity = Quantity.XYZ) -> CardReadings:
    """A card of a bare ground and one stroke."""
    size = 3 if quantity is Quantity.XYZ else BANDS
    scale = 100.0 if quantity is Quantity.XYZ else 1.0
    bare = Reading("white", "bare", 1.0, 0.0, "white", np.full(size, 0.9) * scale)
    full = Reading("full-white", "full", 1.0, 0.0, "white", np.linspace(0.1, 0.3, size) * scale, 0.5)
    return CardReadings((bare, full), quantity, "A", 10, 0.02)
