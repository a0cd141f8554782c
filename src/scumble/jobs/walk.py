"""A walk through the pages for who opens them for the first time: a few stops, each with something to try."""

from __future__ import annotations

from dataclasses import dataclass
from urllib.parse import quote

from scumble.paint import Provenance
from scumble.store.shelf import Shelf


@dataclass(frozen=True, slots=True)
class Stop:
    """One stop of the walk.

    Parameters
    ----------
    path : str
        The page it is at.
    title : str
        What is found there.
    words : str
        What to look for.
    attempt : str
        What to try.
    """

    path: str
    title: str
    words: str
    attempt: str


def walk_stops(shelf: Shelf) -> tuple[Stop, ...]:
    """The stops, at a tube of this shelf that has a card if there is one.

    Parameters
    ----------
    shelf : Shelf
        Open.
    """
    entries = shelf.load_entries()
    read = [
        entry for entry in entries if entry.provenance is Provenance.CARD and not _is_white(entry.pigments)
    ]
    tube = next(iter(read or entries), None)
    stops = [
        Stop(
            "/",
            "A wall of strips",
            "Each strip is one stroke of one tube: full strength over the black bar, then ever thinner. Where the bar "
            "shows through, the paint is transparent; where it is gone, the paint covers.",
            "Find “transparent blue”, then hang the wall by opacity.",
        )
    ]
    if tube is not None:
        stops.append(
            Stop(
                f"/paints/{quote(tube.key)}",
                f"One tube: {tube.label}",
                "What the tube does, in sentences. The number behind each opens with it, and brackets hold what is "
                "likely 19 times in 20.",
                "Open a sentence. Further down, follow its colour as the film thins.",
            )
        )
    return (
        *stops,
        Stop(
            "/cards",
            "The card",
            "One painted card a tube is all that Scumble asks for. A photograph of it is read here, and every area "
            "is shown with what was found.",
            "Look at the card of this shelf's tube, or print one.",
        ),
        Stop(
            "/layers",
            "What lies over what",
            "A block cut from a painting. Its colour, its thickness and what lies below decide what is seen.",
            "Take the number on a film and drag it up and down, or use the arrow keys.",
        ),
        Stop(
            "/match",
            "A colour, reached three ways",
            "Covered, glazed or scumbled: recipes in parts a hand can measure, with how far off each one is.",
            "Ask for 60 20 30, or the name of a tube.",
        ),
        Stop(
            "/plan",
            "A painting in passes",
            "A picture is reduced to the few colours one would mix, and planned from all transparent to all opaque, "
            "with what lies there after each pass.",
            "Give it a picture of yours, and look at all five manners.",
        ),
        Stop(
            "/print",
            "On paper",
            "Wall charts, handouts, labels, grids; or blank, to be painted by hand.",
            "Choose the mixing grid and take a paint off.",
        ),
        Stop(
            "/proofs",
            "Was it true?",
            "A prediction is kept, painted and read back. Here stands what became of every promise.",
            "Keep a swatch to prove; its sheet is printed here.",
        ),
        Stop(
            "/teach",
            "Foretold before it is shown",
            "Say what a film will look like, then see it. Only what the optics are sure of is asked.",
            "Begin a round.",
        ),
    )


def _is_white(pigments: tuple[str, ...]) -> bool:
    return bool(pigments) and all(name.upper().startswith("PW") for name in pigments)
