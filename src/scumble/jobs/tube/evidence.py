"""A pair of swatches for each sentence about a paint, so that no number stands alone."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from scumble.jobs.tube.paint_figures import screen_hex
from scumble.jobs.tube.say_behaviour import glazes_of
from scumble.optics.face import Face, add_face, wet_milkiness
from scumble.paint import Paint
from scumble.paint.behaviour import Behaviour
from scumble.paint.covering import HALF_COAT, MOST_COATS
from scumble.paint.depth import RelativeStrength
from scumble.paint.drawdown import lab_of, over_black, over_white
from scumble.paint.finish import UNEVEN
from scumble.paint.glazing import most_turned
from scumble.paint.spreading import FIXED_UM, Spreading
from scumble.paint.thinning import MASSTONE_COATS, THINNED_COATS
from scumble.paint.tinting import tint_lab
from scumble.tables import WAVELENGTH_NM

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Evidence:
    """Two colours side by side.

    Parameters
    ----------
    left, right : str
        Screen colours.
    words : str
        What they are.
    """

    left: str
    right: str
    words: str


def evidence_of(paint: Paint, white: Paint | None, behaviour: Behaviour) -> dict[str, Evidence]:
    """What to look at for each topic of a paint's sentences.

    Parameters
    ----------
    paint : Paint
        The tube.
    white : Paint or None
        What it is tinted with; no pair with white without it.
    behaviour : Behaviour
        Of the paint with this white.

    Returns
    -------
    dict of str to Evidence
        By topic.
    """
    thin = behaviour.thinning.undertone_coats.value
    masstone = _on_white(paint, MASSTONE_COATS)
    tones = Evidence(masstone, _on_white(paint, thin), "masstone and undertone")
    found = {
        "cover": Evidence(masstone, _on_black(paint, MASSTONE_COATS), "one coat over white and over black"),
        "transparency": Evidence(
            _on_white(paint, HALF_COAT), _on_black(paint, HALF_COAT), "half a coat over white and over black"
        ),
        "tones": tones,
        "thinning": Evidence(masstone, _on_white(paint, THINNED_COATS), "one coat and a quarter of a coat"),
        "hue": tones,
        "over black": Evidence(
            _on_black(paint, MASSTONE_COATS),
            screen_hex(np.zeros(3)),
            "one coat over black, and the bare black",
        ),
    }
    found |= _finish_evidence(paint) | _glaze_evidence(paint)
    if white is not None and behaviour.tinting is not None:
        peak, pastel = (
            _tint(paint, white, parts)
            for parts in (behaviour.tinting.peak_parts.value, behaviour.tinting.strength_parts.value)
        )
        plain = _on_white(paint, MOST_COATS)
        found["with white"] = Evidence(plain, peak, "the plain paint, and its strongest tint")
        found["strength"] = Evidence(pastel, _on_white(white, MOST_COATS), "the pastel, and the plain white")
    return found


def _finish_evidence(paint: Paint) -> dict[str, Evidence]:
    """A coat wet and dry, glossy and matte, and a thin film laid too thin and too thick."""
    optics, index = paint.optics, paint.binder.refractive_index
    dry = over_white(optics.absorption, optics.scattering, index=index)
    milky = optics.scattering + wet_milkiness(MASSTONE_COATS, WAVELENGTH_NM)
    wet = over_white(optics.absorption, milky, index=index)
    matte = add_face(dry, Face.MATTE, index)
    thin, thick = (_on_white(paint, THINNED_COATS * share) for share in (1.0 - UNEVEN, 1.0 + UNEVEN))
    return {
        "drying": Evidence(screen_hex(lab_of(wet)), screen_hex(lab_of(dry)), "one coat wet and dry"),
        "face": Evidence(screen_hex(lab_of(dry)), screen_hex(lab_of(matte)), "one coat glossy and matte"),
        "evenness": Evidence(thin, thick, "a quarter of a coat, a fifth thinner and a fifth thicker"),
    }


def _glaze_evidence(paint: Paint) -> dict[str, Evidence]:
    """The coloured ground that a glaze turns most, bare and glazed."""
    turned = most_turned(glazes_of(paint))
    words = f"{turned.ground} under clear medium and under one glaze"
    return {"glazing": Evidence(screen_hex(turned.bare), screen_hex(turned.glazed), words)}


def depth_evidence(pair: tuple[Paint, Paint], white: Paint, strength: RelativeStrength) -> Evidence:
    """The two tints of equal depth: of the paint, and of its reference."""
    own, other = pair
    return Evidence(
        _tint(own, white, strength.parts.value),
        _tint(other, white, strength.reference_parts),
        f"{own.label} and {other.label} let down to equal depth",
    )


def rate_evidence(paint: Paint, spreading: Spreading) -> Evidence:
    """A film of the fixed rate over white and over black."""
    coats = min(FIXED_UM / spreading.coat.wet_um, MOST_COATS)
    return Evidence(
        _on_white(paint, coats), _on_black(paint, coats), "20 m² to the litre over white and over black"
    )


def _on_white(paint: Paint, coats: float) -> str:
    optics, index = paint.optics, paint.binder.refractive_index
    return screen_hex(lab_of(over_white(optics.absorption * coats, optics.scattering * coats, index=index)))


def _on_black(paint: Paint, coats: float) -> str:
    optics, index = paint.optics, paint.binder.refractive_index
    return screen_hex(lab_of(over_black(optics.absorption * coats, optics.scattering * coats, index=index)))


def _tint(paint: Paint, white: Paint, parts: float) -> str:
    own, pale = ((each.optics.absorption[None], each.optics.scattering[None]) for each in (paint, white))
    index = paint.binder.refractive_index
    return screen_hex(tint_lab(own, pale, np.array([parts]), coats=MOST_COATS, index=index)[0, 0])
