"""A tube's papers: what it says, what the shop knows of it, all that was said before, and the bin."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import datetime

from scumble.errors import InputError
from scumble.jobs.shelf.hung_strip import PROVENANCE_WORDS
from scumble.paint import Binder
from scumble.store.drawers.entry import Entry
from scumble.store.one_row import go_back, save_row
from scumble.store.shelf import LightScale, Shelf, TubeFacts
from scumble.store.travel.table import COLUMNS as TABLE_COLUMNS
from scumble.store.travel.table import entry_to_cells, parse_ratings

WRITTEN = tuple(name for name in TABLE_COLUMNS if name not in ("key", "provenance", "lightfastness"))
"""Fields of the form that are columns of the shelf's table, in its order."""

MOST_RATINGS = 4
"""Ratings of lightfastness that the form has room for; a table can hold more."""

RATINGS = tuple(f"{scale} {rating}" for scale in LightScale for rating in scale.ratings)
"""What a rating can be."""


@dataclass(frozen=True, slots=True)
class Past:
    """Something that was said before.

    Parameters
    ----------
    number : int
        Version, or entry about the tube, counted from 1.
    saved_at : datetime
        When, UTC.
    words : str
        What was said.
    is_current : bool
        Whether it counts.
    """

    number: int
    saved_at: datetime
    words: str
    is_current: bool


@dataclass(frozen=True, slots=True)
class Papers:
    """Everything the page says.

    Parameters
    ----------
    key, label, provenance : str
        Of the tube.
    cells : mapping of str to str
        The form as it is filled in.
    ratings : tuple of (str, str)
        Rating and who says so, with one empty line.
    versions, said : tuple of Past
        Of the paint and about its tube, newest first.
    binders, all_ratings : tuple of str
        What can be chosen.
    wrong : InputError or None
        What could not be used.
    """

    key: str
    label: str
    provenance: str
    cells: Mapping[str, str]
    ratings: tuple[tuple[str, str], ...]
    versions: tuple[Past, ...]
    said: tuple[Past, ...]
    binders: tuple[str, ...] = field(default_factory=lambda: tuple(binder.value for binder in Binder))
    all_ratings: tuple[str, ...] = RATINGS
    wrong: InputError | None = None

    def fault_of(self, name: str) -> str:
        """What is wrong with a field, empty if nothing is."""
        if self.wrong is None or self.wrong.field.partition(",")[0] != name:
            return ""
        return str(self.wrong)


def show_papers(
    shelf: Shelf, key: str, *, given: Mapping[str, str] | None = None, wrong: InputError | None = None
) -> Papers:
    """A tube's papers.

    Parameters
    ----------
    shelf : Shelf
        Open.
    key : str
        Key or label.
    given : mapping of str to str, optional
        A form that could not be used, to be filled in again as it was.
    wrong : InputError, optional
        Why not.

    Raises
    ------
    InputError
        If there is no such paint.
    """
    current = shelf.load_paint(key)
    versions = shelf.load_versions(current.key)
    entry = _current(shelf, current.key)
    facts, history = shelf.tubes.load(current.key), shelf.tubes.load_history(current.key)
    cells = dict(zip(TABLE_COLUMNS, entry_to_cells(entry, facts), strict=True))
    ratings = [(f"{each.scale} {each.rating}", each.said_by) for each in facts.lightfastness]
    if given is not None:
        cells |= {name: given.get(name, "") for name in WRITTEN}
        ratings = [
            (given.get(f"rating_{at}", ""), given.get(f"said_by_{at}", ""))
            for at in range(1, MOST_RATINGS + 1)
            if given.get(f"rating_{at}") or given.get(f"said_by_{at}")
        ]
    room = max(1, MOST_RATINGS - len(ratings)) if len(ratings) < MOST_RATINGS else 0
    return Papers(
        key=entry.key,
        label=entry.label,
        provenance=PROVENANCE_WORDS[entry.provenance],
        cells=cells,
        ratings=(*ratings, *[("", "")] * min(room, 2)),
        versions=tuple(_past_version(each, entry.version) for each in reversed(versions)),
        said=tuple(
            Past(number, when, _say_facts(each), is_current=number == len(history))
            for number, (when, each) in reversed(list(enumerate(history, start=1)))
        ),
        wrong=wrong,
    )


def save_papers(shelf: Shelf, key: str, given: Mapping[str, str]) -> tuple[int, int]:
    """Save a tube's papers, all of them or none; the version and the entry that counted before.

    Parameters
    ----------
    shelf : Shelf
        Open.
    key : str
        Of the paint.
    given : mapping of str to str
        Fields of the form; what is not among them stays as it is.

    Raises
    ------
    InputError
        Naming the field; nothing was saved.
    """
    before = _current(shelf, key).version, len(shelf.tubes.load_history(key))
    cells = {name: given[name] for name in WRITTEN if name in given}
    cells["discontinued"] = "yes" if given.get("discontinued") else "no"
    if not cells.get("label", "x").strip():
        raise InputError("label", "", "what the tube is called")
    # A field that was left empty stays empty here, so that the store's own words for it are those of a table's cell.
    cells["lightfastness"] = _ratings(shelf, key, given)
    save_row(shelf.door, key, cells)
    return before


def take_back(shelf: Shelf, key: str, *, version: int | None = None, said: int | None = None) -> None:
    """Let an older version of a paint, or an older word on its tube, count again; nothing is lost.

    Raises
    ------
    InputError
        If there is no such paint, version or word.
    """
    go_back(shelf.door, key, version=version, said=said)


def show_bin(shelf: Shelf) -> tuple[Entry, ...]:
    """Tubes in the bin."""
    return shelf.load_bin()


def bin_tube(shelf: Shelf, key: str) -> None:
    """Put a tube into the bin with all that is known of it; one that lies there already stays there.

    Raises
    ------
    InputError
        If there is no such paint.
    """
    if _hangs(shelf, key) or not _lies_in_bin(shelf, key):
        shelf.delete_paint(key)


def fetch_back(shelf: Shelf, key: str) -> str:
    """Fetch a tube back from the bin; its key. One that hangs on the shelf already stays there.

    Raises
    ------
    InputError, StoreError
        If it is not there, or another tube has its key by now.
    """
    if _lies_in_bin(shelf, key) or not _hangs(shelf, key):
        shelf.restore_paint(key)
    return key


def _hangs(shelf: Shelf, key: str) -> bool:
    return any(entry.key == key for entry in shelf.load_entries())


def _lies_in_bin(shelf: Shelf, key: str) -> bool:
    return any(entry.key == key for entry in shelf.load_bin())


def _current(shelf: Shelf, key: str) -> Entry:
    return next(each for each in shelf.load_entries() if each.key == key)


def _ratings(shelf: Shelf, key: str, given: Mapping[str, str]) -> str:
    lines = []
    for at in range(1, MOST_RATINGS + 1):
        rating, by = given.get(f"rating_{at}", "").strip(), given.get(f"said_by_{at}", "").strip()
        if rating and not by:
            raise InputError("lightfastness", rating, "a rating with who says so, such as 'the label'")
        if rating:
            lines.append(f"{rating} ({by})")
    kept = shelf.tubes.load(key).lightfastness[MOST_RATINGS:]
    lines += [f"{each.scale} {each.rating} ({each.said_by})" for each in kept]
    said = "; ".join(lines)
    parse_ratings(said)
    return said


def _past_version(entry: Entry, current: int) -> Past:
    words = f"{entry.label}, {' '.join(entry.pigments) or 'pigment not given'}, {entry.binder.value}, "
    return Past(
        entry.version,
        entry.saved_at,
        words + PROVENANCE_WORDS[entry.provenance],
        is_current=entry.version == current,
    )


def _say_facts(facts: TubeFacts) -> str:
    said = [
        "" if facts.price is None else f"{facts.price:.2f} {facts.currency}",
        "" if facts.size_ml is None else f"{facts.size_ml:g} ml",
        facts.coat and f"one coat {facts.coat}",
        "" if facts.stock is None else f"{facts.stock} at hand",
        facts.shop_code and f"number {facts.shop_code}",
        "discontinued" if facts.discontinued else "",
        *(f"{each.scale} {each.rating} says {each.said_by}" for each in facts.lightfastness),
        facts.notes and f"notes: {facts.notes[:120]}",
    ]
    return ", ".join(word for word in said if word) or "nothing"
