"""The page on which proofs are let into a paint: what would change, before anything does."""

from __future__ import annotations

from dataclasses import dataclass

from scumble.errors import InputError
from scumble.jobs.cards.refit import FILMS
from scumble.jobs.proofs.figures import screen_colour
from scumble.jobs.proofs.sharpen import SharpenedPaint, sharpen_paint, used_proofs
from scumble.jobs.white import is_white, white_for
from scumble.paint import Film, Layering, Paint, paper_ground, predict_look
from scumble.store.shelf import Shelf


@dataclass(frozen=True, slots=True)
class FilmChange:
    """One film of the paint before and after: its name, screen colours, and how far apart they are [dE00]."""

    name: str
    before: str
    now: str
    difference: float


@dataclass(frozen=True, slots=True)
class SharpenPage:
    """All that the page shows.

    Parameters
    ----------
    key, label : str
        Which paint.
    version : int
        That counts.
    found : SharpenedPaint or None
        What would become of it; ``None`` where no proof is new.
    wrong : str
        Why there is none.
    films : tuple of FilmChange
        How some of its films would change.
    used : tuple of (str, str)
        Proofs that are in it already: their keys and labels.
    """

    key: str
    label: str
    version: int
    found: SharpenedPaint | None
    wrong: str
    films: tuple[FilmChange, ...]
    used: tuple[tuple[str, str], ...]


def show_sharpening(shelf: Shelf, paint: str) -> SharpenPage:
    """What proofs would do to a paint.

    Raises
    ------
    InputError
        If there is no such paint.
    """
    before = shelf.load_paint(paint)
    version = shelf.load_entries([before.key])[0].version
    used = tuple((each.kept.proof.key, each.kept.proof.label) for each in used_proofs(shelf, before))
    try:
        found = sharpen_paint(shelf, before.key, preview=True)
    except InputError as error:
        return SharpenPage(before.key, before.label, version, None, str(error), (), used)
    white = None if is_white(before) else white_for(before, shelf.load_paints())
    films = tuple(
        FilmChange(
            name,
            _film_colour(before, white, *FILMS[name]),
            _film_colour(found.paint, white, *FILMS[name]),
            difference,
        )
        for name, difference in found.differences.items()
    )
    return SharpenPage(before.key, before.label, version, found, "", films, used)


def _film_colour(paint: Paint, white: Paint | None, coats: float, white_parts: int) -> str:
    """Screen colour of a film over white paper."""
    mixed: tuple[tuple[Paint, float], ...] = ((paint, 1.0),)
    if white_parts and white is not None:
        mixed = (*mixed, (white, float(white_parts)))
    return screen_colour(predict_look(Layering(paper_ground("white"), (Film(mixed, coats),))).lab)
