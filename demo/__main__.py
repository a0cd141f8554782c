"""Command line of the simulator: `python -m demo cards`, `... readings`, `... snapshots`, `... study`, `... tour`."""

from __future__ import annotations

import argparse
from dataclasses import asdict
from pathlib import Path
from typing import Any

import numpy as np

from demo import truth
from demo.camera import CAMERAS
from demo.conditions import FAULTS, draw_conditions, draw_session, spoil
from demo.painting import Hand, lay_card, paint_card
from demo.paints import TUBES, WHITE_KEY, Tube
from demo.photograph import draw_shot, take
from demo.readings import write_json, write_readings
from demo.sheet import Sheet, fetch_sheet, serial_of
from demo.snapshot import page_of, photograph


def run() -> None:
    """Read the command line and write what it asks for."""
    parser = argparse.ArgumentParser(prog="python -m demo", description=__doc__)
    parser.add_argument(
        "what",
        choices=("cards", "readings", "snapshots", "study", "tour"),
        help="photographs of painted cards, readings files, photographs as they go wrong, a picture to plan a painting "
        "from, or the README's pictures",
    )
    parser.add_argument("--out", type=Path, default=Path("demo"), help="folder to write into (default: demo)")
    parser.add_argument("--seed", type=int, default=7, help="same seed, same cards (default: 7)")
    parser.add_argument("--layout", default="full", help="layout of the card (default: full)")
    parser.add_argument("--camera", choices=tuple(CAMERAS), default="wide", help="(default: wide)")
    parser.add_argument("--long-side", type=int, default=2300, help="picture height; 4000 is 12 megapixels")
    parser.add_argument("--only", nargs="*", metavar="KEY", help="only these tubes, no truth or shelf file")
    parser.add_argument("--count", type=int, default=10, help="how many snapshots (default: 10)")
    asked = parser.parse_args()
    if asked.what == "tour":
        from demo.tour import write_tour

        write_tour(asked.out, seed=asked.seed)
    elif asked.what == "study":
        from demo.study import write_study

        write_study(asked.out / "study.jpg", seed=asked.seed)
    elif asked.what == "snapshots":
        write_snapshots(asked)
    elif asked.what == "readings":
        write_readings(asked.out / "readings", seed=asked.seed)
    else:
        write_cards(asked)


def write_cards(asked: argparse.Namespace) -> None:
    """Paint and photograph the cards; write `cards/KEY.jpg`, `shelf.json` and `truth.json`."""
    folder = asked.out / "cards"
    folder.mkdir(parents=True, exist_ok=True)
    cards: dict[str, Any] = {}
    full: dict[str, float] = {}
    for tube in TUBES:
        if asked.only and tube.key not in asked.only:
            continue
        # Every printed card has a serial of its own.
        layout = layout_of(tube, asked.layout)
        sheet = fetch_sheet(layout, serial=serial_of(1000 * asked.seed + TUBES.index(tube)))
        file, hand, about = photograph_tube(sheet, tube, asked)
        (folder / f"{tube.key}.jpg").write_bytes(file)
        full[tube.key] = hand.thickness["full"]
        cards[tube.key] = {"photograph": about, **truth.card_truth(tube, hand)}
        print(f"{tube.label}: {len(file) / 1000:.0f} kB")
    if asked.only:
        return
    write_json(asked.out / "shelf.json", shelf(asked.layout))
    layerings = truth.truth_of_layerings(truth.own_optics(TUBES, full))
    write_json(asked.out / "truth.json", {**truth.header(asked.seed), "cards": cards, "layerings": layerings})


def layout_of(tube: Tube, asked: str) -> str:
    """The white of a class is painted on the card for the white."""
    return "white" if tube.key == WHITE_KEY and asked == "full" else asked


def photograph_tube(
    sheet: Sheet, tube: Tube, asked: argparse.Namespace
) -> tuple[bytes, Hand, dict[str, Any]]:
    """One card of one tube: its JPEG, what the hand did and how the picture was taken."""
    camera = CAMERAS[asked.camera]
    rng = np.random.default_rng([asked.seed, TUBES.index(tube)])
    card, hand = paint_card(sheet, tube, camera, rng)
    shot = draw_shot(asked.long_side, rng)
    file, matrix = take(card, sheet.px_per_mm, shot, camera, rng)
    about = {
        "camera": camera.name,
        "size_px": list(shot.size()),
        "mm_to_px": [truth.significant(row, 9) for row in matrix],
        "tilt_degree": round(float(np.hypot(shot.tilt_degree, shot.turn_degree)), 2),
    }
    return file, hand, about


def write_snapshots(asked: argparse.Namespace) -> None:
    """Write `snapshots/NUMBER.jpg` and beside each the conditions it was taken under; every third is spoilt."""
    sheet, folder = fetch_sheet(asked.layout, px_per_mm=10.0), asked.out / "snapshots"
    folder.mkdir(parents=True, exist_ok=True)
    for number in range(asked.count):
        rng = np.random.default_rng([asked.seed, number])
        tube = TUBES[int(rng.integers(len(TUBES)))]
        card = lay_card(sheet, tube, rng)
        session = draw_session(("phone", "profile", "scan")[int(rng.integers(3))], rng)
        conditions = draw_conditions(session, page_of(card), rng)
        if number % 3 == 2 and session.route != "scan":
            x, y, side, _ = sheet.card_map["areas"][-1]["box_mm"]
            fault = FAULTS[number // 3 % len(FAULTS)]
            conditions = spoil(conditions, fault, (x + side / 2, y + side / 2, side), rng)
        taken = photograph(card, conditions, number)
        (folder / f"{number:03d}.jpg").write_bytes(taken.file)
        write_json(folder / f"{number:03d}.json", {"tube": tube.key, **asdict(conditions)})
        print(f"{number:03d} {tube.label}, {session.route} {conditions.fault}".rstrip())


def shelf(layout: str) -> dict[str, Any]:
    """What a shelf is loaded from: the invented tubes and the photographs of their cards."""
    return {
        "note": "A simulated class set: invented paints on simulated photographs. Nothing was measured.",
        "white": WHITE_KEY,
        "paints": [
            {
                "key": tube.key,
                "label": tube.label,
                "pigments": list(tube.pigments),
                "binder": "acrylic",
                "layout": layout_of(tube, layout),
                "photo": f"cards/{tube.key}.jpg",
            }
            for tube in TUBES
        ],
    }


if __name__ == "__main__":
    run()
