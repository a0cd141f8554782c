"""What to prove next: where predictions stray, and what nobody has put to the test."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

import numpy as np

from scumble.jobs.layering_request import parse_layering
from scumble.jobs.proofs.keep import SWATCHES, swatch_data
from scumble.jobs.proofs.promise import layering_of, promise_of
from scumble.jobs.proofs.record import FEW, Proved, Record, TodaysOptics
from scumble.jobs.white import is_white
from scumble.paint import Paint, Provenance, interval_de00
from scumble.paint.proof import ProofKind
from scumble.store.shelf import Shelf

MOST: Final = 4
"""Suggestions at once."""

MOST_ASKED: Final = 24
"""Tubes that are asked what was never proved of them, the newest."""

STRAYS_BY: Final = 1.3
"""Mean difference of a paint's kind, against that of all proofs, from which predictions are said to stray there."""

STRAYS_FROM: Final = 1.5
"""The same in dE00: less than this is no matter for a painter. Scumble's own."""

WHERE: Final = {
    ProofKind.MASSTONE: ("masstone", "a full coat"),
    ProofKind.UNDERTONE: ("undertone", "a thin film"),
    ProofKind.GLAZE: ("glaze", "a thin film over a colour"),
    ProofKind.TINT: ("tint", "a tint"),
    ProofKind.MIXTURE: ("mixtures", "a mixture"),
    ProofKind.DARK: ("film over dark", "a thin film over black"),
}
"""What each kind is called of a paint, and what is painted for it."""

OF_A_KIND: Final = {
    ProofKind.MASSTONE: "masstone",
    ProofKind.UNDERTONE: "undertone",
    ProofKind.TINT: "tint4",
    ProofKind.DARK: "dark",
}
"""Swatches that test a kind with one tube, in the order in which they are proposed."""


@dataclass(frozen=True, slots=True)
class Suggestion:
    """One thing to do next.

    Parameters
    ----------
    says : str
        In a sentence.
    paint, label : str
        Of which paint.
    swatch : str
        To keep and paint; empty where proofs that are there shall sharpen the paint.
    """

    says: str
    paint: str
    label: str
    swatch: str


def suggest_next(shelf: Shelf, record: Record) -> tuple[Suggestion, ...]:
    """What to do next, the most telling first.

    Parameters
    ----------
    shelf : Shelf
        Open.
    record : Record
        Of the whole shelf.
    """
    entries = [each for each in shelf.load_entries() if each.provenance is not Provenance.ILLUSTRATIVE]
    newest = sorted(entries, key=lambda each: each.saved_at, reverse=True)[:MOST_ASKED]
    known = {key for each in record.proved for key in each.paints}
    asked = {each.key for each in newest} | {each.key for each in entries if each.key in known}
    paints = {key: shelf.load_paint(key) for key in sorted(asked)}
    found = [*_straying(shelf, record, paints), *_never_proved(shelf, record, paints)]
    first: dict[str, Suggestion] = {}
    for each in found:
        first.setdefault(each.paint, each)
    return tuple(first.values())[:MOST]


def _straying(shelf: Shelf, record: Record, paints: dict[str, Paint]) -> list[Suggestion]:
    """Paints that stray from their predictions in one kind of film."""
    if record.all.tally.count < FEW:
        return []
    together: dict[tuple[str, str], list[Proved]] = {}
    for each in record.proved:
        for key in each.paints:
            if key in paints and not is_white(paints[key]):
                together.setdefault((key, each.kind), []).append(each)
    limit = max(STRAYS_BY * record.all.tally.mean_de00, STRAYS_FROM)
    means = {
        pair: sum(each.found.difference_de00 for each in proofs) / len(proofs)
        for pair, proofs in together.items()
        # One or two that kept their promise show nothing.
        if len(proofs) >= FEW or not all(each.found.is_within for each in proofs)
    }
    worst = sorted((pair for pair in means if means[pair] >= limit), key=lambda pair: -means[pair])
    marks = TodaysOptics(shelf)
    return [
        _say_straying(marks, record, paints[key], kind, together[key, kind], means[key, kind])
        for key, kind in worst[:MOST]
    ]


def _say_straying(
    marks: TodaysOptics, record: Record, paint: Paint, kind: str, proofs: list[Proved], mean: float
) -> Suggestion:
    what, painted = WHERE[ProofKind(kind)]
    swatch = OF_A_KIND.get(ProofKind(kind), "undertone")
    if len(proofs) < FEW:
        head = f"{paint.label}: its {what} came out dE00 {mean:.1f} off, beyond what was promised."
        again = f"{head} Paint {painted} of it again before you believe that."
        return Suggestion(again, paint.key, paint.label, swatch)
    count = len(proofs)
    head = f"{paint.label}: its {what} is where predictions stray, by dE00 {mean:.1f} over {count} proofs."
    if any(marks.can_use(each) for each in record.proved if paint.key in each.paints):
        return Suggestion(f"{head} Let its proofs sharpen it.", paint.key, paint.label, "")
    anew = f"{head} Its proofs are in it already; paint {painted} anew."
    return Suggestion(anew, paint.key, paint.label, swatch)


def _never_proved(shelf: Shelf, record: Record, paints: dict[str, Paint]) -> list[Suggestion]:
    """Swatches that nobody proved or keeps, the least sure first."""
    kept = [*(each.kept for each in record.proved), *record.waiting]
    known = {(paint.key, each.proof.kind) for each in kept for paint in each.proof.paints}
    whites = {key for key, paint in paints.items() if is_white(paint)}
    open_ones = []
    for key, paint in paints.items():
        for kind, swatch in OF_A_KIND.items():
            if (key, kind.value) in known or key in whites:
                continue
            if SWATCHES[swatch][3] and not any(paints[white].binder is paint.binder for white in whites):
                continue
            open_ones.append((_sureness(shelf, paint, swatch), paint, kind, swatch))
    open_ones.sort(key=lambda each: -each[0])
    return [
        Suggestion(
            f"Paint {WHERE[kind][1]} of {paint.label}: its {WHERE[kind][0]} was never proved, and it is promised"
            f" only within dE00 {sure:.1f}.",
            paint.key,
            paint.label,
            swatch,
        )
        for sure, paint, kind, swatch in open_ones
    ]


def _sureness(shelf: Shelf, paint: Paint, swatch: str) -> float:
    """Interval of a swatch from its paints alone [dE00]."""
    layering = layering_of(shelf, parse_layering(swatch_data(shelf, paint, swatch)))
    promise = promise_of(layering, light="D65", observer=2)
    return interval_de00(np.array(promise.lab), np.array(promise.optics))
