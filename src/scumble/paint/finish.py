"""What becomes of a coat after the brush: how it dries, what its face does to it, and whether uneven paint shows."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from scumble.colour import delta_e_2000
from scumble.optics.face import Face, add_face, wet_milkiness
from scumble.paint.drawdown import chroma_of, lab_of, over_white
from scumble.paint.estimate import Estimate, estimate_of, possible_optics, share_of
from scumble.paint.paint import Binder, Paint
from scumble.paint.thinning import MASSTONE_COATS, THINNED_COATS
from scumble.paint.words import Sentence, hedge, write_number
from scumble.tables import WAVELENGTH_NM

Floats = NDArray[np.float64]

UNEVEN = 0.2
"""Share by which a hand lays a film thicker or thinner than meant. Scumble's own, as in recipes."""

DRIES_BY, MUCH = 1.5, 6.0
"""Change of CIELAB lightness that is worth a word, and that is much. Scumble's own."""

DRIES_SEEN = 2.0
"""Colour difference up to which a coat dries much as it was laid [dE00]. Scumble's own."""

FACE_SHOWS, UNEVEN_SHOWS = 3.0, 2.0
"""Colour difference from which a matte face, or uneven paint, is seen without looking for it [dE00]. Scumble's own."""


@dataclass(frozen=True, slots=True)
class Finish:
    """A coat over white after the brush.

    Parameters
    ----------
    drying, drying_lightness : Estimate or None [dE00], [L*]
        From wet to dry; None where the binder's wet look is not known.
    drying_words : str
        What drying does; empty where that is not known.
    drying_share : float [1]
        Share of the possible optics that agree.
    matte, matte_lightness, matte_chroma : Estimate [dE00], [L*], [C*]
        From a gloss face to a matte one.
    uneven, uneven_thin : Estimate [dE00]
        Largest change when one coat, and a quarter of one, come out a fifth thicker or thinner.
    """

    drying: Estimate | None
    drying_lightness: Estimate | None
    drying_words: str
    drying_share: float
    matte: Estimate
    matte_lightness: Estimate
    matte_chroma: Estimate
    uneven: Estimate
    uneven_thin: Estimate


def predict_finish(paint: Paint, *, normals: Floats | None = None) -> Finish:
    """Work out what becomes of a coat.

    Parameters
    ----------
    paint : Paint
        The tube.
    normals : array, shape (draws, 72), optional
        Standard normal numbers; without them no intervals are worked out.
    """
    own = possible_optics(paint.optics, np.zeros((0, 72)) if normals is None else normals)
    index = paint.binder.refractive_index
    seen = over_white(own[0] * MASSTONE_COATS, own[1] * MASSTONE_COATS, index=index)
    dry, matte = lab_of(seen), lab_of(add_face(seen, Face.MATTE, index))
    drying = lightness = None
    words: list[str] = [""]
    if paint.binder is Binder.ACRYLIC:
        milky = own[1] * MASSTONE_COATS + wet_milkiness(MASSTONE_COATS, WAVELENGTH_NM)
        wet = lab_of(over_white(own[0] * MASSTONE_COATS, milky, index=index))
        drying, lightness = estimate_of(delta_e_2000(wet, dry)), estimate_of(dry[:, 0] - wet[:, 0])
        words = [_drying_words(*each) for each in zip(wet, dry, strict=True)]
    return Finish(
        drying=drying,
        drying_lightness=lightness,
        drying_words=words[0],
        drying_share=share_of([each == words[0] for each in words]),
        matte=estimate_of(delta_e_2000(dry, matte)),
        matte_lightness=estimate_of(matte[:, 0] - dry[:, 0]),
        matte_chroma=estimate_of(chroma_of(matte) - chroma_of(dry)),
        uneven=_unevenness(own, MASSTONE_COATS, index),
        uneven_thin=_unevenness(own, THINNED_COATS, index),
    )


def _drying_words(wet: Floats, dry: Floats) -> str:
    """What drying does to one colour."""
    darker, fuller = float(wet[0] - dry[0]), float(chroma_of(dry) - chroma_of(wet))
    if delta_e_2000(wet, dry) <= DRIES_SEEN:
        return "dries much as it was laid"
    if darker >= DRIES_BY:
        return "dries much darker" if darker >= MUCH else "dries darker"
    return "dries fuller in colour" if fuller > 0.0 else "dries duller"


def _unevenness(own: tuple[Floats, Floats], coats: float, index: float) -> Estimate:
    """Largest change of a film over white that comes out thicker or thinner than meant."""
    even, thin, thick = (
        lab_of(over_white(own[0] * coats * share, own[1] * coats * share, index=index))
        for share in (1.0, 1.0 - UNEVEN, 1.0 + UNEVEN)
    )
    return estimate_of(np.maximum(delta_e_2000(even, thin), delta_e_2000(even, thick)))


def describe_finish(finish: Finish) -> tuple[Sentence, ...]:
    """Say what becomes of a coat."""
    return (*_drying(finish), _face(finish), _uneven(finish))


def _drying(finish: Finish) -> tuple[Sentence, ...]:
    if finish.drying is None or finish.drying_lightness is None:
        return ()
    meaning = (
        "One coat over white, wet and dry. While it is wet the acrylic binder is milky; how milky is assumed, no "
        "source. Of oil and gum nothing is said here."
    )
    number = f"dE00 {write_number(finish.drying, 1)}, L* {_signed(finish.drying_lightness)}"
    return (Sentence("drying", hedge(finish.drying_words, finish.drying_share), number, meaning),)


def _face(finish: Finish) -> Sentence:
    meaning = (
        "One coat over white under a gloss face and under a matte one, which sends 80 % of the mirror reflection into "
        "all directions (assumed, no source). A varnish is a gloss face again."
    )
    number = (
        f"matte instead of gloss: dE00 {write_number(finish.matte, 1)}, L* {_signed(finish.matte_lightness)}, "
        f"chroma {_signed(finish.matte_chroma)}"
    )
    sure = finish.matte.low >= FACE_SHOWS or finish.matte.high < FACE_SHOWS
    pales = "goes paler and greyer matte; varnish brings it back"
    words = pales if finish.matte.value >= FACE_SHOWS else "looks much the same matte or varnished"
    return Sentence("face", hedge(words, 1.0 if sure else 0.8), number, meaning)


def _uneven(finish: Finish) -> Sentence:
    full, thin = finish.uneven.value >= UNEVEN_SHOWS, finish.uneven_thin.value >= UNEVEN_SHOWS
    if full:
        claim = "Even a full coat shows uneven brushing"
    elif thin:
        claim = "A full coat forgives uneven brushing; a thin one shows it"
    else:
        claim = "Forgives uneven brushing, thick or thin"
    number = f"dE00 {write_number(finish.uneven, 1)} in one coat, {write_number(finish.uneven_thin, 1)} in a quarter"
    meaning = (
        "Largest colour difference when a film over white comes out a fifth thicker or thinner than meant; from dE00 2 "
        "it shows, which is Scumble's own."
    )
    return Sentence("evenness", claim, number, meaning)


def _signed(change: Estimate) -> str:
    value, low, high = (f"{each:+.1f}".replace("-", "−") for each in (change.value, change.low, change.high))
    return value if low == high == value else f"{value} ({low} to {high})"
