"""The track record: every proof that was painted and read, held to its promise; by paint, by kind and over time."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable
from dataclasses import dataclass
from datetime import datetime
from typing import Final

import numpy as np

from scumble.errors import InputError
from scumble.jobs.proofs.promise import over_ground, promised_layering
from scumble.jobs.proofs.read_back import ground_spectrum
from scumble.paint import interval_de00, predict_look
from scumble.paint.proof import Comparison, ProofKind, compare_painted
from scumble.paint.track_record import Tally, say_bias, say_promise, tally_proofs
from scumble.store.proof import KeptProof, KeptReading, mark_of_optics
from scumble.store.shelf import Shelf

FEW: Final = 3
"""Proofs below which nothing is said of a kind or a paint but that more are needed."""


@dataclass(frozen=True, slots=True)
class Proved:
    """A proof that was read.

    Parameters
    ----------
    kept : KeptProof
        As it is kept.
    reading : KeptReading
        That counts.
    found : Comparison
        Painted beside promised.
    """

    kept: KeptProof
    reading: KeptReading
    found: Comparison

    @property
    def kind(self) -> str:
        """What kind of prediction it is."""
        return self.kept.proof.kind

    @property
    def paints(self) -> dict[str, str]:
        """Labels of its paints by key."""
        return {paint.key: paint.label for paint in self.kept.proof.paints}

    @property
    def read_at(self) -> datetime:
        """When it was read."""
        return self.reading.read_at


@dataclass(frozen=True, slots=True)
class Group:
    """Proofs that have something in common.

    Parameters
    ----------
    key, name : str
        What they share: a paint's key and label, or a kind of prediction.
    tally : Tally
        What they say together.
    promise, bias : str
        That in words; the bias is empty where chance explains it.
    """

    key: str
    name: str
    tally: Tally
    promise: str
    bias: str


@dataclass(frozen=True, slots=True)
class Record:
    """The whole track record.

    Parameters
    ----------
    proved : tuple of Proved
        All that count, oldest reading first: those with paints that were measured.
    illustrative : tuple of Proved
        Those with a paint that nobody measured; told apart, for they test an argument and not a card.
    waiting : tuple of KeptProof
        Kept and not read yet.
    all : Group
        All that count.
    kinds, paints : tuple of Group
        The same by kind of prediction and by paint.
    today : Group
        The same proofs foretold by the paints as they stand now, without those that went into them.
    used : int
        How many were left out of that because they went into the optics of today.
    """

    proved: tuple[Proved, ...]
    illustrative: tuple[Proved, ...]
    waiting: tuple[KeptProof, ...]
    all: Group
    kinds: tuple[Group, ...]
    paints: tuple[Group, ...]
    today: Group
    used: int


def compare_reading(reading: KeptReading) -> Comparison:
    """A reading beside what its proof promised over the ground that was read."""
    said, expected = reading.reading, reading.reading.expected
    return compare_painted(
        np.array(expected.lab),
        np.array(said.lab),
        optics=np.array(expected.optics),
        hand=np.array(expected.hand),
        reading=np.array(said.error),
    )


def interval_parts(reading: KeptReading) -> dict[str, float]:
    """How far the paints, the hand and the reading may each by itself bring a proof off its promise [dE00]."""
    said, expected = reading.reading, reading.reading.expected
    lab = np.array(expected.lab)
    parts = {"optics": expected.optics, "hand": expected.hand, "reading": said.error}
    return {name: interval_de00(lab, np.array(each)) for name, each in parts.items()}


def keep_record(shelf: Shelf, *, paint: str = "", kind: str = "") -> Record:
    """The track record of a shelf.

    Parameters
    ----------
    shelf : Shelf
        Open.
    paint : str
        Only proofs with this paint, by key or label; all when left out.
    kind : str
        Only proofs of this kind.

    Raises
    ------
    InputError
        If there is no such paint or kind.
    StoreError
        If the shelf cannot be read.
    """
    chosen = shelf.load_paint(paint).key if paint else ""
    if kind and kind not in set(ProofKind):
        raise InputError("kind", kind, ", ".join(ProofKind))
    kept = [
        each
        for each in shelf.proofs.load_all()
        if (not chosen or chosen in {mine.key for mine in each.proof.paints})
        and (not kind or each.proof.kind == kind)
    ]
    read = _in_order(kept)
    proved = tuple(each for each in read if not each.kept.proof.is_illustrative)
    today, used = _as_of_today(shelf, proved)
    return Record(
        proved,
        tuple(each for each in read if each.kept.proof.is_illustrative),
        tuple(each for each in kept if each.reading is None),
        _group("", "all proofs", [each.found for each in proved]),
        _by(proved, lambda each: {each.kind: each.kind}, list(ProofKind)),
        _by(proved, lambda each: each.paints),
        _group("", "the paints as they stand now", today),
        used,
    )


def proved_with(shelf: Shelf, key: str) -> tuple[Proved, ...]:
    """Proofs with a paint that were read, oldest reading first; none with a tube that nobody measured."""
    kept = [each for each in shelf.proofs.load_all() if key in {paint.key for paint in each.proof.paints}]
    return tuple(each for each in _in_order(kept) if not each.kept.proof.is_illustrative)


def _in_order(kept: Iterable[KeptProof]) -> list[Proved]:
    """Those that were read, oldest reading first."""
    read = [
        Proved(each, each.reading, compare_reading(each.reading)) for each in kept if each.reading is not None
    ]
    return sorted(read, key=lambda each: each.read_at)


def _by(
    proved: Iterable[Proved], names_of: Callable[[Proved], dict[str, str]], order: Collection[str] = ()
) -> tuple[Group, ...]:
    groups: dict[str, tuple[str, list[Comparison]]] = {}
    for each in proved:
        for key, name in names_of(each).items():
            groups.setdefault(key, (name, []))[1].append(each.found)
    keys = [key for key in order if key in groups] or sorted(
        groups, key=lambda key: groups[key][0].casefold()
    )
    return tuple(_group(key, *groups[key]) for key in keys)


def _group(key: str, name: str, found: list[Comparison]) -> Group:
    tally = tally_proofs(found)
    middle = np.mean([each.expected for each in found], axis=0) if found else np.zeros(3)
    return Group(key, name, tally, say_promise(tally), say_bias(tally, middle))


def _as_of_today(shelf: Shelf, proved: Iterable[Proved]) -> tuple[list[Comparison], int]:
    """Proofs foretold by the current optics, and how many are no longer evidence for them."""
    marks = TodaysOptics(shelf)
    found, used = [], 0
    for each in proved:
        try:
            if marks.used(each):
                used += 1
                continue
            found.append(_foretold_today(shelf, each, marks))
        except InputError:
            # A paint that went into the bin has no optics of today.
            continue
    return found, used


class TodaysOptics:
    """Marks of the current optics of paints, each fetched once.

    Parameters
    ----------
    shelf : Shelf
        Open.
    """

    def __init__(self, shelf: Shelf) -> None:
        self._shelf = shelf
        self._marks: dict[str, str] = {}

    def of(self, key: str) -> str:
        """Mark of a paint's current optics.

        Raises
        ------
        InputError
            If there is no such paint.
        """
        if key not in self._marks:
            self._marks[key] = mark_of_optics(self._shelf.load_paint(key).optics)
        return self._marks[key]

    def used(self, each: Proved, *, paint: str = "") -> bool:
        """Whether a proof went into the current optics of one of its paints, or of one paint by key.

        Raises
        ------
        InputError
            If a paint of it is not on the shelf.
        """
        asked = (paint,) if paint else tuple(each.paints)
        return any(use.paint in asked and use.optics == self.of(use.paint) for use in each.reading.uses)

    def can_use(self, each: Proved) -> bool:
        """Whether a proof is new to all of its paints, and all of them are on the shelf."""
        try:
            return not self.used(each) and all(self.of(key) for key in each.paints)
        except InputError:
            return False


def _foretold_today(shelf: Shelf, each: Proved, marks: TodaysOptics) -> Comparison:
    proof, reading = each.kept.proof, each.reading.reading
    if all(marks.of(paint.key) == paint.optics for paint in proof.paints):
        return each.found
    layering = promised_layering(shelf, proof, today=True)
    if reading.ground is not None:
        ground = ground_spectrum(reading.ground, reading.light, reading.observer)
        layering = over_ground(layering, ground)
    look = predict_look(layering, light=reading.light, observer=reading.observer)
    return compare_painted(
        look.lab,
        np.array(reading.lab),
        optics=look.lab_covariance,
        hand=np.array(reading.expected.hand),
        reading=np.array(reading.error),
    )
