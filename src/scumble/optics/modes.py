"""The eigenmodes of a scattering medium, tabulated over absorption per scattering.

Write S and D for the sum and the difference of the light going down and up, each scaled by the square root of
its stream's flux. Inside a film ``dS/dt = -A D`` and ``dD/dt = -B S`` with A and B symmetric and positive. With
``A = L L'`` and ``L' B L = Q k^2 Q'`` the modes ``Y = L'^-1 Q`` give the differences at both faces from the sums:

    D_top = C S_top - H S_bottom,   C = Y k coth(k t) Y',   H = Y (k / sinh(k t)) Y'

and the same with the faces exchanged. A and B depend on absorption per scattering alone, so one table over that
ratio serves films of every thickness.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from scumble.optics.phase import ASYMMETRY, Redistribution, henyey_greenstein
from scumble.optics.spline import spline_coefficients
from scumble.optics.streams import STREAMS, Streams, hemisphere_streams

Floats = NDArray[np.float64]

LOG_RATIO_START = np.log(1e-9)
LOG_RATIO_STEP = 0.055
LOG_RATIO_KNOTS = 640


@dataclass(frozen=True, slots=True)
class Modes:
    """Eigenmodes of one binder.

    Parameters
    ----------
    streams : Streams
        The n directions.
    coefficients : array, shape (knots + 2, n + n * n)
        Spline coefficients over log(absorption / reduced scattering): n decay rates squared, then the modes row
        by row (mode first, stream second).
    thickening : float [1]
        Extinction per reduced scattering once the forward peak is set aside.
    """

    streams: Streams
    coefficients: Floats
    thickening: float


def decay_and_modes(albedo: Floats, streams: Streams, scatter: Redistribution) -> tuple[Floats, Floats]:
    """Decay rates squared and modes of media of the given albedos.

    Parameters
    ----------
    albedo : array, shape (m,) [1]
        Scattering per extinction, the forward peak set aside.

    Returns
    -------
    rates2 : array, shape (m, n) [1]
        Decay rates squared per unit of optical depth, rising.
    modes : array, shape (m, n, n) [1]
        Mode first, stream second; their sign is not determined.
    """
    root = np.sqrt(streams.weight / streams.cosine)
    same = 0.5 * np.outer(root, root) * scatter.forward
    opposite = 0.5 * np.outer(root, root) * scatter.backward
    loss = np.diag(1.0 / streams.cosine)
    a = loss - albedo[:, None, None] * (same - opposite)
    b = loss - albedo[:, None, None] * (same + opposite)
    lower = np.linalg.cholesky(a)
    rates2, q = np.linalg.eigh(np.swapaxes(lower, -1, -2) @ b @ lower)
    modes = np.linalg.solve(np.swapaxes(lower, -1, -2), q)
    return np.maximum(rates2, 0.0), np.swapaxes(modes, -1, -2)


@lru_cache(maxsize=8)
def modes_table(index: float) -> Modes:
    """Table of the eigenmodes for a binder of the given refractive index; built in some 30 ms, then kept."""
    streams = hemisphere_streams(index, STREAMS)
    scatter = henyey_greenstein(streams)
    thickening = (1.0 - scatter.peak) / (1.0 - ASYMMETRY)
    ratio = np.exp(LOG_RATIO_START + LOG_RATIO_STEP * np.arange(LOG_RATIO_KNOTS))
    rates2, modes = decay_and_modes(thickening / (thickening + ratio), streams, scatter)
    for above, here in pairwise(modes):
        here *= np.sign(np.einsum("mi,mi->m", above, here))[:, None]
    rows = np.concatenate([rates2, modes.reshape(LOG_RATIO_KNOTS, -1)], axis=1)
    return Modes(streams, spline_coefficients(rows), thickening)
