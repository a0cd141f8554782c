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
from concurrent.futures.process import BrokenProcessPool
from multiprocessing import get_context
from pathlib import Path

from benchmarks.reading.cards import CARDS, Plan, plan_sessions
from benchmarks.reading.page import write_page
from benchmarks.reading.session import Result, score_session, work_politely
from benchmarks.reading.speed import measure_speed, speed_in_words
from benchmarks.reading.unseen import UnseenScore

ATTEMPTS = 3
"""How often new processes are started when one was killed."""


def _scored(plans: Sequence[Plan], workers: int) -> Iterator[Result]:
    """Results as they come; should a process be killed, the sessions that it held back are given to new ones."""
    if workers == 1:
        yield from map(score_session, plans)
        return
    left = list(plans)
    for _ in range(ATTEMPTS):
        try:
            yield from _scored_once(left, workers)
        except BrokenProcessPool:
            print(f"A process was killed; {len(left)} sessions are left.", file=sys.stderr, flush=True)
        if not left:
            return


def _scored_once(left: list[Plan], workers: int) -> Iterator[Result]:
    """Results of the sessions that are left; each that is done is struck off."""
    with ProcessPoolExecutor(workers, mp_context=get_context("spawn"), initializer=work_politely) as pool:
        for done in as_completed([pool.submit(score_session, plan) for plan in left]):
            result = done.result()
            left.remove(result.plan)
            yield result


def _known(file: Path | None, plans: Sequence[Plan]) -> list[Result]:
    """Results of an earlier run of the same sessions that ended early."""
    if file is None or not file.exists():
        return []
    return [each for each in pickle.loads(file.read_bytes()) if each.plan in plans and not each.failure]


def main() -> None:
    """Score the sessions and write the page."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument(
        "--photos", type=int, default=160, help="acceptable photographs; a quarter more is spoilt"
    )
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--out", type=Path, default=Path(__file__).parents[2] / "docs" / "reading.md")
    parser.add_argument(
        "--scores",
        type=Path,
        help="also keep every score, pickled; a run that ended early goes on from there",
    )
    parser.add_argument("--commit", help="what to say was scored (default: what git says)")
    options = parser.parse_args()
    plans = plan_sessions(-(-options.photos // CARDS), options.seed)
    results = _known(options.scores, plans)
    done = {result.plan for result in results}
    commit = options.commit or _commit()
    start = time.monotonic()
    for result in _scored([plan for plan in plans if plan not in done], options.workers):
        results.append(result)
        _tell(result, len(results), len(plans), time.monotonic() - start)
        if options.scores:
            options.scores.write_bytes(pickle.dumps(results))
    results.sort(key=lambda result: result.plan.number)
    speed = speed_in_words(measure_speed())
    text = page(results, asked=options.photos, seed=options.seed, commit=commit, speed=speed)
    options.out.write_text(text, encoding="utf-8")


def _commit() -> str:
    """Short name of the commit at hand, marked when files differ from it."""
    said = subprocess.run(
        ["git", "describe", "--always", "--dirty"], capture_output=True, text=True, check=False
    )
    return said.stdout.strip() or "unknown"


def page(results: Sequence[Result], *, asked: int, seed: int, commit: str, speed: str) -> str:
    """The page of all sessions."""
    photos = [photo for result in results for photo in result.photos]
    unseen: dict[str, list[UnseenScore]] = {}
    for result in results:
        unseen.setdefault(result.plan.route, []).extend(result.unseen)
    failed = sum(bool(result.failure) for result in results)
    if failed:
        speed += f" {failed} sessions could not be scored and are not counted."
    return write_page(photos, unseen, asked=asked, seed=seed, commit=commit, speed=speed)


def _tell(result: Result, done: int, count: int, seconds: float) -> None:
    outcomes = ", ".join(
        f"{photo.tube.removeprefix('classroom-')} {photo.outcome}"
        + (f" ({photo.conditions.fault})" if photo.conditions.fault else "")
        for photo in result.photos
    )
    left = seconds / done * (count - done) / 60
    print(
        f"{done}/{count} {seconds:.0f} s, some {left:.0f} min left, {result.memory_gb:.1f} GB, {result.plan.route}"
        f" {result.plan.layout}: {result.failure or outcomes}",
        file=sys.stderr,
        flush=True,
    )


if __name__ == "__main__":
    main()
