"""Films solved in many directions by plain linear algebra: slow, and free of the engine's tables and loops.

Instead of carrying an admittance through the stack, all unknown sums S at all interfaces are solved for at once.
"""

from __future__ import annotations

import numpy as np

from scumble.optics.modes import decay_and_modes
from scumble.optics.phase import ASYMMETRY, henyey_greenstein
from scumble.optics.streams import Streams, hemisphere_streams


def film_matrices(
    absorption: float, scattering: float, streams: Streams, asymmetry: float = ASYMMETRY
) -> tuple[np.ndarray, np.ndarray]:
    """C and H of one film (see scumble.optics.modes), from reduced scattering."""
    scatter = henyey_greenstein(streams, asymmetry)
    scattered = scattering * (1.0 - scatter.peak) / (1.0 - asymmetry)
    depth = absorption + scattered
    rates2, modes = decay_and_modes(np.array([scattered / depth]), streams, scatter)
    x = np.sqrt(np.maximum(rates2[0], 1e-16)) * depth
    near, far = x / np.tanh(x), x / np.sinh(np.minimum(x, 600.0))
    return (modes[0].T * near / depth) @ modes[0], (modes[0].T * far / depth) @ modes[0]


def stack_reflectance(
    films: list[tuple[float, float]],
    ground: float,
    *,
    count: int = 32,
    index: float = 1.5,
    asymmetry: float = ASYMMETRY,
) -> float:
    """Reflectance of films, top first, over a diffuse ground; mirror reflection excluded."""
    streams = hemisphere_streams(index, count)
    r, flux = streams.face_reflectance, streams.flux
    n, layers = count, len(films)
    system = np.zeros(((layers + 1) * n, (layers + 1) * n))
    right = np.zeros((layers + 1) * n)
    system[:n, :n] += np.diag((1.0 - r) / (1.0 + r))
    source = (1.0 - r[-1]) / flux[-1]
    right[n - 1] = 2.0 * source / (1.0 + r[-1])
    for place, (absorption, scattering) in enumerate(films):
        c, h = film_matrices(absorption, scattering, streams, asymmetry)
        top, bottom = slice(place * n, (place + 1) * n), slice((place + 1) * n, (place + 2) * n)
        system[top, top] += c
        system[bottom, bottom] += c
        system[top, bottom] -= h
        system[bottom, top] -= h
    last = slice(layers * n, (layers + 1) * n)
    system[last, last] += np.eye(n) - 2.0 * ground / (1.0 + ground) * np.outer(flux, flux)
    top_sum = np.linalg.solve(system, right)[:n]
    incident = np.zeros(n)
    incident[-1] = source
    upward = (top_sum - incident) / (1.0 + r)
    return float(np.sum(flux * (1.0 - r) * upward))
