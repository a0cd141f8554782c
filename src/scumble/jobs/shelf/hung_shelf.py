"""The whole wall as one value: read at once, then only what changed, and each strip worked out only once."""

from __future__ import annotations

import gc
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from threading import Lock
from weakref import WeakKeyDictionary

from scumble.jobs.remember import stamp_of
from scumble.jobs.shelf.hung_strip import HungStrip, hang_strip, made_by, strip_to_summary, summary_to_strip
from scumble.jobs.white import is_white, white_for
from scumble.paint import Binder
from scumble.store.drawers.entry import Entry
from scumble.store.shelf import Shelf

SAVED_TOGETHER = 200
"""Strips that are worked out before they are kept; whoever stops in between loses no more than these."""


MOST_NEW = 80
"""Strips that a page works out while somebody waits; a longer queue is worked off beside."""


@dataclass(frozen=True, slots=True)
class HungShelf:
    """A shelf as its wall shows it.

    Parameters
    ----------
    stamp : tuple
        Another one means another wall.
    standing : mapping of str to (int, int)
        Which paint and version stands under each key.
    entries : mapping of str to Entry
        Every tube by key.
    whites : mapping of Binder to Entry or None
        The white that the tubes of a binder are tinted with.
    hung : mapping of str to HungStrip
        Those worked out so far.
    waiting : tuple of str
        Keys of those that are not.
    """

    stamp: tuple[object, ...]
    standing: Mapping[str, tuple[int, int]]
    entries: Mapping[str, Entry]
    whites: Mapping[Binder, Entry | None]
    hung: Mapping[str, HungStrip]
    waiting: tuple[str, ...]

    @property
    def strips(self) -> Collection[HungStrip]:
        """The strips worked out so far, by key."""
        return self.hung.values()

    def white_of(self, entry: Entry) -> Entry | None:
        """What a tube is tinted with."""
        return self.whites[entry.binder]

    def stamp_of(self, entry: Entry) -> str:
        """Stamp of a tube together with its white."""
        return stamp_of(entry, self.white_of(entry))


def look_at_wall(shelf: Shelf) -> HungShelf:
    """The wall as far as it is worked out; one short question where nothing changed since it was last looked at."""
    stamp = shelf.stamp()
    with _lock:
        known = _walls.get(shelf)
    return known if known is not None and known.stamp == stamp else _look_again(shelf)


def _look_again(shelf: Shelf) -> HungShelf:
    with _lock:
        known = _walls.get(shelf)
    with _collector_paused():
        wall = _read_wall(shelf, known)
    if known is None:
        # Thousands of values that stay as long as the program runs: collectors need not look through them again.
        gc.freeze()
    with _lock:
        _walls[shelf] = wall
    return wall


def hang_waiting(
    shelf: Shelf, *, most: int | None = None, progress: Callable[[float, str], object] | None = None
) -> HungShelf:
    """Work out the strips that wait, and keep them; the wall afterwards.

    Parameters
    ----------
    shelf : Shelf
        Open.
    most : int, optional
        How many at most; all by default.
    progress : callable, optional
        Told the share done and words.
    """
    wall = look_at_wall(shelf)
    if wall.waiting:
        # Another visitor may have hung some of them meanwhile.
        wall = _look_again(shelf)
    todo = wall.waiting[:most]
    for start, keys in _bunches(todo):
        if progress:
            progress(start / len(todo), f"hanging {keys[0]}")
        made = [_hang(shelf, wall, key) for key in keys]
        shelf.summaries.save_all(
            {
                wall.entries[strip.key]: strip_to_summary(strip, wall.white_of(wall.entries[strip.key]))
                for strip in made
            }
        )
        if len(keys) < len(todo):
            _look_again(shelf)
    return _look_again(shelf) if todo else wall


def _bunches(keys: Sequence[str]) -> Iterator[tuple[int, Sequence[str]]]:
    for start in range(0, len(keys), SAVED_TOGETHER):
        yield start, keys[start : start + SAVED_TOGETHER]


def _hang(shelf: Shelf, wall: HungShelf, key: str) -> HungStrip:
    entry = wall.entries[key]
    white = wall.white_of(entry)
    return hang_strip(shelf.load_paint(key), shelf.load_paint(white.key) if white else None, (entry, white))


@contextmanager
def _collector_paused() -> Iterator[None]:
    """Keep the collector from looking through thousands of new values again and again; none of them is garbage."""
    ran = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if ran:
            gc.enable()


def _read_wall(shelf: Shelf, known: HungShelf | None) -> HungShelf:
    """The wall as it is now, out of what was known of it and of what became another since."""
    stamp, standing = shelf.stamp(), shelf.load_standing()
    entries = _read_entries(shelf, standing, known)
    whites = _find_whites(entries.values())
    stays = {} if known is None else _strips_that_stay(known, entries, whites)
    wanted = entries.keys() - stays.keys()
    kept = shelf.summaries.load_all(None if len(wanted) == len(entries) else wanted) if wanted else {}
    makers = {binder: made_by(white) for binder, white in whites.items()}
    hung, waiting = {}, []
    for key, entry in entries.items():
        if key in stays:
            hung[key] = stays[key]
        elif (summary := kept.get(key)) is not None and summary.made_by == makers[entry.binder]:
            hung[key] = summary_to_strip(entry, whites[entry.binder], summary.content)
        else:
            waiting.append(key)
    return HungShelf(stamp, standing, entries, whites, hung, tuple(waiting))


def _read_entries(
    shelf: Shelf, standing: Mapping[str, tuple[int, int]], known: HungShelf | None
) -> dict[str, Entry]:
    if known is None:
        return {entry.key: entry for entry in shelf.load_entries()}
    same = {key for key, pair in standing.items() if known.standing.get(key) == pair and key in known.entries}
    others = standing.keys() - same
    read = {entry.key: entry for entry in shelf.load_entries(others)} if others else {}
    every = {key: known.entries[key] for key in same} | read
    return {key: every[key] for key in sorted(every)}


def _find_whites(entries: Collection[Entry]) -> dict[Binder, Entry | None]:
    pale = [entry for entry in entries if is_white(entry)]
    first = {entry.binder: entry for entry in entries}
    return {binder: white_for(entry, pale) for binder, entry in first.items()}


def _strips_that_stay(
    known: HungShelf, entries: Mapping[str, Entry], whites: Mapping[Binder, Entry | None]
) -> dict[str, HungStrip]:
    """Strips whose tube and white are still the versions they were worked out from."""
    same = {binder for binder, white in whites.items() if known.whites.get(binder, 0) == white}
    return {
        key: strip
        for key, strip in known.hung.items()
        if (entry := entries.get(key)) is known.entries[key] and entry is not None and entry.binder in same
    }


_walls: WeakKeyDictionary[Shelf, HungShelf] = WeakKeyDictionary()
_lock = Lock()
