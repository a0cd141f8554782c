"""Work once, remember the answer until the paint or its white is saved anew."""

from __future__ import annotations

from collections.abc import Callable
from hashlib import sha256
from threading import Lock
from typing import Generic, TypeVar

from scumble.store.drawers.entry import Entry

Answer = TypeVar("Answer")

DRAWN_BY = "1"
"""Counted up when the same optics would be drawn or described differently; part of every stamp."""

MOST_REMEMBERED = 8192
"""Answers kept before the oldest is let go."""


def stamp_of(entry: Entry, white: Entry | None) -> str:
    """Short name of one version of a paint together with the white it is tinted with.

    Versions are never overwritten, so whatever is worked out for a stamp stays right; pictures are cached under it.

    Parameters
    ----------
    entry, white : Entry
        The paint's current version and that of its white.

    Returns
    -------
    str
        Twelve hexadecimal digits.
    """
    named = [DRAWN_BY]
    for each in (entry, white):
        if each is not None:
            named += [each.key, str(each.version), each.saved_at.isoformat()]
    return sha256("\0".join(named).encode()).hexdigest()[:12]


class Remembered(Generic[Answer]):
    """Answers by stamp; threads may share it.

    Parameters
    ----------
    most : int
        Answers kept before the oldest is let go.
    """

    def __init__(self, most: int = MOST_REMEMBERED) -> None:
        self._most = most
        self._answers: dict[str, Answer] = {}
        self._lock = Lock()

    def __contains__(self, stamp: str) -> bool:
        return stamp in self._answers

    def recall(self, stamp: str, work: Callable[[], Answer]) -> Answer:
        """The answer, worked out when its stamp was not met before."""
        with self._lock:
            if stamp in self._answers:
                return self._answers[stamp]
        answer = work()
        with self._lock:
            self._answers[stamp] = answer
            while len(self._answers) > self._most:
                del self._answers[next(iter(self._answers))]
        return answer
