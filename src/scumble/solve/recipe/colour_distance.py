"""CIEDE2000 for one pair at a time, compiled: the yardstick inside the search for recipes."""

from __future__ import annotations

import numpy as np
from numba import njit

MATH = {"reassoc", "contract", "arcp", "nsz"}

BEND = 6.0 / 29.0
"""Where CIELAB's cube root gives way to a straight line; CIE 15:2018, 8.2.1."""

STEP_LAB = 1e-3
"""Step in L*, a*, b* for the slope of the squared difference."""


@njit(cache=True, nogil=True, fastmath=MATH, error_model="numpy")
def lab_with_slopes(xyz, white, lab, slopes):  # type: ignore[no-untyped-def]
    """Fill CIELAB of one colour, and the derivative of f(X/Xn), f(Y/Yn), f(Z/Zn) by X, Y and Z."""
    roots = np.empty(3)
    for c in range(3):
        ratio = xyz[c] / white[c]
        if ratio > BEND**3:
            root = np.cbrt(ratio)
            roots[c] = root
            slopes[c] = 1.0 / (3.0 * root * root * white[c])
        else:
            roots[c] = ratio / (3.0 * BEND**2) + 4.0 / 29.0
            slopes[c] = 1.0 / (3.0 * BEND**2 * white[c])
    lab[0] = 116.0 * roots[1] - 16.0
    lab[1] = 500.0 * (roots[0] - roots[1])
    lab[2] = 200.0 * (roots[1] - roots[2])


@njit(cache=True, nogil=True, fastmath=MATH, error_model="numpy")
def _saturation(chroma):  # type: ignore[no-untyped-def]
    square = chroma * chroma
    seventh = square * square * square * chroma
    return np.sqrt(seventh / (seventh + 6103515625.0))


@njit(cache=True, nogil=True, fastmath=MATH, error_model="numpy")
def _weights(lightness, chroma, hue):  # type: ignore[no-untyped-def]
    """Divisors of lightness, chroma and hue differences, and the rotation between the last two; hue in radians."""
    waves = (
        1.0
        - 0.17 * np.cos(hue - np.pi / 6.0)
        + 0.24 * np.cos(2.0 * hue)
        + 0.32 * np.cos(3.0 * hue + np.pi / 30.0)
        - 0.20 * np.cos(4.0 * hue - 63.0 * np.pi / 180.0)
    )
    middle = (lightness - 50.0) ** 2
    away = (np.degrees(hue) % 360.0 - 275.0) / 25.0
    return (
        1.0 + 0.015 * middle / np.sqrt(20.0 + middle),
        1.0 + 0.045 * chroma,
        1.0 + 0.015 * chroma * waves,
        -2.0 * np.sin(np.pi / 3.0 * np.exp(-away * away)) * _saturation(chroma),
    )


@njit(cache=True, nogil=True, fastmath=MATH, error_model="numpy")
def squared_difference(l1, a1, b1, l2, a2, b2):  # type: ignore[no-untyped-def]
    """CIEDE2000 squared; the same as :func:`scumble.colour.delta_e_2000`, which names the source."""
    stretch = 1.5 - 0.5 * _saturation(0.5 * (np.hypot(a1, b1) + np.hypot(a2, b2)))
    a1, a2 = a1 * stretch, a2 * stretch
    c1, c2 = np.hypot(a1, b1), np.hypot(a2, b2)
    h1, h2 = np.arctan2(b1, a1), np.arctan2(b2, a2)
    if c1 < 1e-12 or c2 < 1e-12:
        turn, hue = 0.0, h1 if c2 < 1e-12 else h2
    else:
        turn, hue = h2 - h1, 0.5 * (h1 + h2)
        if abs(turn) > np.pi + 1e-11:
            turn -= 2.0 * np.pi * np.sign(turn)
            hue += np.pi
    per_lightness, per_chroma, per_hue, rotation = _weights(0.5 * (l1 + l2), 0.5 * (c1 + c2), hue)
    lightness = (l2 - l1) / per_lightness
    chroma = (c2 - c1) / per_chroma
    across = 2.0 * np.sqrt(c1 * c2) * np.sin(0.5 * turn) / per_hue
    return max(lightness**2 + chroma**2 + across**2 + rotation * chroma * across, 0.0)


@njit(cache=True, nogil=True, fastmath=MATH, error_model="numpy")
def fill_metric(lightness, a, b, metric):  # type: ignore[no-untyped-def]
    """Fill the local metric; the same as :func:`scumble.colour.delta_e_2000_metric`."""
    stretch = 1.5 - 0.5 * _saturation(np.hypot(a, b))
    a = a * stretch
    chroma = np.hypot(a, b)
    along, across = (1.0, 0.0) if chroma < 1e-12 else (a / chroma, b / chroma)
    per_lightness, per_chroma, per_hue, rotation = _weights(lightness, chroma, np.arctan2(b, a))
    c0, c1 = along * stretch / per_chroma, across / per_chroma
    h0, h1 = -across * stretch / per_hue, along / per_hue
    metric[:] = 0.0
    metric[0, 0] = 1.0 / per_lightness**2
    metric[1, 1] = c0 * c0 + h0 * h0 + rotation * c0 * h0
    metric[2, 2] = c1 * c1 + h1 * h1 + rotation * c1 * h1
    metric[1, 2] = c0 * c1 + h0 * h1 + 0.5 * rotation * (c0 * h1 + c1 * h0)
    metric[2, 1] = metric[1, 2]


@njit(cache=True, nogil=True, fastmath=MATH, error_model="numpy")
def fill_slope(target, lab, slope):  # type: ignore[no-untyped-def]
    """Fill half the derivative of the squared difference to ``target`` by L*, a*, b*."""
    moved = lab.copy()
    for c in range(3):
        moved[c] = lab[c] + STEP_LAB
        more = squared_difference(target[0], target[1], target[2], moved[0], moved[1], moved[2])
        moved[c] = lab[c] - STEP_LAB
        less = squared_difference(target[0], target[1], target[2], moved[0], moved[1], moved[2])
        moved[c] = lab[c]
        slope[c] = 0.25 * (more - less) / STEP_LAB
