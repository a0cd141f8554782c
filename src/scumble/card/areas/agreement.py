"""Light that no film could have: areas that shine all over, told by areas that can only be lighter."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import groupby
from typing import Final

import numpy as np
from numpy.typing import NDArray

from scumble.card.photographed import Fault
from scumble.card.sheet.geometry import Area

Floats = NDArray[np.float64]

LIGHTER: Final = 0.05
"""Light against the paper in every channel by which an area must not exceed one that can only be lighter."""

STROKE_LIGHTER: Final = 0.08
WHITE: Final = 0.75
WHITER: Final = 0.12
"""What is allowed besides where even the lighter one is all but white."""

TIMES: Final = 5.0
"""Times their own misfit that it may miss it by."""

INTERNAL: Final = 0.5
"""Share of the light from the ground that a film sends down again: a face of index 1.5 from within gives back 0.60 of
diffuse light (Saunderson, J. Opt. Soc. Am. 32, 727 (1942)), and what is painted absorbs a little of it."""

LADDERS: Final = (
    ("full-black", "full-white"),
    ("thin1-black", "thin1-white"),
    ("thin2-black", "thin2-white"),
    ("tint19-black", "tint19-white"),
    ("full-white", "thin1-white"),
    ("full-white", "tint1-white"),
    ("full-white", "tint4-white"),
    ("thin1-white", "thin2-white"),
    ("tint1-white", "tint4-white"),
    ("tint4-white", "tint19-white"),
)
"""Pairs of which the first is not lighter in every channel: over black than over white, thick than thin, with little
white than with much."""


def find_contradictions(areas: Sequence[Area], light: Mapping[str, Floats]) -> dict[str, Fault]:
    """Areas that shine all over.

    A lamp mirrored in a whole area leaves no bright spot to notice; but it adds the same light to every channel, and
    what lies beside it, painted with the same paint, has not got it.

    Parameters
    ----------
    areas : sequence of Area
        Of the card.
    light : mapping of str to array, shape (3,) [1]
        Linear channels against the paper of the areas that can be used.
    """
    usable = [area for area in areas if area.name in light]
    faults = {}
    for _, run in groupby([area for area in usable if not area.is_bare], key=lambda area: area.film):
        faults.update(_judge_stroke(list(run), light))
    for darker, lighter in LADDERS:
        if darker in light and lighter in light and darker not in faults:
            above = light[darker] - light[lighter]
            # A white may outshine its paper, and the thicker the more.
            allowed = LIGHTER + WHITER * float(light[lighter].min() > WHITE)
            if float(above.min()) > allowed:
                faults[darker] = _glare(f"lighter than {lighter} in every colour")
    return faults


def _glare(why: str) -> Fault:
    return Fault("glare", f"Glare lies over it: it is {why}.", 0.0)


def _judge_stroke(stroke: list[Area], light: Mapping[str, Floats]) -> dict[str, Fault]:
    """One area of a stroke over at least four grounds, if the rest agree without it and it does not."""
    known = [area for area in stroke if area.ground in light]
    if len(known) < 4:
        return {}
    below = np.array([light[area.ground] for area in known])
    seen = np.array([light[area.name] for area in known])
    misfits, missed = zip(*(_without(place, below, seen) for place in range(len(known))), strict=True)
    place = int(np.argmin(misfits))
    off, rest = missed[place], misfits[place]
    if float(off.min()) > max(STROKE_LIGHTER, TIMES * rest):
        return {
            known[place].name: _glare("lighter in every colour than the rest of its stroke leads to expect")
        }
    return {}


def _without(place: int, below: Floats, seen: Floats) -> tuple[float, Floats]:
    """Misfit of the other areas of a stroke, and how far one lies above what they lead to expect, shape (3,)."""
    through = below / (1.0 - INTERNAL * np.clip(below, 0.0, 1.0))
    rest = np.arange(len(seen)) != place
    misfit, above = [], []
    for channel in range(3):
        rows = np.stack([np.ones(len(seen)), through[:, channel]], axis=-1)
        own, _, _, _ = np.linalg.lstsq(rows[rest], seen[rest, channel], rcond=None)
        missed = seen[:, channel] - rows @ own
        misfit.append(float(np.sqrt(np.sum(missed[rest] ** 2) / max(rest.sum() - 2, 1))))
        above.append(float(missed[place]))
    return float(np.sqrt(np.mean(np.square(misfit)))), np.array(above)
