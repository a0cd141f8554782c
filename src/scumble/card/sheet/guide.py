"""How to paint a card, step by step, for somebody who has never done it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, slots=True)
class GuideStep:
    """One thing to do.

    Parameters
    ----------
    name : str
        What it is called.
    minutes : float [min]
        Planned for it; 0 where nothing is painted.
    films : tuple of str
        Films whose pictures stand beside it.
    sentences : tuple of str
        What to do, in order.
    """

    name: str
    minutes: float
    films: tuple[str, ...]
    sentences: tuple[str, ...]


_LAY_OUT = (
    "The tube, clear medium (or water, where the paint allows it), a flat brush 12 to 20 mm wide, a palette knife,"
    " one small spoon as the measure, and a rag.",
)
_LAY_OUT_WHITE = (
    "The tube, the white, clear medium (or water, where the paint allows it), a flat brush 12 to 20 mm wide,"
    " a palette knife, one small spoon as the measure, and a rag.",
)
_FULL = "Straight from the tube. One even coat over both squares in one go, as thick as it covers best; then leave it."
_THIN = (
    "Mix 2 spoons of paint and 4 of medium until no streak is left.",
    "One stroke from the first square to the last, without lifting. What is printed must show through.",
)
# Each mix is made of the one before, with enough left to paint: 3 of (2 + 4) hold 1 of paint, and 2 of medium; 7 more
# make 1 to 9. 2 of (2 + 2) with white hold 1 and 1; 3 more make 1 to 4, 1 of which holds 0.2 and 0.8; 3 more: 1 to 19.
_VERY_THIN = (
    "Take 3 spoons of the thin mix and stir in 7 of medium: that is 1 part of paint to 9.",
    "One stroke again; it leaves no more than a breath of colour.",
)
_DRY: Final = GuideStep(
    "Let it dry, then photograph it",
    0.0,
    (),
    (
        "Dry it flat, until it is dry to the touch. Bare squares, tone steps, code and corner marks stay clean.",
        "Even daylight, from straight above, no flash, sharp, all corner marks in view. A scan is as good.",
    ),
)

GUIDES: Final[dict[str, tuple[GuideStep, ...]]] = {
    "full": (
        GuideStep("Have ready", 0.0, (), _LAY_OUT_WHITE),
        GuideStep("Full strength", 1.0, ("full",), (_FULL,)),
        GuideStep("Thin", 1.5, ("thin1",), _THIN),
        GuideStep("Very thin", 1.5, ("thin2",), _VERY_THIN),
        GuideStep(
            "With white",
            4.5,
            ("tint1", "tint4", "tint19"),
            (
                "1 to 1: mix 2 spoons of paint and 2 of white well; one full coat on its square.",
                "1 to 4: take 2 spoons of that and stir in 3 of white; one full coat.",
                "1 to 19: take 1 spoon of that and stir in 3 of white; one full coat over both squares.",
                "Level the spoon and wipe it and the brush between mixes: these ratios count.",
            ),
        ),
        _DRY,
    ),
    "quick": (
        GuideStep("Have ready", 0.0, (), _LAY_OUT_WHITE),
        GuideStep("Full strength", 1.0, ("full",), (_FULL,)),
        GuideStep("Thin", 1.5, ("thin1",), _THIN),
        GuideStep(
            "With white",
            1.5,
            ("tint4",),
            ("Mix 1 spoon of paint and 4 of white well, the spoon level each time; one full coat.",),
        ),
        _DRY,
    ),
    "white": (
        GuideStep("Have ready", 0.0, (), _LAY_OUT),
        GuideStep(
            "Full strength",
            1.5,
            ("full",),
            (
                "Straight from the tube, in one even coat over all six squares, as thick as it covers best.",
                "On bare paper it hardly shows; paint it all the same.",
            ),
        ),
        GuideStep("Thin", 1.5, ("thin1",), _THIN),
        GuideStep("Very thin", 1.5, ("thin2",), _VERY_THIN),
        _DRY,
    ),
}

TITLE: Final = "How to paint it"

SUMMARY: Final = (
    "About {minutes} minutes with the brush. How thick a stroke is does not matter; that it stays so does."
)

HURT: Final = (
    "Do not spray or sand the paint, keep it off skin and food, and do not pour wash water down the drain."
    " Cautions for its pigments and binder: see the label and the safety data sheet, and follow local rules."
)


def minutes_of(layout: str) -> float:
    """Planned time with the brush [min].

    Examples
    --------
    >>> [minutes_of(layout) for layout in GUIDES]
    [8.5, 4.0, 4.5]
    """
    return sum(step.minutes for step in GUIDES[layout])
