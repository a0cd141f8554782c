"""Questions about white: brighter or duller with it, the colour of a tint, and which of two tubes pulls more."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from scumble.colour import delta_e_2000, lab_to_lch, lch_to_lab
from scumble.paint.comparing import ALIKE_STRENGTH
from scumble.paint.covering import MOST_COATS
from scumble.paint.drawdown import chroma_of, lab_of, over_white
from scumble.paint.estimate import CERTAIN, estimate_of, share_of
from scumble.paint.question.about_cover import by_level, parts_in
from scumble.paint.question.question import Choice, Kind, Laid, Question, Shown, plain_lab
from scumble.paint.question.tray import Tray, Tube
from scumble.paint.question.wrong import Guess, interval_of, mean_light, offer_swatches, say_colour
from scumble.paint.thinning import NEUTRAL_CHROMA
from scumble.paint.tinting import GAINS_BY, PASTEL_DE00, WHITE_PARTS, last_parts, tint_lab, tint_reflectance
from scumble.paint.words import write_number

Floats = NDArray[np.float64]

EQUAL_PARTS = 1.0
TINT_PARTS = (1.0, 2.0, 4.0)
"""Parts of white to one of paint that are asked about."""

BESIDE = 3
"""Tubes that one is tried beside."""

WITH_WHITE_WORDS = ("Brighter", "Only lighter", "Duller")


def _tints(tube: Tube, white: Tube, parts: tuple[float, ...] | Floats) -> Floats:
    """CIELAB of hiding tints, shape (1 + draws, steps, 3)."""
    return tint_lab(tube.own, white.own, np.asarray(parts), coats=MOST_COATS, index=tube.index)


def ask_with_white(tray: Tray) -> Question | None:
    """Brighter, only lighter or duller with as much white."""
    tube, white = tray.tube, tray.white
    if white is None:
        return None
    lab = _tints(tube, white, (0.0, EQUAL_PARTS))
    chroma = chroma_of(lab)
    change = chroma[:, 1] - chroma[:, 0]
    if chroma[0].max() < NEUTRAL_CHROMA:
        return None
    becomes = np.where(change >= GAINS_BY, 0, np.where(change <= -GAINS_BY, 2, 1))
    right = int(becomes[0])
    if share_of(becomes == right) < CERTAIN:
        return None
    near = min(abs(abs(float(change[0])) - GAINS_BY), 40.0)
    return Question(
        kind=Kind.WITH_WHITE,
        paints=(tube.paint.key,),
        asks=f"One part of {white.paint.label} goes into one part of {tray.label}. Beside the plain paint, both "
        "laid thick, is it brighter, only lighter, or duller?",
        given=(Shown("plain, in a film that hides", plain_lab(lab[0, 0])),),
        choices=tuple(
            Choice(
                words,
                slip="" if at == right else "expected white to " + ("brighten", "change little", "dull")[at],
            )
            for at, words in enumerate(WITH_WHITE_WORDS)
        ),
        right=right,
        margin=max(near / 2.0, 1.0),
        why=(
            "White throws the light back before the paint has swallowed it: a dark clear colour comes to life.",
            "It throws back plenty of light by itself; white adds lightness and hardly touches the colour.",
            "It is full already; white puts pale light in the place of coloured light.",
        )[right],
        number=f"chroma {chroma[0, 0]:.0f} to {chroma[0, 1]:.0f}, a change of {write_number(estimate_of(change), 0)}",
        meaning=f"CIELAB chroma of the tint 1 : 1 less that of the plain paint, in films that hide; {GAINS_BY:g} "
        "either way counts. Scumble's own.",
        painted=(
            Shown("plain", plain_lab(lab[0, 0])),
            Shown(f"1 : 1 with {white.paint.label}", plain_lab(lab[0, 1])),
        ),
        laid=Laid("white", ((tube.paint.key, 1.0), (white.paint.key, EQUAL_PARTS)), MOST_COATS),
    )


def ask_little_white(tray: Tray) -> Question | None:
    """Which colour a tint has."""
    tube, white = tray.tube, tray.white
    if white is None:
        return None
    parts = TINT_PARTS[int(tray.rng.integers(len(TINT_PARTS)))]
    right = _tints(tube, white, (parts,))[:, 0]
    plain = _tints(tube, white, (0.0,))[0, 0]
    offered = offer_swatches(
        right, _tint_guesses(tray, white, right[0], parts), level=tray.level, rng=tray.rng
    )
    if offered is None:
        return None
    return Question(
        kind=Kind.LITTLE_WHITE,
        paints=(tube.paint.key,),
        asks=f"{parts:g} part{'s' * (parts != 1)} of {white.paint.label} to one of {tray.label}, laid thick. Which "
        "colour is it?",
        given=(Shown("plain, in a film that hides", plain_lab(plain)),),
        choices=offered.choices,
        right=offered.right,
        margin=offered.margin,
        why=_why_tint(plain, right[0]),
        number=f"L* {right[0][0]:.0f}, chroma {chroma_of(right[0]):.0f}, {say_colour(right[0])}",
        meaning="Parts by volume as supplied, in a film that hides.",
        painted=(
            Shown("plain", plain_lab(plain)),
            Shown(f"1 : {parts:g} with {white.paint.label}", plain_lab(right[0])),
        ),
        laid=Laid("white", ((tube.paint.key, 1.0), (white.paint.key, parts)), MOST_COATS),
        wanted=plain_lab(right[0]),
        interval_de00=interval_of(right),
    )


def _tint_guesses(tray: Tray, white: Tube, right: Floats, parts: float) -> list[Guess]:
    tube = tray.tube
    own, pale = ((each.absorption[:1], each.scattering[:1]) for each in (tube, white))
    steps = np.array([0.0, parts / 8.0, parts * 10.0])
    tints = tint_reflectance(own, pale, steps, coats=MOST_COATS, index=tube.index)[0]
    plain_white = over_white(pale[0][0] * MOST_COATS, pale[1][0] * MOST_COATS, index=tube.index)
    coats = np.geomspace(1.0, 0.01, 40)[:, None]
    thin = lab_of(over_white(own[0] * coats, own[1] * coats, index=tube.index))
    alike = thin[int(np.abs(thin[:, 0] - right[0]).argmin())]
    hue = float(lab_to_lch(lab_of(tints[0]))[2])
    return [
        Guess(
            mean_light(tints[0], plain_white, parts / (1.0 + parts)),
            "averaged the two colours as if they were lights",
        ),
        Guess(lab_of(tints[1]), "gave the paint too much strength against white"),
        Guess(lab_of(tints[2]), "gave the white too much strength"),
        Guess(alike, "thought of a thin film over white, not of a mixture with it"),
        Guess(
            lch_to_lab(np.array([right[0], chroma_of(right), hue])),
            "kept the hue of the plain paint, though white turns it",
        ),
    ]


def _why_tint(plain: Floats, tint: Floats) -> str:
    turned = (lab_to_lch(tint)[2] - lab_to_lch(plain)[2] + 180.0) % 360.0 - 180.0
    if tint[0] < 62.0:
        return "A strong paint: white throws light back, but every ray still meets the paint on its way out."
    if abs(float(turned)) > 10.0 and chroma_of(tint) > 10.0:
        return "White shortens the way of light through the paint, so the hue shifts towards what it takes least."
    return "White throws back nearly all light and the paint takes out only its own share."


def _strength(tube: Tube, white: Tube) -> Floats:
    """Parts of white that a tube takes to a pastel, shape (1 + draws,)."""
    lab = _tints(tube, white, WHITE_PARTS)
    pale = lab_of(over_white(white.absorption * MOST_COATS, white.scattering * MOST_COATS, index=tube.index))
    depth = delta_e_2000(lab, np.broadcast_to(pale[:, None], lab.shape))
    return np.array([last_parts(each, PASTEL_DE00) for each in depth])


def ask_pulls_white(tray: Tray) -> Question | None:
    """Which of two tubes pulls more white."""
    tube, white = tray.tube, tray.white
    if white is None:
        return None
    own = _strength(tube, white)
    beside = [other for other in tray.others if other.paint.label != tray.label][:BESIDE]
    strengths = {other.paint.key: _strength(other, white) for other in beside}
    ratios = {key: np.log(np.maximum(own, 0.01) / np.maximum(each, 0.01)) for key, each in strengths.items()}
    decided = [
        other
        for other in beside
        if parts_in(ratios[other.paint.key])
        and abs(ratios[other.paint.key][0]) > 2.0 * np.log(ALIKE_STRENGTH)
    ]
    if not decided or own[0] <= 0.0:
        return None
    other = by_level(tray, decided, [abs(float(ratios[each.paint.key][0])) for each in decided])
    theirs = strengths[other.paint.key]
    pair = ((tube, own), (other, theirs)) if tray.rng.random() < 0.5 else ((other, theirs), (tube, own))
    stronger = 0 if pair[0][1][0] > pair[1][1][0] else 1
    numbers = " and ".join(write_number(estimate_of(each), 0 if each[0] >= 10.0 else 1) for _, each in pair)
    return Question(
        kind=Kind.PULLS_WHITE,
        paints=(tube.paint.key, other.paint.key),
        asks=f"One part of each is let down with {white.paint.label}. Which of the two pulls more of it?",
        given=tuple(
            Shown(f"masstone of {each.paint.label}", plain_lab(each.film_lab(1.0)[0])) for each, _ in pair
        ),
        choices=tuple(
            Choice(
                each.paint.label, slip="" if at == stronger else "took the weaker for the stronger in white"
            )
            for at, (each, _) in enumerate(pair)
        ),
        right=stronger,
        margin=max(abs(float(ratios[other.paint.key][0])) / (2.0 * np.log(ALIKE_STRENGTH)) / 2.0, 1.0),
        why=(
            f"Strength is how much light one part takes out of white; {pair[stronger][0].paint.label} takes out more, "
            "whatever its masstone looks like."
        ),
        number=f"{numbers} parts of white to a pastel",
        meaning=f"Parts of white by volume at which a hiding tint lies dE00 {PASTEL_DE00:.0f} from the white, after "
        "the manner of ASTM D4838.",
        painted=tuple(
            Shown(f"{each.paint.label}, 1 : 9 with white", plain_lab(_tints(each, white, (9.0,))[0, 0]))
            for each, _ in pair
        ),
        laid=Laid("white", ((pair[stronger][0].paint.key, 1.0), (white.paint.key, 9.0)), MOST_COATS),
    )
