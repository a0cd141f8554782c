"""Colour by a reference target in the picture: tone curve, veiling light, light between target and card, correction."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from scumble.card.calibrate import PAPER_DOUBT, PAPER_Y, Calibration
from scumble.card.correction import Correction, colour_metric, fit_correction, fit_terms, root_terms
from scumble.card.find_target import KEPT, TargetPlace, find_target, place_target
from scumble.card.lighting import Lighting
from scumble.card.photographed import Outline
from scumble.card.picture import Picture
from scumble.card.placement import Placement
from scumble.card.tone_bend import MOST, bend_encoding, bend_light
from scumble.card.veil import Veil
from scumble.colour import delta_e_2000_metric, upsample_colours, white_point, xyz_to_lab, xyz_to_lab_jacobian
from scumble.errors import CardError, InputError
from scumble.paint.camera_doubt import CameraDoubt, shared_covariance
from scumble.paint.reference import LEAST_PATCHES, PatchGrid, ReferenceTarget, patch_grid

Floats = NDArray[np.float64]

USUAL_BENDS: Final = np.array([0.15, 0.05])
KNOWN_BENDS: Final = np.array([0.01, 0.01])
"""Standard deviations of the bends of a phone's tone curve and of one that a profile describes (*common practice, no
source* for the first; benchmarks.reading for both)."""

USUAL_VEIL: Final = 0.012
"""Mean of an exponential law of veils, as in `scumble.card.veil`."""

VEIL_DOUBT: Final = 0.1
"""Relative error of a veil that patches have shown: it is not quite even."""

PATCH_DE00: Final = 0.8
"""Colour difference of a patch that costs as much as one standard deviation of what is guessed about the picture."""

ACROSS: Final = np.array([0.004, 0.012, 0.004])
"""Relative error of the light at the target, as the card's paper foretells it from some centimetres away: of X against
Y, of Y, and of Z against Y."""

SLOPE_DOUBT: Final = 0.5
"""Share of what the target's own slope of the light adds to that, which is doubted."""

PAPER_TINT: Final = 0.012
"""Relative deviation of X and Z of papers from neutral, as in `scumble.card.read`."""

BLIND_SHARE: Final = 0.1
"""Share of a patch's points at either end of the scale from which it counts no longer."""

CORRECTED: Final = CameraDoubt(tone=0.008, chroma=0.005, veil=0.0012)
"""What is left in doubt of curve, chroma and veil beside what the residual shows."""

ELSEWHERE: Final = 1.2
"""Times by which paints are off more than the target's own patches: their spectra are other ones."""


@dataclass(frozen=True, slots=True)
class TargetView:
    """A target that lies in the picture.

    Parameters
    ----------
    reference : ReferenceTarget
        What is known of it.
    corners_px : four points, optional [px]
        Outer corners of its grid in the upright picture: of the first patch, the end of the first row, the last patch,
        the start of the last row. Looked for when left out.
    columns : int, optional
        Patches in a row, where their names do not say.
    """

    reference: ReferenceTarget
    corners_px: Outline | None = None
    columns: int | None = None


@dataclass(frozen=True, slots=True)
class TargetCalibration(Calibration):
    """Channels relative to the card's paper to XYZ, by a correction that need not be a matrix.

    Parameters
    ----------
    correction : Correction
        From channels relative to the paper.
    """

    correction: Correction

    def to_xyz(self, light: Floats) -> Floats:
        """XYZ of linear channels relative to the paper, shape (..., 3); never below 0."""
        return np.asarray(np.maximum(self.correction.to_xyz(light), 0.0))


@dataclass(frozen=True, slots=True)
class ByTarget:
    """What a target says about a picture.

    Parameters
    ----------
    picture : Picture
        With the tone curve that the target shows.
    veil : Veil
        Light over all of it, against the paper.
    calibration : TargetCalibration
        From channels relative to the paper.
    doubt : CameraDoubt
        What is left in doubt.
    residual_de00 : float [dE00]
        Mean over the patches, each left out in turn.
    corners_px : array, shape (4, 2) [px]
        Where the target was seen.
    """

    picture: Picture
    veil: Veil
    calibration: TargetCalibration
    doubt: CameraDoubt
    residual_de00: float
    corners_px: Floats


@dataclass(frozen=True, slots=True)
class _Patches:
    """Patches before anything is corrected: their light as the file has it, the paper's there and amid the card."""

    light: Floats
    paper: Floats
    middle: Floats
    places_mm: Floats
    from_card_mm: Floats
    xyz: Floats
    trust: Floats


def calibrate_by_target(
    picture: Picture, placement: Placement, lighting: Lighting, view: TargetView
) -> ByTarget:
    """Find the target and learn from it what the picture's numbers mean.

    Parameters
    ----------
    picture, placement, lighting : Picture, Placement, Lighting
        The photograph, the card in it, and the light on the card's paper as the file claims it.
    view : TargetView
        The target.

    Raises
    ------
    CardError, InputError
        If it is not found, or too little of it can be used.
    """
    grid = patch_grid(view.reference, columns=view.columns)
    place = _find(picture, placement, view, grid)
    patches = _see(picture, placement, lighting, place, view.reference.xyz[grid.members])
    known = picture.doubt is not None or not picture.notes
    bends, veil = _bends_and_veil(patches, KNOWN_BENDS if known else USUAL_BENDS)
    seen, added = _evened(patches, bends, veil)
    correction = fit_correction(seen, patches.xyz, patches.trust)
    correction, paper_doubt, tint_doubt = _with_usual_paper(correction, added)
    residual = correction.residual[patches.trust > 0]
    doubt = replace(
        CORRECTED,
        sensor=_sensor_doubt(patches, residual),
        paper=paper_doubt,
        tint=tint_doubt,
        veil=float(np.hypot(CORRECTED.veil, VEIL_DOUBT * veil)),
    )
    return ByTarget(
        replace(picture, encoding=bend_encoding(picture.encoding, bends)),
        Veil(veil, doubt.veil),
        _calibration(correction, patches, seen, residual, paper_doubt),
        doubt,
        float(residual.mean()),
        place.corners_px,
    )


def _find(picture: Picture, placement: Placement, view: TargetView, grid: PatchGrid) -> TargetPlace:
    if view.corners_px is not None:
        return place_target(grid, np.array(view.corners_px), placement.lens, picture.size_px)
    card_px = placement.outline_px(placement.geometry.block)
    place = find_target(picture, view.reference, grid, placement.lens, card_px)
    if place is None:
        raise CardError(
            f"The target of {grid.rows} by {grid.columns} patches was not found beyond doubt.",
            "Point at its four corners: the first patch, the end of the first row, the last patch, the start of the"
            " last row.",
        )
    return place


def _see(
    picture: Picture, placement: Placement, lighting: Lighting, place: TargetPlace, xyz: Floats
) -> _Patches:
    """Mean light of the middle of each patch."""
    rows = [_patch(picture, place, middle) for middle in place.middles]
    light = np.array([mean for mean, _ in rows])
    ends = np.array([share for _, share in rows])
    trust = np.where(ends < BLIND_SHARE, 1.0, 0.0)
    if np.count_nonzero(trust) < LEAST_PATCHES:
        raise CardError(
            f"Only {np.count_nonzero(trust)} patches of the target can be used; the others are too bright or too dark.",
            "Photograph it again a little darker, free of glare.",
        )
    places_mm = placement.to_mm(place.to_px(place.middles))
    middle = places_mm.mean(axis=0)
    nearest = np.argsort(np.linalg.norm(lighting.places_mm - middle, axis=1))[:5]
    from_card = middle - lighting.places_mm[nearest].mean(axis=0)
    return _Patches(
        light,
        lighting.paper_at(places_mm),
        lighting.paper_at(lighting.middle_mm),
        places_mm,
        from_card,
        xyz,
        trust,
    )


def _patch(picture: Picture, place: TargetPlace, middle: Floats) -> tuple[Floats, float]:
    """Mean linear light of the middle of a patch, and the share of its points at an end of the scale."""
    half = KEPT / 2.0
    around = place.to_px(middle + half * np.array([[-1.0, -1.0], [1.0, -1.0], [1.0, 1.0], [-1.0, 1.0]]))
    steps = int(np.clip(np.ceil(np.linalg.norm(around[2] - around[0])), 4, 24))
    line = np.linspace(-half, half, steps)
    cells = middle + np.stack(np.meshgrid(line, line), axis=-1).reshape(-1, 2)
    at = np.round(place.to_px(cells)).astype(int)
    if np.any(at < 0) or np.any(at >= np.array(picture.size_px)):
        return np.zeros(3), 1.0
    codes = picture.codes[at[:, 1], at[:, 0]]
    ends = ((codes >= 254 / 255 * picture.highest) | (codes <= 1.5 / 255 * picture.highest)).any(axis=1)
    return np.asarray(picture.encoding.to_linear(codes).mean(axis=0), dtype=np.float64), float(ends.mean())


def _evened(patches: _Patches, bends: Floats, veil: float) -> tuple[Floats, Floats]:
    """Channels of the patches relative to the paper, with curve, veil and light put right; and what the last added.

    The card's paper foretells the light at the target without having seen it. Where the target shows that it slopes
    otherwise there, the two grew apart from the card's edge on, as a parabola does: by half the slope times the way.
    """
    paper = bend_light(patches.paper, bends)
    # A veil lies evenly on the picture; it is told against the paper in the middle of the card.
    share = veil * bend_light(patches.middle, bends).mean() / paper.mean(axis=1, keepdims=True)
    light = (bend_light(patches.light, bends) / paper - share) / (1.0 - share)
    away = patches.places_mm - patches.places_mm.mean(axis=0)
    slope = _slope_across(patches, away, light)
    added = 0.5 * patches.from_card_mm @ slope
    return np.asarray(light / np.exp(added + away @ slope)), np.asarray(added)


def _slope_across(patches: _Patches, away: Floats, light: Floats) -> Floats:
    """How the log light over the target slopes beside what the paper foretells, shape (2, 3) [1/mm].

    A plane, from how each patch differs from what a matrix leads from its true colour.
    """
    light = np.maximum(light, 1e-4)
    pull = np.sqrt(patches.trust)[:, None] / (patches.xyz[:, 1:2] + 3.0)
    to_light = np.linalg.lstsq(pull * patches.xyz, pull * light, rcond=None)[0]
    foretold = np.maximum(patches.xyz @ to_light, 1e-3)
    missed = np.log(light / foretold)
    near = np.abs(missed - np.median(missed, axis=0)).max(axis=1) < 0.3
    good = (patches.trust > 0) & (light.min(axis=1) > 0.02) & near
    if np.count_nonzero(good) < LEAST_PATCHES:
        return np.zeros((2, 3))
    terms = np.column_stack([np.ones(len(away)), away])
    plane = np.linalg.lstsq(terms[good], missed[good], rcond=None)[0]
    return np.asarray(plane[1:], dtype=np.float64)


def _bends_and_veil(patches: _Patches, usual: Floats) -> tuple[Floats, float]:
    """Bends of the tone curve and veil under which a correction meets the patches best."""
    from scipy.optimize import minimize

    metric = colour_metric(patches.xyz)

    def cost(guess: Floats) -> float:
        bends, veil = MOST * np.tanh(guess[:2] * usual / MOST), USUAL_VEIL * guess[2] ** 2
        terms = root_terms(_evened(patches, bends, veil)[0], 2)
        found = fit_terms(terms, patches.xyz, metric, patches.trust, degree=2, ridge=1e-2)
        off = np.minimum(found.residual[patches.trust > 0], 12.0)
        unlikely = float(guess[:2] @ guess[:2]) + 2.0 * guess[2] ** 2
        return float(np.sum((off / PATCH_DE00) ** 2) + unlikely)

    around = np.array([[0.0, 0.0, 0.6], [1.0, 0.0, 0.6], [0.0, 1.0, 0.6], [0.0, 0.0, 0.1]])
    found = minimize(
        cost,
        around[0],
        method="Nelder-Mead",
        options={"maxfev": 110, "xatol": 0.03, "fatol": 0.1, "initial_simplex": around},
    )
    guess = np.asarray(found.x, dtype=np.float64)
    return MOST * np.tanh(guess[:2] * usual / MOST), float(USUAL_VEIL * guess[2] ** 2)


def _with_usual_paper(correction: Correction, added: Floats) -> tuple[Correction, float, float]:
    """The same correction scaled a little towards a usual paper; what doubt is left of its lightness and its tint."""
    own = correction.to_xyz(np.ones(3)) / white_point("D65", 2)
    level, tint = float(np.abs(added).mean()), float(np.ptp(added))
    across = np.hypot(ACROSS, SLOPE_DOUBT * np.array([tint, level, tint]))
    usual = np.array([PAPER_TINT, PAPER_DOUBT, PAPER_TINT])
    away = np.array([np.log(own[1] / own[0]), np.log(PAPER_Y / 100.0 / own[1]), np.log(own[1] / own[2])])
    share = across**2 / (across**2 + usual**2)
    # A paper far from the usual one is believed: it is toned.
    share /= 1.0 + (away / (3.0 * np.hypot(usual, across))) ** 4
    doubt = across * usual / np.hypot(across, usual)
    move = share * away
    scale = np.exp(move[1] + np.array([move[0], 0.0, move[2]]))
    scaled = replace(correction, coefficients=correction.coefficients * scale[:, None])
    return scaled, float(doubt[1]), float(max(doubt[0], doubt[2]))


def _sensor_doubt(patches: _Patches, residual: Floats) -> float:
    """Size of the doubt about the sensor that makes patches as far off as they were found."""
    xyz = patches.xyz[patches.trust > 0]
    white = white_point("D65", 2)
    spectra = upsample_colours(xyz)
    covariance = shared_covariance(CameraDoubt(sensor=1.0), spectra, xyz)
    slope = xyz_to_lab_jacobian(xyz, white)
    in_lab = slope @ covariance @ np.swapaxes(slope, -1, -2)
    square = np.einsum("pij,pji->p", delta_e_2000_metric(xyz_to_lab(xyz, white)), in_lab)
    off = np.minimum(residual, 3.0 * np.median(residual))
    return float(np.clip(ELSEWHERE * np.sqrt(np.mean(off**2) / np.mean(square)), 0.05, 1.0))


def _calibration(
    correction: Correction, patches: _Patches, seen: Floats, residual: Floats, paper_doubt: float
) -> TargetCalibration:
    """The correction with what is to be said of it."""
    matrix = fit_terms(
        root_terms(seen, 1), patches.xyz, colour_metric(patches.xyz), patches.trust, degree=1, ridge=1e-6
    ).coefficients
    said = (
        f"Colours are those of the reference target: {len(residual)} patches, root-polynomial of degree"
        f" {correction.degree}; a patch that was left out is off by dE00 {residual.mean():.1f} in the mean and"
        f" {np.percentile(residual, 95):.1f} at the 95th percentile."
    )
    return TargetCalibration(matrix, np.zeros(3), (said,), paper_doubt, correction)


def corners_from_text(text: str) -> Outline:
    """Four corners from ``x,y x,y x,y x,y``.

    Raises
    ------
    InputError
        If it is anything else.

    Examples
    --------
    >>> corners_from_text("10,20 110,20 110,90 10,90")[2]
    (110.0, 90.0)
    """
    try:
        points = [tuple(float(part) for part in pair.split(",")) for pair in text.split()]
    except ValueError:
        points = []
    if len(points) != 4 or any(len(point) != 2 or not np.isfinite(point).all() for point in points):
        raise InputError("target-corners", text, "four points of the picture, as 'x,y x,y x,y x,y'")
    return _outline(points)


def _outline(points: Sequence[tuple[float, ...]]) -> Outline:
    a, b, c, d = ((point[0], point[1]) for point in points)
    return a, b, c, d
