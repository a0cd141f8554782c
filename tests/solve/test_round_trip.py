"""A small round trip: hidden recipes found again by colour alone; ``python -m benchmarks.recipes`` is the full one."""

from __future__ import annotations

import numpy as np
import pytest
from benchmarks.recipes.hidden import NEAR, hide_recipes, look_for

from scumble.paint import paper_ground
from scumble.paint.pigment import starter_shelf

TUBES = starter_shelf()[::6]


@pytest.mark.slow
def test_hidden_recipes_and_their_equals_are_found() -> None:
    """18 opaque mixtures and 9 glazes; all colours, all equals, and rounding that costs little in nine of ten."""
    ground = paper_ground("white")
    hidden = hide_recipes(np.random.default_rng(7), TUBES, ground, covers=18, glazes=9)
    found = [look_for(each, TUBES, ground) for each in hidden]
    assert max(each.exact for each in found) <= NEAR
    assert all(each.is_equal for each in found)
    assert np.mean([each.is_original for each in found]) >= 0.5
    assert np.mean([each.loss <= 0.8 for each in found]) >= 0.9
    assert max(each.parts for each in found) <= 12.0
