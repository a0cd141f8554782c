"""How the light falls across the card, seen on the paper that stays bare all over it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from scumble.card.geometry import Box, CardGeometry
from scumble.card.picture import Picture
from scumble.card.placement import Placement
from scumble.card.sampling import Sample, robust_centre, sample_box
from scumble.errors import CardError

Floats = NDArray[np.float64]

EDGE_MM: Final = 0.3
"""Left off around each patch of paper."""

LEAST_PATCHES: Final = 10
CLIPPED_SHARE: Final = 0.02
ROUNDS: Final = 12
CUT: Final = 3.0
"""Deviations beyond which a patch no longer counts (Tukey's biweight)."""


@dataclass(frozen=True, slots=True)
class Lighting:
    """The paper's linear channels as a smooth surface over the card.

    Parameters
    ----------
    middle_mm, half_mm : array, shape (2,) [mm]
        Middle and half size of the card.
    coefficients : array, shape (terms, 3)
        Of the polynomial of the logarithm.
    degree : int
        Of the polynomial.
    residual : float [1]
        Relative standard deviation of the paper about the surface.
    unevenness : float [1]
        Brightest over darkest place of the card, in green.
    patches_left_out : int
        Patches of paper that did not fit: painted, shaded or shining.
    """

    middle_mm: Floats
    half_mm: Floats
    coefficients: Floats
    degree: int
    residual: float
    unevenness: float
    patches_left_out: int

    def paper_at(self, places_mm: ArrayLike) -> Floats:
        """Linear channels that bare paper has at places of the card, shape (..., 3)."""
        place = (np.asarray(places_mm, dtype=np.float64) - self.middle_mm) / self.half_mm
        return np.asarray(np.exp(_terms(place, self.degree) @ self.coefficients))


def _terms(place: Floats, degree: int) -> Floats:
    """Products of powers of x and y up to a total degree, shape (..., terms)."""
    x, y = place[..., 0], place[..., 1]
    powers = [x**i * y**j for i in range(degree + 1) for j in range(degree + 1 - i)]
    return np.stack(powers, axis=-1)


def read_lighting(picture: Picture, placement: Placement) -> Lighting:
    """Fit a smooth surface to the bare paper of a card.

    Parameters
    ----------
    picture : Picture
        The photograph.
    placement : Placement
        Where the card lies in it.

    Raises
    ------
    CardError
        If too little bare paper can be used.
    """
    geometry = placement.geometry
    boxes = (*geometry.bare_paper, *(area.box.shrunk(4.0) for area in geometry.areas if area.name == "white"))
    samples = [sample_box(picture, placement, box.shrunk(EDGE_MM)) for box in boxes]
    usable = [(box, sample) for box, sample in zip(boxes, samples, strict=True) if _is_usable(sample)]
    if len(usable) < LEAST_PATCHES:
        raise _too_little(samples)
    return _fit_surface(geometry, *_patches(usable))


def _is_usable(sample: Sample) -> bool:
    return sample.inside == 1.0 and sample.points >= 12 and sample.clipped <= CLIPPED_SHARE


def _too_little(samples: list[Sample]) -> CardError:
    if np.median([sample.clipped for sample in samples]) > CLIPPED_SHARE:
        return CardError(
            "The paper is overexposed: its white is at the end of the picture's scale.",
            "Photograph it again a little darker.",
        )
    return CardError(
        "Too little of the card's bare paper can be seen.", "Show the whole card, margins included."
    )


def _patches(usable: list[tuple[Box, Sample]]) -> tuple[Floats, Floats]:
    """Middles of the patches [mm] and logarithms of their linear channels."""
    middles = [(box.x_mm + box.width_mm / 2, box.y_mm + box.height_mm / 2) for box, _ in usable]
    light = [robust_centre(sample.tiles)[0] for _, sample in usable]
    return np.array(middles), np.log(np.maximum(light, 1e-6))


def _fit_surface(geometry: CardGeometry, middles_mm: Floats, log_light: Floats) -> Lighting:
    """Iteratively reweighted least squares; one weight a patch for all channels."""
    block = geometry.block
    half = np.array([block.width_mm, block.height_mm]) / 2
    middle = np.array([block.x_mm, block.y_mm]) + half
    degree = 3 if len(middles_mm) >= 40 else 2
    terms = _terms((middles_mm - middle) / half, degree)
    weights = np.ones(len(middles_mm))
    for _ in range(ROUNDS):
        root = np.sqrt(weights)[:, None]
        coefficients = np.asarray(np.linalg.lstsq(root * terms, root * log_light, rcond=None)[0], np.float64)
        missed = np.sqrt(np.mean((log_light - terms @ coefficients) ** 2, axis=1))
        spread = max(float(np.median(missed)), 0.002)
        weights = np.maximum(1.0 - (missed / (2.0 * CUT * spread)) ** 2, 0.0) ** 2
    kept = weights > 0.05
    paper = np.exp(terms @ coefficients)[:, 1]
    residual = float(np.sqrt(np.average(missed**2, weights=weights)))
    unevenness = float(paper.max() / paper.min())
    return Lighting(middle, half, coefficients, degree, residual, unevenness, int((~kept).sum()))
