"""How near every small mixture of a shelf comes to every wanted colour, roughly and all at once.

Each combination is laid at a small grid of proportions (or of thicknesses, for glazes), and the colours between the
grid's points are drawn straight. That is right to about dE00 1 near a wanted colour, and a thousand times quicker than
solving every combination for every colour.
"""

from __future__ import annotations

import os
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor

import numpy as np
from numba import njit
from numpy.typing import NDArray

from scumble.colour import delta_e_2000_metric
from scumble.optics.film import look_up_film
from scumble.solve.recipe.colour_distance import MATH, lab_with_slopes, squared_difference
from scumble.solve.recipe.kernel import BANDS
from scumble.solve.recipe.search import Search

Floats = NDArray[np.float64]
Whole = NDArray[np.int64]
Rough = NDArray[np.float32]

MIXED = np.linspace(-4.8, 4.8, 7)
"""Log ratios of strength at which a mixture is looked at."""

THIN = np.linspace(np.log(0.02), np.log(2.5), 6)
"""Log strengths at which a clear film is looked at."""

CHUNK = 400
"""Combinations a core takes at a time."""

HIDES = 0.972
"""Least contrast ratio of an opaque mixture here, a little below 0.98 since the grid is coarse."""

MOST_RATIO = 0.93
"""Most contrast ratio of a glaze here."""

HOPELESS = 25.0
"""Whitened distance beyond which the grid's own point is near enough to the truth [dE00, about]."""

FARTHEST = 99.0
"""Stands for out of the question [dE00]."""

Tell = Callable[[float], None]


@njit(cache=True, nogil=True, fastmath=MATH, error_model="numpy")
def _lay(scene, a, s, below, answer, seen):  # type: ignore[no-untyped-def]
    """Fill what one film shows over what lies below it."""
    look_up_film(scene[0], a, s, answer)
    for b in range(BANDS):
        through = answer[b, 1] * answer[b, 2] * below[b]
        seen[b] = answer[b, 0] + through / (1.0 - answer[b, 3] * below[b])


@njit(cache=True, nogil=True, fastmath=MATH, error_model="numpy")
def _ratio(answer, chart):  # type: ignore[no-untyped-def]
    """Contrast ratio of the film last laid."""
    luminous, white = chart
    dark, pale = 0.0, 0.0
    for b in range(BANDS):
        dark += luminous[b] * answer[b, 0]
        pale += luminous[b] * (
            answer[b, 0] + answer[b, 1] * answer[b, 2] * white / (1.0 - answer[b, 3] * white)
        )
    return dark / pale


@njit(cache=True, nogil=True, fastmath=MATH, error_model="numpy")
def _lab(view, seen, lab, roots):  # type: ignore[no-untyped-def]
    """Fill CIELAB under the first light."""
    xyz = np.zeros(3)
    for b in range(BANDS):
        for c in range(3):
            xyz[c] += view[0][0, b, c] * (seen[b] + view[4])
    lab_with_slopes(xyz, view[1][0], lab, roots)


@njit(cache=True, nogil=True, fastmath=MATH, error_model="numpy")
def _grid_of_mixtures(scene, view, strength, members, coats, steps, labs, fine):  # type: ignore[no-untyped-def]
    """Fill the colours of one opaque combination over its grid of proportions, and whether each hides."""
    k = members.size
    a, s, seen, answer = np.empty(BANDS), np.empty(BANDS), np.empty(BANDS), np.empty((BANDS, 4))
    shares, roots = np.empty(k), np.empty(3)
    for p in range(labs.shape[0]):
        for q in range(labs.shape[1]):
            whole = 0.0
            for i in range(k):
                step = 0.0 if i == 0 else steps[p] if i == 1 else steps[q]
                shares[i] = np.exp(step) / strength[members[i]]
                whole += shares[i]
            a[:] = 0.0
            s[:] = 0.0
            for i in range(k):
                amount = coats * shares[i] / whole
                for b in range(BANDS):
                    a[b] += amount * scene[1][members[i], b]
                    s[b] += amount * scene[2][members[i], b]
            _lay(scene, a, s, scene[3], answer, seen)
            fine[p, q] = _ratio(answer, view[3]) >= HIDES
            _lab(view, seen, labs[p, q], roots)


@njit(cache=True, nogil=True, fastmath=MATH, error_model="numpy")
def _grid_of_glazes(scene, view, strength, members, steps, labs, fine):  # type: ignore[no-untyped-def]
    """Fill the colours of one or two clear films over their grid of thicknesses, and whether each is a glaze."""
    k = members.size
    seen, below = np.empty(BANDS), np.empty(BANDS)
    answer, roots = np.empty((BANDS, 4)), np.empty(3)
    for p in range(labs.shape[0]):
        for q in range(labs.shape[1]):
            below[:] = scene[3]
            fine[p, q] = True
            for i in range(k):
                coats = np.exp(steps[p] if i == 0 else steps[q]) / strength[members[i]]
                if coats > 1.0:
                    fine[p, q] = False
                _lay(scene, coats * scene[1][members[i]], coats * scene[2][members[i]], below, answer, seen)
                if _ratio(answer, view[3]) > MOST_RATIO:
                    fine[p, q] = False
                for b in range(BANDS):
                    below[b] = seen[b] / (scene[4][0] + scene[4][1] * seen[b])
            _lab(view, seen, labs[p, q], roots)


@njit(cache=True, nogil=True, fastmath=MATH, error_model="numpy")
def _nearest(labs, fine, wanted, whiten, room):  # type: ignore[no-untyped-def]
    """Difference of the nearest colour of a grid, colours between its points drawn straight."""
    best, at, to = np.inf, -1, -1
    d, r, u, v = room
    for p in range(labs.shape[0]):
        for q in range(labs.shape[1]):
            if fine[p, q]:
                d0, d1, d2 = labs[p, q, 0] - wanted[0], labs[p, q, 1] - wanted[1], labs[p, q, 2] - wanted[2]
                x0 = whiten[0, 0] * d0 + whiten[0, 1] * d1 + whiten[0, 2] * d2
                x1 = whiten[1, 0] * d0 + whiten[1, 1] * d1 + whiten[1, 2] * d2
                x2 = whiten[2, 0] * d0 + whiten[2, 1] * d1 + whiten[2, 2] * d2
                away = x0 * x0 + x1 * x1 + x2 * x2
                if away < best:
                    best, at, to = away, p, q
    if at < 0:
        return FARTHEST
    if best > HOPELESS**2:
        return np.sqrt(best)
    # One step along the straight pieces beside the nearest point, on the side of each axis that leads downhill.
    p = _downhill(labs, fine, at, to, 1, 0, wanted, whiten, u, r)
    q = _downhill(labs, fine, at, to, 0, 1, wanted, whiten, v, r)
    uu, uv, vv, ur, vr = 1e-9, 0.0, 1e-9, 0.0, 0.0
    for c in range(3):
        uu += u[c] * u[c]
        uv += u[c] * v[c]
        vv += v[c] * v[c]
        ur -= u[c] * r[c]
        vr -= v[c] * r[c]
    bottom = uu * vv - uv * uv + 1e-12
    x, y = (ur * vv - vr * uv) / bottom, (vr * uu - ur * uv) / bottom
    if x < 0.0 or p == at:
        x, y = 0.0, vr / vv
    if y < 0.0 or q == to:
        y, x = 0.0, max(ur / uu, 0.0) if p != at else 0.0
    x, y = min(max(x, 0.0), 1.0), min(max(y, 0.0), 1.0)
    for c in range(3):
        d[c] = (
            labs[at, to, c] + x * (labs[p, to, c] - labs[at, to, c]) + y * (labs[at, q, c] - labs[at, to, c])
        )
    return np.sqrt(squared_difference(wanted[0], wanted[1], wanted[2], d[0], d[1], d[2]))


@njit(cache=True, nogil=True, fastmath=MATH, error_model="numpy")
def _downhill(labs, fine, at, to, along, across, wanted, whiten, slope, r):  # type: ignore[no-untyped-def]
    """Fill the whitened way to the neighbour that lies downhill; its place, or the point's own where there is none."""
    own = at if along else to
    best, place = 0.0, own
    for c in range(3):
        r[c] = 0.0
        for e in range(3):
            r[c] += whiten[c, e] * (labs[at, to, e] - wanted[e])
        slope[c] = 0.0
    for turn in (-1, 1):
        p, q = at + turn * along, to + turn * across
        if 0 <= p < labs.shape[0] and 0 <= q < labs.shape[1] and fine[p, q]:
            fall, w0, w1, w2 = 0.0, 0.0, 0.0, 0.0
            d0 = labs[p, q, 0] - labs[at, to, 0]
            d1 = labs[p, q, 1] - labs[at, to, 1]
            d2 = labs[p, q, 2] - labs[at, to, 2]
            w0 = whiten[0, 0] * d0 + whiten[0, 1] * d1 + whiten[0, 2] * d2
            w1 = whiten[1, 0] * d0 + whiten[1, 1] * d1 + whiten[1, 2] * d2
            w2 = whiten[2, 0] * d0 + whiten[2, 1] * d1 + whiten[2, 2] * d2
            fall = (w0 * r[0] + w1 * r[1] + w2 * r[2]) / np.sqrt(w0 * w0 + w1 * w1 + w2 * w2 + 1e-12)
            if fall < best:
                best, place = fall, own + turn
                slope[0], slope[1], slope[2] = w0, w1, w2
    return place


@njit(cache=True, nogil=True, error_model="numpy")
def _sketch(scene, view, strength, members, coats, steps, wanted, whiten, miss):  # type: ignore[no-untyped-def]
    """Fill how near each combination comes to each wanted colour; coats of 0 ask for glazes."""
    k = members.shape[1]
    first = 1 if coats > 0.0 and k == 1 else steps.size
    second = 1 if (k == 1 or (coats > 0.0 and k == 2)) else steps.size
    labs, fine = np.empty((first, second, 3)), np.empty((first, second), dtype=np.bool_)
    room = np.empty(3), np.empty(3), np.empty(3), np.empty(3)
    for c in range(members.shape[0]):
        if coats > 0.0:
            _grid_of_mixtures(scene, view, strength, members[c], coats, steps, labs, fine)
        else:
            _grid_of_glazes(scene, view, strength, members[c], steps, labs, fine)
        if not fine.any():
            miss[c] = FARTHEST
            continue
        for w in range(wanted.shape[0]):
            miss[c, w] = _nearest(labs, fine, wanted[w], whiten[w], room)


def sketch_misses(
    search: Search, members: Whole, wanted: Floats, *, coats: float, tell: Tell | None = None
) -> Rough:
    """Roughly how near combinations come to wanted colours.

    Parameters
    ----------
    search : Search
        The tubes, the ground and the light.
    members : int array, shape (combinations, tubes)
        Up to three tubes stirred together, or up to two clear films, the lower first.
    wanted : array, shape (colours, 3)
        CIELAB under the search's first light.
    coats : float [coat]
        Of an opaque mixture; 0 asks for glazes.
    tell : callable, optional
        Told the share that is done; may raise to stop.

    Returns
    -------
    array, shape (combinations, colours) [dE00]
        :data:`FARTHEST` where a mixture does not hide, or a film is no glaze.
    """
    miss = np.empty((len(members), len(wanted)), dtype=np.float32)
    whiten = np.swapaxes(np.linalg.cholesky(delta_e_2000_metric(wanted) + 1e-9 * np.eye(3)), -1, -2).copy()
    steps = MIXED if coats > 0.0 else THIN
    given = search.scene, search.view, search.strength

    def work(first: int) -> int:
        part = slice(first, first + CHUNK)
        _sketch(*given, members[part], float(coats), steps, wanted, whiten, miss[part])
        return first

    with ThreadPoolExecutor(os.cpu_count()) as cores:
        for done in cores.map(work, range(0, len(members), CHUNK)):
            if tell is not None:
                tell(min(done + CHUNK, len(members)) / len(members))
    return miss
