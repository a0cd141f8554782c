"""``python -m benchmarks.routes --route target``: score routes to colour; regenerate docs/routes.md."""

from __future__ import annotations

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

import argparse
import pickle
import sys
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from multiprocessing import get_context
from pathlib import Path

import numpy as np

from benchmarks.reading.unseen import UnseenScore
from benchmarks.routes.score import ROUTES, RouteScore, plans, rows, score_session

HEAD = """# Routes to colour

How far colours of simulated photographs are off by each route ([docs/photographs.md](photographs.md) says what they
are). Written by `python -m benchmarks.routes {arguments}`; simulation by `demo/`, which shares no code with the reader.
{seeds}
- **target**: 96 patches invented in `demo/target.py`, painted of other colourants than the tubes, lie right of the
  card and are found by themselves; a camera saves P3 or a wide RGB.
  {daylight}
- **scanner**: 150 to 600 dots an inch; its profile of tables is made in `demo/scanner.py` and given as a file.
- **phone**: sRGB without a profile, as in [docs/reading.md](reading.md); the tone curve by the card's own steps.
- **off** is dE00 (D65, 2 degrees) of an area that is believed (weight of 0.5 or more); **promised** the mean 95 %
  bound; **within** the share of areas inside their own. **Unseen** are glazes, tints and mixtures that nobody painted.
"""

SEEDS = (
    "The target route was tuned on seeds 101, 202 and 404 (1.18 / 3.54 before that) and looked at on 303; other seeds\n"
    "are fresh.\n"
)
"""Said on the page: whoever tunes on another seed adds it."""


def main() -> None:
    """Score sessions and write the page."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--route", choices=ROUTES, action="append", help="repeat for several; all by default")
    parser.add_argument("--photos", type=int, default=40, help="of each route; four make a session")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--workers", type=int, default=2)
    parser.add_argument("--out", type=Path, default=Path(__file__).parents[2] / "docs" / "routes.md")
    parser.add_argument("--scores", type=Path, help="also keep every score, pickled")
    parser.add_argument(
        "--also",
        nargs=2,
        action="append",
        default=[],
        metavar=("SCORES", "SEED"),
        help="scores that another run kept, and its seed: counted together with these",
    )
    options = parser.parse_args()
    routes = options.route or [*ROUTES]
    jobs = [(route, plan) for route in routes for plan in plans(route, -(-options.photos // 4), options.seed)]
    results = []
    with ProcessPoolExecutor(options.workers, mp_context=get_context("spawn")) as pool:
        for done in as_completed([pool.submit(score_session, job) for job in jobs]):
            results.append(done.result())
            _tell(results[-1], len(results), len(jobs))
            if options.scores:
                options.scores.write_bytes(pickle.dumps(results))
    said = [" ".join([*(f"--route {route}" for route in options.route or ()), f"--photos {options.photos}"])]
    said[0] += f" --seed {options.seed}"
    for kept, seed in options.also:
        earlier = pickle.loads(Path(kept).read_bytes())
        results += earlier
        photos = sum(len(scores) for _, _, scores, _ in earlier)
        said.append(f"--route {earlier[0][0]} --photos {photos} --seed {seed}")
    routes = [route for route in ROUTES if any(own == route for own, *_ in results)]
    text = page(results, routes, "`,\n`... ".join(said))
    options.out.write_text(text, encoding="utf-8")


def _tell(result: tuple[str, object, list[RouteScore], list[UnseenScore]], done: int, count: int) -> None:
    route, _, scores, unseen = result
    off = np.concatenate([score.off for score in scores]) if scores else np.zeros(0)
    films = np.array([score.off for score in unseen])
    said = f"{off.mean():.2f} / {np.percentile(off, 95):.2f}" if off.size else "nothing read"
    films_said = f"; unseen {films.mean():.2f}" if films.size else ""
    print(
        f"{done}/{count} {route} {scores[0].light} {scores[0].sensor}: {said}{films_said}",
        file=sys.stderr,
        flush=True,
    )


def page(results: Sequence[tuple], routes: Sequence[str], arguments: str) -> str:
    """The page of all sessions."""
    lines = [HEAD.format(arguments=arguments, seeds=SEEDS, daylight=_daylight(results))]
    lines += [
        "| route | light | photographs | refused | areas believed | off, mean / 95th | promised | within |"
    ]
    lines += ["|---|---|---|---|---|---|---|---|"]
    for route in routes:
        scores = [score for own, _, each, _ in results if own == route for score in each]
        lines += [_row(route, light, group) for light, group in rows(scores)]
    lines += [
        "",
        "## Films nobody painted",
        "",
        "| route | films | dE00, mean / 95th | 95 % bound, mean | interval holds |",
    ]
    lines += ["|---|---|---|---|---|"]
    for route in routes:
        films = [film for own, _, _, each in results if own == route for film in each]
        if films:
            off, bound = np.array([film.off for film in films]), np.array([film.bound for film in films])
            held = 100 * np.mean(off <= bound)
            lines.append(
                f"| {route} | {len(films)} | {off.mean():.2f} / {np.percentile(off, 95):.2f} | {bound.mean():.2f} |"
                f" {held:.0f} % |"
            )
    refusals = sorted({score.refusal for _, _, each, _ in results for score in each if score.refusal})
    lines += ["", "Refused:" if refusals else "None was refused.", *(f"- {words}" for words in refusals), ""]
    return "\n".join(lines)


def _daylight(results: Sequence[tuple]) -> str:
    """How many of the photographs with a target are by daylight, in a sentence."""
    lights = [score.light for route, _, each, _ in results if route == "target" for score in each]
    if not lights:
        return "None was taken for this page."
    day = sum(light in ("D65", "D50") for light in lights)
    return f"Of {len(lights)} photographs {day} are by daylight (D65 or D50 alone), {len(lights) - day} by lamps."


def _row(route: str, light: str, scores: Sequence[RouteScore]) -> str:
    off = np.concatenate([score.off for score in scores])
    bound = np.concatenate([score.bound for score in scores])
    refused = sum(bool(score.refusal) for score in scores)
    believed = 100 * len(off) / max(sum(score.areas for score in scores if not score.refusal), 1)
    if not off.size:
        return f"| {route} | {light} | {len(scores)} | {refused} | | | | |"
    return (
        f"| {route} | {light} | {len(scores)} | {refused} | {believed:.0f} % | {off.mean():.2f} /"
        f" {np.percentile(off, 95):.2f} | {bound.mean():.2f} | {100 * np.mean(off <= bound):.0f} % |"
    )


if __name__ == "__main__":
    main()
