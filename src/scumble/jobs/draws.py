"""The random numbers behind every interval, drawn once so that the same question always gets the same answer."""

from __future__ import annotations

from functools import cache

import numpy as np
from numpy.typing import NDArray

from scumble.tables import BANDS

DRAWS = 120
"""Sets of optics that a statement is tried on; the share of a 75 % statement is then known to 4 %."""

SEED = 1958


@cache
def standard_draws() -> NDArray[np.float64]:
    """Standard normal numbers for a paint, its white and a reference, shape (3, draws, 72)."""
    half = np.random.default_rng(SEED).standard_normal((3, DRAWS // 2, 2 * BANDS))
    return np.concatenate([half, -half], axis=1)
