"""How far a paint goes: micrometres to hide, square metres to the litre and to the tube, and what hiding costs."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from scumble.paint.coat import Coat
from scumble.paint.covering import HIDING_RATIO, MOST_COATS, contrast_ratio
from scumble.paint.estimate import Estimate, estimate_of, possible_optics
from scumble.paint.paint import Paint
from scumble.paint.words import Sentence, write_number

FIXED_UM = 50.0
"""Wet film of a fixed spreading rate of 20 m2 per litre [um]. *Source:* ISO 6504-3:2006, scope."""

SHEET_M2 = 0.210 * 0.297
"""An A4 sheet [m2]. *Source:* ISO 216."""


@dataclass(frozen=True, slots=True)
class Spreading:
    """How far a paint goes.

    Parameters
    ----------
    coat : Coat
        One full coat.
    hiding_um : Estimate [um]
        Wet film at contrast ratio 0.98; infinity where no workable film hides.
    m2_per_litre : Estimate [m2/l]
        Spreading rate at contrast ratio 0.98; 0 where no workable film hides.
    fixed_ratio : Estimate [1]
        Contrast ratio at 20 m2 per litre.
    size_ml : float or None [ml]
        Paint in a tube, where it is known; without it the next three are None.
    m2_per_tube : Estimate or None [m2]
        What a tube hides.
    coat_m2_per_tube : Estimate or None [m2]
        What a tube lays with one full coat, hiding or not.
    price_per_m2 : Estimate or None
        What hiding a square metre costs, where the price is known too; infinity where nothing hides.
    """

    coat: Coat
    hiding_um: Estimate
    m2_per_litre: Estimate
    fixed_ratio: Estimate
    size_ml: float | None = None
    m2_per_tube: Estimate | None = None
    coat_m2_per_tube: Estimate | None = None
    price_per_m2: Estimate | None = None


def predict_spreading(
    paint: Paint,
    coat: Coat,
    coats_to_hide: Estimate,
    *,
    normals: NDArray[np.float64] | None = None,
    size_ml: float | None = None,
    price: float | None = None,
) -> Spreading:
    """Work out how far a paint goes.

    Parameters
    ----------
    paint : Paint
        The tube.
    coat : Coat
        One full coat of it.
    coats_to_hide : Estimate [coat]
        From :class:`scumble.paint.behaviour.Behaviour`.
    normals : array, shape (draws, 72), optional
        Standard normal numbers for the interval of the ratio at a fixed rate.
    size_ml : float, optional [ml]
        Paint in a tube.
    price : float, optional
        Of a tube.

    Notes
    -----
    Spreading rate is area by volume of wet paint, the inverse of the wet thickness.
    *Source:* ISO 6504-1:2019, hiding power as the spreading rate at a contrast ratio of 98 %; ISO 6504-3:2006,
    contrast ratio at a fixed spreading rate of 20 m2 per litre (scopes).
    """
    hiding = _scaled(coats_to_hide, coat.wet_um, coat.doubt)
    rate = _inverse(hiding, 1000.0)
    tube = None if size_ml is None else _scaled(rate, size_ml / 1000.0, 0.0)
    laid = None if size_ml is None else _scaled(Estimate(1.0, 1.0, 1.0), size_ml / coat.wet_um, coat.doubt)
    return Spreading(
        coat=coat,
        hiding_um=hiding,
        m2_per_litre=rate,
        fixed_ratio=_fixed_ratio(paint, coat, normals),
        size_ml=size_ml,
        m2_per_tube=tube,
        coat_m2_per_tube=laid,
        price_per_m2=None if price is None or tube is None else _inverse(tube, price),
    )


def _scaled(estimate: Estimate, factor: float, doubt: float) -> Estimate:
    """A number times another that may itself be off by a share; the two doubts do not know of each other."""
    if estimate.value == 0.0 or not np.isfinite(estimate.value):
        return Estimate(*(each * factor for each in (estimate.value, estimate.low, estimate.high)))
    with np.errstate(divide="ignore"):
        below, above = (
            np.hypot(np.log(each / estimate.value), np.log1p(doubt)) for each in (estimate.low, estimate.high)
        )
    value = estimate.value * factor
    return Estimate(value, float(value * np.exp(-below)), float(value * np.exp(above)))


def _inverse(estimate: Estimate, above: float) -> Estimate:
    """A number divided by an estimate."""
    value, high, low = (
        above / each if each > 0.0 else np.inf for each in (estimate.value, estimate.low, estimate.high)
    )
    return Estimate(float(value), float(low), float(high))


def _fixed_ratio(paint: Paint, coat: Coat, normals: NDArray[np.float64] | None) -> Estimate:
    """Contrast ratio at the fixed rate, thicker and thinner by the coat's doubt."""
    draws = np.zeros((0, 72)) if normals is None else normals
    own, index = possible_optics(paint.optics, draws), paint.binder.refractive_index
    middle, thin, thick = (
        estimate_of(contrast_ratio(*own, min(FIXED_UM / coat.wet_um * share, MOST_COATS), index=index))
        for share in (1.0, 1.0 - coat.doubt, 1.0 + coat.doubt)
    )
    below = np.hypot(middle.value - middle.low, middle.value - thin.value)
    above = np.hypot(middle.high - middle.value, thick.value - middle.value)
    return Estimate(middle.value, float(middle.value - below), float(min(middle.value + above, 1.0)))


def describe_spreading(spreading: Spreading, *, currency: str = "") -> tuple[Sentence, ...]:
    """Say how far a paint goes.

    Parameters
    ----------
    spreading : Spreading
        From :func:`predict_spreading`.
    currency : str
        Of the price.
    """
    said = [_goes(spreading), _at_fixed_rate(spreading)]
    cost = spreading.price_per_m2
    if cost is not None and np.isfinite(cost.value):
        claim = f"Hiding a square metre costs about {cost.value:.2f} {currency}".rstrip()
        meaning = "Price of a tube by the area that it hides at contrast ratio 0.98."
        said.append(Sentence("cost", claim, f"{write_number(cost)} {currency}".rstrip(), meaning))
    return tuple(said)


def _goes(spreading: Spreading) -> Sentence:
    meaning = (
        f"Spreading rate at contrast ratio {HIDING_RATIO} (ISO 6504-1): area by volume of wet paint, 1000 by the "
        "micrometres of the film that hides. What a coat is was said by a person; how far that may be off is in the "
        "interval."
    )
    coat = f"one full coat is {spreading.coat.wet_um:.3g} µm wet ({spreading.coat.said})"
    laid = spreading.coat_m2_per_tube
    if not np.isfinite(spreading.hiding_um.value):
        claim = f"A litre lays {1000.0 / spreading.coat.wet_um:.3g} m² with one coat, and does not hide"
        if laid is not None:
            whole = f"One tube of {spreading.size_ml:g} ml"
            claim = f"{whole} lays {_plain(laid.value)} m² with one coat, and does not hide"
        return Sentence("spreading", claim, coat, meaning)
    number = f"{_round(spreading.m2_per_litre)} m² to the litre, {_round(spreading.hiding_um)} µm wet; {coat}"
    if spreading.m2_per_tube is None:
        return Sentence(
            "spreading", f"A litre hides {_plain(spreading.m2_per_litre.value)} m²", number, meaning
        )
    tube = spreading.m2_per_tube
    sheets = tube.value / SHEET_M2
    pictured = f", {sheets:.0f} sheets of A4" if 1.5 <= sheets < 40.0 else ""
    claim = f"One tube of {spreading.size_ml:g} ml hides {_plain(tube.value)} m²{pictured}"
    return Sentence("spreading", claim, f"{_round(tube)} m² to the tube, {number}", meaning)


def _at_fixed_rate(spreading: Spreading) -> Sentence:
    ratio = spreading.fixed_ratio
    does = "hides" if ratio.value >= HIDING_RATIO else "lets black show through"
    sure = (ratio.low >= HIDING_RATIO) == (ratio.value >= HIDING_RATIO) == (ratio.high >= HIDING_RATIO)
    claim = f"Spread at 20 m² to the litre it {'' if sure else 'probably '}{does}"
    meaning = (
        "Contrast ratio of a wet film of 50 µm, the fixed spreading rate of ISO 6504-3, which speaks of white and "
        "light paints (Y above 25)."
    )
    return Sentence("fixed rate", claim, f"contrast ratio {write_number(ratio)}", meaning)


def _round(estimate: Estimate) -> str:
    """A number with its interval to three meaningful digits."""
    value, low, high = (_plain(each) for each in (estimate.value, estimate.low, estimate.high))
    return value if low == high == value else f"{value} ({low} to {high})"


def _plain(number: float) -> str:
    """Two or three meaningful digits without an exponent.

    Examples
    --------
    >>> [_plain(each) for each in (0.3141, 8.333, 120.4, float("inf"))]
    ['0.31', '8.3', '120', 'no end']
    """
    if not np.isfinite(number):
        return "no end"
    if number == 0.0:
        return "0"
    digits = max(0, 1 - int(np.floor(np.log10(abs(number)))))
    return f"{number:.{digits}f}"
