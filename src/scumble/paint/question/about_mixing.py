"""Questions about two tubes stirred together, and about one colour reached two ways."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from scumble.colour import delta_e_2000
from scumble.paint.covering import MOST_COATS
from scumble.paint.drawdown import chroma_of, lab_of, over_white
from scumble.paint.estimate import CERTAIN, estimate_of, share_of
from scumble.paint.question.question import Choice, Kind, Laid, Question, Shown, plain_lab
from scumble.paint.question.tray import Tray, Tube
from scumble.paint.question.wrong import Guess, interval_of, mean_light, offer_swatches, say_colour
from scumble.paint.thinning import PATH_COATS
from scumble.paint.tinting import GAINS_BY, WHITE_PARTS, tint_lab
from scumble.paint.words import write_number

Floats = NDArray[np.float64]

STRAYS = 6.0
"""Parts against one by which a mixture is misjudged. Scumble's own."""


TWO_WAYS_WORDS = ("Glazed, thin over white", "Covered, mixed with white", "About as bright")
TWO_WAYS_SLIPS = (
    "expected every glaze to glow",
    "trusted white to keep the colour",
    "saw no difference in the two ways",
)


def _mixed(pair: tuple[Tube, Tube], parts: tuple[float, float]) -> Floats:
    """Reflectance of hiding mixtures, shape (1 + draws, 36)."""
    share = np.array(parts) / sum(parts)
    depth = [
        MOST_COATS * (share[0] * first + share[1] * second)
        for first, second in zip(pair[0].own, pair[1].own, strict=True)
    ]
    return over_white(*depth, index=pair[0].index)


def ask_mixing(tray: Tray) -> Question | None:
    """Which colour two tubes give in equal parts."""
    names = [tray.others[at] for at in tray.rng.permutation(len(tray.others)).tolist()]
    for other in names[:5]:
        pair = (tray.tube, other)
        right = lab_of(_mixed(pair, (1.0, 1.0)))
        plain = [_mixed(pair, parts)[0] for parts in ((1.0, 0.0), (0.0, 1.0))]
        offered = offer_swatches(right, _guesses(pair, plain), level=tray.level, rng=tray.rng)
        if offered is None or other.paint.label == tray.label:
            continue
        return Question(
            kind=Kind.MIXING,
            paints=(tray.tube.paint.key, other.paint.key),
            asks=f"{tray.label} and {other.paint.label} in equal parts, laid thick. Which colour is it?",
            given=tuple(
                Shown(f"{each.paint.label} alone, in a film that hides", plain_lab(lab_of(seen)))
                for each, seen in zip(pair, plain, strict=True)
            ),
            choices=offered.choices,
            right=offered.right,
            margin=offered.margin,
            why=_why(pair, right[0], [lab_of(each) for each in plain]),
            number=f"L* {right[0][0]:.0f}, chroma {chroma_of(right[0]):.0f}, {say_colour(right[0])}",
            meaning="Equal parts by volume as supplied, in a film that hides.",
            painted=(
                *(
                    Shown(f"{each.paint.label} alone", plain_lab(lab_of(seen)))
                    for each, seen in zip(pair, plain, strict=True)
                ),
                Shown("mixed 1 : 1", plain_lab(right[0])),
            ),
            laid=Laid("white", ((tray.tube.paint.key, 1.0), (other.paint.key, 1.0)), MOST_COATS),
            wanted=plain_lab(right[0]),
            interval_de00=interval_of(right),
        )
    return None


def _guesses(pair: tuple[Tube, Tube], plain: list[Floats]) -> list[Guess]:
    middle = (lab_of(plain[0]) + lab_of(plain[1])) / 2.0
    return [
        Guess(mean_light(plain[0], plain[1]), "averaged the two colours as if they were lights"),
        Guess(middle, "looked half way between the two"),
        Guess(lab_of(_mixed(pair, (STRAYS, 1.0))[0]), f"gave {pair[0].paint.label} too much strength"),
        Guess(lab_of(_mixed(pair, (1.0, STRAYS))[0]), f"gave {pair[1].paint.label} too much strength"),
        Guess(lab_of(np.sqrt(plain[0] * plain[1])), "took both to be equally strong"),
    ]


def _why(pair: tuple[Tube, Tube], mixed: Floats, plain: list[Floats]) -> str:
    away = [float(delta_e_2000(mixed, each)) for each in plain]
    if min(away) * 2.0 < max(away):
        strong = pair[int(np.argmin(away))].paint.label
        return f"{strong} is the stronger of the two and carries the mixture its way."
    if chroma_of(mixed) < 0.6 * min(chroma_of(each) for each in plain):
        return "Each takes out what the other would throw back, so little colour is left."
    return "Only the light that neither takes comes back, so a mixture lies darker than half way."


def ask_two_ways(tray: Tray) -> Question | None:
    """Whether one lightness of a tube is brighter glazed over white or covered, mixed with white."""
    tube, white = tray.tube, tray.white
    if white is None:
        return None
    coats = PATH_COATS[:, None]
    thin = lab_of(
        over_white(tube.absorption[:, None] * coats, tube.scattering[:, None] * coats, index=tube.index)
    )
    tints = tint_lab(tube.own, white.own, WHITE_PARTS, coats=MOST_COATS, index=tube.index)
    low, high = max(thin[0, :, 0].min(), tints[0, :, 0].min()), min(thin[0, :, 0].max(), tints[0, :, 0].max())
    if high - low < 10.0:
        return None
    lightness = low + (0.45, 0.6, 0.75)[int(tray.rng.integers(3))] * (high - low)
    ways = [_at_lightness(each, lightness) for each in (thin, tints)]
    gain = chroma_of(ways[0]) - chroma_of(ways[1])
    becomes = np.where(gain >= GAINS_BY, 0, np.where(gain <= -GAINS_BY, 1, 2))
    right = int(becomes[0])
    if share_of(becomes == right) < CERTAIN:
        return None
    numbers = " and ".join(write_number(estimate_of(chroma_of(each)), 0) for each in ways)
    thickness = float(PATH_COATS[int(np.abs(thin[0, :, 0] - lightness).argmin())])
    return Question(
        kind=Kind.TWO_WAYS,
        paints=(tube.paint.key,),
        asks=f"{tray.label} is brought to the same lightness two ways: thinned over white, or mixed with "
        f"{white.paint.label} so that it covers. Which is the brighter?",
        given=(Shown("masstone, one coat over white", plain_lab(tube.film_lab(1.0)[0])),),
        choices=tuple(
            Choice(words, slip="" if at == right else TWO_WAYS_SLIPS[at])
            for at, words in enumerate(TWO_WAYS_WORDS)
        ),
        right=right,
        margin=max(abs(abs(float(gain[0])) - GAINS_BY) / 2.0, 1.0),
        why=(
            "Over white, light passes the colour twice; in the mixture much of it is thrown back before it has passed "
            "any.",
            "Its own grains are already pale in a thin film; white in the mixture does no more harm.",
            "Its own grains throw back as much in a thin film as white does in the mixture.",
        )[right],
        number=f"chroma {numbers} at L* {lightness:.0f}",
        meaning="CIELAB chroma of the thin film over white and of the hiding tint of equal lightness; "
        f"{GAINS_BY:g} either way counts. Scumble's own.",
        painted=(
            Shown(f"glazed, {thickness:.2g} of a coat over white", plain_lab(ways[0][0])),
            Shown("covered, mixed with white", plain_lab(ways[1][0])),
        ),
        laid=Laid("white", ((tube.paint.key, 1.0),), thickness),
    )


def _at_lightness(path: Floats, lightness: float) -> Floats:
    """CIELAB where paths of shape (possible, steps, 3) pass a lightness, shape (possible, 3)."""
    found = np.empty((len(path), 3))
    for row, each in enumerate(path):
        order = np.argsort(each[:, 0], kind="stable")
        found[row] = [np.interp(lightness, each[order, 0], each[order, axis]) for axis in range(3)]
    return found
