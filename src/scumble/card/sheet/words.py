"""What the card says: the names of its areas, what to do in each row, and the short instructions."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final


@dataclass(frozen=True, slots=True)
class Heading:
    """What stands over a row.

    Parameters
    ----------
    name : str
        What the row is called.
    what_to_do : str
        One or two plain sentences.
    """

    name: str
    what_to_do: str


TITLE: Final = "Sample card"

SUBTITLES: Final = {
    "full": "full, 16 squares to paint",
    "quick": "quick, 6 squares to paint",
    "white": "for the white, 18 squares to paint",
}

FIELDS: Final = ("Tube", "Pigments", "Binder", "Date")

HEADINGS: Final = {
    "bare": Heading("Leave bare", "No paint here: these show what lies under the paint."),
    "full": Heading("Full strength", "Straight from the tube, one even coat that covers as well as it can."),
    "thin1": Heading("Thin", "1 part paint to 2 parts clear medium, in one even stroke from end to end."),
    "thin2": Heading(
        "Very thin", "1 part paint to 9 parts clear medium, in one even stroke from end to end."
    ),
    "tints": Heading(
        "With white", "1 part paint to as many parts white as drops show, mixed well; one full coat."
    ),
}

FILMS: Final = {
    "full": "full",
    "thin1": "thin",
    "thin2": "very thin",
    "tint1": "1 to 1",
    "tint4": "1 to 4",
    "tint19": "1 to 19",
}
"""What each film is called under its areas."""

RULER: Final = "100 mm"

STEPS: Final = "tone steps: leave bare"

CUT: Final = "cut here"

_LIGHT: Final = (
    "Let it dry flat. Photograph it in even daylight from straight above, without flash, all marks in view."
)

INSTRUCTIONS: Final = {
    "full": (
        "Print at actual size (100 %) on plain white paper and check the ruler."
        " Laser print is best: ink may run under wet paint.",
        "Measure parts by volume, with one small spoon. Medium may be water where the paint allows it.",
        "Painting over the edge of a square does no harm."
        " Keep corner marks, code, tone steps, bare squares and the paper round about clean.",
        "How thick a thin stroke is does not matter; that it stays as thick from its first square to its last does.",
        _LIGHT,
    ),
    "quick": (
        "Print at 100 %, check the ruler; measure parts by volume.",
        "Keep marks, code, tone steps and bare squares clean.",
        "Let it dry flat. Photograph it in even daylight, no flash.",
    ),
    "white": (
        "One card for each white you mix with: paint it once, and read it before the cards of other tubes.",
        "Print at actual size (100 %) on plain white paper and check the ruler."
        " Laser print is best: ink may run under wet paint.",
        "Three strokes over all six squares: straight from the tube, then thinned with clear medium"
        " (or water where the paint allows it), measured by volume.",
        "One stroke must stay equally thick from its first square to its last; how thick does not matter."
        " On bare paper the white hardly shows; paint it all the same.",
        "Keep corner marks, code, tone steps, bare squares and the paper round about clean.",
        _LIGHT,
    ),
}

_CAUTION: Final = (
    "Cautions for these pigments: see the label and the safety data sheet, and follow local rules."
)

CAUTIONS: Final = {
    "full": _CAUTION,
    "quick": "Cautions: see the label, the safety data sheet and local rules.",
    "white": _CAUTION,
}


def caption(film: str, ground: str) -> str:
    """What stands under an area; a film that is on no printed card goes by its own name.

    Examples
    --------
    >>> caption("thin1", "yellow"), caption("bare", "black")
    ('thin on yellow', 'bare black')
    """
    return f"bare {ground}" if film == "bare" else f"{FILMS.get(film, film)} on {ground}"
