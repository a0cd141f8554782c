"""Depth of shade of what is seen, and tinting strength against a reference by equal depth."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from scumble.colour import delta_e_2000, reflectance_to_xyz, spectral_weights
from scumble.errors import InputError
from scumble.optics.kubelka_munk import absorption_per_scattering
from scumble.optics.response import take_off_face
from scumble.paint.covering import MOST_COATS
from scumble.paint.drawdown import lab_of
from scumble.paint.estimate import Estimate, estimate_of, possible_optics
from scumble.paint.paint import Paint
from scumble.paint.tinting import WHITE_PARTS, last_parts, tint_reflectance
from scumble.paint.words import Sentence

Floats = NDArray[np.float64]

REFERENCE_PARTS = 9.0
"""Parts of white to one of the reference in the tint that is compared: the step 1 : 9 of the ladder. Scumble's own;
ISO 787-24 leaves the let-down to be agreed."""

SURE_WITHIN = 1.1
"""Factor within which a let-down is told flatly; beyond it is *about* so much. Scumble's own."""

ALIKE_DE00 = 10.0
"""Tints no farther apart are of like hue, and the criteria of a single band or value are worth telling [dE00].
Scumble's own."""


def shade_depth(reflectance: ArrayLike, *, index: float) -> Floats:
    """Depth of shade of opaque films: their K/S, weighted by light and observer.

    Parameters
    ----------
    reflectance : array, shape (..., 36) [1]
        As seen, mirror reflection excluded, above 0.
    index : float [1]
        Refractive index of the binder.

    Returns
    -------
    array, shape (...) [1]
        0 for the perfect diffuser; about in proportion to the colourant in pale tints.

    Notes
    -----
    The mean over the bands of Kubelka and Munk's K/S without the face (Saunderson), weighted by the light's power
    times the sum of the three colour-matching functions, D65 and 2 degrees. *Source:* the weighted sum of K/S is a
    criterion of tinting strength in ISO 18314-2:2023 (its list of criteria was read, its formula was not);
    Garland, J. Soc. Dyers Colour. 89, 474 (1973), *from memory*. The standard depths of ISO 105-A06 and DIN 53235 are
    another scale, whose constants were not found in an open source.

    Examples
    --------
    A grey of K/S 0.25 in every band shows 0.276 under its face:

    >>> shade_depth(np.full(36, 0.276071), index=1.5).round(5).item()
    0.25
    """
    weights = spectral_weights("D65", 2).sum(axis=1)
    return np.asarray(_k_over_s(np.asarray(reflectance), index) @ (weights / weights.sum()))


WHITE_SHOWS = 0.5
"""Reflectance of the plain white below which a band says little of a tint's colourant [1]. Scumble's own."""


@dataclass(frozen=True, slots=True)
class RelativeStrength:
    """How strong a paint is in white beside a reference.

    Parameters
    ----------
    reference_parts : float [parts of white to 1 of paint]
        In the reference's tint.
    parts : Estimate [parts of white to 1 of paint]
        In the paint's own tint of equal depth of shade; 0 where even the plain paint is less deep.
    by_depth, by_band, by_value : Estimate [1]
        Strength relative to the reference: by equal depth, by equal K/S where each absorbs most, and by equal least
        tristimulus value.
    left_over : float [dE00]
        Colour difference that is left between the two tints of equal depth.
    """

    reference_parts: float
    parts: Estimate
    by_depth: Estimate
    by_band: Estimate
    by_value: Estimate
    left_over: float


def predict_relative_strength(
    paint: Paint, reference: Paint, white: Paint, *, normals: Floats | None = None
) -> RelativeStrength:
    """Compare two paints' strength in the same white.

    Parameters
    ----------
    paint, reference, white : Paint
        Of one binder.
    normals : array, shape (3, draws, 72), optional
        Standard normal numbers for the three; without them no intervals are worked out.

    Raises
    ------
    InputError
        If they are not of one binder.

    Notes
    -----
    Relative strength is the ratio of the amounts of paint in as much white that bring the tints to one value of a
    criterion. *Source:* ISO 787-24:1985 and ISO 18314-2:2023 in manner, with three of the latter's criteria.
    """
    for name, each in (("reference", reference), ("white", white)):
        if each.binder is not paint.binder:
            allowed = f"a paint in {paint.binder.value}"
            raise InputError(name, each.binder.value, allowed, "Binders do not mix.")
    draws = np.zeros((3, 0, 72)) if normals is None else normals
    index = paint.binder.refractive_index
    own, beside, pale = _in_step(
        [possible_optics(tube.optics, draws[at]) for at, tube in enumerate((paint, reference, white))]
    )
    ladder, target, plain = (
        tint_reflectance(stirred, pale, let_down, coats=MOST_COATS, index=index)
        for stirred, let_down in (
            (own, WHITE_PARTS),
            (beside, np.array([REFERENCE_PARTS])),
            (pale, np.zeros(1)),
        )
    )
    parts = [
        np.array([last_parts(row, goal) for row, goal in zip(of_paint, of_reference[:, 0], strict=True)])
        for of_paint, of_reference in _criteria(ladder, target, plain, index)
    ]
    alike = (own[0][:1], own[1][:1]), (pale[0][:1], pale[1][:1])
    tint = tint_reflectance(*alike, parts[0][:1], coats=MOST_COATS, index=index)
    by_depth, by_band, by_value = (estimate_of(each / REFERENCE_PARTS) for each in parts)
    return RelativeStrength(
        reference_parts=REFERENCE_PARTS,
        parts=estimate_of(parts[0]),
        by_depth=by_depth,
        by_band=by_band,
        by_value=by_value,
        left_over=float(delta_e_2000(lab_of(tint[0, 0]), lab_of(target[0, 0]))),
    )


def _in_step(several: list[tuple[Floats, Floats]]) -> list[tuple[Floats, Floats]]:
    """Possible optics of several paints in as many rows each; those taken as exact stand in every row."""
    rows = max(len(absorption) for absorption, _ in several)
    return [(np.tile(a, (rows // len(a), 1)), np.tile(s, (rows // len(s), 1))) for a, s in several]


def _k_over_s(reflectance: Floats, index: float) -> Floats:
    return absorption_per_scattering(np.clip(take_off_face(reflectance, index), 1e-6, 1.0))


def _criteria(
    ladder: Floats, target: Floats, plain: Floats, index: float
) -> tuple[tuple[Floats, Floats], ...]:
    """Each criterion along the paint's ladder, shape (possible, steps), and in the reference's tint (possible, 1).

    The band and the tristimulus value are those of the reference. K/S is less what the white has there by itself; the
    violet, where many whites absorb more than a tint's colourant does, is left out.
    """
    bands = np.log(np.maximum(_k_over_s(ladder, index) - _k_over_s(plain, index), 1e-9))
    goals = np.log(np.maximum(_k_over_s(target, index) - _k_over_s(plain, index), 1e-9))
    band = int(np.where(plain[0, 0] >= WHITE_SHOWS, goals[0, 0], -np.inf).argmax())
    values, wanted = reflectance_to_xyz(ladder), reflectance_to_xyz(target)
    least = int((wanted / reflectance_to_xyz(plain))[0, 0].argmin())
    return (
        (np.log(shade_depth(ladder, index=index)), np.log(shade_depth(target, index=index))),
        (bands[..., band], goals[..., band]),
        (-np.log(values[..., least]), -np.log(wanted[..., least])),
    )


def say_relative_strength(strength: RelativeStrength, reference: str, *, paint: str = "") -> Sentence:
    """Strength beside a reference, as a painter would say it.

    Parameters
    ----------
    strength : RelativeStrength
        From :func:`predict_relative_strength`.
    reference : str
        What the other paint is called.
    paint : str
        What the paint is called, where it is not the one that a page is about.
    """
    meaning = (
        "Depth of shade: K/S without the face, weighted by light and observer (D65, 2 degrees), of films that hide. "
        "Tinting strength: the ratio of the amounts in as much white that are equally deep (ISO 787-24 and ISO 18314-2 "
        "in manner). Between unlike hues it says how far a tube goes, not that it could stand in."
    )
    parts = strength.parts
    name = reference if paint else reference[:1].lower() + reference[1:]
    tint = f"{name} let down 1 : {strength.reference_parts:g} with white"
    if parts.value == 0.0:
        claim = f"Even by itself {paint or 'it'} is not as deep as {tint}"
        return Sentence(
            "depth", claim, f"strength below {100.0 / (1.0 + strength.reference_parts):.0f} %", meaning
        )
    about = (
        "" if parts.high <= SURE_WITHIN * parts.value and parts.value <= SURE_WITHIN * parts.low else "about "
    )
    own = f"let down {about}1 : {_parts(parts.value)}"
    claim = f"{paint} {own} is as deep as {tint}" if paint else f"As deep as {tint} when {own}"
    number = f"strength {_percent(strength.by_depth)} by equal depth of shade"
    if strength.left_over <= ALIKE_DE00:
        number += (
            f", {_percent(strength.by_band)} by the band it absorbs most, {_percent(strength.by_value)} by the least "
            "tristimulus value"
        )
    return Sentence(
        "depth", claim, f"{number}; the two tints are dE00 {strength.left_over:.0f} apart", meaning
    )


def _parts(parts: float) -> str:
    return f"{parts:.1f}".removesuffix(".0") if parts < 10.0 else f"{parts:.0f}"


def _percent(share: Estimate) -> str:
    value, low, high = (f"{100.0 * each:.0f}" for each in (share.value, share.low, share.high))
    return f"{value} %" if low == high == value else f"{value} % ({low} to {high})"
