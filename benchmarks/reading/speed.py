"""How long one picture of 12 and of 24 million points takes to read, measured in the run itself."""

from __future__ import annotations

import io
import os
import resource
import time
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass, replace
from multiprocessing import get_context
from pathlib import Path

import numpy as np
from demo.conditions import draw_conditions, draw_session
from demo.paints import WHITE_KEY
from demo.snapshot import page_of, photograph
from PIL import Image

from benchmarks.reading.cards import Plan, painted
from scumble.card import read_photograph

SIZES_PX = ((3000, 4000), (4243, 5657))
TIMES = 3


@dataclass(frozen=True)
class Speed:
    """Of one size: million points, processor seconds, clock seconds, memory of the process, and the machine's load."""

    points: float
    processor_s: float
    clock_s: float
    memory_gb: float
    load: float
    cores: int


def measure_speed() -> list[Speed]:
    """Read a photograph of each size some times; the least counts, for others may be at work."""
    plan = Plan(0, 1, "phone", "full", 0, (WHITE_KEY, "classroom-red"))
    rng = np.random.default_rng(11)
    card = painted(plan, "classroom-red")
    session = replace(draw_session("phone", rng), size_px=SIZES_PX[0])
    file = photograph(card, draw_conditions(session, page_of(card), rng), 11).file
    # A process of its own, that holds nothing of the simulator.
    with ProcessPoolExecutor(1, mp_context=get_context("spawn")) as pool:
        return [pool.submit(_read_some_times, _enlarged(file, size), size).result() for size in SIZES_PX]


def _read_some_times(content: bytes, size_px: tuple[int, int]) -> Speed:
    spent = []
    for _ in range(TIMES):
        start = time.process_time(), time.perf_counter()
        read_photograph(content)
        spent.append((time.process_time() - start[0], time.perf_counter() - start[1]))
    processor, clock = min(spent)
    memory = _most_memory_gb()
    points = size_px[0] * size_px[1] / 1e6
    return Speed(points, processor, clock, memory, os.getloadavg()[0], os.cpu_count() or 1)


def _most_memory_gb() -> float:
    """Most that this process held; `getrusage` would tell what its parent held when it was started."""
    status = Path("/proc/self/status")
    if not status.exists():
        return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e6
    line = next(line for line in status.read_text().splitlines() if line.startswith("VmHWM"))
    return float(line.split()[1]) / 1e6


def _enlarged(file: bytes, size_px: tuple[int, int]) -> bytes:
    picture = Image.open(io.BytesIO(file))
    if picture.size == size_px:
        return file
    out = io.BytesIO()
    picture.resize(size_px, Image.Resampling.BICUBIC).save(out, "JPEG", quality=90)
    return out.getvalue()


def speed_in_words(speeds: list[Speed]) -> str:
    """A sentence for the page."""
    each = "; ".join(
        f"one of\n{speed.points:.0f} million points took {speed.processor_s:.1f} s of a processor and"
        f" {speed.clock_s:.1f} s of the clock, {speed.load / speed.cores:.1f} programs asking for each core"
        for speed in speeds
    )
    memory = max(speed.memory_gb for speed in speeds)
    return f"Pictures read by themselves at the end of this run: {each}; {memory:.1f} GB\nof memory at most."
