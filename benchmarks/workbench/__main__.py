"""``python -m benchmarks.workbench``: regenerate docs/workbench.md."""

from __future__ import annotations

import os
import platform
import sys
from pathlib import Path
from tempfile import TemporaryDirectory

import httpx

from benchmarks.workbench import hand, server, tables
from scumble.jobs.bench.painting import NODES
from scumble.jobs.open_shelf import prepare_shelf
from scumble.store.shelf import open_shelf

PAGE = Path(__file__).parents[2] / "docs" / "workbench.md"

WORDS = """# The workbench, measured

Written by `python -m benchmarks.workbench` with the demo shelf, its own server and a Chromium that draws without a
graphics chip, all on {processors} processors ({machine}; load {load:.1f} when it began). Times are the median and the
95th percentile.

## A hand on the page

From the event of the mouse to the frame that shows it, {moves} moves, one every {pause} ms.

| | median | 95 % | asked |
|---|---|---|---|
{hand}

While a film is dragged its swatches follow between colours that came when it was taken hold of (`/layers/fan`); the
answer with words, interval, section and curves replaces them.

## A painting

One table of {nodes} x {nodes} x {nodes} nodes a layering, sent as half floats ({kilobytes:.0f} kB).

| table on the server | median | 95 % | asked |
|---|---|---|---|
{times}

| frame without a graphics chip | median | 95 % |
|---|---|---|
{frames}

The frame asked for is under 33 ms *with* a graphics chip; these are the processor's, two threads of it.

How far the table's path is from every colour of a generated picture worked out for itself, dE00:

| layering | nodes | mean | 95 % | most |
|---|---|---|---|---|
{exactness}

Asked: mean under 0.3. What is largest lies where paint leaves what a screen shows.

## The server

| | measured | asked |
|---|---|---|
{server}

Pages with their style and script, without pictures [kB]; asked: 100 each.

| page | page | style and script | both as sent, packed |
|---|---|---|---|
{pages}
"""


def row(*cells: str) -> str:
    """A line of a table."""
    return "| " + " | ".join(cells) + " |"


def times(name: str, numbers: tuple[float, float], asked: str | None = None) -> str:
    """A line of two times."""
    return row(name, *(f"{each:.1f} ms" for each in numbers), *([] if asked is None else [asked]))


def measure(folder: Path) -> str:
    """The whole page."""
    load = os.getloadavg()[0]
    shelf_file = prepare_shelf(folder / "shelf.sqlite", demo=server.ROOT / "demo")
    with open_shelf(shelf_file) as shelf:
        drawn, spectra = tables.time_tables(shelf), tables.time_spectra()
        exact = list(tables.measure_exactness(shelf))
    starts = server.measure_starts(shelf_file)
    with server.opened(shelf_file) as (address, _, pid):
        with httpx.Client(base_url=address, timeout=60) as client:
            pages = server.measure_pages(client)
        with hand.chromium(address, hand.PLAIN) as page:
            at_once, answers = hand.drag_on_bench(page)
            easel = hand.drag_on_painting(page)
        with hand.chromium(address, hand.SOFTWARE_CHIP) as page:
            whole = hand.frames(page, (4000, 3000), (4000, 3000))
            shown = hand.frames(page, (4000, 3000), (1200, 900))
        memory, most = server.resident_mb(pid)
    took, worked = min(starts)
    asked = dict.fromkeys(drawn, "30 ms") | {"three films": "120 ms"}
    return WORDS.format(
        processors=os.cpu_count(),
        machine=platform.machine(),
        load=load,
        moves=len(at_once),
        pause=hand.PAUSE_MS,
        nodes=NODES,
        kilobytes=6 * NODES**3 / 1e3,
        hand="\n".join(
            [
                times("Layers: dragged film to changed swatch", hand.middle_and_high(at_once), "50 ms"),
                times("Layers: dragged film to the bench's answer", hand.middle_and_high(answers), "50 ms"),
                times("On a painting: slider to changed picture", hand.middle_and_high(easel), "-"),
            ]
        ),
        times="\n".join(
            [
                *(times(name, numbers, asked[name]) for name, numbers in drawn.items()),
                times("spectra of all nodes, once a white", spectra, "-"),
            ]
        ),
        frames="\n".join(
            [
                times("12 megapixels, all of them drawn", hand.middle_and_high(whole)),
                times("12 megapixels, shown 1200 by 900", hand.middle_and_high(shown)),
            ]
        ),
        exactness="\n".join(
            row(each.name, str(each.nodes), f"{each.mean:.3f}", f"{each.high:.2f}", f"{each.most:.1f}")
            for each in exact
        ),
        server="\n".join(
            [
                row(
                    "command to first page, shelf there already",
                    f"{took:.2f} s, {worked:.2f} s of it a processor's",
                    "2 s",
                ),
                row("memory after all this", f"{memory:.0f} MB (most {most:.0f} MB)", "400 MB"),
            ]
        ),
        pages="\n".join(
            row(each.name, f"{each.html / 1e3:.1f}", f"{each.files / 1e3:.1f}", f"{each.sent / 1e3:.1f}")
            for each in pages
        ),
    )


def main() -> None:
    """Measure and write."""
    with TemporaryDirectory() as folder:
        text = measure(Path(folder))
    PAGE.write_text(text, encoding="utf-8")
    sys.stdout.write(text)


if __name__ == "__main__":
    main()
