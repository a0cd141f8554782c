"""Whether mixtures of a few tubes can come near a colour: their proportions are halved until it is certain.

A *cell* is a part of the proportions of a combination: all mixtures of a few mixtures, its ends, in any amounts. In
every band the ratio of absorption to scattering of each lies between those of the ends, and so does what an endless
film of it shows. What is certain of the least and the most in every band is asked against a plane; where no plane
parts them from the wanted colour, the longest edge of the cell is halved and both halves are asked.
"""

from __future__ import annotations

import numpy as np
from numba import njit

from scumble.solve.recipe.colour_distance import MATH

BANDS = 36

LOOKS = 5
"""Planes tried for a cell, each nearer to the best one than the one before."""

BENT = 0.0861
"""Most by which a line between two powers of two lies below the logarithm: ``1 - (1 + ln ln 2) / ln 2`` octaves."""

BEYOND = 0.01
"""How far a film that hides may show beyond both its ground and an endless film [1]; 0.007 is the most that was met."""

RISE = 4
"""Steps of thickness by which the search for the thinnest film that hides widens at first."""


@njit(cache=True, nogil=True, fastmath=MATH, error_model="numpy")
def _show_end(thick, a, s, seen):  # type: ignore[no-untyped-def]
    """Fill what an endless film shows; it depends on absorption and scattering by their ratio alone."""
    steps = thick.size - 1
    for b in range(BANDS):
        seen[b] = np.sqrt(a[b] / (a[b] + s[b] + 1e-12)) * steps
    for b in range(BANDS):
        i = min(int(seen[b]), steps - 1)
        seen[b] = thick[i] + (seen[b] - i) * (thick[i + 1] - thick[i])


@njit(cache=True, nogil=True, fastmath=MATH, error_model="numpy")
def _place_end(first, step, depth, places):  # type: ignore[no-untyped-def]
    """Fill where depths lie among the steps of the table, at most ``BENT`` octaves too low.

    The bits of a floating-point number, read as a whole number, are its logarithm to the base 2 with straight lines
    between the powers of two.
    """
    bits = depth.view(np.int64)
    per_step = np.log(2.0) / step
    for b in range(BANDS):
        places[b] = (float(bits[b]) * 2.0**-52 - 1023.0) * per_step - first / step + 1.0


@njit(cache=True, nogil=True, fastmath=MATH, error_model="numpy")
def _span(values, cell, low, high):  # type: ignore[no-untyped-def]
    """Fill the least and the most of the ends of a cell in every band."""
    own = values[cell[0]]
    for b in range(BANDS):
        low[b] = own[b]
        high[b] = own[b]
    for i in range(1, cell.size):
        own = values[cell[i]]
        for b in range(BANDS):
            low[b] = min(low[b], own[b])
            high[b] = max(high[b], own[b])


@njit(cache=True, nogil=True, fastmath=MATH, error_model="numpy")
def _look_along(pulls, start, low, high, lean, corner, room):  # type: ignore[no-untyped-def]
    """The least of all spectra between two along a direction, and the corner where it is."""
    pull, end = room[0], room[1]
    pull[:] = 0.0
    least = 0.0
    for c in range(lean.size):
        least += lean[c] * start[c]
        for b in range(BANDS):
            pull[b] += lean[c] * pulls[c, b]
    for b in range(BANDS):
        end[b] = low[b] if pull[b] > 0.0 else high[b]
        least += pull[b] * end[b]
    for c in range(lean.size):
        total = start[c]
        for b in range(BANDS):
            total += pulls[c, b] * end[b]
        corner[c] = total
    return least


@njit(cache=True, nogil=True, fastmath=MATH, error_model="numpy")
def _is_away(pulls, start, low, high, point, lean, corner, room):  # type: ignore[no-untyped-def]
    """Whether a plane parts all spectra between two from the unit ball; ``lean`` is then across it.

    The search is for the nearest point of the spectra, by steps towards their corners.

    *Source:* Frank and Wolfe, Naval Res. Logist. Q. 3, 95 (1956), with the best length of each step.
    """
    end = room[1]
    for b in range(BANDS):
        end[b] = 0.5 * (low[b] + high[b])
    for c in range(lean.size):
        total = start[c]
        for b in range(BANDS):
            total += pulls[c, b] * end[b]
        point[c] = total
    for _ in range(LOOKS):
        length = 0.0
        for c in range(lean.size):
            length += point[c] * point[c]
        if length <= 1.0:
            return False
        for c in range(lean.size):
            lean[c] = point[c] / np.sqrt(length)
        if _look_along(pulls, start, low, high, lean, corner, room) > 1.0:
            return True
        along, across = 0.0, 1e-300
        for c in range(lean.size):
            way = corner[c] - point[c]
            along -= point[c] * way
            across += way * way
        step = min(max(along / across, 0.0), 1.0)
        for c in range(lean.size):
            point[c] += step * (corner[c] - point[c])
    return False


@njit(cache=True, nogil=True, fastmath=MATH, error_model="numpy")
def _passes(table, luminous, a_places, s_places, shift):  # type: ignore[no-untyped-def]
    """Y that shines through at least, a number of steps thicker."""
    last = table.shape[0] - 1
    total = 0.0
    for b in range(BANDS):
        i = min(max(int(a_places[b] + shift) + 1, 0), last)
        j = min(max(int(s_places[b] + shift) + 1, 0), last)
        total += luminous[b] * table[i, j]
    return total


@njit(cache=True, nogil=True, fastmath=MATH, error_model="numpy")
def _thinnest(table, luminous, a_places, s_places, limit, guess):  # type: ignore[no-untyped-def]
    """Steps of thickness at which even the deepest of the cell lets too much through, one more may not."""
    under, width = guess, RISE
    if _passes(table, luminous, a_places, s_places, under) > limit:
        over = under + width
        while _passes(table, luminous, a_places, s_places, over) > limit:
            under, width = over, 2 * width
            over = under + width
            if over > table.shape[0]:
                return over
    else:
        over, under = under, under - width
        while _passes(table, luminous, a_places, s_places, under) <= limit:
            over, width = under, 2 * width
            under = over - width
            if under < -table.shape[0]:
                return under
    while over - under > 1:
        middle = under + (over - under) // 2
        if _passes(table, luminous, a_places, s_places, middle) > limit:
            under = middle
        else:
            over = middle
    return under


@njit(cache=True, nogil=True, fastmath=MATH, error_model="numpy")
def _widen(table, lift, ground, a_places, s_places, shift, low, high):  # type: ignore[no-untyped-def]
    """Let the ground shine through what is at least so thick."""
    last = table.shape[0] - 2
    for b in range(BANDS):
        i = min(max(int(np.floor(a_places[b])) + shift, 0), last)
        j = min(max(int(np.floor(s_places[b])) + shift, 0), last)
        passes = lift * table[i, j]
        high[b] += min(passes, max(ground[b] - high[b], 0.0) + BEYOND)
        low[b] -= min(passes, max(low[b] - ground[b], 0.0) + BEYOND)


@njit(cache=True, nogil=True, fastmath=MATH, error_model="numpy")
def _halve(a, s, coats, u, v, new):  # type: ignore[no-untyped-def]
    """A mixture of two ends that are of one strength, brought to that strength again."""
    top, mean = 0.0, 0.0
    for b in range(BANDS):
        a[new, b] = a[u, b] + a[v, b]
        s[new, b] = s[u, b] + s[v, b]
        top = max(top, a[new, b])
        mean += s[new, b]
    scale = 1.0 / (top + 0.15 * mean / BANDS)
    for b in range(BANDS):
        a[new, b] *= scale
        s[new, b] *= scale
    coats[new] = (coats[u] + coats[v]) * scale
    return 2.0 * scale


@njit(cache=True, nogil=True, fastmath=MATH, error_model="numpy")
def _longest_edge(seen, weight, cell):  # type: ignore[no-untyped-def]
    """Which two ends of a cell are farthest apart in what they show."""
    first, second, longest = 0, 1, -1.0
    for i in range(cell.size):
        one = seen[cell[i]]
        for j in range(i):
            other = seen[cell[j]]
            apart = 0.0
            for b in range(BANDS):
                apart += weight[b] * abs(one[b] - other[b])
            if apart > longest:
                first, second, longest = i, j, apart
    return first, second


@njit(cache=True, nogil=True, error_model="numpy")
def may_reach_many(tubes, thick, veil, eye, most_coats, members, parts, could):  # type: ignore[no-untyped-def]
    """Fill for every combination whether some proportions might come near; ``False`` is certain.

    Parameters
    ----------
    tubes : tuple
        Absorption and scattering (tubes, 36) and strength (tubes,).
    thick : array, shape (steps,)
        What an endless film shows, by the root of its share of absorption.
    veil : tuple
        Table of what shines through over the chart's white by absorption and scattering, the log depth of its second
        row, the step, the most of Y that may shine through beside the Y of the film, and how much more than over the
        chart can shine through elsewhere.
    eye : tuple
        What carries a spectrum to coordinates in which the colours within the difference lie in the unit ball, where
        no light at all lies there, weight of each band, luminous weights, and the ground under clear medium.
    most_coats : float
        Thickest film.
    members : int array, shape (combinations, k)
    parts : int
        Ends that may be added to each combination before it is left standing.
    could : bool array, shape (combinations,)
        Filled.
    """
    absorption, scattering, strength = tubes
    table, first, step, rest, lift = veil
    pulls, start, weight, luminous, ground = eye
    k, size = members.shape[1], pulls.shape[0]
    a, s, seen = np.empty((k + parts, BANDS)), np.empty((k + parts, BANDS)), np.empty((k + parts, BANDS))
    a_place, s_place = np.empty((k + parts, BANDS)), np.empty((k + parts, BANDS))
    coats = np.empty(k + parts)
    cells = np.empty((parts + 2, k), dtype=np.int64)
    low, high, ground_low, ground_high = np.empty(BANDS), np.empty(BANDS), np.empty(BANDS), np.empty(BANDS)
    a_low, a_high, s_low, s_high = np.empty(BANDS), np.empty(BANDS), np.empty(BANDS), np.empty(BANDS)
    point, lean, corner, room = np.empty(size), np.empty(size), np.empty(size), np.empty((2, BANDS))
    bent = BENT * np.log(2.0) / step
    known = np.empty(parts + 2, dtype=np.int64)
    for row in range(members.shape[0]):
        for i in range(k):
            m = members[row, i]
            coats[i] = 1.0 / strength[m]
            for b in range(BANDS):
                a[i, b] = absorption[m, b] * coats[i] + 1e-30
                s[i, b] = scattering[m, b] * coats[i] + 1e-30
            _show_end(thick, a[i], s[i], seen[i])
            _place_end(first, step, a[i], a_place[i])
            _place_end(first, step, s[i], s_place[i])
            cells[0, i] = i
        ends, waiting = k, 1
        known[0] = -table.shape[0]
        could[row] = False
        while waiting > 0:
            waiting -= 1
            cell = cells[waiting]
            _span(seen, cell, low, high)
            if _is_away(pulls, start, low, high, point, lean, corner, room):
                _span(a_place, cell, a_low, a_high)
                _span(s_place, cell, s_low, s_high)
                if known[waiting] > -table.shape[0]:
                    ground_low[:] = low
                    ground_high[:] = high
                    _widen(table, lift, ground, a_low, s_low, known[waiting], ground_low, ground_high)
                    if _look_along(pulls, start, ground_low, ground_high, lean, corner, room) > 1.0:
                        continue
                limit, thinnest = 0.0, np.inf
                for b in range(BANDS):
                    limit += rest * luminous[b] * high[b]
                    a_high[b] += bent
                    s_high[b] += bent
                for i in range(k):
                    thinnest = min(thinnest, coats[cell[i]])
                known[waiting] = _thinnest(table, luminous, a_high, s_high, limit, max(known[waiting], -80))
                if known[waiting] * step > np.log(most_coats / thinnest):
                    continue
                _widen(table, lift, ground, a_low, s_low, known[waiting], low, high)
                if _look_along(pulls, start, low, high, lean, corner, room) > 1.0:
                    continue
                if _is_away(pulls, start, low, high, point, lean, corner, room):
                    continue
            if ends == k + parts:
                could[row] = True
                break
            i, j = _longest_edge(seen, weight, cell)
            shift = int(np.ceil(np.log(_halve(a, s, coats, cell[i], cell[j], ends)) / step))
            known[waiting] = max(known[waiting] - shift, -table.shape[0])
            known[waiting + 1] = known[waiting]
            _show_end(thick, a[ends], s[ends], seen[ends])
            _place_end(first, step, a[ends], a_place[ends])
            _place_end(first, step, s[ends], s_place[ends])
            cells[waiting + 1] = cell
            cells[waiting, i] = ends
            cells[waiting + 1, j] = ends
            waiting += 2
            ends += 1
