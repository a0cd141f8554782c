"""One session scored: what a worker process is given and what it gives back."""

from __future__ import annotations

import os
import resource
import traceback
from dataclasses import dataclass

from benchmarks.reading.cards import Plan, photographs
from benchmarks.reading.score import PhotoScore, score_photograph
from benchmarks.reading.unseen import UnseenScore, score_unseen


@dataclass(frozen=True)
class Result:
    """What came of one session.

    Parameters
    ----------
    photos : list of PhotoScore
        One a photograph.
    unseen : list of UnseenScore
        Films nobody painted, predicted from them.
    failure : str
        Why it was given up, with the way there; empty if it was not.
    memory_gb : float
        Most that its process held.
    """

    plan: Plan
    photos: list[PhotoScore]
    unseen: list[UnseenScore]
    failure: str = ""
    memory_gb: float = 0.0


def score_session(plan: Plan) -> Result:
    """Photograph, read and fit the cards of one session; a session that fails says so and stops no other."""
    try:
        photos, unseen, failure = *_score(plan), ""
    except Exception:
        photos, unseen, failure = [], [], traceback.format_exc()
    return Result(plan, photos, unseen, failure, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e6)


def _score(plan: Plan) -> tuple[list[PhotoScore], list[UnseenScore]]:
    import cv2

    cv2.setNumThreads(1)
    photos, read = [], {}
    for shot in photographs(plan):
        score, seen = score_photograph(shot)
        photos.append(score)
        if seen is not None and not shot.conditions.fault:
            read[shot.key] = (shot.card, seen)
    return photos, score_unseen(read)


def work_politely() -> None:
    """Let everybody else go first."""
    os.nice(5)
