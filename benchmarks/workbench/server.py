"""The server as a program of its own: how soon it answers, how large its pages are, how much memory it takes."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

import httpx

from scumble.web.doors import DOORS

ROOT = Path(__file__).parents[2]
STARTS = 3
PAINT = "/paints/titanium-white"
LINKED = re.compile(r'(?:href|src)="(/static/[^"]+\.(?:css|js))"')
IMPORTED = re.compile(r'(?:from|import) "\./([^"]+)"')


@dataclass(frozen=True)
class Page:
    """A page without its pictures [byte]."""

    name: str
    html: int
    files: int
    sent: int


@contextmanager
def opened(shelf: Path) -> Iterator[tuple[str, float, int]]:
    """Address, seconds until the first page, and process number of a server with the demo shelf."""
    command = [sys.executable, "-m", "scumble", "open", "--shelf", str(shelf)]
    command += ["--demo", str(ROOT / "demo"), "--no-browser", "--port", "0"]
    start = time.perf_counter()
    server = subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True)
    try:
        assert server.stdout
        said = next(line for line in server.stdout if "http://" in line)
        address = re.findall(r"http://[\d.:]+", said)[0]
        with httpx.Client(base_url=address, timeout=60) as client:
            client.get("/", follow_redirects=True).raise_for_status()
        yield address, time.perf_counter() - start, server.pid
    finally:
        server.terminate()
        server.wait(10)


def measure_starts(shelf: Path) -> list[tuple[float, float]]:
    """Seconds from the command to the first whole page, and those of them that a processor worked for it."""
    seconds = []
    for _ in range(STARTS):
        with opened(shelf) as (_, took, pid):
            seconds.append((took, worked_s(pid)))
    return seconds


def worked_s(pid: int) -> float:
    """Processor time that a process has taken [s]."""
    fields = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
    return (int(fields[11]) + int(fields[12])) / os.sysconf("SC_CLK_TCK")


def measure_pages(client: httpx.Client) -> list[Page]:
    """Every page behind a door, and one paint's."""
    paths = [*((door.path, door.name) for door in DOORS), (PAINT, "Paint")]
    return [_measure(client, path, name) for path, name in paths]


def _measure(client: httpx.Client, path: str, name: str) -> Page:
    answer = client.get(path, follow_redirects=True).raise_for_status()
    wanted, seen, sent = set(LINKED.findall(answer.text)), dict[str, int](), answer.num_bytes_downloaded
    while wanted:
        file = wanted.pop()
        got = client.get(file).raise_for_status()
        seen[file] = len(got.content)
        sent += got.num_bytes_downloaded
        wanted |= {f"/static/{each}" for each in IMPORTED.findall(got.text)} - seen.keys()
    return Page(name, len(answer.content), sum(seen.values()), sent)


def resident_mb(pid: int) -> tuple[float, float]:
    """Memory that a process holds now and held at most [MB]."""
    status = Path(f"/proc/{pid}/status").read_text()
    now, most = (int(re.findall(rf"{name}:\s+(\d+) kB", status)[0]) / 1000 for name in ("VmRSS", "VmHWM"))
    return now, most
