"""Sixty cards on the tray at once: read one after the other, left halfway and come back to, and the memory it takes.

`python -m benchmarks.batch --count 60` drops so many photographs of 12 million points, ends the program when half of
them are read, opens it again, and prints what was read before and after, and the most memory that either took.
"""

from __future__ import annotations

import argparse
import json
import subprocess
import sys
import tempfile
from pathlib import Path

SIZE_PX = (3024, 4032)

HALF = """
import json, resource, sys, time
from pathlib import Path
from scumble.jobs.cards.desk import CardDesk
from scumble.jobs.cards.tray import CardTray
from scumble.jobs.cards.tray_page import show_cards
from scumble.store.shelf import open_shelf

home, until = Path(sys.argv[1]), int(sys.argv[2])
with open_shelf(home / "shelf.sqlite") as shelf:
    desk = CardDesk(shelf, CardTray(home / "tray"))
    if not desk.tray.cards():
        for path in sorted((home / "photographs").iterdir()):
            desk.drop(path.read_bytes(), path.name, "image/jpeg")
    began, shares = time.monotonic(), []
    while True:
        page = show_cards(desk)
        shares.append(page.share)
        read = len(page.open) - page.waiting
        if read >= until:
            break
        time.sleep(0.5)
    desk.close()
    read = sum(stands.read is not None for stands in desk.all())
print(json.dumps({
    "on the tray": len(page.open), "read": read, "refused": page.refused,
    "rises": shares == sorted(shares), "seconds": round(time.monotonic() - began),
    "most memory [MB]": round(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1000),
}))
"""
"""Reads what lies on the tray until so many are read, and reports."""


def run_batch(count: int) -> list[dict[str, object]]:
    """Drop so many photographs, stop halfway, begin again; what each of the two runs reports."""
    from PIL import Image

    cards = sorted((Path(__file__).parents[1] / "demo" / "cards").glob("*.jpg"))
    with tempfile.TemporaryDirectory() as folder:
        home = Path(folder)
        (home / "photographs").mkdir()
        for number in range(count):
            with Image.open(cards[number % len(cards)]) as card:
                profile = card.info["icc_profile"]
                large = card.resize(SIZE_PX)
                large.save(home / "photographs" / f"card {number:02d}.jpg", quality=90, icc_profile=profile)
        return [_part(home, until) for until in (count // 2, count)]


def _part(home: Path, until: int) -> dict[str, object]:
    answer = subprocess.run(
        [sys.executable, "-c", HALF, str(home), str(until)], capture_output=True, text=True, check=True
    )
    told: dict[str, object] = json.loads(answer.stdout)
    return told


if __name__ == "__main__":
    parser = argparse.ArgumentParser(prog="python -m benchmarks.batch", description=__doc__)
    parser.add_argument("--count", type=int, default=60, help="how many photographs (default: 60)")
    for part, told in zip(("until half", "after"), run_batch(parser.parse_args().count), strict=True):
        print(f"{part}: {', '.join(f'{name} {value}' for name, value in told.items())}")
