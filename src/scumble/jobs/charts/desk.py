"""What the page Print keeps at hand while it is open: profiles that were handed in, and the charts drawn last."""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass, replace
from hashlib import sha256
from threading import Lock
from typing import Final

from scumble.chart.profile import read_profile
from scumble.errors import InputError
from scumble.jobs.charts.kinds import ChartRequest, print_kind
from scumble.jobs.charts.print_chart import Chart, Progress
from scumble.jobs.charts.query import PrintQuery, request_of
from scumble.store.shelf import Shelf

MOST_PROFILES: Final = 8
"""Profiles kept at hand while the pages are open; none is written to the disk."""

MOST_CHARTS: Final = 3
"""Charts kept at hand between the look and the file; a large one takes some tens of megabytes."""


@dataclass(frozen=True, slots=True)
class KeptProfile:
    """A profile that was handed in.

    Parameters
    ----------
    key, name : str
        For addresses, and what it calls itself.
    content : bytes
        The ICC file.
    """

    key: str
    name: str
    content: bytes


class PrintDesk:
    """What the page keeps at hand while it is open: profiles that were handed in, and the charts drawn last."""

    def __init__(self) -> None:
        self._profiles: OrderedDict[str, KeptProfile] = OrderedDict()
        self._charts: OrderedDict[str, Chart] = OrderedDict()
        self._lock = Lock()

    def keep_profile(self, content: bytes) -> KeptProfile:
        """Take in the profile of a printer; it is forgotten when the program ends.

        Raises
        ------
        InputError
            If it is none that something can be printed through.
        """
        read = read_profile(content)
        kept = KeptProfile(sha256(content).hexdigest()[:12], read.name, content)
        with self._lock:
            self._profiles[kept.key] = kept
            while len(self._profiles) > MOST_PROFILES:
                self._profiles.popitem(last=False)
        return kept

    def profiles(self) -> tuple[KeptProfile, ...]:
        """All that are at hand."""
        return tuple(self._profiles.values())

    def profile(self, key: str) -> bytes:
        """One that was handed in; nothing for an empty key.

        Raises
        ------
        InputError
            If it is no longer at hand.
        """
        if not key:
            return b""
        if key not in self._profiles:
            raise InputError("profile", key, "a profile that was handed in since the pages were opened")
        return self._profiles[key].content

    def has(self, shelf: Shelf, query: PrintQuery) -> bool:
        """Whether a chart is at hand, so that it need not be drawn.

        Raises
        ------
        InputError
            If a number of the query is none, or a paint is not on the shelf.
        """
        return self._named(shelf, query)[1] in self._charts

    def _named(self, shelf: Shelf, query: PrintQuery) -> tuple[ChartRequest, str]:
        """What is asked for, and a name that changes with it and with the shelf."""
        request = request_of(query, self.profile(query.profile))
        request = replace(request, keys=choose_keys(shelf, query))
        told = f"{request}{shelf.stamp()}{shelf.tubes.stamp()}"
        return request, sha256(told.encode()).hexdigest()

    def chart(self, shelf: Shelf, query: PrintQuery, progress: Progress | None = None) -> Chart:
        """The chart that answers a query, drawn anew only when it or the shelf has changed.

        Raises
        ------
        InputError
            For anything that cannot be drawn.
        """
        request, name = self._named(shelf, query)
        with self._lock:
            if name in self._charts:
                self._charts.move_to_end(name)
                return self._charts[name]
        chart = print_kind(shelf, request, progress=progress)
        with self._lock:
            self._charts[name] = chart
            while len(self._charts) > MOST_CHARTS:
                self._charts.popitem(last=False)
        return chart


def choose_keys(shelf: Shelf, query: PrintQuery) -> tuple[str, ...]:
    """Keys of the chosen paints in the order in which they were chosen."""
    return tuple(shelf.load_paint(key).key for key in query.paint)
