"""Amounts of paint that come nearest a colour, for thousands of combinations at once.

The unknowns of a combination are ``log(coats + faint)`` of each paint in it, so proportions and thickness are found
together; the faint amount, too small to show, lets a paint that went to nothing come back. A damped Gauss-Newton
search starts on the local metric at the target, which is smooth everywhere, and ends on CIEDE2000 itself: exact
slope, metric half way between colour and target as its curvature.

*Source:* Levenberg, Quart. Appl. Math. 2, 164 (1944); Marquardt, J. SIAM 11, 431 (1963), for the damping.
"""

from __future__ import annotations

import numpy as np
from numba import njit

from scumble.optics.film import look_up_film, look_up_film_with_slopes
from scumble.solve.recipe.colour_distance import (
    MATH,
    fill_metric,
    fill_slope,
    lab_with_slopes,
    squared_difference,
)

BANDS = 36
STEPS_SMOOTH = 10
STEPS_EXACT = 40
LONGEST_STEP = 1.5
"""Largest change of a log amount in one step."""

SURE = 1e-2
"""Damping below which a small gain means that the end is near, and not that the step was short."""

TIE = 3e-3
"""Weight of log coats: between films of one colour the thinner is taken."""

HIDING_WEIGHT = 300.0
"""dE00 that a contrast ratio off its bounds by 1 counts for."""

THICKNESS_WEIGHT = 60.0
"""dE00 that a film e times too thick counts for."""


@njit(cache=True, nogil=True, fastmath=MATH, error_model="numpy")
def _stir(absorption, scattering, members, film_of, film, amounts, a, s):  # type: ignore[no-untyped-def]
    """Depths of one film of the combination."""
    a[:] = 0.0
    s[:] = 0.0
    for i in range(members.size):
        if film_of[i] == film:
            for b in range(BANDS):
                a[b] += amounts[i] * absorption[members[i], b]
                s[b] += amounts[i] * scattering[members[i], b]


@njit(cache=True, nogil=True, fastmath=MATH, error_model="numpy")
def _see(scene, members, film_of, films, amounts, rates, room):  # type: ignore[no-untyped-def]
    """Fill the reflectance of the layering and its derivative by each unknown; rates are those of the amounts."""
    table, absorption, scattering, ground, face, _ = scene
    a, s, below, seen, below_slopes, slopes, answer = room
    below[:] = ground
    for film in range(films):
        _stir(absorption, scattering, members, film_of, film, amounts, a, s)
        look_up_film_with_slopes(table, a, s, answer)
        for b in range(BANDS):
            g = below[b]
            t, o = answer[b, 0, 1], answer[b, 0, 2]
            bounce = 1.0 / (1.0 - answer[b, 0, 3] * g)
            through = t * o * g * bounce
            seen[b] = answer[b, 0, 0] + through
            by_a = answer[b, 1, 0] + g * bounce * (
                answer[b, 1, 1] * o + t * answer[b, 1, 2] + through * answer[b, 1, 3]
            )
            by_s = answer[b, 2, 0] + g * bounce * (
                answer[b, 2, 1] * o + t * answer[b, 2, 2] + through * answer[b, 2, 3]
            )
            by_ground = t * o * bounce * bounce
            for i in range(members.size):
                if film_of[i] == film:
                    m = members[i]
                    slopes[i, b] = rates[i] * (absorption[m, b] * by_a + scattering[m, b] * by_s)
                elif film_of[i] < film:
                    slopes[i, b] = by_ground * below_slopes[i, b]
        if film < films - 1:
            # The next film takes the place of the air: what it lies on is seen without its face.
            for b in range(BANDS):
                scale = 1.0 / (face[0] + face[1] * seen[b])
                below[b] = seen[b] * scale
                for i in range(members.size):
                    if film_of[i] <= film:
                        below_slopes[i, b] = slopes[i, b] * face[0] * scale * scale


@njit(cache=True, nogil=True, fastmath=MATH, error_model="numpy")
def _contrast(scene, members, rates, room, chart, by_unknown):  # type: ignore[no-untyped-def]
    """Contrast ratio of the only film, after :func:`_see`, and its derivative by each unknown."""
    absorption, scattering = scene[1], scene[2]
    answer = room[6]
    luminous, white = chart
    black_y, white_y = 0.0, 0.0
    black_slope, white_slope = np.zeros(members.size), np.zeros(members.size)
    for b in range(BANDS):
        t, o = answer[b, 0, 1], answer[b, 0, 2]
        bounce = 1.0 / (1.0 - answer[b, 0, 3] * white)
        through = t * o * white * bounce
        black_y += luminous[b] * answer[b, 0, 0]
        white_y += luminous[b] * (answer[b, 0, 0] + through)
        by_a = white * bounce * (answer[b, 1, 1] * o + t * answer[b, 1, 2] + through * answer[b, 1, 3])
        by_s = white * bounce * (answer[b, 2, 1] * o + t * answer[b, 2, 2] + through * answer[b, 2, 3])
        for i in range(members.size):
            own_a = luminous[b] * rates[i] * absorption[members[i], b]
            own_s = luminous[b] * rates[i] * scattering[members[i], b]
            direct = own_a * answer[b, 1, 0] + own_s * answer[b, 2, 0]
            black_slope[i] += direct
            white_slope[i] += direct + own_a * by_a + own_s * by_s
    ratio = black_y / white_y
    for i in range(members.size):
        by_unknown[i] = (black_slope[i] - ratio * white_slope[i]) / white_y
    return ratio


@njit(cache=True, nogil=True, fastmath=MATH, error_model="numpy")
def _lab_and_slopes(view, light, room, lab, jacobian):  # type: ignore[no-untyped-def]
    """Fill CIELAB under one light and its derivative by each log amount, after :func:`_see`."""
    weights, whites, _, _, added = view
    seen, slopes = room[3], room[5]
    k = jacobian.shape[1]
    xyz, roots = np.zeros(3), np.empty(3)
    jacobian[:] = 0.0
    for b in range(BANDS):
        for c in range(3):
            w = weights[light, b, c]
            xyz[c] += w * (seen[b] + added)
            for i in range(k):
                jacobian[c, i] += w * slopes[i, b]
    lab_with_slopes(xyz, whites[light], lab, roots)
    for i in range(k):
        fx, fy, fz = jacobian[0, i] * roots[0], jacobian[1, i] * roots[1], jacobian[2, i] * roots[2]
        jacobian[0, i] = 116.0 * fy
        jacobian[1, i] = 500.0 * (fx - fy)
        jacobian[2, i] = 200.0 * (fy - fz)


@njit(cache=True, nogil=True, fastmath=MATH, error_model="numpy")
def _add_colour(view, targets, exact, room, k, gradient, curvature):  # type: ignore[no-untyped-def]
    """Add what the colour costs, mean over the lights."""
    shares = view[2]
    lab, by_lab, metric, jacobian = np.empty(3), np.empty(3), np.empty((3, 3)), np.empty((3, k))
    cost = 0.0
    for light in range(len(shares)):
        _lab_and_slopes(view, light, room, lab, jacobian)
        t = targets[light]
        if exact:
            fill_metric(0.5 * (lab[0] + t[0]), 0.5 * (lab[1] + t[1]), 0.5 * (lab[2] + t[2]), metric)
            fill_slope(t, lab, by_lab)
            cost += shares[light] * squared_difference(t[0], t[1], t[2], lab[0], lab[1], lab[2])
        else:
            fill_metric(t[0], t[1], t[2], metric)
            for c in range(3):
                by_lab[c] = 0.0
                for d in range(3):
                    by_lab[c] += metric[c, d] * (lab[d] - t[d])
                cost += shares[light] * by_lab[c] * (lab[c] - t[c])
        for i in range(k):
            for c in range(3):
                gradient[i] += shares[light] * by_lab[c] * jacobian[c, i]
                for d in range(3):
                    pull = shares[light] * metric[c, d] * jacobian[c, i]
                    for j in range(k):
                        curvature[i, j] += pull * jacobian[d, j]
    return cost


@njit(cache=True, nogil=True, fastmath=MATH, error_model="numpy")
def _add_thickness(film_of, films, amounts, rates, most_log_coats, gradient, curvature):  # type: ignore[no-untyped-def]
    """Add what thickness costs: next to nothing up to the most coats, then much."""
    cost, k = 0.0, film_of.size
    for film in range(films):
        total = 1e-12
        for i in range(k):
            if film_of[i] == film:
                total += amounts[i]
        coats = np.log(total)
        over = max(coats - most_log_coats, 0.0)
        steep = THICKNESS_WEIGHT**2 if over > 0.0 else 0.0
        cost += TIE**2 * coats**2 + steep * over**2
        pull, bend = TIE**2 * coats + steep * over, TIE**2 + steep
        for i in range(k):
            if film_of[i] == film:
                gradient[i] += pull * rates[i] / total
                for j in range(k):
                    if film_of[j] == film:
                        curvature[i, j] += bend * rates[i] * rates[j] / total**2
    return cost


@njit(cache=True, nogil=True, fastmath=MATH, error_model="numpy")
def _add_contrast(scene, chart, bounds, members, rates, room, gradient, curvature):  # type: ignore[no-untyped-def]
    """Add what a contrast ratio beyond its bounds costs."""
    by_unknown = np.empty(members.size)
    ratio = _contrast(scene, members, rates, room, chart, by_unknown)
    miss = max(bounds[0] - ratio, 0.0) - max(ratio - bounds[1], 0.0)
    if miss != 0.0:
        for i in range(members.size):
            gradient[i] -= HIDING_WEIGHT**2 * miss * by_unknown[i]
            for j in range(members.size):
                curvature[i, j] += HIDING_WEIGHT**2 * by_unknown[i] * by_unknown[j]
    return (HIDING_WEIGHT * miss) ** 2


@njit(cache=True, nogil=True, fastmath=MATH, error_model="numpy")
def _judge(scene, view, bounds, members, film_of, films, x, targets, exact, room, gradient, curvature):  # type: ignore[no-untyped-def]
    """Cost of a combination, half its gradient and half its curvature; also the squared difference alone."""
    rates = np.exp(x)
    amounts = rates - scene[5][members]
    _see(scene, members, film_of, films, amounts, rates, room)
    gradient[:] = 0.0
    curvature[:] = 0.0
    colour = _add_colour(view, targets, exact, room, members.size, gradient, curvature)
    cost = colour + _add_thickness(film_of, films, amounts, rates, bounds[2], gradient, curvature)
    if films == 1 and (bounds[0] > 0.0 or bounds[1] < 1.0):
        cost += _add_contrast(scene, view[3], bounds, members, rates, room, gradient, curvature)
    return cost, colour


@njit(cache=True, nogil=True, error_model="numpy")
def _damped_step(gradient, curvature, damping, held, step):  # type: ignore[no-untyped-def]
    """Solve ``(curvature + damping diag) step = -gradient`` by Cholesky, some unknowns held where they are."""
    k = gradient.size
    lower = np.zeros((k, k))
    for i in range(k):
        for j in range(i + 1):
            entry = 0.0 if held[i] or held[j] else curvature[i, j]
            if i == j and held[i]:
                entry = 1.0
            elif i == j:
                entry += damping * (curvature[i, i] + 1e-6) + 1e-12
            for m in range(j):
                entry -= lower[i, m] * lower[j, m]
            lower[i, j] = np.sqrt(max(entry, 1e-18)) if i == j else entry / lower[j, j]
    for i in range(k):
        entry = 0.0 if held[i] else -gradient[i]
        for m in range(i):
            entry -= lower[i, m] * step[m]
        step[i] = entry / lower[i, i]
    for i in range(k - 1, -1, -1):
        entry = step[i]
        for m in range(i + 1, k):
            entry -= lower[m, i] * step[m]
        step[i] = entry / lower[i, i]
    longest = np.max(np.abs(step))
    if longest > LONGEST_STEP:
        step *= LONGEST_STEP / longest


@njit(cache=True, nogil=True, error_model="numpy")
def _descend(scene, view, bounds, members, film_of, films, x, targets, exact, steps, room):  # type: ignore[no-untyped-def]
    """Walk ``x`` downhill in place; returns cost and squared difference where it ends."""
    k = members.size
    gradient, curvature = np.empty(k), np.empty((k, k))
    new_gradient, new_curvature = np.empty(k), np.empty((k, k))
    step, trial, held = np.empty(k), np.empty(k), np.zeros(k, dtype=np.bool_)
    least = np.log(scene[5][members])
    cost, colour = _judge(
        scene, view, bounds, members, film_of, films, x, targets, exact, room, gradient, curvature
    )
    damping = 1e-2
    settled = 1e-6 if exact else 2e-2
    for _ in range(steps):
        for i in range(k):
            held[i] = x[i] <= least[i] and gradient[i] > 0.0
        _damped_step(gradient, curvature, damping, held, step)
        for i in range(k):
            trial[i] = max(x[i] + step[i], least[i])
        new_cost, new_colour = _judge(
            scene,
            view,
            bounds,
            members,
            film_of,
            films,
            trial,
            targets,
            exact,
            room,
            new_gradient,
            new_curvature,
        )
        if new_cost < cost:
            gain = cost - new_cost
            x[:] = trial
            gradient[:] = new_gradient
            curvature[:] = new_curvature
            cost, colour = new_cost, new_colour
            damping = max(damping * 0.25, 1e-7)
            if (gain < settled * cost and damping < SURE) or cost < 4e-5:
                break
        else:
            damping *= 8.0
            if damping > 1e7:
                break
    return cost, colour


@njit(cache=True, nogil=True, fastmath=MATH, error_model="numpy")
def _first_cost(scene, view, members, film_of, films, x, targets, room):  # type: ignore[no-untyped-def]
    """Squared difference at a starting point, by look-up without slopes."""
    table, absorption, scattering, ground, face, faint = scene
    weights, whites, shares, _, added = view
    a, s, below = room[0], room[1], room[2]
    answer, seen = np.empty((BANDS, 4)), room[3]
    amounts = np.exp(x) - faint[members]
    below[:] = ground
    for film in range(films):
        _stir(absorption, scattering, members, film_of, film, amounts, a, s)
        look_up_film(table, a, s, answer)
        for b in range(BANDS):
            g = below[b]
            seen[b] = answer[b, 0] + answer[b, 1] * answer[b, 2] * g / (1.0 - answer[b, 3] * g)
            below[b] = seen[b] / (face[0] + face[1] * seen[b])
    cost = 0.0
    lab, roots, xyz = np.empty(3), np.empty(3), np.empty(3)
    for light in range(len(shares)):
        xyz[:] = 0.0
        for b in range(BANDS):
            for c in range(3):
                xyz[c] += weights[light, b, c] * (seen[b] + added)
        lab_with_slopes(xyz, whites[light], lab, roots)
        t = targets[light]
        cost += shares[light] * squared_difference(t[0], t[1], t[2], lab[0], lab[1], lab[2])
    return cost


@njit(cache=True, nogil=True, error_model="numpy")
def solve_many(scene, view, bounds, members, film_of, starts, targets, tries, worth, amounts, squared):  # type: ignore[no-untyped-def]
    """Solve every combination from its most promising starts.

    Parameters
    ----------
    scene : tuple
        Film table, absorption and scattering (paints, 36), ground under the film (36,), face terms (2,), and the
        amount of each paint that is too small to show (paints,).
    view : tuple
        Weights (lights, 36, 3), whites (lights, 3), share of each light, chart of the contrast ratio, added face.
    bounds : tuple
        Least and most contrast ratio, most log coats of a film.
    members : int array, shape (combinations, paints)
        Paints of each combination.
    film_of : int array, shape (paints,)
        Which film each lies in, lowest first.
    starts : array, shape (combinations, starts, paints)
        ``log(coats + faint)`` to start from.
    targets : array, shape (combinations, lights, 3)
        CIELAB wanted.
    tries : int
        From how many starts to search.
    worth : float
        Difference beyond which the exact search is left out.
    amounts : array, shape (combinations, paints)
        Filled with coats.
    squared : array, shape (combinations,)
        Filled with the mean squared difference.
    """
    k = film_of.size
    films = film_of[k - 1] + 1
    room = (
        np.empty(BANDS),
        np.empty(BANDS),
        np.empty(BANDS),
        np.empty(BANDS),
        np.zeros((k, BANDS)),
        np.zeros((k, BANDS)),
        np.empty((BANDS, 3, 4)),
    )
    first = np.zeros(starts.shape[1])
    x = np.empty(k)
    for c in range(members.shape[0]):
        best = np.inf
        if first.size > 1:
            for n in range(first.size):
                first[n] = _first_cost(
                    scene, view, members[c], film_of, films, starts[c, n], targets[c], room
                )
        for _ in range(tries):
            n = int(np.argmin(first))
            first[n] = np.inf
            x[:] = starts[c, n]
            cost, colour = _descend(
                scene, view, bounds, members[c], film_of, films, x, targets[c], False, STEPS_SMOOTH, room
            )
            if cost < worth * worth:
                cost, colour = _descend(
                    scene, view, bounds, members[c], film_of, films, x, targets[c], True, STEPS_EXACT, room
                )
            if cost < best:
                best = cost
                amounts[c] = np.maximum(np.exp(x) - scene[5][members[c]], 0.0)
                squared[c] = colour
            if best < 1e-3:
                break
