"""How long charts take: ``python -m benchmarks.charts`` draws a wall chart of 300 paints on one sheet of A1.

Every paint has optics of its own, so that nothing is drawn twice. Times are of one process, from the request to the
bytes of the PDF, the shelf open and the modules loaded; the first run also builds the film table.
"""

from __future__ import annotations

import sys
import tempfile
import time
from dataclasses import replace
from pathlib import Path

import numpy as np

from scumble.jobs.charts.kinds import ChartRequest, print_kind
from scumble.jobs.charts.print_chart import chart_pdf
from scumble.paint import Optics, Paint
from scumble.paint.pigment import starter_shelf
from scumble.store.shelf import open_shelf

PAINTS, RUNS, SEED = 300, 3, 1907


def many_paints(count: int) -> list[Paint]:
    """The starter shelf over and over, each paint with optics of its own."""
    rng, starters = np.random.default_rng(SEED), starter_shelf()
    made = []
    for number in range(count):
        paint = starters[number % len(starters)]
        stronger, whiter = np.exp(rng.normal(0.0, 0.2, 2))
        optics = Optics(
            paint.optics.absorption * stronger, paint.optics.scattering * whiter, paint.optics.covariance
        )
        made.append(
            replace(paint, key=f"{paint.key}-{number}", label=f"{paint.label} {number}", optics=optics)
        )
    return made


def main() -> None:
    """Time the wall chart, and say its parts."""
    with tempfile.TemporaryDirectory() as folder, open_shelf(Path(folder) / "shelf.sqlite") as shelf:
        shelf.save_paints(many_paints(PAINTS))
        for run in range(RUNS):
            started = time.perf_counter()
            chart = print_kind(shelf, ChartRequest("wall", page="A1-landscape"))
            drawn = time.perf_counter()
            content = chart_pdf(chart)
            ended = time.perf_counter()
            sys.stdout.write(
                f"run {run + 1}: {PAINTS} paints on {len(chart.sheets)} sheet: shapes {drawn - started:.2f} s, "
                f"file {ended - drawn:.2f} s, in all {ended - started:.2f} s, {len(content) / 1e6:.1f} MB\n"
            )


if __name__ == "__main__":
    main()
