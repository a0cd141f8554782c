"""Colours to point at: a fixed palette all round the hues, and a colour said by lightness, chroma and hue."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Final

import numpy as np
from numpy.typing import NDArray

from scumble.colour import lch_to_lab
from scumble.errors import InputError
from scumble.jobs.tube.paint_figures import screen_hex
from scumble.paint.question.wrong import on_screen, say_colour

Floats = NDArray[np.float64]

ROWS: Final = ((88.0, 20.0), (72.0, 46.0), (54.0, 52.0), (36.0, 38.0), (20.0, 22.0))
"""Lightness and chroma of the palette's rows."""

HUES: Final = tuple(range(10, 360, 30))
"""Hue angles of its columns [degree]."""

GREYS: Final = (93.0, 68.0, 45.0, 24.0, 9.0)


@dataclass(frozen=True, slots=True)
class Spot:
    """One colour of the palette.

    Parameters
    ----------
    said : str
        Lightness, chroma and hue angle, as a form sends them.
    colour : str
        Screen colour.
    words : str
        In plain words.
    """

    said: str
    colour: str
    words: str


@cache
def palette() -> tuple[tuple[Spot, ...], ...]:
    """The palette, rows of equal lightness, each with a grey at its end."""
    return tuple(
        tuple(
            _spot(lightness, size, hue)
            for size, hue in (*((chroma, float(hue)) for hue in HUES), (0.0, 0.0))
            for lightness in ((grey if size == 0.0 else light),)
        )
        for (light, chroma), grey in zip(ROWS, GREYS, strict=True)
    )


def _spot(lightness: float, chroma: float, hue: float) -> Spot:
    shown = on_screen(lch_to_lab(np.array([lightness, chroma, hue])))
    return Spot(f"{lightness:g},{chroma:g},{hue:g}", screen_hex(shown), say_colour(shown))


def read_pointed(said: str) -> Floats:
    """CIELAB of a colour said as lightness, chroma and hue angle.

    Raises
    ------
    InputError
        If it is none.

    Examples
    --------
    >>> read_pointed("50,20,0").round(6).tolist()
    [50.0, 20.0, 0.0]
    """
    try:
        numbers = np.array([float(part) for part in said.split(",")])
    except ValueError:
        numbers = np.zeros(0)
    most = np.array([100.0, 140.0, 360.0])
    if numbers.shape != (3,) or not np.all((numbers >= 0.0) & (numbers <= most)):
        raise InputError("colour", said, "lightness 0-100, chroma 0-140 and hue 0-360, such as 62,40,270")
    return lch_to_lab(numbers)
