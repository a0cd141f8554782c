"""Fetch what a layering on the bench is made of: grounds, paints and their whites."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache, partial
from weakref import WeakKeyDictionary

from scumble.colour import srgb_to_xyz, white_point, xyz_to_lab
from scumble.errors import InputError
from scumble.jobs.bench.request import Bench, BenchFilm
from scumble.jobs.grounds import COLOURED, chart_ground
from scumble.jobs.remember import Remembered, stamp_of
from scumble.jobs.white import is_white, white_for
from scumble.optics.face import Face
from scumble.paint import (
    PAPERS,
    Film,
    Ground,
    GroundFace,
    Layering,
    Paint,
    ground_of_colour,
    paper_ground,
    predict_reflectance,
)
from scumble.store.drawers.entry import Entry
from scumble.store.shelf import Shelf
from scumble.tables import BANDS

OWN = "own"
"""Name of a ground that the person describes."""

DRY = "dry"
"""Name of a ground that is one dry coat of a paint over white paper."""

KEPT = "shelf:"
"""What the names of grounds kept on the shelf begin with."""

FACES = {"satin": Face.SATIN, "matte": Face.MATTE}
"""Faces by the state of a film; in every other one it is smooth."""


class Tubes:
    """The paints of a shelf by key or label, each fetched once a version.

    Parameters
    ----------
    shelf : Shelf
        Open.
    """

    def __init__(self, shelf: Shelf) -> None:
        self._shelf = shelf
        self.entries, self._by_key = _list_entries(shelf)

    def find(self, name: str) -> Entry:
        """A paint as a list shows it.

        Raises
        ------
        InputError
            If there is none; the message lists near names.
        """
        wanted = name.strip().casefold()
        if wanted in self._by_key:
            return self._by_key[wanted]
        return self._by_key[self._shelf.load_paint(name).key]

    def load(self, entry: Entry) -> Paint:
        """A paint with its optics."""
        return _paints.recall(stamp_of(entry, None), partial(self._shelf.load_paint, entry.key))

    def white_of(self, entry: Entry) -> Entry | None:
        """The white that is stirred into a paint; None for a white itself, or where there is none."""
        white = None if is_white(entry) else white_for(entry, self.entries)
        return None if white is None or white.key == entry.key else white


_paints: Remembered[Paint] = Remembered()
_lists: WeakKeyDictionary[Shelf, tuple[object, tuple[Entry, ...], dict[str, Entry]]] = WeakKeyDictionary()
"""What hangs on each open shelf, with the stamp it had then: a film is dragged far more often than a tube changes."""


def _list_entries(shelf: Shelf) -> tuple[tuple[Entry, ...], dict[str, Entry]]:
    stamp = shelf.stamp()
    known = _lists.get(shelf)
    if known is None or known[0] != stamp:
        entries = shelf.load_entries()
        known = _lists[shelf] = (stamp, entries, {entry.key: entry for entry in entries})
    return known[1], known[2]


@dataclass(frozen=True, slots=True)
class BuiltFilm:
    """A film and what its row on the bench says of it.

    Parameters
    ----------
    film : Film
        To predict.
    asked : BenchFilm
        As it was asked for, paints by key.
    paint, white, second : Entry, optional
        What is in it, and what could be.
    """

    film: Film
    asked: BenchFilm
    paint: Entry
    white: Entry | None
    second: Entry | None


@dataclass(frozen=True, slots=True)
class Built:
    """A layering on the bench, fetched from the shelf.

    Parameters
    ----------
    bench : Bench
        As asked for, paints by key.
    layering : Layering
        To predict.
    films : tuple of BuiltFilm
        Lowest first.
    """

    bench: Bench
    layering: Layering
    films: tuple[BuiltFilm, ...]


def build(shelf: Shelf, tubes: Tubes, bench: Bench) -> Built:
    """Fetch a layering.

    Raises
    ------
    InputError
        For an unknown paint or ground, or paints that do not mix.
    """
    films = tuple(_build_film(tubes, film) for film in bench.films)
    face = FACES.get(bench.state, Face.GLOSS)
    dry = tubes.find(bench.dry) if bench.dry else None
    layering = Layering(
        build_ground(shelf, bench, tubes), tuple(each.film for each in films), face, bench.state == "wet"
    )
    asked = {"films": tuple(each.asked for each in films), "dry": dry.key if dry else ""}
    named = bench.model_copy(update=asked)
    return Built(named, layering, films)


def _build_film(tubes: Tubes, asked: BenchFilm) -> BuiltFilm:
    entry = tubes.find(asked.paint)
    white = tubes.white_of(entry)
    second = tubes.find(asked.second) if asked.second else None
    stirred = [(entry, asked.parts), (white, asked.white), (second, asked.second_parts)]
    parts = tuple((tubes.load(each), amount) for each, amount in stirred if each is not None and amount > 0)
    film = Film(parts, asked.coats, asked.medium, asked.water)
    changed: dict[str, object] = {"paint": entry.key, "second": second.key if second else ""}
    if white is None:
        changed["white"] = 0.0
    return BuiltFilm(film, asked.model_copy(update=changed), entry, white, second)


def ground_names(shelf: Shelf) -> tuple[tuple[str, str], ...]:
    """Names of grounds and what a person calls them: papers, flat colours, and those kept on the shelf."""
    papers = [(name, f"{name} paper") for name in PAPERS]
    flat = [(name, f"flat {name}") for name in COLOURED if name not in PAPERS]
    kept = [(KEPT + ground.key, ground.label) for ground in shelf.grounds.load_all()]
    return (*papers, *flat, *kept)


def build_ground(shelf: Shelf, bench: Bench, tubes: Tubes | None = None) -> Ground:
    """The ground of a layering.

    Parameters
    ----------
    shelf : Shelf
        Open.
    bench : Bench
        The layering.
    tubes : Tubes, optional
        Its paints; a dry ground is painted with one of them.

    Raises
    ------
    InputError
        If there is none of that name, or none can look like that.
    """
    if bench.ground == DRY:
        return _dry_ground(tubes or Tubes(shelf), bench.dry)
    face = GroundFace.GLOSS if bench.painted else GroundFace.NONE
    found = own_ground(bench.own) if bench.ground == OWN else _named_ground(shelf, bench.ground)
    return Ground(found.reflectance, face, found.label)


def _dry_ground(tubes: Tubes, name: str) -> Ground:
    if not name:
        raise InputError(
            "dry", "nothing", "a paint of the shelf", "Name the paint that the ground is painted with."
        )
    paint = tubes.load(tubes.find(name))
    layering = Layering(paper_ground("white"), (Film(((paint, 1.0),), 1.0),))
    return Ground(predict_reflectance(layering), GroundFace.GLOSS, f"dry {paint.label}")


def _named_ground(shelf: Shelf, name: str) -> Ground:
    if name in PAPERS:
        return paper_ground(name)
    if name in COLOURED:
        return Ground(chart_ground(name).reflectance, label=f"flat {name}")
    if name.startswith(KEPT):
        kept = shelf.grounds.load(name.removeprefix(KEPT))
        if kept.reflectance is not None:
            return Ground(kept.reflectance, label=kept.label)
        return Ground(ground_of_colour(kept.lab or ()).reflectance, label=kept.label)
    known: Iterable[str] = (each for each, _ in ground_names(shelf))
    raise InputError("ground", name, ", ".join([*known, OWN, DRY]))


@lru_cache(maxsize=256)
def own_ground(text: str) -> Ground:
    """A ground that a person describes.

    Parameters
    ----------
    text : str
        A screen colour ``#rrggbb``, three numbers L* a* b* (D65, 2 degrees), or 36 reflectances from 380 to 730 nm.

    Raises
    ------
    InputError
        If it is none of these, or no surface can look like that.

    Examples
    --------
    >>> own_ground("62, 8, 24").label
    'L* 62 a* 8 b* 24'
    """
    said = text.strip()
    if re.fullmatch(r"#?[0-9a-fA-F]{6}", said):
        digits = said.removeprefix("#")
        rgb = [int(digits[at : at + 2], 16) / 255 for at in (0, 2, 4)]
        ground = ground_of_colour(xyz_to_lab(srgb_to_xyz(rgb), white_point("D65", 2)))
        return Ground(ground.reflectance, label=f"screen colour #{digits.lower()}")
    allowed = f"#rrggbb, three numbers L* a* b*, or {BANDS} reflectances from 0 to 1"
    try:
        numbers = [float(word) for word in re.split(r"[\s,;]+", said.replace("−", "-")) if word]
    except ValueError:
        raise InputError("own ground", said, allowed) from None
    if len(numbers) == 3:
        return ground_of_colour(numbers)
    if len(numbers) == BANDS:
        return Ground(numbers, label="ground of a given spectrum")  # type: ignore[arg-type]
    raise InputError("own ground", said or "nothing", allowed, "For example: #b08d57.")
