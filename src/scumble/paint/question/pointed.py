"""A colour pointed out instead of chosen: how far off it is, and in which direction."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from scumble.colour import delta_e_2000, delta_e_2000_metric, lab_to_lch

Floats = NDArray[np.float64]

NEAR_DE00 = 8.0
"""Distance up to which a colour pointed out counts as foretold [dE00]; farther where the prediction itself is less
sure than that. Scumble's own: about what a practised eye leaves between a guess and a swatch, *no source*."""

NOTABLE = 0.45
"""Share of the largest fault above which another is named too."""


@dataclass(frozen=True, slots=True)
class Pointed:
    """How a colour that was pointed out compares.

    Parameters
    ----------
    difference : float [dE00]
        From the predicted colour.
    is_near : bool
        Whether it counts as foretold.
    words : str
        How far and in which direction, in a sentence.
    """

    difference: float
    is_near: bool
    words: str


def compare_pointed(wanted: ArrayLike, pointed: ArrayLike, *, interval_de00: float = 0.0) -> Pointed:
    """Say how far a colour that was pointed out is off.

    Parameters
    ----------
    wanted, pointed : array, shape (3,)
        CIELAB as predicted, and as pointed out.
    interval_de00 : float [dE00]
        How sure the prediction is.

    Examples
    --------
    >>> compare_pointed([50.0, 20.0, 10.0], [62.0, 20.0, 10.0]).words
    'Yours is too light, by dE00 11.2.'
    """
    true, given = np.asarray(wanted, dtype=np.float64), np.asarray(pointed, dtype=np.float64)
    difference = float(delta_e_2000(true, given))
    near = difference <= max(NEAR_DE00, interval_de00)
    if difference < 1.0:
        return Pointed(difference, near, f"Yours is the colour itself, to dE00 {difference:.1f}.")
    faults = _faults(true, given)
    largest = max(size for size, _ in faults)
    said = [words for size, words in faults if size >= NOTABLE * largest]
    words = f"Yours is {'near: ' if near else ''}too {' and too '.join(said)}, by dE00 {difference:.1f}."
    return Pointed(difference, near, words)


def _faults(true: Floats, given: Floats) -> list[tuple[float, str]]:
    """Faults in lightness, chroma and hue by size in dE00, with their words."""
    metric = delta_e_2000_metric((true + given) / 2.0)
    (light, chroma, _), (light_given, chroma_given, _) = lab_to_lch(true), lab_to_lch(given)
    middle = (true + given)[1:] / 2.0
    size = float(np.hypot(*middle))
    along = middle / size if size > 1e-9 else np.array([1.0, 0.0])
    across = np.array([-along[1], along[0]])
    gap, plane = (given - true)[1:], metric[1:, 1:]
    turn = float(gap @ across) * float(np.sqrt(across @ plane @ across))
    fuller = float(gap @ along) * float(np.sqrt(along @ plane @ along))
    return [
        (
            abs(float(light_given - light)) * float(np.sqrt(metric[0, 0])),
            "light" if light_given > light else "dark",
        ),
        (abs(fuller), "full" if chroma_given > chroma else "dull"),
        (abs(turn), _towards(gap)),
    ]


def _towards(gap: Floats) -> str:
    a, b = gap
    if abs(a) >= abs(b):
        return "reddish" if a > 0 else "greenish"
    return "yellowish" if b > 0 else "bluish"
