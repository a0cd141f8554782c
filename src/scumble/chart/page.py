"""Sizes of paper: by name from A5 to A1 and Letter, or as width x height."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from scumble.errors import InputError

SIZES_MM: Final = {
    "A5": (148.0, 210.0),
    "A4": (210.0, 297.0),
    "A3": (297.0, 420.0),
    "A2": (420.0, 594.0),
    "A1": (594.0, 841.0),
    "Letter": (215.9, 279.4),
}
"""Upright. *Source:* ISO 216:2007 for the A series; ANSI/ASME Y14.1 for Letter."""

LEAST_MM, MOST_MM = 90.0, 1200.0
"""What a chart can be drawn on."""

ALLOWED = (
    f"{', '.join(SIZES_MM)}, each also with -landscape, or WIDTHxHEIGHT from {LEAST_MM:g} to {MOST_MM:g} mm"
)


@dataclass(frozen=True, slots=True)
class Page:
    """A size of paper.

    Parameters
    ----------
    name : str
        As it was asked for.
    width_mm, height_mm : float [mm]
        As it hangs.
    """

    name: str
    width_mm: float
    height_mm: float


def page_of(text: str) -> Page:
    """The page that a person names.

    Parameters
    ----------
    text : str
        ``A3``, ``A1-landscape``, ``letter`` or ``500x700``, in any capitals.

    Raises
    ------
    InputError
        If it is no page a chart can be drawn on.

    Examples
    --------
    >>> page_of("a3-landscape")
    Page(name='A3-landscape', width_mm=420.0, height_mm=297.0)
    >>> page_of("500 x 700 mm").height_mm
    700.0
    """
    name, _, turned = text.strip().partition("-")
    known = {each.casefold(): each for each in SIZES_MM}
    if name.casefold() in known and turned.casefold() in ("", "portrait", "landscape"):
        own = known[name.casefold()]
        width, height = SIZES_MM[own]
        if turned.casefold() == "landscape":
            return Page(f"{own}-landscape", height, width)
        return Page(own, width, height)
    found = re.fullmatch(r"([\d.]{1,9})\s*[x×]\s*([\d.]{1,9})(\s*mm)?", text.strip(), re.IGNORECASE)
    try:
        sides = [float(side) for side in found.groups()[:2]] if found else []
    except ValueError:
        sides = []
    if len(sides) != 2 or not all(LEAST_MM <= side <= MOST_MM for side in sides):
        raise InputError("page", text, ALLOWED)
    return Page(f"{sides[0]:g}x{sides[1]:g}", *sides)
