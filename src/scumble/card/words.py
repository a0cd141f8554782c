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

SUBTITLES: Final = {"full": "full, 16 squares to paint", "quick": "quick, 6 squares to paint"}

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

CUT: Final = "cut here; the other half is spare"

INSTRUCTIONS: Final = {
    "full": (
        "Print at actual size (100 %) on plain white paper and check the ruler."
        " Laser print is best: ink may run under wet paint.",
        "Measure parts by volume, with one small spoon. Medium may be water where the paint allows it.",
        "Painting over the edge of a square does no harm."
        " Keep the corner marks, the bare squares and the paper round about clean.",
        "How thick a thin stroke is does not matter; that it stays as thick from its first square to its last does.",
        "Let it dry flat. Photograph it from straight above in even daylight, without flash, with all marks in view.",
    ),
    "quick": (
        "Print at actual size (100 %) and check the ruler. Measure parts by volume."
        " Keep corner marks, bare squares and margins clean.",
        "Let it dry flat. Photograph it from straight above in even daylight, without flash, with all marks in view.",
    ),
}

CAUTION: Final = (
    "Cautions for these pigments: see the label and the safety data sheet, and follow local rules."
)


def caption(film: str, ground: str) -> str:
    """What stands under an area; a film that is on no printed card goes by its own name.

    Examples
    --------
    >>> caption("thin1", "yellow"), caption("bare", "black")
    ('thin on yellow', 'bare black')
    """
    return f"bare {ground}" if film == "bare" else f"{FILMS.get(film, film)} on {ground}"
