"""What the shop knows of every tube: read when it is first needed, then only what was said since."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from threading import Lock
from weakref import WeakKeyDictionary

from scumble.jobs.shelf.hung_shelf import HungShelf
from scumble.store.shelf import Shelf
from scumble.store.tube_facts import TubeFacts

FEW = 100
"""Tubes that are asked for one by one."""


@dataclass(frozen=True, slots=True)
class _Seen:
    """Facts as they were seen last: after which word, and while which tubes lay in the bin."""

    said: int
    binned: tuple[object, ...]
    facts: Mapping[str, TubeFacts]


def look_at_facts(shelf: Shelf, wall: HungShelf) -> Mapping[str, TubeFacts]:
    """Facts of every tube of which something is known; one short question where nothing was said since."""
    said, binned = shelf.tubes.stamp(), wall.stamp[-2:]
    with _lock:
        seen = _seen.get(shelf)
    if seen is not None and (seen.said, seen.binned) == (said, binned):
        return seen.facts
    # What went to the bin or came back may have other facts under its key, so all of it is read anew.
    fresh = (
        {**seen.facts, **shelf.tubes.load_all(since=seen.said)}
        if seen is not None and seen.binned == binned
        else shelf.tubes.load_all()
    )
    with _lock:
        _seen[shelf] = _Seen(said, binned, fresh)
    return fresh


def facts_of(shelf: Shelf, wall: HungShelf, keys: Collection[str]) -> Mapping[str, TubeFacts]:
    """Facts of a few tubes, without reading all where they were never needed."""
    with _lock:
        seen = shelf in _seen
    return look_at_facts(shelf, wall) if seen or len(keys) > FEW else shelf.tubes.load_all(keys)


_seen: WeakKeyDictionary[Shelf, _Seen] = WeakKeyDictionary()
_lock = Lock()
