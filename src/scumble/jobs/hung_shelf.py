"""The whole wall as one value: read at once while nothing changed, and each strip worked out only once."""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from threading import Lock
from weakref import WeakKeyDictionary

from scumble.jobs.hung_strip import HungStrip, hang_strip, made_by, strip_to_summary, summary_to_strip
from scumble.jobs.remember import stamp_of
from scumble.jobs.white import white_for
from scumble.paint import Binder
from scumble.store.entry import Entry
from scumble.store.shelf import Shelf
from scumble.store.tube_facts import TubeFacts

SAVED_TOGETHER = 200
"""Strips that are worked out before they are kept; whoever stops in between loses no more than these."""


@dataclass(frozen=True, slots=True)
class HungShelf:
    """A shelf as its wall shows it.

    Parameters
    ----------
    stamp : tuple
        Another one means another wall.
    entries : mapping of str to Entry
        Every tube by key.
    whites : mapping of Binder to Entry or None
        The white that the tubes of a binder are tinted with.
    strips : tuple of HungStrip
        Those worked out so far, by key.
    waiting : tuple of str
        Keys of those that are not.
    facts : mapping of str to TubeFacts
        Price, stock and lightfastness of those of which something is known.
    """

    stamp: tuple[object, ...]
    entries: Mapping[str, Entry]
    whites: Mapping[Binder, Entry | None]
    strips: tuple[HungStrip, ...]
    waiting: tuple[str, ...]
    facts: Mapping[str, TubeFacts]

    def white_of(self, entry: Entry) -> Entry | None:
        """What a tube is tinted with."""
        return self.whites[entry.binder]

    def stamp_of(self, entry: Entry) -> str:
        """Stamp of a tube together with its white."""
        return stamp_of(entry, self.white_of(entry))


def look_at_wall(shelf: Shelf) -> HungShelf:
    """The wall as far as it is worked out; two short questions where nothing changed since it was last looked at."""
    stamp = (*shelf.stamp(), shelf.tubes.stamp())
    with _lock:
        known = _walls.get(shelf)
    return known if known is not None and known.stamp == stamp else _look_again(shelf)


def _look_again(shelf: Shelf) -> HungShelf:
    with _collector_paused():
        wall = _read_wall(shelf, (*shelf.stamp(), shelf.tubes.stamp()))
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
        shelf.summaries.save_all({wall.entries[strip.key]: strip_to_summary(strip) for strip in made})
        if len(keys) < len(todo):
            _look_again(shelf)
    return _look_again(shelf) if todo else wall


def _bunches(keys: Sequence[str]) -> Iterator[tuple[int, Sequence[str]]]:
    for start in range(0, len(keys), SAVED_TOGETHER):
        yield start, keys[start : start + SAVED_TOGETHER]


def _hang(shelf: Shelf, wall: HungShelf, key: str) -> HungStrip:
    entry = wall.entries[key]
    white = wall.white_of(entry)
    return hang_strip(
        shelf.load_paint(key), shelf.load_paint(white.key) if white else None, wall.stamp_of(entry)
    )


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


def _read_wall(shelf: Shelf, stamp: tuple[object, ...]) -> HungShelf:
    entries = shelf.load_entries()
    kept = shelf.summaries.load_all()
    whites = {
        binder: white_for(next(each for each in entries if each.binder is binder), entries)
        for binder in {entry.binder for entry in entries}
    }
    strips, waiting = [], []
    for entry in entries:
        own = stamp_of(entry, whites[entry.binder])
        summary = kept.get(entry.key)
        if summary is not None and summary.made_by == made_by(own):
            strips.append(summary_to_strip(entry, summary.content, own))
        else:
            waiting.append(entry.key)
    return HungShelf(
        stamp=stamp,
        entries={entry.key: entry for entry in entries},
        whites=whites,
        strips=tuple(strips),
        waiting=tuple(waiting),
        facts=shelf.tubes.load_all(),
    )


_walls: WeakKeyDictionary[Shelf, HungShelf] = WeakKeyDictionary()
_lock = Lock()
