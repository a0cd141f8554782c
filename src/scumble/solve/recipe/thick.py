"""Proportions that come nearest a colour where a film is so thick that nothing below it shows: a quick first answer.

An endless film shows in every band what its ratio of absorption to scattering alone makes of it. So there is no
thickness to find and one look-up a band; what is far off here is not searched to the end, what is near starts from
here. The steps are those of :mod:`scumble.solve.recipe.kernel`, on the smooth metric at the wanted colour.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numba import njit
from numpy.typing import NDArray

from scumble.optics.film import film_response
from scumble.solve.recipe.colour_distance import MATH, fill_metric, lab_with_slopes

Floats = NDArray[np.float64]

BANDS = 36

THICK = 60.0
"""Scattering depth of a film that stands for one without end."""

TABLE_STEPS = 4096

STEPS = 10

LONGEST_STEP = 2.0
"""Largest change of a log amount in one step."""

ENOUGH = 1e-2
"""Squared difference at which the search ends; what starts from there goes on."""

SETTLED = 2e-2
"""Share of the cost that a step must gain."""


@lru_cache(maxsize=8)
def thick_table(index: float) -> Floats:
    """What endless films show, by the root of absorption over absorption and scattering, shape (4097,) [1]."""
    share = (np.arange(TABLE_STEPS + 1) / TABLE_STEPS) ** 2
    scattering = np.maximum(1.0 - share, 1e-9)
    scale = THICK / scattering
    return np.asarray(film_response(share * scale, scattering * scale, index=index).over(0.0))


@njit(cache=True, nogil=True, fastmath=MATH, error_model="numpy")
def _see_thick(thick, absorption, scattering, members, x, room, with_slopes):  # type: ignore[no-untyped-def]
    """Fill what the mixture shows and, where asked, its derivative by each log amount."""
    a, s, seen, slope, slopes = room
    steps = thick.size - 1
    a[:] = 1e-30
    s[:] = 1e-12
    for i in range(members.size):
        amount = np.exp(x[i])
        own_a, own_s = absorption[members[i]], scattering[members[i]]
        for b in range(BANDS):
            a[b] += amount * own_a[b]
            s[b] += amount * own_s[b]
    for b in range(BANDS):
        seen[b] = np.sqrt(a[b] / (a[b] + s[b]))
    for b in range(BANDS):
        i = min(int(seen[b] * steps), steps - 1)
        rise = thick[i + 1] - thick[i]
        slope[b] = rise * steps / (2.0 * seen[b] * (a[b] + s[b]) ** 2)
        seen[b] = thick[i] + (seen[b] * steps - i) * rise
    if with_slopes:
        for i in range(members.size):
            amount = np.exp(x[i])
            own_a, own_s = absorption[members[i]], scattering[members[i]]
            for b in range(BANDS):
                slopes[i, b] = amount * slope[b] * (s[b] * own_a[b] - a[b] * own_s[b])


@njit(cache=True, nogil=True, fastmath=MATH, error_model="numpy")
def _cost_thick(view, metrics, targets, k, room, small, gradient, curvature, with_slopes):  # type: ignore[no-untyped-def]
    """Squared difference on the metric at the target, mean over the lights; also its half slope and curvature."""
    weights, whites, shares, _, added = view
    seen, slopes = room[2], room[4]
    xyz, roots, lab, pull, jacobian = small
    cost = 0.0
    if with_slopes:
        gradient[:] = 0.0
        curvature[:] = 0.0
    for light in range(len(shares)):
        xyz[:] = 0.0
        for b in range(BANDS):
            for c in range(3):
                xyz[c] += weights[light, b, c] * (seen[b] + added)
        lab_with_slopes(xyz, whites[light], lab, roots)
        t, metric = targets[light], metrics[light]
        for c in range(3):
            pull[c] = 0.0
            for d in range(3):
                pull[c] += metric[c, d] * (lab[d] - t[d])
        for c in range(3):
            cost += shares[light] * pull[c] * (lab[c] - t[c])
        if not with_slopes:
            continue
        for i in range(k):
            xyz[:] = 0.0
            for b in range(BANDS):
                for c in range(3):
                    xyz[c] += weights[light, b, c] * slopes[i, b]
            x, y, z = xyz[0] * roots[0], xyz[1] * roots[1], xyz[2] * roots[2]
            jacobian[0, i], jacobian[1, i], jacobian[2, i] = 116.0 * y, 500.0 * (x - y), 200.0 * (y - z)
        for i in range(k):
            for c in range(3):
                gradient[i] += shares[light] * pull[c] * jacobian[c, i]
                for d in range(3):
                    part = shares[light] * metric[c, d] * jacobian[c, i]
                    for j in range(k):
                        curvature[i, j] += part * jacobian[d, j]
    return cost


@njit(cache=True, nogil=True, fastmath=MATH, error_model="numpy")
def _step_thick(gradient, curvature, damping, lower, step):  # type: ignore[no-untyped-def]
    """Solve ``(curvature + damping) step = -gradient`` by Cholesky; the amount of all together is free."""
    k = gradient.size
    trace = 1e-12
    for i in range(k):
        trace += curvature[i, i]
    for i in range(k):
        for j in range(i + 1):
            entry = curvature[i, j]
            if i == j:
                entry += damping * (curvature[i, i] + 1e-3 * trace)
            for n in range(j):
                entry -= lower[i, n] * lower[j, n]
            lower[i, j] = np.sqrt(max(entry, 1e-14)) if i == j else entry / lower[j, j]
    for i in range(k):
        total = -gradient[i]
        for n in range(i):
            total -= lower[i, n] * step[n]
        step[i] = total / lower[i, i]
    for i in range(k - 1, -1, -1):
        total = step[i]
        for n in range(i + 1, k):
            total -= lower[n, i] * step[n]
        step[i] = total / lower[i, i]
    for i in range(k):
        step[i] = min(max(step[i], -LONGEST_STEP), LONGEST_STEP)


@njit(cache=True, nogil=True, error_model="numpy")
def start_thick(thick, absorption, scattering, view, members, starts, targets, found, squared):  # type: ignore[no-untyped-def]
    """Fill the log amounts at which an endless film of every combination comes nearest, and how near.

    Parameters
    ----------
    thick : array
        See :func:`thick_table`.
    absorption, scattering : array, shape (tubes, 36)
    view : tuple
        See :func:`scumble.solve.recipe.kernel.solve_many`.
    members : int array, shape (combinations, k)
    starts : array, shape (combinations, starts, k)
        Log amounts to start from; the most promising is taken.
    targets : array, shape (combinations, lights, 3)
        CIELAB wanted.
    found : array, shape (combinations, k)
        Filled with log amounts.
    squared : array, shape (combinations,)
        Filled with the squared difference on the metric at the target.
    """
    k, lights = members.shape[1], targets.shape[1]
    room = np.empty(BANDS), np.empty(BANDS), np.empty(BANDS), np.empty(BANDS), np.empty((k, BANDS))
    small = np.empty(3), np.empty(3), np.empty(3), np.empty(3), np.empty((3, k))
    metrics = np.empty((lights, 3, 3))
    gradient, curvature, lower, step = np.empty(k), np.empty((k, k)), np.zeros((k, k)), np.empty(k)
    slope, bend = np.empty(k), np.empty((k, k))
    x, trial = np.empty(k), np.empty(k)
    for row in range(members.shape[0]):
        for light in range(lights):
            t = targets[row, light]
            if row == 0 or np.any(t != targets[row - 1, light]):
                fill_metric(t[0], t[1], t[2], metrics[light])
        best = np.inf
        for n in range(starts.shape[1]):
            _see_thick(thick, absorption, scattering, members[row], starts[row, n], room, False)
            cost = _cost_thick(view, metrics, targets[row], k, room, small, gradient, curvature, False)
            if cost < best:
                best = cost
                x[:] = starts[row, n]
        _see_thick(thick, absorption, scattering, members[row], x, room, True)
        cost = _cost_thick(view, metrics, targets[row], k, room, small, gradient, curvature, True)
        damping = 1e-2
        for _ in range(STEPS):
            if cost < ENOUGH:
                break
            _step_thick(gradient, curvature, damping, lower, step)
            for i in range(k):
                trial[i] = x[i] + step[i]
            _see_thick(thick, absorption, scattering, members[row], trial, room, True)
            moved = _cost_thick(view, metrics, targets[row], k, room, small, slope, bend, True)
            if moved < cost:
                gain = cost - moved
                x[:] = trial
                cost = moved
                gradient[:] = slope
                curvature[:] = bend
                damping = max(0.25 * damping, 1e-7)
                if gain < SETTLED * cost and damping < 1e-2:
                    break
            else:
                damping *= 8.0
                if damping > 1e5:
                    break
        found[row] = x
        squared[row] = cost
