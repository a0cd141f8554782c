"""The invented picture that paintings are planned from is the one that its program draws."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from demo.study import draw_study
from PIL import Image

STUDY = Path(__file__).parents[2] / "demo" / "study.jpg"


def test_the_file_is_what_is_drawn() -> None:
    """To what a JPEG loses."""
    drawn = np.asarray(draw_study(seed=7)).astype(float)
    kept = np.asarray(Image.open(STUDY).convert("RGB")).astype(float)
    assert drawn.shape == kept.shape
    assert np.abs(drawn - kept).mean() < 3.0
    assert np.array_equal(drawn, np.asarray(draw_study(seed=7)))
