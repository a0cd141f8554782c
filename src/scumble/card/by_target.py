"""Colour by a reference target in the picture: tone curve, veiling light, light between target and card, correction."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from scumble.card.light.calibrate import PAPER_DOUBT, PAPER_Y
from scumble.card.light.lost import lost_channels
from scumble.card.light.tone_bend import MOST, bend_encoding, bend_light
from scumble.card.light.veil import Veil
from scumble.card.photographed import Outline
from scumble.card.picture.points import Picture
from scumble.card.reference.beside_target import PaperLight, Place, Seen
from scumble.card.reference.find_target import KEPT, TargetPlace, find_target, place_target
from scumble.card.reference.likely_films import likely_spectra
from scumble.card.reference.sensed import (
    PatchModel,
    Sensed,
    Spectra,
    agreeing_patches,
    fit_sensor,
    left_out,
    likely_reflectance,
    read_colours,
)
from scumble.card.reference.target_colours import MOST_DOUBT, TargetCalibration
from scumble.colour import white_point
from scumble.errors import CardError, InputError
from scumble.paint.camera_doubt import CameraDoubt
from scumble.paint.reference import LEAST_PATCHES, PatchGrid, ReferenceTarget, patch_grid

Floats = NDArray[np.float64]

USUAL_BENDS: Final = np.array([0.15, 0.05])
KNOWN_BENDS: Final = np.array([0.01, 0.01])
"""Standard deviations of the bends of a phone's tone curve and of one that a profile describes (*common practice, no
source* for the first; benchmarks.reading for both)."""

USUAL_VEIL: Final = 0.012
"""Mean of an exponential law of veils, as in `scumble.card.light.veil`."""

VEIL_TINT: Final = 0.1
"""Log deviation of a veil's red and blue from the paper's: it comes from all that the lens sees, desk and window, too
(*common practice, no source*)."""

VEIL_DOUBT: Final = 0.1
"""Relative error of a veil that patches have shown: it is not quite even."""

UNLIKELY: Final = np.array([1.0, 1.0, np.sqrt(2.0), 1.0, 1.0])
"""What two bends, the root of a veil over its mean, and its two tints cost, squared: normal laws of deviation 1, and of
the veil itself an exponential one."""

EVENINGS: Final = 2
"""Times that curve and veil are looked for, each with a better guess of how the light slopes over the target."""

FARTHER: Final = 4.0
"""Times by which the light of the card foretells that at the target worse than that of a place between its papers."""

ACROSS: Final = np.array([0.007, 0.012, 0.007])
"""Relative error of the light at the target, as the card's paper foretells it from some centimetres away: of X against
Y, of Y, and of Z against Y. A JPEG rounds the colour difference of the whole paper alike: steps of 1 to 1.8 codes at
qualities of 80 to 60 leave 0.5 % of red and blue light."""

SLOPE_DOUBT: Final = 0.5
"""Share of what the target's own slope of the light adds to that, which is doubted."""

PAPER_TINT: Final = 0.012
"""Relative deviation of X and Z of papers from neutral, as in `scumble.card.read`."""

BLIND_SHARE: Final = 0.1
"""Share of a patch's points at either end of the scale from which it counts no longer."""

CORRECTED: Final = CameraDoubt(tone=0.004, chroma=0.004, veil=0.001)
"""What is left in doubt of curve, chroma and veil beside what the residual shows."""


USUAL_RESIDUAL: Final = 1.0
"""Mean colour difference of patches left out [dE00] beyond which colours are as much more in doubt as it is larger: the
light on the target, or the target itself, is not what it is taken for (benchmarks.routes)."""

SCATTER: Final = 0.008
"""Relative scatter of a reading that is neither the light's nor the brush's: that rounding, grain, steps of 8 bits."""


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

    def on_card(self, seen: Sequence[Seen]) -> tuple[TargetCalibration, CameraDoubt]:
        """The calibration and its doubt once all areas of the card were seen, veiling light taken off."""
        trust = np.array([min((fault.trust for fault in each.faults), default=1.0) for each in seen])
        light = np.array([each.centre for each in seen])
        lost = np.array([lost_channels(each.sample.cut_off, each.centre) for each in seen])
        own = self.calibration.on_card([each.area for each in seen], light, trust, lost=lost)
        worse = max(1.0, self.residual_de00 / USUAL_RESIDUAL)
        return own, replace(self.doubt, sensor=min(worse * own.sensor_doubt(trust), MOST_DOUBT))


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
    picture: Picture, placement: Place, lighting: PaperLight, view: TargetView
) -> ByTarget:
    """Find the target and learn from it what the picture's numbers mean.

    Parameters
    ----------
    picture, placement, lighting : Picture, Place, PaperLight
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
    patches = replace(patches, trust=agreeing_patches(patches.light, patches.xyz, patches.trust))
    known = picture.doubt is not None or not picture.notes
    spectra = _patch_spectra(view.reference, grid)
    bends, veils, slope = _bends_and_veil(patches, spectra, KNOWN_BENDS if known else USUAL_BENDS)
    seen, added = _evened(patches, bends, veils, slope)
    residual = left_out(seen, patches.xyz, spectra, patches.trust, likely_spectra())[patches.trust > 0]
    sensed = fit_sensor(seen, spectra, patches.trust)
    scale, paper_doubt, tint_doubt = _to_usual_paper(sensed, added, lighting)
    doubt = replace(
        CORRECTED,
        paper=paper_doubt,
        tint=tint_doubt,
        veil=float(np.hypot(CORRECTED.veil, VEIL_DOUBT * veils.mean())),
    )
    return ByTarget(
        replace(picture, encoding=bend_encoding(picture.encoding, bends)),
        Veil(float(veils.mean()), doubt.veil, veils),
        _calibration(sensed, scale, residual, paper_doubt, floor=-veils / (1.0 - veils)),
        doubt,
        float(residual.mean()),
        place.corners_px,
    )


def _find(picture: Picture, placement: Place, view: TargetView, grid: PatchGrid) -> TargetPlace:
    if view.corners_px is not None:
        return place_target(grid, np.array(view.corners_px), placement.lens, picture.size_px)
    place = find_target(picture, view.reference, grid, placement.lens, placement.block_px)
    if place is None:
        raise CardError(
            f"The target of {grid.rows} by {grid.columns} patches was not found beyond doubt.",
            "Point at its four corners: the first patch, the end of the first row, the last patch, the start of the"
            " last row.",
        )
    return place


def _see(
    picture: Picture, placement: Place, lighting: PaperLight, place: TargetPlace, xyz: Floats
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
        _paper_beyond(lighting, places_mm),
        lighting.paper_at(lighting.middle_mm),
        places_mm,
        from_card,
        xyz,
        trust,
    )


def _paper_beyond(lighting: PaperLight, places_mm: Floats) -> Floats:
    """The paper's channels at places beside the card: brightness as its surface has it, hue along a plane.

    Light changes its colour slowly across a table; a surface that follows every step of a rounded colour on the card
    swings far out beside it.
    """
    level = np.log(lighting.paper_at(places_mm)).mean(axis=1, keepdims=True)
    seen = np.log(lighting.paper_at(lighting.places_mm))
    hue = seen - seen.mean(axis=1, keepdims=True)
    middle = lighting.middle_mm
    terms = np.column_stack([np.ones(len(seen)), lighting.places_mm - middle])
    plane = np.linalg.lstsq(terms, hue, rcond=None)[0]
    return np.asarray(np.exp(level + np.column_stack([np.ones(len(places_mm)), places_mm - middle]) @ plane))


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


def _evened(patches: _Patches, bends: Floats, veils: Floats, slope: Floats) -> tuple[Floats, Floats]:
    """Channels of the patches relative to the paper, with curve, veil and light put right; and what the last added.

    The card's paper foretells the light at the target without having seen it. Where the target shows that it slopes
    otherwise there, the two grew apart from the card's edge on, as a parabola does: by half the slope times the way.
    """
    paper = bend_light(patches.paper, bends)
    # A veil lies evenly on the picture; it is told against the paper in the middle of the card.
    share = veils * bend_light(patches.middle, bends).mean() / paper.mean(axis=1, keepdims=True)
    light = (bend_light(patches.light, bends) / paper - share) / (1.0 - share)
    away = patches.places_mm - patches.places_mm.mean(axis=0)
    added = 0.5 * patches.from_card_mm @ slope
    return np.asarray(light / np.exp(added + away @ slope)), np.asarray(added)


def _slope_across(patches: _Patches, light: Floats, foretold: Floats) -> Floats:
    """How the log light over the target slopes beside what it was taken to, shape (2, 1) [1/mm].

    A plane, from how each patch differs from what the camera would make of its spectrum. Of brightness only: hues stand
    in rows, and what is not yet known of the camera would pass for light that changes its colour.
    """
    missed = np.log(np.maximum(light, 1e-4) / np.maximum(foretold, 1e-3))
    near = np.abs(missed - np.median(missed, axis=0)).max(axis=1) < 0.3
    good = (patches.trust > 0) & (np.minimum(light, foretold).min(axis=1) > 0.02) & near
    if np.count_nonzero(good) < LEAST_PATCHES:
        return np.zeros((2, 1))
    away = patches.places_mm - patches.places_mm.mean(axis=0)
    terms = np.column_stack([np.ones(len(away)), away])
    plane = np.linalg.lstsq(terms[good], missed[good].mean(axis=1, keepdims=True), rcond=None)[0]
    return np.asarray(plane[1:], dtype=np.float64)


def _bends_and_veil(patches: _Patches, spectra: Spectra, usual: Floats) -> tuple[Floats, Floats, Floats]:
    """Bends of the tone curve, veils and slope of the light under which a camera best meets the patches."""
    from scipy.optimize import least_squares

    model, slope = PatchModel(spectra, patches.trust), np.zeros((2, 1))

    def told(guess: Floats) -> tuple[Floats, Floats]:
        tint = np.exp(VEIL_TINT * np.array([guess[3], -guess[3] - guess[4], guess[4]]))
        return MOST * np.tanh(guess[:2] * usual / MOST), USUAL_VEIL * guess[2] ** 2 * tint

    def missed(guess: Floats) -> Floats:
        own = model.solve(_evened(patches, *told(guess), slope)[0])
        weighed = np.sqrt(model.weights)[:, None] * own
        return np.concatenate([weighed.ravel(), model.directions, guess * UNLIKELY])

    guess = np.array([0.0, 0.0, 0.6, 0.0, 0.0])
    for _ in range(EVENINGS):
        for _ in range(2):
            seen = _evened(patches, *told(guess), slope)[0]
            model.doubt_less(model.solve(seen))
            slope = slope + _slope_across(patches, seen, model.sensed.channels(spectra.mean))
        found = least_squares(missed, guess, method="lm", diff_step=np.full(5, 1e-3), max_nfev=60)
        guess = np.asarray(found.x, dtype=np.float64)
    return *told(guess), slope


def _patch_spectra(reference: ReferenceTarget, grid: PatchGrid) -> Spectra:
    """What is known of the patches' spectra: all where the file has them, else what their colours tell."""
    if reference.spectra is not None:
        known = reference.spectra[grid.members]
        return Spectra(known, np.zeros((len(known), known.shape[1], known.shape[1])))
    stated = reference.xyz if reference.stated is None else reference.stated
    return likely_reflectance(
        stated[grid.members], likely_spectra(), light=reference.light, observer=reference.observer
    )


def _to_usual_paper(sensed: Sensed, added: Floats, lighting: PaperLight) -> tuple[Floats, float, float]:
    """By how much XYZ are to be scaled towards a usual paper; what doubt is left of its lightness and its tint."""
    seen = read_colours(sensed, np.ones((1, 3)), likely_spectra()).xyz[0]
    own = seen / white_point("D65", 2)
    away = np.array([np.log(own[1] / own[0]), np.log(PAPER_Y / 100.0 / own[1]), np.log(own[1] / own[2])])
    level = float(np.abs(added).mean())
    unseen = FARTHER * lighting.residual
    across = ACROSS.copy()
    across[1] = np.linalg.norm([across[1], SLOPE_DOUBT * level, unseen])
    usual = np.array([PAPER_TINT, PAPER_DOUBT, PAPER_TINT])
    # A paper of a colour of its own is believed: it is toned. A grey one is a white one in another light.
    toned = 1.0 + np.sum((away[[0, 2]] / (3.0 * np.hypot(usual, across)[[0, 2]])) ** 4)
    if toned < 2.0 and abs(away[1]) > 2.0 * np.hypot(across[1], usual[1]):
        across[1] = abs(away[1])
    share = across**2 / (across**2 + usual**2) / toned
    doubt = across * usual / np.hypot(across, usual)
    move = share * away
    scale = np.exp(move[1] + np.array([move[0], 0.0, move[2]]))
    return scale, float(doubt[1]), float(max(doubt[0], doubt[2]))


def _calibration(
    sensed: Sensed, scale: Floats, residual: Floats, paper_doubt: float, *, floor: Floats
) -> TargetCalibration:
    """The camera with what is to be said of it."""
    said = (
        f"Colours are those of the reference target: {len(residual)} patches tell what the camera makes of spectra; a"
        f" patch that was left out is off by dE00 {residual.mean():.1f} in the mean and"
        f" {np.percentile(residual, 95):.1f} at the 95th percentile."
    )
    matrix = scale[:, None] * sensed.to_eye.T
    return TargetCalibration(matrix, np.zeros(3), (said,), paper_doubt, sensed, scale, floor)


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
