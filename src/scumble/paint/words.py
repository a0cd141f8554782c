"""A paint's behaviour in sentences that a painter would say, each with the number behind it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from scumble.paint.behaviour import Behaviour
from scumble.paint.covering import HIDING_RATIO, MARK_BOUNDS, MOST_COATS, mark_of
from scumble.paint.estimate import CERTAIN, PROBABLE, Estimate
from scumble.paint.thinning import Course, Thinning
from scumble.paint.tinting import PASTEL_DE00, Tinting

HUE_POLES = (
    (0.0, "rose"),
    (30.0, "red"),
    (60.0, "orange"),
    (90.0, "yellow"),
    (140.0, "green"),
    (200.0, "turquoise"),
    (265.0, "blue"),
    (310.0, "violet"),
    (345.0, "magenta"),
)
"""Where a hue is called what, by CIELAB hue angle [degree]. Scumble's own."""

TURNS_BY, WARMER_BY = 6.0, 0.06
"""Change of hue angle [degree] and of the cosine to the warm pole that is worth a word. Scumble's own."""

VANISHES_BELOW, STANDS_ABOVE, DARK_BELOW = 0.4, 0.85, 20.0
"""Share of lightness kept over black, and CIELAB lightness over black, that bound the words. Scumble's own."""

STRENGTH_WORDS = ((6.0, "weak"), (15.0, "middling"), (40.0, "strong"), (np.inf, "very strong"))
"""Parts of white pulled to a pastel, up to which a tinting strength has its word. Scumble's own."""


@dataclass(frozen=True, slots=True)
class Sentence:
    """One thing to know about a paint.

    Parameters
    ----------
    topic : str
        What it is about, in a word or two.
    claim : str
        What a painter would say, without a full stop.
    number : str
        The figure behind it with its interval.
    meaning : str
        How that figure is defined, and by which standard.

    Examples
    --------
    >>> print(Sentence("cover", "Covers in one coat", "contrast ratio 0.99", "Y over black / Y over white."))
    Covers in one coat: contrast ratio 0.99.
    """

    topic: str
    claim: str
    number: str
    meaning: str

    def __str__(self) -> str:
        return f"{self.claim}: {self.number}." if self.number else f"{self.claim}."


def describe_behaviour(behaviour: Behaviour) -> tuple[Sentence, ...]:
    """Say how a paint behaves.

    Parameters
    ----------
    behaviour : Behaviour
        From :func:`scumble.paint.behaviour.predict_behaviour`.

    Returns
    -------
    tuple of Sentence
        Cover first, then transparency, thinning, hue, black, white.
    """
    sentences = [
        _cover(behaviour),
        _transparency(behaviour),
        _two_tones(behaviour),
        _course(behaviour.thinning),
        _turn(behaviour.thinning),
        _over_black(behaviour),
        *(_into_white(behaviour.tinting) if behaviour.tinting else ()),
    ]
    return tuple(sentence for sentence in sentences if sentence is not None)


def write_number(estimate: Estimate, digits: int = 2) -> str:
    """A number with its interval.

    Examples
    --------
    >>> write_number(Estimate(0.987, 0.981, 0.993)), write_number(Estimate(0.987, 0.987, 0.987))
    ('0.99 (0.98 to 0.99)', '0.99')
    >>> write_number(Estimate(6.3, 5.1, np.inf), 1)
    '6.3 (5.1 to no end)'
    """
    value, low, high = (
        f"{each:.{digits}f}" if np.isfinite(each) else "no end"
        for each in (estimate.value, estimate.low, estimate.high)
    )
    return value if low == high == value else f"{value} ({low} to {high})"


def hedge(statement: str, share: float) -> str:
    """Say a statement as firmly as it can be said.

    Parameters
    ----------
    statement : str
        Beginning with a verb: *covers in one coat*.
    share : float [1]
        Share of the possible optics in which it holds.

    Examples
    --------
    >>> hedge("covers in one coat", 1.0), hedge("covers in one coat", 0.8), hedge("covers in one coat", 0.5)
    ('Covers in one coat', 'Probably covers in one coat', "Can't tell whether it covers in one coat")
    """
    if share >= CERTAIN:
        return _start(statement)
    return f"Probably {statement}" if share >= PROBABLE else f"Can't tell whether it {statement}"


def _start(statement: str) -> str:
    """With a capital letter."""
    return statement[0].upper() + statement[1:]


def _parts(parts: Estimate) -> str:
    """Parts of white with two meaningful digits."""
    value, low, high = (f"{each:.2g}" if each < 10 else f"{each:.0f}" for each in _numbers(parts))
    return value if low == high == value else f"{value} ({low} to {high})"


def _numbers(estimate: Estimate) -> tuple[float, float, float]:
    return estimate.value, estimate.low, estimate.high


def _cover(behaviour: Behaviour) -> Sentence:
    ratio, coats = behaviour.contrast_ratio, behaviour.coats_to_hide
    meaning = (
        "Y of one coat over black divided by its Y over white 0.80 (ISO 6504-3, ASTM D2805; D65, 2 degrees, "
        f"mirror reflection left out). A film hides at {HIDING_RATIO}. One coat is the full stroke of the card."
    )
    one = f"contrast ratio {write_number(ratio)}"
    if ratio.value >= HIDING_RATIO:
        return Sentence("cover", hedge("covers in one coat", behaviour.one_coat_share), one, meaning)
    if np.isfinite(coats.value):
        claim = hedge(
            f"takes about {_count(coats.value)} to cover", 1.0 if np.isfinite(coats.high) else PROBABLE
        )
        number = f"{one} in one coat, {HIDING_RATIO} at {_coats(coats)}"
        return Sentence("cover", claim, number, meaning)
    claim = hedge("never covers in a film one can work", 1.0 if np.isinf(coats.low) else PROBABLE)
    return Sentence("cover", claim, f"{one} in one coat, and {MOST_COATS:.0f} coats do not hide", meaning)


def _coats(coats: Estimate) -> str:
    """Coats with their interval, where the far end may lie beyond a workable film."""
    if coats.is_exact:
        return f"{coats.value:.1f} coats"
    end = f"{coats.high:.1f}" if np.isfinite(coats.high) else f"more than {MOST_COATS:.0f}"
    return f"{coats.value:.1f} coats ({coats.low:.1f} to {end})"


def _count(coats: float) -> str:
    words = ("one", "two", "three", "four", "five", "six", "seven", "eight")
    halves = round(2 * coats)
    whole = words[max(halves // 2, 1) - 1]
    if halves % 2 and halves > 2:
        return f"{whole} and a half coats"
    return f"{whole} coat" if halves <= 2 else f"{whole} coats"


def _transparency(behaviour: Behaviour) -> Sentence:
    value, mark = behaviour.opacity, behaviour.mark
    ends = mark_of(value.low).value, mark_of(value.high).value
    if behaviour.mark_share >= PROBABLE or ends[0] == ends[1]:
        claim = _start(mark.value if behaviour.mark_share >= CERTAIN else f"probably {mark.value}")
    else:
        claim = f"Can't tell whether it is {ends[0]} or {ends[1]}"
    clear, half, nearly = MARK_BOUNDS
    meaning = (
        "Contrast ratio of half a coat, because a full coat of a dark colour hides by being dark: 0 is clear, 1 hides. "
        f"Transparent below {clear}, semi-transparent below {half}, semi-opaque below {nearly}, then opaque; these "
        "bounds are Scumble's own."
    )
    return Sentence("transparency", claim, f"half a coat has contrast ratio {write_number(value)}", meaning)


def _two_tones(behaviour: Behaviour) -> Sentence:
    masstone, undertone = behaviour.masstone_name, behaviour.undertone_name
    meaning = (
        "Masstone: one coat at full strength over white. Undertone: the film over white that has the greatest CIELAB "
        "chroma. Names follow NBS Special Publication 440."
    )
    number = f"the undertone is fullest at {write_number(behaviour.thinning.undertone_coats)} coat"
    if masstone == undertone:
        return Sentence("tones", f"Masstone and undertone are both {masstone}", number, meaning)
    return Sentence("tones", f"Masstone {masstone}; thinned it turns {undertone}", number, meaning)


def _course(thinning: Thinning) -> Sentence:
    told = {
        Course.BRIGHTENS: "brightens as it is thinned",
        Course.LIGHTENS: "only gets lighter as it is thinned",
        Course.DULLS: "pales and dulls as it is thinned",
        Course.NEUTRAL: "stays close to neutral however thin",
    }
    number = f"chroma changes by {_signed(thinning.thinned_chroma)} at a quarter of a coat"
    meaning = (
        "CIELAB chroma of a quarter of a coat over white less that of the masstone. From +8 it brightens, from -8 "
        "it dulls, and below a chroma of 14 it counts as neutral; these bounds are Scumble's own."
    )
    return Sentence("thinning", hedge(told[thinning.course], thinning.course_share), number, meaning)


def _signed(change: Estimate) -> str:
    value, low, high = (f"{each:+.0f}" if abs(each) >= 0.5 else "0" for each in _numbers(change))
    return value if low == high == value else f"{value} ({low} to {high})"


def _turn(thinning: Thinning) -> Sentence | None:
    shift, warmth = thinning.hue_shift, thinning.warmth_shift
    if not np.isfinite(shift.value) or abs(shift.value) < TURNS_BY:
        return None
    hue = np.degrees(np.arctan2(thinning.undertone[2], thinning.undertone[1])) % 360.0
    temperature = ", warmer" if warmth.value > WARMER_BY else ", cooler" if warmth.value < -WARMER_BY else ""
    holds = min(shift.low * shift.value, shift.high * shift.value) > 0
    claim = hedge(
        f"turns towards {_pole_ahead(hue, shift.value)}{temperature} as it thins", 1.0 if holds else 0.0
    )
    meaning = (
        "CIELAB hue angle of the undertone less that of the masstone, red to yellow to green counted up. Warmer means "
        "nearer an orange of hue 55 degrees, cooler farther from it; that pole is Scumble's own."
    )
    return Sentence("hue", claim, f"hue angle changes by {_signed(shift)} degrees", meaning)


def _pole_ahead(hue: float, shift: float) -> str:
    """Name of the first pole that lies ahead of a hue in the direction of its shift."""
    ahead = [((pole - hue) * np.sign(shift) % 360.0, name) for pole, name in HUE_POLES]
    return min(ahead)[1]


def _over_black(behaviour: Behaviour) -> Sentence:
    share, lightness = behaviour.black_lightness, behaviour.over_black[0]
    if share.value < VANISHES_BELOW or lightness < DARK_BELOW:
        claim = "All but vanishes over black"
    elif share.value < STANDS_ABOVE:
        claim = "Shows dimly over black"
    else:
        claim = "Stands out over black almost as over white"
    number = f"L* {lightness:.0f} over black, {write_number(share)} of that over white"
    meaning = (
        "CIELAB lightness of one coat over black and over white, D65, 2 degrees; the words are Scumble's own."
    )
    return Sentence("over black", claim, number, meaning)


def _into_white(tinting: Tinting) -> tuple[Sentence, Sentence]:
    gains = tinting.gains_share >= 0.5
    number = f"chroma gains {write_number(tinting.chroma_gain, 0)}"
    if gains:
        number += f", most at {_parts(tinting.peak_parts)} parts of white to one of paint"
    claim = (
        hedge("gains chroma from white before it goes pastel", tinting.gains_share)
        if gains
        else hedge("only goes pastel with white", 1.0 - tinting.gains_share)
    )
    ladder = "Greatest CIELAB chroma of its tints, in films that hide, less that of the plain paint."
    depth = (
        f"Parts of white by volume at which a hiding tint lies dE00 {PASTEL_DE00:.0f} from the plain white: after the "
        "manner of ASTM D4838, with a depth of Scumble's own."
    )
    strength = tinting.strength_parts
    word = next(word for bound, word in STRENGTH_WORDS if strength.value <= bound)
    return (
        Sentence("with white", claim, number, ladder),
        Sentence(
            "strength",
            f"Has {word} tinting strength" if word != "middling" else "Has a middling tinting strength",
            f"one part takes {_parts(strength)} parts of white down to a pastel",
            depth,
        ),
    )
