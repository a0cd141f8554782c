"""Command line of the simulator: `python -m demo cards` and `python -m demo readings`."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

import numpy as np

from demo import truth
from demo.camera import CAMERAS
from demo.painting import Hand, paint_card
from demo.paints import TUBES, WHITE_KEY, Tube
from demo.photograph import draw_shot, take
from demo.readings import write_json, write_readings
from demo.sheet import Sheet, fetch_sheet


def run() -> None:
    """Read the command line and write what it asks for."""
    parser = argparse.ArgumentParser(prog="python -m demo", description=__doc__)
    parser.add_argument(
        "what", choices=("cards", "readings"), help="photographs of painted cards, or readings files"
    )
    parser.add_argument("--out", type=Path, default=Path("demo"), help="folder to write into (default: demo)")
    parser.add_argument("--seed", type=int, default=7, help="same seed, same cards (default: 7)")
    parser.add_argument("--layout", default="full", help="layout of the card (default: full)")
    parser.add_argument("--camera", choices=tuple(CAMERAS), default="wide", help="(default: wide)")
    parser.add_argument("--long-side", type=int, default=2300, help="picture height; 4000 is 12 megapixels")
    parser.add_argument("--only", nargs="*", metavar="KEY", help="only these tubes, no truth or shelf file")
    asked = parser.parse_args()
    if asked.what == "readings":
        write_readings(asked.out / "readings", seed=asked.seed)
    else:
        write_cards(asked)


def write_cards(asked: argparse.Namespace) -> None:
    """Paint and photograph the cards; write `cards/KEY.jpg`, `shelf.json` and `truth.json`."""
    sheet = fetch_sheet(asked.layout)
    folder = asked.out / "cards"
    folder.mkdir(parents=True, exist_ok=True)
    cards: dict[str, Any] = {}
    full: dict[str, float] = {}
    for tube in TUBES:
        if asked.only and tube.key not in asked.only:
            continue
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
                "layout": layout,
                "photo": f"cards/{tube.key}.jpg",
            }
            for tube in TUBES
        ],
    }


if __name__ == "__main__":
    run()
