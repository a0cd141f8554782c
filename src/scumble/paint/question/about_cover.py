"""Questions about covering: whether a coat hides, which of two hides better, how many coats it takes, how clear."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from scumble.colour import delta_e_2000
from scumble.paint.comparing import ALIKE_RATIO
from scumble.paint.covering import HALF_COAT, HIDING_RATIO, MARK_BOUNDS, MOST_COATS, Mark, mark_of
from scumble.paint.estimate import CERTAIN, estimate_of, share_of
from scumble.paint.question.question import Choice, Kind, Laid, Question, Shown, plain_lab
from scumble.paint.question.tray import Tray, Tube
from scumble.paint.thinning import MASSTONE_COATS
from scumble.paint.words import write_number

Floats = NDArray[np.float64]

BAR_SEEN = 2.0
"""Colour difference over black and white from which the bar is said to show [dE00]. Scumble's own."""

DARK = 30.0
"""CIELAB lightness of a masstone below which it hides black by being dark. Scumble's own."""

RATIO_MEANS = (
    "Y of one coat over black divided by its Y over white 0.80 (ISO 6504-3, ASTM D2805); "
    f"{HIDING_RATIO} hides."
)

COAT_STEPS = (1.0, 2.0, 4.0, np.inf)
COAT_WORDS = ("One coat", "Two coats", "Three or four coats", "Five or more, or never")
"""How many coats are told apart, up to which number."""


def ask_cover(tray: Tray) -> Question | None:
    """Whether one coat covers a black bar."""
    tube, ratio = tray.tube, tray.tube.ratio
    hides = share_of(ratio >= HIDING_RATIO)
    white, black = (tube.film_lab(MASSTONE_COATS, black=on_black)[0] for on_black in (False, True))
    seen = float(delta_e_2000(white, black))
    if 1.0 - CERTAIN < hides < CERTAIN or (hides < 0.5 and seen < BAR_SEEN):
        return None
    covers = hides >= CERTAIN
    margin = (ratio[0] - HIDING_RATIO) / 0.004 if covers else seen / BAR_SEEN
    return Question(
        kind=Kind.COVER,
        paints=(tube.paint.key,),
        asks=f"One coat of {tray.label} is brushed across a black bar on white. Is the bar gone?",
        given=(Shown("masstone, one coat over white", plain_lab(white)),),
        choices=(
            Choice("Yes, it is covered", slip="" if covers else "trusted a full colour to cover"),
            Choice("No, it still shows", slip="took a covering film for a clear one" if covers else ""),
        ),
        right=0 if covers else 1,
        margin=max(float(margin), 1.0),
        why=_why_cover(tube, covers=covers, lightness=float(white[0])),
        number=f"contrast ratio {write_number(estimate_of(ratio))}",
        meaning=RATIO_MEANS,
        painted=_on_both(tube, MASSTONE_COATS, "one coat"),
        laid=Laid("black", ((tube.paint.key, 1.0),), MASSTONE_COATS),
    )


def _on_both(tube: Tube, coats: float, words: str) -> tuple[Shown, Shown]:
    return (
        Shown(f"{words} over white", plain_lab(tube.film_lab(coats)[0])),
        Shown(f"{words} over black", plain_lab(tube.film_lab(coats, black=True)[0])),
    )


def _why_cover(tube: Tube, *, covers: bool, lightness: float) -> str:
    if covers and lightness < DARK:
        return "It is so dark by itself that a black bar has nothing left to show."
    if covers:
        return "Its grains throw the light back before it reaches the bar."
    if mark_of(float(tube.opacity[0])) in (Mark.TRANSPARENT, Mark.SEMI_TRANSPARENT):
        return "Light goes through the film, is lost in the bar and does not come back: a full colour need not cover."
    return "Its grains throw much of the light back, but not all: the bar still takes its share."


def ask_covers_better(tray: Tray) -> Question | None:
    """Which of two tubes covers better in one coat."""
    tube = tray.tube
    decided = [
        other
        for other in tray.others
        if other.paint.label != tray.label
        and abs(tube.ratio[0] - other.ratio[0]) > 2.0 * ALIKE_RATIO
        and parts_in(tube.ratio - other.ratio)
    ]
    if not decided:
        return None
    other = by_level(tray, decided, [abs(float(tube.ratio[0] - each.ratio[0])) for each in decided])
    pair = (tube, other) if tray.rng.random() < 0.5 else (other, tube)
    better = 0 if pair[0].ratio[0] > pair[1].ratio[0] else 1
    gap = abs(float(tube.ratio[0] - other.ratio[0]))
    numbers = " and ".join(write_number(estimate_of(each.ratio)) for each in pair)
    return Question(
        kind=Kind.COVERS_BETTER,
        paints=(tube.paint.key, other.paint.key),
        asks="One coat of each over black: which of the two covers better?",
        given=tuple(
            Shown(f"masstone of {each.paint.label}", plain_lab(each.film_lab(MASSTONE_COATS)[0]))
            for each in pair
        ),
        choices=tuple(
            Choice(
                each.paint.label, slip="" if at == better else "took the clearer tube for the better cover"
            )
            for at, each in enumerate(pair)
        ),
        right=better,
        margin=max(gap / (2.0 * ALIKE_RATIO), 1.0),
        why=(
            f"What covers is light that is thrown back or kept inside the film; {pair[better].paint.label} lets less "
            "of it through to the black and back."
        ),
        number=f"contrast ratio {numbers}",
        meaning=RATIO_MEANS,
        painted=tuple(
            Shown(f"{each.paint.label}, one coat over black", plain_lab(each.film_lab(1.0, black=True)[0]))
            for each in pair
        ),
        laid=Laid("black", ((pair[better].paint.key, 1.0),), MASSTONE_COATS),
    )


def parts_in(difference: Floats) -> bool:
    """Whether a difference has the sign of its most probable value in 19 of 20 possible optics."""
    return bool(difference[0]) and share_of(difference * np.sign(difference[0]) > 0.0) >= CERTAIN


def by_level(tray: Tray, several: list[Tube], gaps: list[float]) -> Tube:
    """The tube to set beside: the farthest third at level 1, the nearest third at level 3, one of them by chance."""
    order = sorted(range(len(several)), key=lambda at: -gaps[at])
    third = np.array_split(np.array(order), 3)[tray.level - 1]
    third = third if third.size else np.array(order)
    return several[int(third[int(tray.rng.integers(third.size))])]


def ask_coats(tray: Tray) -> Question | None:
    """How many coats it takes to hide black."""
    tube, coats = tray.tube, tray.tube.hiding_coats
    steps = np.searchsorted(COAT_STEPS, coats, side="left")
    right = int(steps[0])
    if share_of(steps == right) < CERTAIN:
        return None
    low, high = (0.4, *COAT_STEPS)[right], (*COAT_STEPS[:-1], MOST_COATS)[right]
    value = min(float(coats[0]), MOST_COATS)
    ends = [abs(np.log(value / low))] * (right > 0) + [abs(np.log(high / value))] * (right < 3)
    estimate = estimate_of(coats)
    said = (
        f"{write_number(estimate, 1)} coats" if np.isfinite(coats[0]) else f"more than {MOST_COATS:.0f} coats"
    )
    thick = min(max(round(value), 1.0), MOST_COATS)
    return Question(
        kind=Kind.COATS,
        paints=(tube.paint.key,),
        asks=f"How many full coats of {tray.label} until a black bar no longer shows?",
        given=(Shown("masstone, one coat over white", plain_lab(tube.film_lab(MASSTONE_COATS)[0])),),
        choices=tuple(
            Choice(words, slip="" if at == right else f"expected {'fewer' if at < right else 'more'} coats")
            for at, words in enumerate(COAT_WORDS)
        ),
        right=right,
        margin=max(min(ends) / 0.1, 1.0),
        why=(
            "Each coat leaves only a part of the light to the bar, and a clear paint leaves most of it."
            if right > 1
            else "Little light is left after the first coat, so the next has little to do."
        ),
        number=f"hides at {said}",
        meaning=f"Coats whose contrast ratio is {HIDING_RATIO}; at most {MOST_COATS:.0f} are looked at.",
        painted=(
            *_on_both(tube, 1.0, "one coat"),
            *(_on_both(tube, thick, f"{thick:g} coats") if thick > 1 else ()),
        ),
        laid=Laid("black", ((tube.paint.key, 1.0),), thick),
    )


def ask_transparency(tray: Tray) -> Question | None:
    """Which of the four marks of transparency a tube deserves."""
    tube, value = tray.tube, float(tray.tube.opacity[0])
    mark = mark_of(value)
    if share_of([mark_of(each) is mark for each in tube.opacity]) < CERTAIN:
        return None
    right = list(Mark).index(mark)
    return Question(
        kind=Kind.TRANSPARENCY,
        paints=(tube.paint.key,),
        asks=f"Is {tray.label} transparent or opaque?",
        given=(Shown("masstone, one coat over white", plain_lab(tube.film_lab(MASSTONE_COATS)[0])),),
        choices=tuple(
            Choice(each.value, slip="" if each is mark else _mark_slip(at, right))
            for at, each in enumerate(Mark)
        ),
        right=right,
        margin=max(min(abs(value - bound) for bound in MARK_BOUNDS) / 0.05, 1.0),
        why=(
            "Half a coat tells it: a dark full coat hides by being dark, but thinned it shows what lies below."
            if right < 2
            else "Even half a coat throws back enough light to keep the black down."
        ),
        number=f"half a coat has contrast ratio {write_number(estimate_of(tube.opacity))}",
        meaning="Contrast ratio of half a coat; marks begin at {:g}, {:g} and {:g}, Scumble's own.".format(
            *MARK_BOUNDS
        ),
        painted=_on_both(tube, HALF_COAT, "half a coat"),
        laid=Laid("black", ((tube.paint.key, 1.0),), HALF_COAT),
    )


def _mark_slip(at: int, right: int) -> str:
    return "took it for clearer than it is" if at < right else "took it for more covering than it is"
