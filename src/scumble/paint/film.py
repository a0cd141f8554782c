"""A film: what was stirred together, and how much of it was laid down."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from scumble.errors import InputError
from scumble.paint.paint import Binder, Paint
from scumble.tables import BANDS

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Film:
    """One applied layer.

    Parameters
    ----------
    parts : tuple of (Paint, float)
        Paints and their parts by volume as supplied; at least one, parts above 0.
    coats : float [coat]
        How much is brushed on, in full-strength films of the sample card, above 0.
    medium_parts : float
        Parts of clear medium stirred in; it stays in the film.
    water_parts : float
        Parts of water stirred in; it leaves, so less paint lies where the brush laid ``coats``.

    Examples
    --------
    >>> from scumble.paint.paint import Optics, Paint, Provenance
    >>> blue = Paint("blue", "Blue", Optics(np.ones(36), np.ones(36)), Provenance.ILLUSTRATIVE)
    >>> Film(((blue, 1.0),), 1.0, medium_parts=3.0).absorption[0].item()
    0.25
    >>> Film(((blue, 1.0),), 1.0, water_parts=1.0).dry_coats
    0.5
    """

    parts: tuple[tuple[Paint, float], ...]
    coats: float
    medium_parts: float = 0.0
    water_parts: float = 0.0

    def __post_init__(self) -> None:
        if not self.parts:
            raise InputError("parts", "none", "at least one paint", "Name a paint and its parts.")
        for paint, amount in self.parts:
            _check_amount(f"parts of {paint.label}", amount, above_zero=True)
        _check_amount("coats", self.coats, above_zero=True)
        _check_amount("medium_parts", self.medium_parts)
        _check_amount("water_parts", self.water_parts)
        if len({paint.binder for paint, _ in self.parts}) > 1:
            binders = ", ".join(sorted({paint.binder.value for paint, _ in self.parts}))
            raise InputError("parts", binders, "paints of one binder", "Oil, acrylic and gum do not mix.")

    @property
    def binder(self) -> Binder:
        """Binder shared by all paints of the film."""
        return self.parts[0][0].binder

    @property
    def fractions(self) -> Floats:
        """Share of each paint in the dry film by volume, shape (paints,) [1]; the rest is medium."""
        amounts = np.array([amount for _, amount in self.parts])
        return np.asarray(amounts / (amounts.sum() + self.medium_parts))

    @property
    def dry_coats(self) -> float:
        """Coats that remain when the water has left."""
        solid = sum(amount for _, amount in self.parts) + self.medium_parts
        return self.coats * solid / (solid + self.water_parts)

    @property
    def absorption(self) -> Floats:
        """Absorption depth of the dry film, shape (36,) [1]."""
        return self._depth("absorption")

    @property
    def scattering(self) -> Floats:
        """Reduced-scattering depth of the dry film, shape (36,) [1]."""
        return self._depth("scattering")

    def _depth(self, which: str) -> Floats:
        shares = zip(self.fractions, self.parts, strict=True)
        mixed = sum((f * getattr(paint.optics, which) for f, (paint, _) in shares), np.zeros(BANDS))
        return np.asarray(self.dry_coats * mixed)


def _check_amount(field: str, amount: float, *, above_zero: bool = False) -> None:
    fine = np.isfinite(amount) and (amount > 0 if above_zero else amount >= 0) and amount <= 1e6
    if not fine:
        allowed = "a number above 0, at most a million" if above_zero else "0 or a positive number"
        raise InputError(field, amount, allowed)
