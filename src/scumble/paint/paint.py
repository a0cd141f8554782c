"""A paint: what its tube says, and how its film absorbs and scatters light."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

from scumble.errors import InputError
from scumble.tables import BANDS

Spectrum = NDArray[np.float64]


class Provenance(StrEnum):
    """Where a paint's optics come from; never mixed up, always shown."""

    CARD = "measured from a card"
    INSTRUMENT = "measured by instrument"
    ILLUSTRATIVE = "illustrative"


class Binder(StrEnum):
    """What holds the pigment; it sets the refractive index of the film."""

    ACRYLIC = "acrylic"
    OIL = "oil"
    GUM = "gum"

    @property
    def refractive_index(self) -> float:
        """Refractive index of the dried binder [1]: acrylic 1.50, linseed oil 1.48, gum arabic 1.47."""
        return {"acrylic": 1.50, "oil": 1.48, "gum": 1.47}[self.value]


@dataclass(frozen=True, slots=True)
class Optics:
    """Absorption and reduced scattering of a paint per coat, and how well they are known.

    Parameters
    ----------
    absorption, scattering : array, shape (36,) [1/coat]
        Absorption and reduced-scattering depth of one coat at full strength, all > 0.
    covariance : array, shape (72, 72) [1]
        Covariance of ``[log absorption, log scattering]``; zeros say *taken as exact*.
    """

    absorption: Spectrum
    scattering: Spectrum
    covariance: NDArray[np.float64] = field(default_factory=lambda: np.zeros((2 * BANDS, 2 * BANDS)))

    def __post_init__(self) -> None:
        for name in ("absorption", "scattering"):
            spectrum = np.asarray(getattr(self, name), dtype=np.float64)
            if spectrum.shape != (BANDS,) or not np.all(np.isfinite(spectrum)) or np.any(spectrum <= 0):
                raise InputError(name, spectrum, f"{BANDS} finite numbers above 0, one per band")
            object.__setattr__(self, name, spectrum)
        covariance = np.asarray(self.covariance, dtype=np.float64)
        if covariance.shape != (2 * BANDS, 2 * BANDS) or not np.all(np.isfinite(covariance)):
            raise InputError("covariance", covariance.shape, f"a finite {2 * BANDS} x {2 * BANDS} matrix")
        object.__setattr__(self, "covariance", covariance)


@dataclass(frozen=True, slots=True)
class Paint:
    """One tube.

    Parameters
    ----------
    key : str
        Short name, unique on a shelf: lower-case words joined by hyphens.
    label : str
        What the person calls it.
    optics : Optics
        What its film does to light.
    provenance : Provenance
        Where the optics come from.
    pigments : tuple of str
        Colour Index names, e.g. ``("PB15:3",)``.
    binder : Binder
        Sets the film's refractive index.
    status : tuple of str
        What the fit said about how well the optics are known, in sentences.
    """

    key: str
    label: str
    optics: Optics
    provenance: Provenance
    pigments: tuple[str, ...] = ()
    binder: Binder = Binder.ACRYLIC
    status: tuple[str, ...] = ()
