"""What was confirmed survives a kill, nothing is half-saved, and several may work on one shelf."""

from __future__ import annotations

import json
import os
import random
import signal
import sqlite3
import subprocess
import sys
import threading
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from tests.store.cards import invented_paint, same_card, same_paint
from tests.store.shelf_writer import content_of

from scumble.store.shelf import open_shelf

ROOT = Path(__file__).parents[2]


def start_writer(place: Path) -> subprocess.Popen[str]:
    return subprocess.Popen(
        [sys.executable, "-m", "tests.store.shelf_writer", str(place)],
        cwd=ROOT,
        stdout=subprocess.PIPE,
        text=True,
    )


def kill_after(writer: subprocess.Popen[str], seconds: float, *, once_confirmed: bool) -> list[int]:
    """Kill a writer some time after it started or after its first word; the numbers it confirmed."""
    assert writer.stdout is not None
    said = writer.stdout.readline() if once_confirmed else ""
    time.sleep(seconds)
    assert writer.poll() is None, "the writer ended by itself"
    os.kill(writer.pid, signal.SIGKILL)
    rest = writer.stdout.read()
    writer.wait()
    writer.stdout.close()
    # A last line that was cut off confirms nothing.
    return [int(line) for line in (said + rest).splitlines(keepends=True) if line.endswith("\n")]


def check_shelf(place: Path, confirmed: int) -> None:
    """Every version is whole, and none that was confirmed is missing."""
    with open_shelf(place) as shelf:
        numbers = (
            [entry.version for entry in shelf.load_versions("deep-blue")] if shelf.load_entries() else []
        )
        assert numbers == list(range(1, len(numbers) + 1))
        assert len(numbers) >= confirmed
        for number in numbers:
            assert same_paint(shelf.load_paint("deep-blue", version=number), content_of(number)[0])
        if numbers:
            paint, card, picture = content_of(numbers[-1])
            assert shelf.load_paint("deep-blue").label == paint.label
            read = shelf.load_readings("deep-blue")
            assert read is not None and same_card(read, card)
            assert shelf.load_picture("deep-blue") == picture
    connection = sqlite3.connect(place)
    assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    assert connection.execute("PRAGMA foreign_key_check").fetchall() == []
    counts = {
        table: connection.execute(f"SELECT count(*) FROM {table}").fetchone()[0]
        for table in ("versions", "optics", "cards", "pictures")
    }
    connection.close()
    # Each version came with all of its own: nothing was left behind by a save that was cut off.
    assert set(counts.values()) == {len(numbers)}


@pytest.mark.slow
def test_ten_kills_while_saving_lose_nothing_that_was_confirmed(tmp_path: Path) -> None:
    place, chance = tmp_path / "shelf.scumble", random.Random(7)
    confirmed = 0
    for _ in range(10):
        said = kill_after(start_writer(place), chance.uniform(0.0, 0.15), once_confirmed=True)
        confirmed = max(said, default=confirmed)
        check_shelf(place, confirmed)
    # Each writer was heard at least once before it was killed.
    assert confirmed >= 10


@pytest.mark.slow
def test_kills_while_a_shelf_is_made_leave_a_shelf_or_nothing(tmp_path: Path) -> None:
    start = time.perf_counter()
    first = start_writer(tmp_path / "first.scumble")
    assert first.stdout is not None
    first.stdout.readline()
    until_saved = time.perf_counter() - start
    kill_after(first, 0.0, once_confirmed=False)
    chance = random.Random(8)
    for attempt in range(6):
        place = tmp_path / f"shelf{attempt}.scumble"
        said = kill_after(start_writer(place), until_saved * chance.uniform(0.7, 1.0), once_confirmed=False)
        check_shelf(place, max(said, default=0))


def test_two_connections_write_in_turn(tmp_path: Path) -> None:
    place = tmp_path / "shelf.scumble"

    def save(seeds: range) -> list[int]:
        with open_shelf(place) as shelf:
            return [shelf.save_paint(invented_paint(seed=seed)) for seed in seeds]

    with ThreadPoolExecutor(2) as pool:
        both = list(pool.map(save, [range(0, 15), range(100, 115)]))
    # Each save got a number of its own, and each writer saw its own in order.
    assert sorted(both[0] + both[1]) == list(range(1, 31))
    assert all(numbers == sorted(numbers) for numbers in both)
    with open_shelf(place) as shelf:
        for seeds, numbers in zip((range(0, 15), range(100, 115)), both, strict=True):
            for seed, number in zip(seeds, numbers, strict=True):
                assert same_paint(shelf.load_paint("deep-blue", version=number), invented_paint(seed=seed))


def test_a_reader_sees_whole_saves_only(tmp_path: Path) -> None:
    place = tmp_path / "shelf.scumble"
    keys = [f"paint-{number}" for number in range(20)]
    done = threading.Event()

    def save() -> None:
        with open_shelf(place) as shelf:
            for seed in range(8):
                shelf.save_paints(invented_paint(key, seed=seed) for key in keys)
        done.set()

    with open_shelf(place) as reader, ThreadPoolExecutor(1) as pool:
        writing = pool.submit(save)
        rounds = 0
        while not done.is_set() and not writing.done():
            versions = {entry.version for entry in reader.load_entries()}
            assert len(versions) <= 1
            rounds += 1
        writing.result()
        assert {entry.version for entry in reader.load_entries()} == {8}
    assert rounds


def test_threads_may_share_a_shelf(tmp_path: Path) -> None:
    with open_shelf(tmp_path / "shelf.scumble") as shelf, ThreadPoolExecutor(4) as pool:
        list(pool.map(lambda seed: shelf.save_paint(invented_paint(f"paint-{seed}", seed=seed)), range(24)))
        loaded = list(pool.map(lambda seed: shelf.load_paint(f"paint-{seed}"), range(24)))
    assert all(
        same_paint(paint, invented_paint(f"paint-{seed}", seed=seed)) for seed, paint in enumerate(loaded)
    )


def test_several_may_make_one_shelf_at_once(tmp_path: Path) -> None:
    for attempt in range(5):
        place = tmp_path / f"shelf{attempt}.scumble"
        start = threading.Barrier(4)

        def open_and_save(seed: int, place: Path = place, start: threading.Barrier = start) -> None:
            start.wait()
            with open_shelf(place) as shelf:
                shelf.save_paint(invented_paint(f"paint-{seed}", seed=seed))

        with ThreadPoolExecutor(4) as pool:
            list(pool.map(open_and_save, range(4)))
        with open_shelf(place) as shelf:
            assert len(shelf.load_paints()) == 4


def test_several_shelves_may_be_made_at_once(tmp_path: Path) -> None:
    start = threading.Barrier(4)

    def open_and_save(seed: int) -> None:
        start.wait()
        for number in range(4):
            with open_shelf(tmp_path / f"shelf{seed}-{number}.scumble") as shelf:
                shelf.save_paint(invented_paint(seed=seed))
                assert same_paint(shelf.load_paint("deep-blue"), invented_paint(seed=seed))

    with ThreadPoolExecutor(4) as pool:
        list(pool.map(open_and_save, range(4)))


@pytest.mark.slow
def test_two_hundred_kills_lose_nothing_that_was_confirmed(tmp_path: Path) -> None:
    """Saving, importing, refitting and migrating in turn, with pictures; the whole file is read after every kill."""
    answer = subprocess.run(
        [sys.executable, "-m", "tests.store.kill_many", str(tmp_path), "200", "11"],
        cwd=ROOT,
        capture_output=True,
        text=True,
        timeout=1800,
    )
    assert answer.returncode == 0, answer.stderr
    told = json.loads(answer.stdout)
    assert told["kills"] == 200
    # Kills fell before, within and after the work, not only on idle workers.
    assert (
        told["saved"] > 10
        and told["imported"] > 3
        and told["fitted"] > 10
        and told["migrated"] > 5
        and told["cut_short"] > 5
    )
