"""Forks a worker on a shelf, kills it at a random moment, looks at the shelf; again and again.

A program of its own, as a test runner with threads must not fork. It prints one line of JSON.
"""

from __future__ import annotations

import json
import os
import random
import shutil
import signal
import sqlite3
import sys
import time
from collections.abc import Callable
from pathlib import Path

from tests.store.cards import invented_paint, same_card, same_paint
from tests.store.older import write_older
from tests.store.shelf_writer import content_of

from scumble.store.database.connect import open_door
from scumble.store.database.schema import HEAD
from scumble.store.shelf import Shelf, TubeFacts, open_shelf
from scumble.store.travel import shelf_export
from scumble.store.travel.shelf_import import import_shelf

KEYS = [f"paint-{number}" for number in range(4)]

TOLD = ("kills", "saved", "imported", "fitted", "migrated", "cut_short")

Say = Callable[[int], None]


def save_on(place: Path, say: Say) -> None:
    """Versions of one paint with card, picture and tube, each said once it is confirmed."""
    with open_shelf(place) as shelf:
        number = len(shelf.load_versions("deep-blue")) + 1 if shelf.load_entries() else 1
        while True:
            paint, readings, picture = content_of(number)
            assert shelf.save_paint(paint, readings=readings, picture=picture) == number
            shelf.tubes.save("deep-blue", TubeFacts(stock=number))
            say(number)
            number += 1


def check_saved(place: Path, known: int, confirmed: int) -> int:
    with open_shelf(place) as shelf:
        numbers = (
            [entry.version for entry in shelf.load_versions("deep-blue")] if shelf.load_entries() else []
        )
        assert numbers == list(range(1, len(numbers) + 1)) and len(numbers) >= max(known, confirmed)
        # All older ones were looked at after earlier kills.
        for number in numbers[-3:]:
            assert same_paint(shelf.load_paint("deep-blue", version=number), content_of(number)[0])
        if numbers:
            _, card, picture = content_of(numbers[-1])
            read = shelf.load_readings("deep-blue")
            assert read is not None and same_card(read, card)
            assert shelf.load_picture("deep-blue") == picture
            # The tube is saved by itself after its paint, so it may lag behind, but not behind what was confirmed.
            assert confirmed <= (shelf.tubes.load("deep-blue").stock or 0) <= numbers[-1]
    check_file(place, versions=len(numbers), optics=len(numbers), cards=len(numbers), pictures=len(numbers))
    return len(numbers)


def import_on(place: Path, say: Say) -> None:
    """The same four paints, made anew each time: an import is there whole or not at all."""
    with open_shelf(place) as shelf:
        number = imports_of(shelf) + 1
        while True:
            report = import_shelf(shelf, (place.parent / f"import-{number % 20}.json").read_bytes(), "json")
            assert report.saved
            say(number)
            number += 1


def imports_of(shelf: Shelf) -> int:
    counts = {len(shelf.load_versions(key)) for key in KEYS} if shelf.load_entries() else {0}
    assert len(counts) == 1, "an import was half-saved"
    return counts.pop()


def check_imported(place: Path, confirmed: int) -> int:
    with open_shelf(place) as shelf:
        count = imports_of(shelf)
        assert count >= confirmed
        if count:
            seeds = {shelf.tubes.load(key).stock for key in KEYS}
            assert seeds == {count % 20}
    check_file(place, versions=4 * count, optics=4 * count, tubes=4 * count)
    return count


def prepare_imports(folder: Path) -> None:
    for number in range(20):
        with open_shelf(folder / "source.scumble") as shelf:
            shelf.save_paints(invented_paint(key, seed=number) for key in KEYS)
            shelf.tubes.save_all({key: TubeFacts(stock=number) for key in KEYS})
            (folder / f"import-{number}.json").write_text(shelf_export.format_shelf_json(shelf))
        (folder / "source.scumble").unlink()


def migrate_on(place: Path, say: Say) -> None:
    """From the first shelf there ever was to today's."""
    open_shelf(place).close()
    say(1)
    time.sleep(600)


def check_migrated(place: Path, confirmed: int) -> int:
    connection = sqlite3.connect(place)
    found = connection.execute("SELECT version_num FROM alembic_version").fetchone()[0]
    tables = {row[0] for row in connection.execute("SELECT name FROM sqlite_master WHERE type = 'table'")}
    columns = {row[1] for row in connection.execute("PRAGMA table_info(readings)")}
    connection.close()
    assert found in ("0001", "0002", HEAD)
    assert ("tubes" in tables) == ("summaries" in tables) == (found != "0001")
    assert ("blind" in columns) == (found == HEAD)
    assert not confirmed or found == HEAD
    with open_shelf(place) as shelf:
        assert all(same_paint(paint, invented_paint(paint.key, seed=1)) for paint in shelf.load_paints())
        assert len(shelf.load_entries()) == len(KEYS)
        for key in KEYS:
            read = shelf.load_readings(key)
            assert read is not None and same_card(read, content_of(7)[1])
            assert shelf.load_picture(key) == content_of(7)[2]
        shelf.tubes.save(KEYS[0], TubeFacts(stock=1))
    check_file(place, versions=4, cards=4, pictures=4)
    return int(found == HEAD)


def fit_on(place: Path, say: Say) -> None:
    """New optics from the card a paint has, as a refit saves them: card and picture stay its own."""
    with open_shelf(place) as shelf:
        number = len(shelf.load_versions("deep-blue")) + 1
        while True:
            assert shelf.save_refit(content_of(number)[0]) == number
            say(number)
            number += 1


def prepare_fits(folder: Path) -> None:
    paint, readings, picture = content_of(1)
    with open_shelf(folder / "fitting.scumble") as shelf:
        shelf.save_paint(paint, readings=readings, picture=picture)


def check_fitted(place: Path, known: int, confirmed: int) -> int:
    _, card, picture = content_of(1)
    with open_shelf(place) as shelf:
        count = len(shelf.load_versions("deep-blue"))
        assert count >= max(known, confirmed)
        for number in range(max(1, count - 2), count + 1):
            assert same_paint(shelf.load_paint("deep-blue", version=number), content_of(number)[0])
        read = shelf.load_readings("deep-blue")
        assert read is not None and same_card(read, card) and shelf.load_picture("deep-blue") == picture
    check_file(place, versions=count, optics=count, cards=1, pictures=1)
    return count


def prepare_first_shelf(folder: Path) -> None:
    place = folder / "first.scumble"
    _, readings, picture = content_of(7)
    with open_shelf(place) as shelf:
        for key in KEYS:
            shelf.save_paint(invented_paint(key, seed=1), readings=readings, picture=picture)
    write_older(place, folder / "older.scumble", "0001")
    (folder / "older.scumble").replace(place)


def check_file(place: Path, **counts: int) -> None:
    connection = sqlite3.connect(place)
    assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    assert connection.execute("PRAGMA foreign_key_check").fetchall() == []
    found = {table: connection.execute(f"SELECT count(*) FROM {table}").fetchone()[0] for table in counts}
    connection.close()
    assert found == counts


def kill_one(
    work: Callable[[Path, Say], None], place: Path, chance: random.Random, *, longest_s: float
) -> int:
    """The last number a worker said before it was killed, now and then after it said one; 0 for none."""
    reads, writes = os.pipe()
    worker = os.fork()
    if worker == 0:
        os.close(reads)
        try:
            work(place, lambda number: os.write(writes, b"%d\n" % number))
        finally:
            os._exit(3)
    os.close(writes)
    with os.fdopen(reads) as said:
        first = said.readline() if chance.random() < 0.35 else ""
        time.sleep(chance.uniform(0.0, longest_s))
        os.kill(worker, signal.SIGKILL)
        lines = (first + said.read()).split("\n")[:-1]
    _, status = os.waitpid(worker, 0)
    assert os.WIFSIGNALED(status), "the worker ended by itself"
    return int(lines[-1]) if lines else 0


def main(folder: Path, kills: int, seed: int) -> dict[str, int]:
    chance, told = random.Random(seed), dict.fromkeys(TOLD, 0)
    prepare_imports(folder)
    prepare_first_shelf(folder)
    prepare_fits(folder)
    saved = imported = fitted = 0
    for turn in range(kills):
        kind = turn % 4
        if kind == 0:
            if saved > 30:
                (folder / "saving.scumble").unlink()
                saved = 0
            confirmed = kill_one(save_on, folder / "saving.scumble", chance, longest_s=0.06)
            saved = check_saved(folder / "saving.scumble", saved, confirmed)
            told["saved"] += saved
        elif kind == 1:
            imported = max(
                imported, kill_one(import_on, folder / "importing.scumble", chance, longest_s=0.15)
            )
            imported = check_imported(folder / "importing.scumble", imported)
            told["imported"] = imported
        elif kind == 2:
            confirmed = kill_one(fit_on, folder / "fitting.scumble", chance, longest_s=0.06)
            fitted = check_fitted(folder / "fitting.scumble", fitted, confirmed)
            told["fitted"] = fitted
        else:
            place = folder / "migrating.scumble"
            shutil.copyfile(folder / "first.scumble", place)
            confirmed = kill_one(migrate_on, place, chance, longest_s=0.1 * chance.random())
            done = check_migrated(place, confirmed)
            told["migrated"] += done
            told["cut_short"] += not done
            place.unlink()
        told["kills"] += 1
    return told


if __name__ == "__main__":
    # Loaded once here, so that no worker spends its short life on it.
    open_door(Path(sys.argv[1]) / "warm.scumble", patience_s=1).engine.dispose()
    print(json.dumps(main(Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3]))))
