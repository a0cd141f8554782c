"""How the light falls across the card, seen on the paper that stays bare all over it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from scumble.card.find.placement import Placement
from scumble.card.light.sampling import Sample, robust_centre, sample_box
from scumble.card.picture.points import Picture
from scumble.card.sheet.geometry import Box, CardGeometry
from scumble.errors import CardError

Floats = NDArray[np.float64]

EDGE_MM: Final = 0.3
"""Left off around each patch of paper."""

LEAST_PATCHES: Final = 10
CLIPPED_SHARE: Final = 0.08
"""Share of a patch's points at the end of the scale, by grain alone, that leaves its mean unharmed."""

ROUNDS: Final = 8

FAR_MM: Final = 220.0
NEAR_MM: Final = 28.0
"""Distances over which a room's light changes, and the edge of a shadow or a lamp's spot."""

FAR_DEVIATION: Final = 1.0
NEAR_DEVIATIONS: Final = (0.005, 0.02, 0.06, 0.2)
"""How much log light changes over them; the near one is chosen by how well patches foretell one another."""

UNSEEN: Final = 0.12
UNSEEN_MM: Final = 40.0
"""What light may do far from any paper that was seen, and from which distance to the second patch on: the surface
itself is too sure of what it has not seen."""

PATCH_NOISE: Final = 0.006
"""Relative error of a patch: fibres, grain of the picture, what little is printed through."""

TAIL: Final = 3.0
"""Degrees of freedom of a patch's error: some are painted or splashed."""


@dataclass(frozen=True, slots=True)
class Lighting:
    """The paper's linear channels as a surface over the card.

    Parameters
    ----------
    middle_mm : array, shape (2,) [mm]
        Middle of the card.
    places_mm : array, shape (patches, 2) [mm]
        Where the paper was seen.
    level : array, shape (3,)
        Logarithm of the light about which the surface varies.
    pull : array, shape (patches, 3)
        By how much each patch moves the surface around it.
    known : array, shape (patches, patches)
        Inverse covariance of what the patches say.
    near_deviation : float [1]
        How much the log light changes over :data:`NEAR_MM`.
    residual : float [1]
        Relative error with which the surface foretells a patch that it has not seen.
    unevenness : float [1]
        Brightest over darkest place of the card, in green.
    patches_left_out : int
        Patches of paper that did not fit: painted, splashed or shining.
    """

    middle_mm: Floats
    places_mm: Floats
    level: Floats
    pull: Floats
    known: Floats
    near_deviation: float
    residual: float
    unevenness: float
    patches_left_out: int

    def paper_at(self, places_mm: ArrayLike) -> Floats:
        """Linear channels that bare paper has at places of the card, shape (..., 3)."""
        places = np.asarray(places_mm, dtype=np.float64)
        alike = _likeness(places, self.places_mm, self.near_deviation)
        return np.asarray(np.exp(self.level + alike @ self.pull))

    def doubt_at(self, places_mm: ArrayLike) -> Floats:
        """Relative standard deviation of that light, shape (...)."""
        places = np.asarray(places_mm, dtype=np.float64)
        alike = _likeness(places, self.places_mm, self.near_deviation)
        told = np.einsum("...p,pq,...q->...", alike, self.known, alike)
        open_to = np.maximum(FAR_DEVIATION**2 + self.near_deviation**2 - told, 0.0)
        away = np.sort(np.linalg.norm(places[..., None, :] - self.places_mm, axis=-1), axis=-1)[..., 1]
        return np.asarray(np.sqrt(open_to + (UNSEEN * (1.0 - np.exp(-((away / UNSEEN_MM) ** 2)))) ** 2))


def _likeness(places_mm: Floats, others_mm: Floats, near: float) -> Floats:
    """Covariance of the log light of places, shape (..., others)."""
    square = np.sum((places_mm[..., None, :] - others_mm) ** 2, axis=-1)
    far = FAR_DEVIATION**2 * np.exp(-0.5 * square / FAR_MM**2)
    # Matern 3/2: a shadow's edge is not smooth.
    steps = np.sqrt(3.0 * square) / NEAR_MM
    return np.asarray(far + near**2 * (1.0 + steps) * np.exp(-steps))


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
    """The surface under which patches foretell one another best.

    Notes
    -----
    A Gaussian process with heavy-tailed errors; a patch is judged by what the others say of its place. *Source:*
    Rasmussen & Williams, Gaussian Processes for Machine Learning (2006), equations 2.25 and 5.10 to 5.12.
    """
    level = np.median(log_light, axis=0)
    tried = [_Surface(middles_mm, log_light - level, near) for near in NEAR_DEVIATIONS]
    best = max(tried, key=lambda surface: surface.score)
    block = geometry.block
    middle = np.array([block.x_mm + block.width_mm / 2, block.y_mm + block.height_mm / 2])
    lighting = Lighting(
        middle,
        middles_mm,
        level,
        best.pull,
        best.inverse,
        best.near,
        best.residual,
        1.0,
        int((best.weights < 0.1).sum()),
    )
    paper = lighting.paper_at(middles_mm)[:, 1]
    return replace(lighting, unevenness=float(paper.max() / paper.min()))


class _Surface:
    """One guess of how abruptly the light changes: weights of the patches, and how well they foretell one another."""

    def __init__(self, middles_mm: Floats, log_light: Floats, near: float) -> None:
        self.near = near
        self.weights = np.ones(len(middles_mm))
        likeness = _likeness(middles_mm, middles_mm, near)
        for _ in range(ROUNDS):
            inverse = np.linalg.inv(likeness + np.diag(PATCH_NOISE**2 / self.weights))
            self.inverse: Floats = np.asarray(inverse, dtype=np.float64)
            self.pull = inverse @ log_light
            # What the others leave open about a place, its own error taken off, and how far the patch is from it.
            missed = np.sqrt(np.mean((self.pull / np.diag(inverse)[:, None]) ** 2, axis=1))
            open_to = np.maximum(1.0 / np.diag(inverse) - PATCH_NOISE**2 / self.weights, 0.0) + PATCH_NOISE**2
            self.weights = (TAIL + 1.0) / (TAIL + missed**2 / open_to)
            self.weights = np.maximum(self.weights, 1e-4)
        spread = np.sqrt(open_to)
        self.score = float(
            np.sum(-np.log(spread) - 0.5 * (TAIL + 1) * np.log1p((missed / spread) ** 2 / TAIL))
        )
        self.residual = float(np.sqrt(np.average(missed**2, weights=self.weights)))
