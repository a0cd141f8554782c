"""The page Proofs, as values that a template shows."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from scumble.errors import InputError
from scumble.jobs.bench.words import LIGHTS
from scumble.jobs.proofs.figures import RecordFigure, draw_record, screen_colour
from scumble.jobs.proofs.keep import swatch_names
from scumble.jobs.proofs.promise import promised_layering
from scumble.jobs.proofs.record import Group, Proved, TodaysOptics, keep_record
from scumble.jobs.proofs.suggest import Suggestion, suggest_next
from scumble.jobs.proofs.words import KINDS, say_how_to_paint
from scumble.paint import Provenance, interval_de00
from scumble.paint.proof import ProofKind, say_shift
from scumble.store.proof import KeptProof, ProofSheet
from scumble.store.shelf import Shelf

MOST_SHOWN: Final = 60
"""Proved swatches on the page at once, the newest."""


@dataclass(frozen=True, slots=True)
class WaitingProof:
    """A proof that waits to be painted.

    Parameters
    ----------
    key, label, kind : str
        Which.
    ground : str
        What it is painted on.
    steps : tuple of str
        How, the lowest film first.
    promised : str
        Screen colour of what is promised; covered until somebody asks.
    says : str
        The promise in words.
    sheet : str
        Where it was printed, if it was.
    """

    key: str
    label: str
    kind: str
    ground: str
    steps: tuple[str, ...]
    promised: str
    says: str
    sheet: str


@dataclass(frozen=True, slots=True)
class ProvedSwatch:
    """A proof that was read, as two halves of a swatch.

    Parameters
    ----------
    key, label, kind : str
        Which.
    promised, painted : str
        Screen colours.
    says, verdict : str
        How far off and which way; whether the promise was kept.
    is_within, is_illustrative, is_used : bool
        The last: whether it went into the optics of today.
    """

    key: str
    label: str
    kind: str
    promised: str
    painted: str
    says: str
    verdict: str
    is_within: bool
    is_illustrative: bool
    is_used: bool


@dataclass(frozen=True, slots=True)
class ProofsPage:
    """All that the page shows."""

    paint: str
    paint_label: str
    kind: str
    kinds: dict[str, str]
    suggestions: tuple[Suggestion, ...]
    waiting: tuple[WaitingProof, ...]
    whole: Group
    by_kind: tuple[Group, ...]
    by_paint: tuple[tuple[Group, bool], ...]
    today: Group
    used: int
    is_moved: bool
    figures: tuple[RecordFigure, ...]
    proved: tuple[ProvedSwatch, ...]
    more: int
    illustrative: tuple[ProvedSwatch, ...]
    binned: tuple[KeptProof, ...]
    sheets: tuple[ProofSheet, ...]
    labels: tuple[tuple[str, str], ...]
    swatches: dict[str, str]


def show_proofs(shelf: Shelf, *, paint: str = "", kind: str = "") -> ProofsPage:
    """The page Proofs; with a paint or a kind, the track record of those alone.

    Raises
    ------
    InputError
        If there is no such paint or kind.
    """
    record = keep_record(shelf, paint=paint, kind=kind)
    whole = keep_record(shelf) if paint or kind else record
    entries = {entry.key: entry for entry in shelf.load_entries()}
    marks = TodaysOptics(shelf)
    sheets = shelf.proofs.load_sheets()
    newest = record.proved[::-1][:MOST_SHOWN]
    measured = {key for key, entry in entries.items() if entry.provenance is not Provenance.ILLUSTRATIVE}
    return ProofsPage(
        paint=shelf.load_paint(paint).key if paint else "",
        paint_label=shelf.load_paint(paint).label if paint else "",
        kind=kind,
        kinds={each.value: words for each, words in KINDS.items()},
        suggestions=suggest_next(shelf, whole),
        waiting=tuple(show_waiting(shelf, each, sheets) for each in record.waiting),
        whole=record.all,
        by_kind=record.kinds,
        by_paint=tuple((group, group.key in measured) for group in record.paints),
        today=record.today,
        used=record.used,
        is_moved=record.used > 0 or abs(record.today.tally.mean_de00 - record.all.tally.mean_de00) > 1e-3,
        figures=draw_record(record.proved),
        proved=tuple(_swatch(each, marks) for each in newest),
        more=len(record.proved) - len(newest),
        illustrative=tuple(_swatch(each, marks) for each in record.illustrative[::-1][:MOST_SHOWN]),
        binned=shelf.proofs.load_all(binned=True),
        sheets=sheets[::-1],
        labels=tuple((key, entry.label) for key, entry in entries.items()),
        swatches=swatch_names(),
    )


def show_waiting(shelf: Shelf, kept: KeptProof, sheets: tuple[ProofSheet, ...]) -> WaitingProof:
    """A proof with how it is painted, and on which of the sheets."""
    proof = kept.proof
    try:
        films = promised_layering(shelf, proof).films
        steps = tuple(say_how_to_paint(film) for film in films)
    except InputError as error:
        steps = (str(error),)
    printed = next(
        (
            f"sheet {sheet.serial}, box {area.partition('-')[0].removeprefix('p')}"
            for sheet in reversed(sheets)
            for area, key in sheet.boxes.items()
            if key == proof.key
        ),
        "",
    )
    return WaitingProof(
        proof.key,
        proof.label,
        KINDS[ProofKind(proof.kind)],
        proof.ground,
        steps,
        screen_colour(proof.promise.lab, proof.light, proof.observer),
        say_promised(kept),
        printed,
    )


def say_promised(kept: KeptProof) -> str:
    """What was promised, in words."""
    promise = kept.proof.promise
    lab, optics, hand = (np.array(each) for each in (promise.lab, promise.optics, promise.hand))
    lightness, a, b = (round(value) + 0 for value in promise.lab)
    return (
        f"L* {lightness}, a* {a}, b* {b} by {LIGHTS.get(kept.proof.light, kept.proof.light)}, within dE00"
        f" {interval_de00(lab, optics + hand):.1f} as a careful hand paints it; as far as the paints are known,"
        f" within {interval_de00(lab, optics):.1f}"
    ).replace("-", "−")


def _swatch(each: Proved, marks: TodaysOptics) -> ProvedSwatch:
    proof, said = each.kept.proof, each.reading.reading
    try:
        is_used = marks.used(each)
    except InputError:
        is_used = False
    return ProvedSwatch(
        proof.key,
        proof.label,
        KINDS[ProofKind(proof.kind)],
        screen_colour(said.expected.lab, said.light, said.observer),
        screen_colour(said.lab, said.light, said.observer),
        say_shift(each.found.expected, each.found.painted),
        say_verdict(each.found.difference_de00, each.found.interval_de00),
        each.found.is_within,
        proof.is_illustrative,
        is_used,
    )


def say_verdict(difference: float, interval: float) -> str:
    """Whether a promise was kept, in words.

    Examples
    --------
    >>> say_verdict(1.2, 2.5), say_verdict(4.0, 2.5)
    ('dE00 1.2, inside the 2.5 that were promised', 'dE00 4.0, beyond the 2.5 that were promised')
    """
    where = "inside" if difference <= interval else "beyond"
    return f"dE00 {difference:.1f}, {where} the {interval:.1f} that were promised"
