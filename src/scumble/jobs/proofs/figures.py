"""Figures of the track record: how far each proof was off beside what was promised, and which way they strayed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from scumble.chart.curve import Curve, Dot, Frame, Haze, Mark, draw_curves
from scumble.chart.strip import write_colour
from scumble.colour import lab_to_xyz, white_point, xyz_to_srgb
from scumble.jobs.proofs.record import Proved

MOST_DRAWN: Final = 300
"""Proofs in a figure, the newest."""


@dataclass(frozen=True, slots=True)
class RecordFigure:
    """A drawing and the words around it.

    Parameters
    ----------
    svg : str
        An SVG element that stretches to its box.
    title, says : str
        What it shows, and what the signs in it mean.
    x_labels, y_labels : tuple of str
        Evenly spaced from one end of the axis to the other; the y axis from its top.
    """

    svg: str
    title: str
    says: str
    x_labels: tuple[str, ...]
    y_labels: tuple[str, ...]


def draw_record(proved: Sequence[Proved]) -> tuple[RecordFigure, ...]:
    """The figures of a track record; none without proofs."""
    if not proved:
        return ()
    shown = proved[-MOST_DRAWN:]
    colours = _painted(shown)
    return _over_time(shown, colours), _ways(shown, colours)


def screen_colour(lab: Sequence[float] | np.ndarray, light: str = "D65", observer: int = 2) -> str:
    """Screen colour of a CIELAB colour, ``#rrggbb``."""
    xyz = lab_to_xyz(np.asarray(lab, dtype=np.float64), white_point(light, observer))
    return write_colour(xyz_to_srgb(np.maximum(xyz, 0.0), light=light, observer=observer)[0])


def _over_time(proved: Sequence[Proved], colours: Sequence[str]) -> RecordFigure:
    off = np.array([each.found.difference_de00 for each in proved])
    promised = np.array([each.found.interval_de00 for each in proved])
    top = _rounded_up(float(max(off.max(), promised.max())))
    count = len(proved)
    at = np.arange(count) + 0.5
    frame = Frame(0.0, float(count), 0.0, top, y_marks=(top / 4, top / 2, 3 * top / 4))
    edges, steps = np.repeat(np.arange(count + 1.0), 2)[1:-1], np.repeat(promised, 2)
    marks: list[Mark] = [Haze(edges, np.zeros(2 * count), steps)]
    size = 16.0 if count <= 60 else 9.0
    for x, y, colour in zip(at, off, colours, strict=True):
        marks.append(Dot(float(x), float(y), size=size + 5.0))
        marks.append(Dot(float(x), float(y), colour, size))
    inside = sum(each.found.is_within for each in proved)
    words = (
        f"How far {count} proofs were off, oldest first: from dE00 {off.min():.1f} to {off.max():.1f};"
        f" {inside} of them within what was promised"
    )
    return RecordFigure(
        draw_curves(frame, marks, words=words),
        "How far off, in the order they were read",
        "Each dot is a proof in its painted colour; the shade reaches as far as was promised.",
        ("the first", "the newest") if count > 1 else ("", ""),
        tuple(f"{top * share:g}" for share in (1.0, 0.75, 0.5, 0.25, 0.0)),
    )


def _ways(proved: Sequence[Proved], colours: Sequence[str]) -> RecordFigure:
    shifts = np.array([each.found.shift for each in proved])
    reach = _rounded_up(float(np.max(np.abs(shifts[:, 1:]))))
    frame = Frame(-reach, reach, -reach, reach, x_marks=(0.0,), y_marks=(0.0,))
    marks: list[Mark] = []
    for colour, (_, a, b) in zip(colours, shifts.tolist(), strict=True):
        marks += [Curve(np.array([0.0, a]), np.array([0.0, b]), width=1.0), Dot(a, b, size=17.0)]
        marks.append(Dot(a, b, colour, 12.0))
    mean = shifts.mean(axis=0)
    words = (
        f"Painted less promised in a* and b* of {len(proved)} proofs; on average a* {mean[1]:+.1f},"
        f" b* {mean[2]:+.1f}, L* {mean[0]:+.1f}"
    )
    ends = f"{reach:g}"
    return RecordFigure(
        draw_curves(frame, marks, words=words),
        "Which way they strayed",
        "From what was promised, in the middle: right is redder, left greener, up yellower, down bluer.",
        (f"a* −{ends}", "0", f"+{ends}"),
        (f"b* +{ends}", "0", f"−{ends}"),
    )


def _painted(proved: Sequence[Proved]) -> list[str]:
    """Screen colours of what was painted, all of one light at once."""
    colours = [""] * len(proved)
    lights = [(each.reading.reading.light, each.reading.reading.observer) for each in proved]
    for light, observer in set(lights):
        at = [place for place, each in enumerate(lights) if each == (light, observer)]
        lab = np.array([proved[place].reading.reading.lab for place in at])
        xyz = np.maximum(lab_to_xyz(lab, white_point(light, observer)), 0.0)
        for place, rgb in zip(at, xyz_to_srgb(xyz, light=light, observer=observer)[0], strict=True):
            colours[place] = write_colour(rgb)
    return colours


def _rounded_up(value: float) -> float:
    """The next of 1, 2, 4, 10, 20, 40 and so on.

    Examples
    --------
    >>> _rounded_up(3.2), _rounded_up(4.1), _rounded_up(0.0)
    (4.0, 10.0, 1.0)
    """
    scale = 1.0
    while True:
        for step in (1.0, 2.0, 4.0):
            if value <= step * scale:
                return step * scale
        scale *= 10.0
