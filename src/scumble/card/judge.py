"""Is an area fit to be believed: faults in words, each with the trust it leaves."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import groupby
from typing import Final

import numpy as np
from numpy.typing import NDArray

from scumble.card.geometry import Area
from scumble.card.photographed import Fault
from scumble.card.sampling import Sample
from scumble.colour import delta_e_2000, white_point, xyz_to_lab

Floats = NDArray[np.float64]

FEW_POINTS: Final = 600
"""Below this an area of 15 mm is seen at less than 1.6 points a millimetre."""

SHINE: Final = 1.2
"""Light against the paper beyond which a place shines; the whitest paints reach about 1.1."""

SHINING_SHARE: Final = 0.04
STRAY_SHARE: Final = 0.12
CLIPPED_SHARE: Final = 0.03
MOSTLY_CLIPPED: Final = 0.25
CUT_OFF_SHARE: Final = 0.25
UNEVEN: Final = 0.2
UNEVEN_TRUST: Final = 0.4
"""Relative deviation of the tiles beyond which an area is left out, and the most that is left of its weight."""

NOTED_BIAS: Final = 0.008
USUAL_NOISE: Final = 0.02
"""Relative error of the mean from uneven thickness that is worth a word, and the noise it is weighed against."""

DARK: Final = 0.004
"""Linear light below which 8 bits leave steps of more than 7 %."""

UNKNOWN_LIGHT: Final = 0.06
"""Relative doubt of the light on an area beyond which its colour cannot be believed."""

SAME_DE00: Final = 1.2
"""Colour difference under which a film is not told from its ground."""

WHITE_L: Final = 80.0
WHITE_CHROMA: Final = 12.0
"""Lightness from which, and chroma to which, a full film over black is a white's."""


def judge_area(
    sample: Sample, light: Floats, scatter: float, agreeing: NDArray[np.bool_], *, light_doubt: float = 0.0
) -> tuple[Fault, ...]:
    """Look for faults that one area shows by itself.

    Parameters
    ----------
    sample : Sample
        What the picture shows of it.
    light : array, shape (tiles, 3) [1]
        Its tiles relative to the paper.
    scatter : float [1]
        Of the tiles that agree.
    agreeing : array of bool, shape (tiles,)
        Which they are.
    light_doubt : float [1]
        Relative doubt of the light that falls on it.
    """
    if sample.inside < 0.98:
        return (Fault("outside", "It lies partly outside the picture.", 0.0),)
    if sample.points < FEW_POINTS:
        return (Fault("few points", f"It is seen too small: {sample.points} picture points.", 0.0),)
    faults = [*_glare(light, agreeing), *_clipping(sample)]
    if light_doubt > UNKNOWN_LIGHT:
        sentence = "The light on it is not known: the paper around it is overexposed, covered or painted."
        faults.append(Fault("light unknown", sentence, 0.3))
    faults += _unevenness(scatter) if not faults else []
    if np.median(sample.tiles.max(axis=1)) < DARK:
        faults.append(Fault("too dark", "It is too dark in this picture to be told from black.", 0.5))
    return tuple(faults)


def _unevenness(scatter: float) -> list[Fault]:
    """What uneven thickness does to the mean.

    A film half thick and half thin is lighter than one of the mean thickness. Where light falls off exponentially with
    thickness, the mean exceeds it by half the relative variance; so much is the reading in doubt.
    """
    too_light = 0.5 * scatter**2
    if too_light < NOTED_BIAS:
        return []
    trust = 1.0 / (1.0 + (too_light / USUAL_NOISE) ** 2)
    varies = f"its light varies by {100 * scatter:.0f} %"
    sentence = (
        f"It is painted unevenly: {varies}, so that its mean is about {100 * too_light:.1f} % too light."
    )
    return [Fault("uneven", sentence, round(trust if scatter <= UNEVEN else min(trust, UNEVEN_TRUST), 2))]


def _glare(light: Floats, agreeing: NDArray[np.bool_]) -> list[Fault]:
    """Places that shine, or many that differ from the rest."""
    shining = float(np.mean(light.max(axis=1) > SHINE))
    if shining > SHINING_SHARE:
        return [Fault("glare", f"Glare: {100 * shining:.0f} % of it shines brighter than the paper.", 0.0)]
    brightness = light.sum(axis=1)
    stray = ~agreeing
    if stray.mean() <= STRAY_SHARE:
        return []
    brighter = brightness[stray].mean() > np.median(brightness)
    share = f"{100 * stray.mean():.0f} %"
    if brighter:
        return [Fault("glare", f"Glare or gaps: {share} of it is much lighter than the rest, left out.", 0.5)]
    return [Fault("blot", f"Shadow or blots: {share} of it is much darker than the rest, left out.", 0.5)]


def _clipping(sample: Sample) -> list[Fault]:
    """Channels at the ends of their scale."""
    if sample.clipped > CLIPPED_SHARE:
        sentence = f"Overexposed: {100 * sample.clipped:.0f} % of it is at the end of the picture's scale."
        return [Fault("clipped", sentence, 0.5 if sample.clipped <= MOSTLY_CLIPPED else 0.0)]
    if max(sample.cut_off) > CUT_OFF_SHARE:
        # The missing channel may move a strong blue of sRGB by a dozen dE00: the reading is blind in its direction.
        return [
            Fault("cut off", "Its colour is too deep or too strong for this picture's colour space.", 0.8)
        ]
    return []


def find_unpainted(areas: Sequence[Area], xyz: Mapping[str, Floats]) -> dict[str, Fault]:
    """Areas of strokes that look like their bare grounds everywhere.

    A stroke is judged as a whole: a transparent paint may vanish on black, a white one on paper, none on all.
    Where the paint is white, its tints on paper are not doubted.

    Parameters
    ----------
    areas : sequence of Area
        Of the card.
    xyz : mapping of str to array
        What was read, by area.

    Returns
    -------
    dict of str to Fault
        By area; empty when all is painted.
    """
    lab = {name: xyz_to_lab(value, white_point("D65", 2)) for name, value in xyz.items()}

    def looks_bare(area: Area) -> bool:
        return float(delta_e_2000(lab[area.name], lab[area.ground])) < SAME_DE00

    seen = [area for area in areas if not area.is_bare and area.name in lab and area.ground in lab]
    full = {area.ground: lab[area.name] for area in seen if area.film == "full"}
    white_paint = (
        "black" in full and full["black"][0] > WHITE_L and np.hypot(*full["black"][1:]) < WHITE_CHROMA
    )
    faults = {}
    for _, run in groupby(seen, key=lambda area: area.film):
        stroke = list(run)
        hidden = white_paint and all(area.ground == "white" for area in stroke)
        if not hidden and all(looks_bare(area) for area in stroke):
            for area in stroke:
                faults[area.name] = Fault("unpainted", "It looks unpainted.", 0.0)
    return faults
