"""The simulator is a program beside the product, so its folder's parent goes on the path here."""

import sys
from pathlib import Path

import numpy as np
import pytest

sys.path.insert(0, str(Path(__file__).parents[2]))

from demo.painting import PaintedCard, lay_card
from demo.paints import TUBES
from demo.sheet import GROUND_NAMES, Sheet

SMALL_PX_PER_MM = 4.0


def _area(name, film, ground, box_mm, paint_parts=1):
    described = {"area": name, "film": film, "ground": ground, "box_mm": box_mm}
    return {**described, "paint_parts": paint_parts, "white_parts": 0}


SMALL_MAP = {
    "layout": "small",
    "page_mm": [90, 70],
    "grounds": {"white": {"paper": True}, "black": {"srgb": [0.0, 0.0, 0.0]}},
    "areas": [
        _area("white", "bare", "white", [10, 10, 20, 20], 0),
        _area("black", "bare", "black", [60, 10, 20, 20], 0),
        _area("full-white", "full", "white", [10, 40, 20, 20]),
        _area("full-black", "full", "black", [30, 40, 20, 20]),
    ],
}


@pytest.fixture(scope="session")
def small_card() -> PaintedCard:
    """A card of our own with two bare squares and one stroke of red, no fiducials."""
    ground = np.zeros((280, 360), np.uint8)
    for described in SMALL_MAP["areas"]:
        x, y, width, height = (round(side * SMALL_PX_PER_MM) for side in described["box_mm"])
        ground[y : y + height, x : x + width] = GROUND_NAMES.index(described["ground"])
    coverage = (ground == GROUND_NAMES.index("black")).astype(np.float32)
    ground[coverage > 0] = 0
    sheet = Sheet(SMALL_MAP, SMALL_PX_PER_MM, ground, coverage, {})
    red = next(tube for tube in TUBES if tube.key == "classroom-red")
    return lay_card(sheet, red, np.random.default_rng(8))
