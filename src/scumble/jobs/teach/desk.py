"""Questions of one shelf as it stands, each made once."""

from __future__ import annotations

from threading import Lock
from weakref import WeakKeyDictionary
from zlib import crc32

import numpy as np

from scumble.jobs.draws import standard_draws
from scumble.jobs.grounds import COLOURED, SIX_GROUNDS, chart_ground
from scumble.jobs.shelf.hung_shelf import HungShelf, look_at_wall
from scumble.jobs.teach.asked import Asked
from scumble.jobs.white import is_white
from scumble.paint.question.ask import ask_question
from scumble.paint.question.question import Kind, Question
from scumble.paint.question.tray import Tray, Tube, open_tube
from scumble.store.drawers.entry import Entry
from scumble.store.shelf import Shelf

OTHERS = 8
"""Tubes that one may be set beside in a question."""

MOST_TUBES, MOST_QUESTIONS = 240, 2000
"""Kept at hand; beyond that all are let go and made anew."""

GROUNDS = (*SIX_GROUNDS, *(name for name in COLOURED if name not in SIX_GROUNDS))

ASKED, WHITE, BESIDE = range(3)
"""Which of the standard draws a tube gets by its part in a question, lest two be wrong alike."""


class QuestionDesk:
    """Makes questions from a shelf.

    Parameters
    ----------
    shelf : Shelf
        Open.
    wall : HungShelf
        How it stands; another stamp asks for another desk.
    """

    def __init__(self, shelf: Shelf, wall: HungShelf) -> None:
        self._shelf, self._wall = shelf, wall
        self._tubes: dict[tuple[str, int], Tube] = {}
        self._questions: dict[Asked, Question | None] = {}

    @property
    def stamp(self) -> tuple[object, ...]:
        """Of the shelf it was made for."""
        return self._wall.stamp

    @property
    def keys(self) -> tuple[str, ...]:
        """Tubes that can be asked about, by key."""
        return tuple(sorted(self._wall.entries))

    def entry(self, key: str) -> Entry:
        """A tube as a list shows it."""
        return self._wall.entries[key]

    def label(self, key: str) -> str:
        """What a tube is called; its key where it is gone from the shelf."""
        entry = self._wall.entries.get(key)
        return key if entry is None else entry.label

    def stamp_of(self, key: str) -> str:
        """Under which drawings of a tube are kept."""
        return self._wall.stamp_of(self._wall.entries[key])

    def question(self, asked: Asked) -> Question | None:
        """The question of a name; None where this shelf has none."""
        if asked not in self._questions:
            if len(self._questions) >= MOST_QUESTIONS:
                self._questions.clear()
            self._questions[asked] = self._make(asked)
        return self._questions[asked]

    def _make(self, asked: Asked) -> Question | None:
        entry = self._wall.entries.get(asked.key)
        if entry is None:
            return None
        rng = np.random.default_rng([asked.seed, asked.level, crc32(f"{asked.kind} {asked.key}".encode())])
        white = self._wall.white_of(entry)
        mixes = white is not None and white.key != entry.key and not is_white(entry)
        tray = Tray(
            tube=self._tube(asked.key, ASKED),
            white=self._tube(white.key, WHITE) if white is not None and mixes else None,
            others=self._others(entry, asked.kind, rng),
            grounds={name: chart_ground(name) for name in GROUNDS},
            level=asked.level,
            rng=rng,
        )
        return ask_question(asked.kind, tray)

    def _others(self, entry: Entry, kind: Kind, rng: np.random.Generator) -> tuple[Tube, ...]:
        if kind not in BESIDE_KINDS:
            return ()
        beside = [
            each.key
            for each in self._wall.entries.values()
            if each.binder is entry.binder and each.key != entry.key and not is_white(each)
        ]
        chosen = rng.permutation(len(beside))[:OTHERS].tolist()
        return tuple(self._tube(beside[at], BESIDE) for at in chosen)

    def _tube(self, key: str, part: int) -> Tube:
        if (key, part) not in self._tubes:
            if len(self._tubes) >= MOST_TUBES:
                self._tubes.clear()
            self._tubes[key, part] = open_tube(self._shelf.load_paint(key), standard_draws()[part])
        return self._tubes[key, part]


BESIDE_KINDS = frozenset({Kind.COVERS_BETTER, Kind.UNDERTONE, Kind.PULLS_WHITE, Kind.MIXING})
"""Kinds that set a tube beside others."""


def desk_of(shelf: Shelf) -> QuestionDesk:
    """The desk of a shelf as it stands now."""
    wall = look_at_wall(shelf)
    with _lock:
        desk = _desks.get(shelf)
        if desk is None or desk.stamp != wall.stamp:
            desk = _desks[shelf] = QuestionDesk(shelf, wall)
        return desk


_desks: WeakKeyDictionary[Shelf, QuestionDesk] = WeakKeyDictionary()
_lock = Lock()
