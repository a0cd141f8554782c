"""Times of a shelf of 5,000 paints: ``python -m benchmarks.shelf`` measures and writes ``docs/shelf-speed.md``.

What is timed is the server's own work for a request, from the call of the page to its finished HTML, in one process;
*first* is a process that has not looked at the shelf before (its strips were worked out when they were imported),
*again* any later request. A real PostgreSQL server on loopback is asked the same where one is installed.
"""

from __future__ import annotations

import argparse
import platform
import tempfile
import time
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from statistics import median

import numpy as np
from sqlalchemy import event
from tests.store.servers import running_server, server_folder

from scumble.jobs.shelf.hung_shelf import hang_waiting
from scumble.jobs.shelf.shelf_filter import ShelfFilter
from scumble.jobs.shelf.show_shelf import show_shelf
from scumble.paint import Paint
from scumble.paint.pigment import starter_shelf
from scumble.store.shelf import Lightfastness, LightScale, Shelf, TubeFacts, open_shelf
from scumble.web.render import fill_in

PAINTS = 5000
ROUNDS = 15

ASKED: dict[str, tuple[str, ShelfFilter]] = {
    "words: transparent warm yellow": ("transparent warm yellow", ShelfFilter()),
    "hue blue": ("", ShelfFilter(hue="blue")),
    "price up to 6, at hand": ("", ShelfFilter(most_price="6", stock="at hand")),
    "opaque, lasting, no caution known": (
        "",
        ShelfFilter(mark="opaque", lasting="lasting", caution="none known"),
    ),
}


def many_paints(count: int) -> list[Paint]:
    """Invented neighbours of the starter pigments: the same curves, each a little stronger, weaker or cloudier."""
    chance, starters = np.random.default_rng(4), starter_shelf()
    made = []
    for number in range(count):
        paint = starters[number % len(starters)]
        if number >= len(starters):
            strong, cloudy = np.exp(chance.normal(0.0, 0.25, 2))
            optics = replace(
                paint.optics,
                absorption=paint.optics.absorption * strong,
                scattering=paint.optics.scattering * cloudy,
            )
            paint = replace(
                paint, key=f"{paint.key}-{number}"[:80], label=f"{paint.label} {number}", optics=optics
            )
        made.append(paint)
    return made


def facts_of(number: int) -> TubeFacts:
    """Price, stock and rating of an invented tube."""
    rated = Lightfastness(LightScale.ASTM, ("I", "II", "III")[number % 3], "an invented label")
    return TubeFacts(Decimal(4 + number % 17), "EUR", 37.0, number % 5, lightfastness=(rated,))


def fill(shelf: Shelf, paints: list[Paint]) -> float:
    """Put everything on the shelf; processor seconds for working out its strips."""
    shelf.save_paints(paints)
    shelf.tubes.save_all({paint.key: facts_of(at) for at, paint in enumerate(paints)})
    start = time.process_time()
    hang_waiting(shelf)
    return time.process_time() - start


def render_shelf(shelf: Shelf, find: str = "", wanted: ShelfFilter | None = None) -> str:
    """The page's HTML, as the server makes it."""
    page = show_shelf(shelf, find=find, wanted=wanted, page=1, most_new=0)
    return fill_in(
        "shelf.html",
        page=page,
        room="light",
        here="/",
        doors=(),
        is_open=lambda *_: False,
        walk=None,
        task="",
    )


def timed(work: Callable[[], object], rounds: int = ROUNDS) -> float:
    """Median processor time of several runs [ms]: what a wall clock shows where nothing else runs."""
    took = []
    for _ in range(rounds):
        start = time.process_time()
        work()
        took.append(1e3 * (time.process_time() - start))
    return median(took)


def measure(place: Path | str, paints: list[Paint]) -> dict[str, float]:
    """Figures of one database [ms], and what was asked of it."""
    with open_shelf(place) as shelf:
        hung_s = fill(shelf, paints)

    def first() -> None:
        with open_shelf(place) as shelf:
            render_shelf(shelf)

    def first_by_price() -> None:
        with open_shelf(place) as shelf:
            render_shelf(shelf, *ASKED["price up to 6, at hand"])

    figures = {"strips worked out, once [s]": hung_s}
    render_shelf_of_nothing()
    figures["first page of a new process, opening included"] = timed(first, 5)
    figures["the same narrowed by price"] = timed(first_by_price, 5)
    start = time.perf_counter()
    first()
    by_clock = {"first page of a new process, wall clock": 1e3 * (time.perf_counter() - start)}
    with open_shelf(place) as shelf:
        figures["size of the page [kB]"] = len(render_shelf(shelf).encode()) / 1e3
        figures["page again"] = timed(lambda: render_shelf(shelf))
        for name, (find, wanted) in ASKED.items():
            figures[name] = timed(lambda find=find, wanted=wanted: render_shelf(shelf, find, wanted))
        figures["page after a tube was saved anew, its strip worked out"] = timed(lambda: save_one(shelf), 5)
        figures["page after a word on a tube"] = timed(lambda: say_one(shelf), 5)
        start = time.perf_counter()
        for _ in range(ROUNDS):
            render_shelf(shelf, *ASKED["hue blue"])
        by_clock["hue blue, wall clock, mean"] = 1e3 * (time.perf_counter() - start) / ROUNDS
        asked: list[str] = []
        event.listen(shelf.door.engine, "before_cursor_execute", lambda *seen: asked.append(seen[2]))
        render_shelf(shelf)
        figures["questions to the database, again"] = float(len(asked))
    return figures | by_clock


def save_one(shelf: Shelf) -> None:
    """Save a tube under another name, and show the wall."""
    paint = shelf.load_paint("viridian")
    shelf.save_paint(replace(paint, label=f"{paint.label} anew"[:200]))
    hang_waiting(shelf)
    render_shelf(shelf)


def say_one(shelf: Shelf) -> None:
    """Say something else of a tube, and show the wall narrowed by it."""
    shelf.tubes.save("viridian", replace(shelf.tubes.load("viridian"), notes=f"said at {time.monotonic()}"))
    render_shelf(shelf, *ASKED["price up to 6, at hand"])


def render_shelf_of_nothing() -> None:
    """Load what a running server has long loaded: the templates."""
    with tempfile.TemporaryDirectory() as folder, open_shelf(Path(folder) / "none.sqlite") as shelf:
        render_shelf(shelf)


def main() -> None:
    """Measure, print, write."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--paints", type=int, default=PAINTS)
    parser.add_argument("--out", type=Path, default=Path("docs/shelf-speed.md"))
    asked = parser.parse_args()
    paints, columns = many_paints(asked.paints), {}
    with tempfile.TemporaryDirectory() as folder:
        columns["SQLite"] = measure(Path(folder) / "shelf.sqlite", paints)
    if server_folder() is not None:
        with running_server() as server:
            columns["PostgreSQL"] = measure(server.make_database(), paints)
    text = write_page(asked.paints, columns)
    print(text)
    asked.out.write_text(text, "utf-8")


def write_page(count: int, columns: dict[str, dict[str, float]]) -> str:
    """The figures as a page of the docs."""
    lines = [
        "# How fast a long shelf opens",
        "",
        f"Written by `python -m benchmarks.shelf`, Python {platform.python_version()}. A shelf of {count} paints",
        "(neighbours of the starter pigments, invented), each with price, stock and a rating. Times in milliseconds",
        "are medians of this program's processor time for the whole page, from the question to its HTML, so that",
        "other work on the machine does not count; a database server of its own is in the wall clock only. The aims",
        "are 300 for the first page and 100 for a filter. A running server has read the shelf, and what the shop knows",
        "of its tubes, before its first visitor comes. A process that is asked for a price first of all must read",
        "both: nearly all of its time goes into 5,000 strips and 5,000 prices, and none into the filter. What the wall",
        "clock showed is in the last rows; the machine's two cores had other work too.",
        "",
        "| | " + " | ".join(columns) + " |",
        "|---|" + "---|" * len(columns),
    ]
    names = next(iter(columns.values()))
    lines += [
        f"| {name} | " + " | ".join(f"{each[name]:.3g}" for each in columns.values()) + " |" for name in names
    ]
    return "\n".join(lines) + "\n"


if __name__ == "__main__":
    main()
