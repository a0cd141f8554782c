"""How much paint a full coat is: read from a wet-film gauge, measured out or weighed over an area."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from scumble.errors import InputError

DOUBT: Final = 0.10
"""How far a coat may be off where nothing is said of it, 19 times in 20 [1]. Scumble's own: the notches of a gauge
and a hand's second coat differ by about as much."""

THINNEST_UM, THICKEST_UM = 1.0, 5000.0
"""Wet coats that a hand can lay [um]. Scumble's own."""

LARGEST_DOUBT = 0.5

EXAMPLES: Final = "80 um, 0.4 ml on 50 cm2, 0.6 g on 5 x 10 cm at 1.4 g/ml, or 12 m2/l, and +- 15 % after it"
"""Ways to say it."""

_NUMBER = r"(\d+(?:[.,]\d+)?)"
_DOUBT = re.compile(rf"\s*(?:±|\+/-|\+-)\s*{_NUMBER}\s*%$")
_GAUGE = re.compile(rf"{_NUMBER}\s*(?:um|µm|μm)", re.IGNORECASE)
_RATE = re.compile(rf"{_NUMBER}\s*(?:m2|m²)\s*(?:/|per)\s*(?:l|litre)", re.IGNORECASE)
_LAID = re.compile(rf"{_NUMBER}\s*(ml|g)\s*on\s*(.+?)(?:\s*at\s*{_NUMBER}\s*g/ml)?", re.IGNORECASE)
_SIDES = re.compile(rf"{_NUMBER}\s*[x×]\s*{_NUMBER}\s*(mm|cm|m)", re.IGNORECASE)
_AREA = re.compile(rf"{_NUMBER}\s*(mm|cm|m)[2²]", re.IGNORECASE)
_METRES: Final = {"mm": 1e-3, "cm": 1e-2, "m": 1.0}


@dataclass(frozen=True, slots=True)
class Coat:
    """One full coat, as it lies wet.

    Parameters
    ----------
    said : str
        As a person said it.
    wet_um : float [um]
        Volume of paint as supplied by area: 1 um is 1 ml on a square metre.
    doubt : float [1]
        Share by which it may be off, 19 times in 20.
    """

    said: str
    wet_um: float
    doubt: float = DOUBT


def parse_coat(said: str) -> Coat:
    """A full coat from what a person says of it.

    Parameters
    ----------
    said : str
        What a wet-film gauge shows, what was measured out or weighed on an area, or how far a litre goes; with how
        sure that is, if anything is known of it. See :data:`EXAMPLES`.

    Raises
    ------
    InputError
        If it cannot be read, or no hand lays such a coat.

    Notes
    -----
    Thickness is volume by area, and area by volume is the spreading rate, so 1000 / (m2 per litre) are micrometres.
    *Source:* the definition of spreading rate in ISO 4618.

    Examples
    --------
    >>> [round(parse_coat(said).wet_um, 6) for said in ("80 um", "0.4 ml on 50 cm2", "12.5 m2/l")]
    [80.0, 80.0, 80.0]
    >>> coat = parse_coat("0.56 g on 5 x 10 cm at 1.4 g/ml +- 20 %")
    >>> round(coat.wet_um, 6), coat.doubt
    (80.0, 0.2)
    """
    words = " ".join(said.split())
    doubt = _DOUBT.search(words)
    wet_um = _wet_um(words[: doubt.start()] if doubt else words, words)
    if not THINNEST_UM <= wet_um <= THICKEST_UM:
        allowed = f"a wet coat of {THINNEST_UM:g} to {THICKEST_UM:g} um"
        raise InputError("coat", said, allowed, f"This one is {wet_um:.3g} um.")
    share = _number(doubt[1]) / 100.0 if doubt else DOUBT
    if not 0.0 <= share <= LARGEST_DOUBT:
        raise InputError("coat", said, f"a doubt of 0 to {100 * LARGEST_DOUBT:.0f} %")
    return Coat(words, wet_um, share)


def _wet_um(words: str, said: str) -> float:
    if gauge := _GAUGE.fullmatch(words):
        return _number(gauge[1])
    if rate := _RATE.fullmatch(words):
        return 1000.0 / max(_number(rate[1]), 1e-9)
    laid = _LAID.fullmatch(words)
    if laid is None:
        raise InputError("coat", said, EXAMPLES)
    volume_ml = _number(laid[1])
    if laid[2].lower() == "g":
        if laid[4] is None:
            raise InputError("coat", said, EXAMPLES, "What was weighed needs the density, in g/ml.")
        volume_ml /= max(_number(laid[4]), 1e-9)
    return volume_ml / max(_area_m2(laid[3], said), 1e-12)


def _area_m2(words: str, said: str) -> float:
    if sides := _SIDES.fullmatch(words):
        return _number(sides[1]) * _number(sides[2]) * _METRES[sides[3].lower()] ** 2
    if area := _AREA.fullmatch(words):
        return _number(area[1]) * _METRES[area[2].lower()] ** 2
    raise InputError("coat", said, EXAMPLES)


def _number(digits: str) -> float:
    return float(digits.replace(",", "."))
