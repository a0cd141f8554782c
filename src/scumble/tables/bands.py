"""The wavelength grid that every spectrum in Scumble stands on."""

from __future__ import annotations

from typing import Final

import numpy as np
from numpy.typing import NDArray

BANDS: Final = 36
"""Number of bands, 380 to 730 nm in steps of 10 nm."""

WAVELENGTH_NM: Final[NDArray[np.float64]] = np.linspace(380.0, 730.0, BANDS)
"""Centre of each band [nm]; the last axis of every spectrum."""
WAVELENGTH_NM.flags.writeable = False
