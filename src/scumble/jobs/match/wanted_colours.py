"""A set of wanted colours: from a picture, from a list, or all round."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from scumble.colour import (
    munsell_notation,
    munsell_to_xyz,
    name_colours,
    white_point,
    xyz_to_lab,
    xyz_to_srgb,
)
from scumble.errors import InputError
from scumble.jobs.layering_request import FindPaint
from scumble.jobs.match.picture import colours_of_picture
from scumble.jobs.match.target import parse_target
from scumble.jobs.paint_names import paints_by_name
from scumble.paint import Paint

Floats = NDArray[np.float64]

MOST = 400
"""Colours in a set."""

VALUES, CHROMAS = (2.5, 4.0, 5.5, 7.0, 8.5), (4.0, 8.0, 12.0, 16.0)
"""Munsell values and chromas of the colours all round; hues are the ten principal ones at 5."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """A set of wanted colours.

    Parameters
    ----------
    labs : array, shape (colours, 3)
        CIELAB, D65, 2 degrees.
    labels : tuple of str
        What each is called.
    source : str
        Where they come from, in a few words.
    """

    labs: Floats
    labels: tuple[str, ...]
    source: str


@cache
def all_round() -> Wanted:
    """Ten hues at five values and up to four chromas, and five greys: those that an sRGB screen can show.

    Notes
    -----
    *Source:* Munsell renotation, see :func:`scumble.colour.munsell_to_xyz`. The choice of steps and the screen's
    gamut as the limit are Scumble's own.

    Examples
    --------
    >>> len(all_round().labs) == len(all_round().labels)
    True
    """
    places = [(0.0, value, 0.0) for value in VALUES]
    places += [
        (hue, value, chroma) for hue in np.arange(5.0, 100.0, 10.0) for value in VALUES for chroma in CHROMAS
    ]
    xyz = np.array([munsell_to_xyz(place) for place in places])
    _, shown = xyz_to_srgb(xyz, light="D65", observer=2)
    labels = tuple(munsell_notation(place) for place, fine in zip(places, shown, strict=True) if fine)
    return Wanted(xyz_to_lab(xyz[shown], white_point("D65", 2)), labels, "all round the colour circle")


def wanted_of_picture(source: Path | str | bytes, *, count: int = 60, name: str = "") -> Wanted:
    """The colours that a picture is made of.

    Raises
    ------
    CardError
        If it cannot be read.
    InputError
        For a count out of range.
    """
    if not 1 <= count <= MOST:
        raise InputError("colours", count, f"1 to {MOST}")
    labs = colours_of_picture(source, count=count)
    said = name or (Path(source).name if isinstance(source, (Path, str)) else "the picture")
    return Wanted(labs, name_wanted(labs), f"the colours of {said}")


def wanted_of_list(lines: str, find_paint: FindPaint) -> Wanted:
    """Colours written one a line, each as ``scumble match`` takes it; empty lines and those that begin with ; are none.

    Raises
    ------
    InputError
        If there is none, too many, or one cannot be read; its line is named.
    """
    labs, labels = [], []
    for number, line in enumerate(lines.splitlines(), 1):
        written = line.strip()
        if not written or written.startswith(";"):
            continue
        try:
            target = parse_target(written, find_paint)
        except InputError as error:
            raise InputError(f"colours, line {number}", written, error.allowed, error.hint) from None
        labs.append(target.lab)
        labels.append(target.label)
    if not labs:
        raise InputError(
            "colours", "none", "at least one colour", "Write one a line, as '5R 4/10' or '#b4783c'."
        )
    if len(labs) > MOST:
        raise InputError("colours", f"{len(labs)} colours", f"at most {MOST}")
    return Wanted(np.array(labs), tuple(labels), "the colours listed")


def choose_wanted(
    paints: Sequence[Paint],
    *,
    picture: Path | bytes | None = None,
    picture_name: str = "",
    lines: str | None = None,
    count: int = 60,
) -> Wanted:
    """Wanted colours of a picture or of a list, or all round when neither is given.

    Parameters
    ----------
    paints : sequence of Paint
        That a list may name.
    picture : path or bytes, optional
        Its colours are wanted.
    picture_name : str
        What it is called; the file's name unless said.
    lines : str, optional
        Colours, one a line.
    count : int
        Of a picture's colours.

    Raises
    ------
    InputError
        If both are given, or the list cannot be read.
    CardError
        If the picture cannot be read.
    """
    if picture is not None and lines is not None:
        raise InputError("colours", "a picture and a list", "one of the two")
    if picture is not None:
        return wanted_of_picture(picture, count=count, name=picture_name)
    return all_round() if lines is None else wanted_of_list(lines, paints_by_name(paints))


def load_lines(path: Path | None) -> str | None:
    """The text of a list of colours; no file, no list.

    Raises
    ------
    InputError
        If it cannot be read.
    """
    if path is None:
        return None
    try:
        return path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        raise InputError("colours", str(path), "a text file with one colour a line", str(error)) from None


def name_wanted(labs: Floats) -> tuple[str, ...]:
    """Plain names of colours, CIELAB (D65, 2 degrees), shape (colours, 3)."""
    from scumble.colour import lab_to_xyz

    return tuple(name_colours(lab_to_xyz(labs, white_point("D65", 2)).clip(0.0)))
