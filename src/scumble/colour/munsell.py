"""Hue, value and chroma of a colour on the Munsell renotation: the words that naming starts from."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

import numpy as np
from numpy.typing import ArrayLike, NDArray

from scumble.colour.adaptation import adapt_xyz
from scumble.colour.lab import lab_to_xyz, xyz_to_lab
from scumble.colour.renotation import (
    FAMILIES,
    HUE_STEP,
    WHITE_C,
    chroma_at,
    hue_at,
    luminance_to_value,
    place,
    planes_at,
    value_to_luminance,
)
from scumble.colour.spectrum import white_point

_Array = NDArray[np.float64]

_ROUNDS: Final = 40
"""Turns of hue against chroma; a colour inside the renotation settles to 1e-6 in fewer."""

_PIECE: Final = 4096
"""Colours read at once; each needs its own plane of 13 kB."""


def xyz_to_munsell(xyz: ArrayLike, *, light: str = "D65", observer: int = 2) -> _Array:
    """Munsell hue, value and chroma of a colour.

    Parameters
    ----------
    xyz : array, shape (..., 3)
        Tristimulus values with the perfect diffuser at Y = 100.
    light : str
        The light they were computed or measured under.
    observer : int [degrees]
        2 or 10.

    Returns
    -------
    array, shape (..., 3)
        Hue as a number from 0 to 100 (5R is 5, 5YR is 15, 5RP is 95, 10RP is 0), value 0-10, chroma.

    Notes
    -----
    The renotation is laid out in CIELAB, where its circles and spokes are nearly straight, and read backwards by
    turns: the hue at the present chroma, the chroma at that hue. Spokes are drawn straight beyond their last
    published chroma, and below value 1 and above 9 the nearest plane stands in, so every colour has an answer;
    out there it is an estimate.

    *Source:* Newhall, Nickerson & Judd (1943), see the table ``munsell_renotation``; ASTM D1535, Standard
    practice for specifying color by the Munsell system (value).

    Examples
    --------
    >>> xyz_to_munsell(munsell_to_xyz([15.0, 6.0, 8.0])).round(3)
    array([15.,  6.,  8.])
    """
    given = np.asarray(xyz, dtype=np.float64)
    adapted = adapt_xyz(given, white_point(light, observer), WHITE_C).reshape(-1, 3)
    return _in_pieces(_read_backwards, adapted).reshape(given.shape)


def munsell_to_xyz(munsell: ArrayLike, *, light: str = "D65", observer: int = 2) -> _Array:
    """Tristimulus values of a Munsell hue, value and chroma; the inverse of :func:`xyz_to_munsell`.

    Parameters
    ----------
    munsell : array, shape (..., 3)
        Hue 0-100, value 0-10, chroma.
    light : str
        The light whose white the white of the renotation becomes.
    observer : int [degrees]
        2 or 10.

    Returns
    -------
    array, shape (..., 3)
        XYZ with the perfect diffuser at Y = 100.

    Examples
    --------
    >>> munsell_to_xyz([0.0, 10.0, 0.0], light="D50").round(2)
    array([ 96.42, 100.  ,  82.51])
    """
    given = np.asarray(munsell, dtype=np.float64)
    xyz = _in_pieces(_read, given.reshape(-1, 3))
    return adapt_xyz(xyz, WHITE_C, white_point(light, observer)).reshape(given.shape)


def munsell_notation(munsell: ArrayLike) -> str:
    """Write one hue, value and chroma the way the trade does.

    Parameters
    ----------
    munsell : array, shape (3,)
        Hue 0-100, value, chroma.

    Returns
    -------
    str
        For example ``7.5YR 5.2/8.1``, or ``N 5.2`` below chroma 0.05.

    Examples
    --------
    >>> munsell_notation([17.5, 5.2, 8.1]), munsell_notation([0.0, 4.0, 6.0]), munsell_notation([17.5, 5.2, 0.0])
    ('7.5YR 5.2/8.1', '10RP 4.0/6.0', 'N 5.2')
    """
    hue, value, chroma = (float(part) for part in np.asarray(munsell, dtype=np.float64))
    if chroma < 0.05:
        return f"N {value:.1f}"
    tenths = round(hue * 10) % 1000
    family, step = divmod(tenths, 100)
    if step == 0:
        family, step = family - 1, 100
    return f"{step / 10:g}{FAMILIES[family]} {value:.1f}/{chroma:.1f}"


def _read(munsell: _Array) -> _Array:
    """XYZ under illuminant C of hues, values and chromas, shape (colours, 3)."""
    hue, value, chroma = munsell.T
    ab = place(planes_at(value), hue / HUE_STEP, chroma)
    grey = value_to_luminance(value)[:, None] * WHITE_C / 100.0
    return lab_to_xyz(np.concatenate([xyz_to_lab(grey, WHITE_C)[:, :1], ab], axis=1), WHITE_C)


def _read_backwards(xyz: _Array) -> _Array:
    """Hue, value and chroma of colours under illuminant C, shape (colours, 3)."""
    value = luminance_to_value(xyz[:, 1])
    lab = xyz_to_lab(xyz, WHITE_C)
    plane = planes_at(value)
    angle, radius = np.degrees(np.arctan2(lab[:, 2], lab[:, 1])), np.hypot(lab[:, 1], lab[:, 2])
    chroma = radius / 5.0
    hue = np.zeros_like(chroma)
    for _ in range(_ROUNDS):
        hue = hue_at(plane, chroma, angle)
        step = chroma_at(plane, hue, radius) - chroma
        chroma = chroma + step
        if np.all(np.abs(step) < 1e-7):
            break
    return np.stack([hue * HUE_STEP % 100.0, value, chroma], axis=-1)


def _in_pieces(convert: Callable[[_Array], _Array], colours: _Array) -> _Array:
    """Convert colours, shape (colours, 3), a few thousand at a time."""
    pieces = [convert(colours[at : at + _PIECE]) for at in range(0, len(colours), _PIECE)]
    return np.concatenate([np.empty((0, 3)), *pieces])
