"""How one scattering event redistributes light among the streams."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from scumble.optics.streams import Streams

Floats = NDArray[np.float64]

ASYMMETRY = 0.6
"""Mean cosine of scattering; similarity makes its exact value matter little once reduced scattering is given."""


@dataclass(frozen=True, slots=True)
class Redistribution:
    """Azimuth-averaged phase function between streams, its forward peak split off.

    Parameters
    ----------
    forward, backward : array, shape (n, n) [1]
        From stream to stream in the same and in the opposite hemisphere.
    peak : float [1]
        Share of scattering treated as not scattered at all (delta-M).
    """

    forward: Floats
    backward: Floats
    peak: float


def henyey_greenstein(streams: Streams, asymmetry: float = ASYMMETRY) -> Redistribution:
    """Henyey-Greenstein scattering between the streams.

    Parameters
    ----------
    streams : Streams
        Directions, n of them.
    asymmetry : float [1]
        Mean cosine, 0 to below 1.

    Notes
    -----
    The Legendre series is cut at twice the number of streams, its remainder moved into the forward peak, and
    the discrete rows are made to conserve energy exactly by correcting the straight-ahead term, which keeps
    the matrices symmetric.
    *Source:* Wiscombe, J. Atmos. Sci. 34, 1408 (1977) for the delta-M method; Hansen, J. Atmos. Sci. 28, 1400
    (1971) for renormalising the discrete phase function.
    """
    order = 2 * streams.cosine.size
    degree = np.arange(order)
    peak = asymmetry**order
    moments = (2 * degree + 1) * (asymmetry**degree - peak) / (1.0 - peak)
    legendre = np.polynomial.legendre.legvander(streams.cosine, order - 1)
    forward = (legendre * moments) @ legendre.T
    backward = (legendre * moments * (-1.0) ** degree) @ legendre.T
    missing = 1.0 - 0.5 * (forward + backward) @ streams.weight
    forward += np.diag(2.0 * missing / streams.weight)
    return Redistribution(np.asarray(forward, np.float64), np.asarray(backward, np.float64), peak)
