"""Is an area fit to be believed: faults in words, each with the trust it leaves."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import groupby
from typing import Final

import numpy as np
from numpy.typing import NDArray

from scumble.card.areas.flaws import MOST_LEFT_OUT, Closer, Flaw
from scumble.card.areas.thickness import Evened
from scumble.card.light.lost import CUT_OFF_SHARE
from scumble.card.light.sampling import Sample
from scumble.card.photographed import Fault
from scumble.card.sheet.geometry import Area
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
UNEVEN: Final = 0.2
UNEVEN_TRUST: Final = 0.4
"""Relative deviation of the tiles beyond which an area is left out, and the most that is left of its weight."""

VERY_UNEVEN: Final = 0.6
"""Relative deviation of thickness beyond which no correction is believed."""

NOTED_SPREAD: Final = 0.2
"""Relative deviation of thickness that is worth a word: three times what an ordinary brush leaves."""

ONE_SIDED: Final = 0.4
"""Correlation of thickness with a direction from which one side is called the thicker one."""

MUCH_LEFT_OUT: Final = 0.15

NOTED_BIAS: Final = 0.012
USUAL_NOISE: Final = 0.02
"""Relative error of the mean from uneven thickness that is worth a word, and the noise it is weighed against."""

DARK: Final = 0.004
"""Linear light below which 8 bits leave steps of more than 7 %."""

CUT_OFF: Final = Fault(
    "cut off", "Its colour is too deep or too strong for this picture's colour space.", 0.8
)
"""The missing channel may move a strong blue of sRGB by a dozen dE00: the reading is blind in its direction."""

UNKNOWN_LIGHT: Final = 0.06
"""Relative doubt of the light on an area beyond which its colour cannot be believed."""

SAME_DE00: Final = 1.2
"""Colour difference under which a film is not told from its ground."""

WHITE_L: Final = 80.0
WHITE_CHROMA: Final = 12.0
"""Lightness from which, and chroma to which, a full film over black is a white's."""


def judge_area(
    sample: Sample,
    light: Floats,
    scatter: float,
    agreeing: NDArray[np.bool_],
    *,
    light_doubt: float = 0.0,
    closer: Closer | None = None,
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
    closer : Closer, optional
        What a close look found; strays and unevenness are then judged by that.
    """
    if sample.inside < 0.98:
        return (Fault("outside", "It lies partly outside the picture.", 0.0),)
    if sample.points < FEW_POINTS:
        return (Fault("few points", f"It is seen too small: {sample.points} picture points.", 0.0),)
    faults = [*_glare(light, agreeing if closer is None else None), *_clipping(sample)]
    if light_doubt > UNKNOWN_LIGHT:
        sentence = "The light on it is not known: the paper around it is overexposed, covered or painted."
        faults.append(Fault("light unknown", sentence, 0.3))
    faults += _unevenness(scatter) if not faults and closer is None else []
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


def judge_flaws(closer: Closer) -> tuple[Fault, ...]:
    """What was left out of an area's average, and the trust that leaves."""
    if closer.left_out > MOST_LEFT_OUT:
        sentence = "It shows two colours and neither is surely its film's: look at it."
        return (Fault("two colours", sentence, 0.3),)
    trust = 0.9 if closer.left_out <= MUCH_LEFT_OUT else 0.6
    return tuple(
        Fault(flaw.kind, _flaw_in_words(flaw), 0.5 if flaw.kind == "shine" and trust < 0.9 else trust)
        for flaw in closer.flaws
    )


def _flaw_in_words(flaw: Flaw) -> str:
    """One sentence that names what it is and where."""
    share = f"{100 * flaw.share:.0f} % of it" if flaw.share >= 0.005 else "less than 1 % of it"
    many = flaw.count > 1
    if flaw.kind == "pinholes":
        what = f"{flaw.count} pinholes that show the ground" if many else "A pinhole that shows the ground"
    elif flaw.kind == "gap":
        what = f"A gap that shows the ground at the {flaw.where}"
    elif flaw.kind == "dust":
        what = f"{flaw.count} specks of dust" if many else "A speck of dust"
    elif flaw.kind == "shine":
        what = f"Glare or a gap at the {flaw.where}"
    elif flaw.kind == "drip":
        what = (
            f"{flaw.count} drips, the largest at the {flaw.where}," if many else f"A drip at the {flaw.where}"
        )
    elif flaw.kind == "hair":
        what = f"{flaw.count} hairs" if many else f"A hair at the {flaw.where}"
    else:
        what = (
            f"{flaw.count} spots, the largest at the {flaw.where}," if many else f"A spot at the {flaw.where}"
        )
    return f"{what} ({share}) {'were' if many else 'was'} left out of the average."


def judge_thickness(even: Evened, seen: Floats, scatter: float) -> tuple[Fault, ...]:
    """Whether a film lies so unevenly that its reading was moved, in words that say where it is thick.

    Parameters
    ----------
    even : Evened
        The film at its mean thickness.
    seen : array, shape (3,) [1]
        The mean of what it shows.
    scatter : float [1]
        Relative deviation of its tiles.
    """
    if even.spread == 0.0:
        return tuple(_unevenness(scatter))
    brightness = max(float(seen.sum()), 1e-6)
    moved = float((even.light - seen).sum()) / brightness
    if even.spread < NOTED_SPREAD or max(abs(moved), *(abs(even.light - seen) / (seen + DARK))) < NOTED_BIAS:
        return ()
    doubt = float(np.sqrt(sum(float(np.max(np.abs(part) / (seen + 0.02))) ** 2 for part in even.doubts)))
    trust = 1.0 / (1.0 + (doubt / (5.0 * USUAL_NOISE)) ** 2)
    if even.spread > VERY_UNEVEN:
        trust = min(trust, UNEVEN_TRUST)
    side = _thick_side(even.thick_side)
    where = f", thick at the {side[0]} and thin at the {side[1]}" if side else ""
    way = "lighter" if moved > 0 else "darker"
    return (
        Fault(
            "uneven",
            f"It is painted unevenly{where}: its thickness varies by {100 * even.spread:.0f} %. It was set"
            f" to what an even film shows, {100 * abs(moved):.1f} % {way} than its mean.",
            round(trust, 2),
        ),
    )


def _thick_side(thick: Floats) -> tuple[str, str] | None:
    """The thick and the thin side in words, none where there is no side to it."""
    if float(np.linalg.norm(thick)) < ONE_SIDED:
        return None
    right, down = thick
    across = ("right", "left") if right > 0 else ("left", "right")
    upright = ("lower", "upper") if down > 0 else ("upper", "lower")
    if abs(right) < 0.4 * abs(down):
        return f"{upright[0]} side", f"{upright[1]} side"
    if abs(down) < 0.4 * abs(right):
        return f"{across[0]} side", f"{across[1]} side"
    return f"{upright[0]} {across[0]}", f"{upright[1]} {across[1]}"


def _glare(light: Floats, agreeing: NDArray[np.bool_] | None) -> list[Fault]:
    """Places that shine, or many that differ from the rest."""
    shining = float(np.mean(light.max(axis=1) > SHINE))
    if shining > SHINING_SHARE:
        return [Fault("glare", f"Glare: {100 * shining:.0f} % of it shines brighter than the paper.", 0.0)]
    if agreeing is None:
        return []
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
        return [CUT_OFF]
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
