"""The part of the page about cards that a hand spoilt, and about words on areas that were good."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

import numpy as np
from demo.blunder import BLUNDERS
from demo.flaw import FLAWS

from benchmarks.reading.hand import HARMLESS_DE00, HandScore
from benchmarks.reading.score import PhotoScore
from benchmarks.reading.table import share, table

WHY = {
    "drip in": "a drip of much the same colour",
    "drip out": "a film that hides its ground is no other colour where it is thicker",
    "pinholes": "holes finer than the picture's points blur into a lighter film",
    "dust": "specks of the film's own lightness",
    "hair": "hairs of the film's own lightness",
    "ridges": "a film that hides, or clears, its ground shows no thickness",
    "half thick": "a film that hides, or clears, its ground shows no thickness",
    "another tube": "a tube that is hardly different, in a film where it hardly shows",
    "swapped": "two films that look alike over this ground",
    "forgotten": "a film that does not show over this ground",
    "second coat": "one coat hides already, or a tint whose thickness nothing tells",
    "unwashed brush": "a paint that the other one hardly tints",
}
"""What cannot be noticed of each kind, whoever looks."""


def hand_table(photos: Sequence[PhotoScore]) -> str:
    """What became of each kind."""
    scores = [score for photo in photos for score in photo.hand]
    if not scores:
        return "None in this run."
    rows = [_row(kind, [score for score in scores if score.kind == kind]) for kind in (*BLUNDERS, *FLAWS)]
    rows.append(_row("**all**", scores))
    heads = (
        "what was done",
        "areas",
        "left out",
        "repaired",
        "no harm",
        "missed",
        "wrong",
        "done right",
        "said in the right words",
        "moved by the flaw / off after repair, the camera's error in it [dE00]",
        "what cannot be noticed",
    )
    refused = sum(bool(photo.refusal) for photo in photos if photo.conditions.fault == "hand")
    note = (
        f"\n\n*Left out*: weight below 0.5. *Repaired*: named rightly, and read within the promised bound of what the"
        f" film was meant to show. *No harm*: its mean changed by less than {HARMLESS_DE00:g} dE00 or half of that"
        " bound. *Missed*: none of these. *Wrong*: believed, off by more than 7 dE00 and twice the bound. *Done right*"
        " is all but missed and wrong. *Right words* are counted where the mean changed by more than is no harm."
        f" Photographs of such cards that were refused: {refused}."
    )
    return table(heads, [row for row in rows if row[1] != "0"]) + note


def _row(kind: str, scores: Sequence[HandScore]) -> tuple[str, ...]:
    counted = Counter(score.outcome for score in scores)
    names = ("left out", "repaired", "no harm", "missed", "wrong")
    fixed = [score for score in scores if score.outcome == "repaired"]
    matters = [score for score in scores if score.outcome != "no harm"]
    before = f"{np.mean([score.effect for score in fixed]):.1f}" if fixed else "-"
    after = f"{np.mean([score.off for score in fixed]):.1f}" if fixed else "-"
    return (
        kind,
        str(len(scores)),
        *(str(counted[name]) for name in names),
        share([score.outcome not in ("missed", "wrong") for score in scores]),
        share([score.named for score in matters]),
        f"{before} / {after}",
        WHY.get(kind, ""),
    )


def alarm_table(photos: Sequence[PhotoScore]) -> str:
    """Words and exclusions on areas of acceptable photographs, where no splash and no glare lies."""
    clean = [
        area
        for photo in photos
        if not photo.conditions.mishaps.splashes and photo.conditions.falling.glare is None
        for area in photo.areas
    ]
    if not clean:
        return "None in this run."
    kinds = Counter(kind for area in clean for kind in {*area.faults} - {"cut off", "too dark"})
    told = [bool({*area.faults} - {"cut off", "too dark"}) for area in clean]
    said = ", ".join(f"{kind} {count}" for kind, count in kinds.most_common())
    return (
        f"On {len(clean)} areas of acceptable photographs without splashes or a glare spot, left out:"
        f" {share([not area.believed for area in clean])}; with a word on something that a hand or a lamp did not do:"
        f" {share(told)}" + (f" ({said})." if said else ".")
    )
