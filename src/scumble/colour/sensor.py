"""How far a camera's channels lie from the eye's: the directions in which their weights usually differ.

A camera weighs a spectrum by three sensitivities under some lamp and leads the result to XYZ by a white balance and
a matrix. What comes out is again three weighted sums of the reflectance, but not those of the observer. Which camera
and which lamp took a picture is not known; how such weights usually differ from the observer's is, and an estimator
that knows spectra can look for the difference along those directions.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from scumble.tables import BANDS, load_table

Floats = NDArray[np.float64]


@lru_cache(maxsize=4)
def sensor_modes(count: int = 16) -> Floats:
    """Directions in which the weights of cameras differ from the observer's, shape (36, 3, count).

    Parameters
    ----------
    count : int
        How many, 1 to 16; those that move colours most come first.

    Returns
    -------
    array
        ``spectral_weights("D65", 2) / 100 + modes @ z`` with standard-normal z is a camera drawn at random. A perfect
        diffuser keeps its colour.

    Notes
    -----
    *Source:* Scumble's own draws, the table ``camera_modes``.
    """
    table = load_table("camera_modes")
    columns = [f"mode_{number}" for number in range(1, count + 1)]
    return table.stack(*columns).reshape(BANDS, 3, count)
