"""One session scored: what a worker process is given and what it gives back."""

from __future__ import annotations

import os

from benchmarks.reading.cards import Plan, photographs
from benchmarks.reading.score import PhotoScore, score_photograph
from benchmarks.reading.unseen import UnseenScore, score_unseen

Result = tuple[Plan, list[PhotoScore], list[UnseenScore]]


def score_session(plan: Plan) -> Result:
    """Photograph, read and fit the cards of one session."""
    import cv2

    cv2.setNumThreads(1)
    photos, read = [], {}
    for shot in photographs(plan):
        score, seen = score_photograph(shot)
        photos.append(score)
        if seen is not None and not shot.conditions.fault:
            read[shot.key] = (shot.card, seen)
    return plan, photos, score_unseen(read)


def work_politely() -> None:
    """Let everybody else go first."""
    os.nice(5)
