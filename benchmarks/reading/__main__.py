"""``python -m benchmarks.reading``: photograph, read and score; regenerate docs/reading.md."""

from __future__ import annotations

import os

# Before numpy is loaded: small systems, and one process a core.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import argparse
import pickle
import subprocess
import sys
import time
from collections.abc import Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from multiprocessing import get_context
from pathlib import Path

from benchmarks.reading.cards import CARDS, Plan, plan_sessions
from benchmarks.reading.page import write_page
from benchmarks.reading.session import Result, score_session, work_politely
from benchmarks.reading.unseen import UnseenScore


def _scored(plans: Sequence[Plan], workers: int) -> Iterator[Result]:
    if workers == 1:
        yield from map(score_session, plans)
        return
    with ProcessPoolExecutor(workers, mp_context=get_context("spawn"), initializer=work_politely) as pool:
        for done in as_completed([pool.submit(score_session, plan) for plan in plans]):
            yield done.result()


def main() -> None:
    """Score the sessions and write the page."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument(
        "--photos", type=int, default=160, help="acceptable photographs; a quarter more is spoilt"
    )
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--out", type=Path, default=Path(__file__).parents[2] / "docs" / "reading.md")
    parser.add_argument("--scores", type=Path, help="also keep every score, pickled")
    parser.add_argument("--commit", help="what to say was scored (default: what git says)")
    options = parser.parse_args()
    plans = plan_sessions(-(-options.photos // CARDS), options.seed)
    results: list[Result] = []
    commit = options.commit or _commit()
    start = time.monotonic()
    for result in _scored(plans, options.workers):
        results.append(result)
        _tell(result, len(results), len(plans), time.monotonic() - start)
        if options.scores:
            options.scores.write_bytes(pickle.dumps(results))
    results.sort(key=lambda result: result[0].number)
    text = page(results, asked=options.photos, seed=options.seed, commit=commit)
    options.out.write_text(text, encoding="utf-8")


def _commit() -> str:
    """Short name of the commit at hand, marked when files differ from it."""
    said = subprocess.run(
        ["git", "describe", "--always", "--dirty"], capture_output=True, text=True, check=False
    )
    return said.stdout.strip() or "unknown"


def page(results: Sequence[Result], *, asked: int, seed: int, commit: str) -> str:
    """The page of all sessions."""
    photos = [photo for _, scores, _ in results for photo in scores]
    unseen: dict[str, list[UnseenScore]] = {}
    for plan, _, scores in results:
        unseen.setdefault(plan.route, []).extend(scores)
    return write_page(photos, unseen, asked=asked, seed=seed, commit=commit)


def _tell(result: Result, done: int, count: int, seconds: float) -> None:
    plan, photos, _ = result
    outcomes = ", ".join(
        f"{photo.tube.removeprefix('classroom-')} {photo.outcome}"
        + (f" ({photo.conditions.fault})" if photo.conditions.fault else "")
        for photo in photos
    )
    print(
        f"{done}/{count} {seconds:.0f} s, {plan.route} {plan.layout}: {outcomes}", file=sys.stderr, flush=True
    )


if __name__ == "__main__":
    main()
