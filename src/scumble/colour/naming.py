"""A plain name for a colour: how light, how strong, which hue."""

from __future__ import annotations

from bisect import bisect_right
from functools import cache
from typing import Final, NamedTuple

import numpy as np
from numpy.typing import ArrayLike

from scumble.colour.munsell import xyz_to_munsell
from scumble.colour.renotation import hue_number
from scumble.tables import load_table

_VALUE_BOUNDS: Final = (2.5, 4.5, 6.5, 8.5)
"""Munsell values between black, the three greys and white; NBS Special Publication 440, all charts."""

_VALUE_WORDS: Final = ("very dark", "dark", "mid", "light", "very light")
_GREYS: Final = ("black", "dark grey", "mid grey", "light grey", "white")
_TINTED_BLACK: Final = 1.0
"""Chroma at which a tinted black becomes a very dark colour; the same charts, values below 2."""


class _HueRow(NamedTuple):
    hue_from: float
    hue_to: float
    value_from: float
    value_to: float
    chroma_from: float
    chroma_to: float
    word: str

    def holds(self, hue: float, value: float, chroma: float) -> bool:
        width = (self.hue_to - self.hue_from) % 100.0
        return (
            (hue - self.hue_from) % 100.0 < width
            and self.value_from <= value < self.value_to
            and self.chroma_from <= chroma < self.chroma_to
        )


class _ChromaRow(NamedTuple):
    grey_word: str
    neutral_below: float
    grey_below: float
    dull_below: float
    strong_from: float
    vivid_from: float


def name_colour(xyz: ArrayLike, *, light: str = "D65", observer: int = 2) -> str:
    """Say what one colour looks like, in plain words.

    Parameters
    ----------
    xyz : array, shape (3,)
        Tristimulus values with the perfect diffuser at Y = 100.
    light : str
        The light they were computed or measured under.
    observer : int [degrees]
        2 or 10.

    Returns
    -------
    str
        For example "a mid, strong yellowish green" or "a light grey".

    Notes
    -----
    The hue words and the bounds of the blocks are published (tables ``hue_words`` and ``chroma_words``); the words
    for lightness and strength are Scumble's own: very dark, dark, mid, light, very light; dull (pale when light),
    nothing for a usual strength, strong, vivid.

    *Source:* Kelly K L, Judd D B (1976) Color: universal language and dictionary of names, NBS Special
    Publication 440.

    Examples
    --------
    >>> name_colour([40.75, 42.88, 46.69])
    'a light grey'
    >>> name_colour([12.0, 20.0, 10.0])
    'a mid, strong yellowish green'
    """
    return name_colours(np.asarray(xyz, dtype=np.float64)[None], light=light, observer=observer)[0]


def name_colours(xyz: ArrayLike, *, light: str = "D65", observer: int = 2) -> list[str]:
    """Say what several colours look like; the same as :func:`name_colour` of each, in a fraction of the time.

    Parameters
    ----------
    xyz : array, shape (colours, 3)
        Tristimulus values with the perfect diffuser at Y = 100.
    light, observer
        As for :func:`name_colour`.

    Examples
    --------
    >>> name_colours([[40.75, 42.88, 46.69], [12.0, 20.0, 10.0]])
    ['a light grey', 'a mid, strong yellowish green']
    """
    munsell = xyz_to_munsell(np.asarray(xyz, dtype=np.float64), light=light, observer=observer)
    return [munsell_name(*parts) for parts in munsell.tolist()]


def munsell_name(hue: float, value: float, chroma: float) -> str:
    """Say what a Munsell hue, value and chroma looks like, in plain words.

    Parameters
    ----------
    hue : float
        0 to 100, 5R at 5.
    value : float
        0 to 10.
    chroma : float
        0 upwards.

    Returns
    -------
    str
        As for :func:`name_colour`.

    Examples
    --------
    >>> munsell_name(82.0, 2.0, 4.0), munsell_name(15.0, 3.0, 4.0), munsell_name(0.0, 9.5, 0.1)
    ('a very dark, dull violet', 'a dark brown', 'white')
    """
    word = next(row.word for row in _hue_rows() if row.holds(hue, value, chroma))
    bounds = _chroma_rows()[word]
    step = bisect_right(_VALUE_BOUNDS, value)
    if chroma < bounds.neutral_below:
        return _GREYS[step] if step in (0, 4) else f"a {_GREYS[step]}"
    if chroma < (min(bounds.grey_below, _TINTED_BLACK) if step == 0 else bounds.grey_below):
        return f"a {_tinted(_GREYS[step], bounds.grey_word)}"
    strength = _strength(chroma, bounds, light=step >= 3)
    return f"a {_VALUE_WORDS[step]}{', ' + strength if strength else ''} {word}"


def _tinted(grey: str, tint: str) -> str:
    *lightness, noun = grey.split()
    return " ".join([*lightness, tint, noun])


def _strength(chroma: float, bounds: _ChromaRow, *, light: bool) -> str:
    if chroma < bounds.dull_below:
        return "pale" if light else "dull"
    if chroma < bounds.strong_from:
        return ""
    return "strong" if chroma < bounds.vivid_from else "vivid"


@cache
def _hue_rows() -> tuple[_HueRow, ...]:
    table = load_table("hue_words")
    hues = ([hue_number(name) for name in table[column].tolist()] for column in ("hue_from", "hue_to"))
    limits = (table[column].tolist() for column in ("value_from", "value_to", "chroma_from", "chroma_to"))
    return tuple(map(_HueRow, *hues, *limits, table["word"].tolist()))


@cache
def _chroma_rows() -> dict[str, _ChromaRow]:
    table = load_table("chroma_words")
    numbers = table.stack("neutral_below", "grey_below", "dull_below", "strong_from", "vivid_from").tolist()
    names = zip(table["word"].tolist(), table["grey_word"].tolist(), numbers, strict=True)
    return {word: _ChromaRow(grey_word, *bounds) for word, grey_word, bounds in names}
