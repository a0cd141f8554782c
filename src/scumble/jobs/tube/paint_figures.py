"""Figures of one paint: its spectra, how it covers, and the path of its colour."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from scumble.chart.curve import Curve, Dot, Frame, Haze, Mark, draw_curves
from scumble.chart.strip import write_colour
from scumble.colour import lab_to_xyz, white_point, xyz_to_srgb
from scumble.paint import Paint
from scumble.paint.covering import HIDING_RATIO, MOST_COATS, contrast_ratio
from scumble.paint.drawdown import lab_of, over_white
from scumble.paint.estimate import possible_optics
from scumble.paint.thinning import PATH_COATS
from scumble.paint.tinting import LADDER_PARTS, WHITE_PARTS, tint_lab
from scumble.tables import WAVELENGTH_NM

Floats = NDArray[np.float64]

SPECTRA_COATS = (1.0, 0.5, 0.25, 0.125, 0.0625)
"""Films whose spectra are drawn [coat]."""

RATIO_COATS = np.geomspace(1 / 16, MOST_COATS, 43)
"""Films whose contrast ratio is drawn [coat]."""

PATH_DOTS = (1.0, 0.5, 0.25, 0.125, 0.0625)
"""Films that are dotted on the path of the colour [coat]."""


SPAN_STEP = 40.0
"""Sides of the a*b* frame are whole multiples of this, so that its marks fall on whole tens."""


@dataclass(frozen=True, slots=True)
class Figure:
    """A drawing and the words around it.

    Parameters
    ----------
    svg : str
        An SVG element that stretches to its box.
    title, x_title, y_title : str
        What it shows, and along which axes.
    x_labels, y_labels : tuple of str
        Evenly spaced from one end of the axis to the other.
    legend : tuple of (str, str)
        Screen colour and words of each line, none if the curve needs none.
    """

    svg: str
    title: str
    x_title: str
    y_title: str
    x_labels: tuple[str, ...]
    y_labels: tuple[str, ...]
    legend: tuple[tuple[str, str], ...] = ()


def draw_spectra(paint: Paint) -> Figure:
    """Reflectance over white of ever thinner films, each line in the colour of its film."""
    index = paint.binder.refractive_index
    coats = np.array(SPECTRA_COATS)[:, None]
    films = over_white(paint.optics.absorption * coats, paint.optics.scattering * coats, index=index)
    colours = [screen_hex(lab) for lab in lab_of(films)]
    lines: list[Mark] = [
        Curve(WAVELENGTH_NM, film, colour, width=3.0) for film, colour in zip(films, colours, strict=True)
    ]
    frame = Frame(380, 730, 0, 1, x_marks=(450, 520, 590, 660), y_marks=(0.25, 0.5, 0.75))
    names = [say_coats(each) for each in SPECTRA_COATS]
    return Figure(
        svg=draw_curves(frame, lines, words=f"Reflectance of {paint.label} over white, {', '.join(names)}"),
        title="Light it returns, over white",
        x_title="wavelength, nm",
        y_title="reflectance",
        x_labels=("380", "450", "520", "590", "660", "730"),
        y_labels=("1", "0.75", "0.5", "0.25", "0"),
        legend=tuple(zip(colours, names, strict=True)),
    )


def draw_covering(paint: Paint, normals: Floats) -> Figure:
    """Contrast ratio against coats, with the band in which it lies 19 times in 20."""
    absorption, scattering = (each[:, None] for each in possible_optics(paint.optics, normals))
    ratios = contrast_ratio(absorption, scattering, RATIO_COATS, index=paint.binder.refractive_index)
    marks: list[Mark] = [Curve(RATIO_COATS[[0, -1]], np.full(2, HIDING_RATIO), width=1.5, is_dashed=True)]
    if len(ratios) > 1:
        low, high = np.quantile(ratios[1:], [0.025, 0.975], axis=0)
        marks.append(Haze(RATIO_COATS, low, high))
    marks.append(Curve(RATIO_COATS, ratios[0], width=2.5))
    doublings = tuple(float(each) for each in 2.0 ** np.arange(-3, 3))
    frame = Frame(1 / 16, MOST_COATS, 0, 1, x_marks=doublings, y_marks=(0.25, 0.5, 0.75), x_is_log=True)
    return Figure(
        svg=draw_curves(
            frame, marks, words=f"Contrast ratio of {paint.label} from a sixteenth of a coat to eight coats"
        ),
        title="How it covers black",
        x_title="coats; the dashed line hides",
        y_title="contrast ratio",
        x_labels=("1/16", "1/8", "1/4", "1/2", "1", "2", "4", "8"),
        y_labels=("1", "0.75", "0.5", "0.25", "0"),
    )


def draw_path(paint: Paint, white: Paint | None) -> Figure:
    """Path of the colour in a*b*: thinning over white, and into white."""
    thin = lab_of(over_white(*_films(paint, PATH_COATS), index=paint.binder.refractive_index))
    dots = lab_of(over_white(*_films(paint, np.array(PATH_DOTS)), index=paint.binder.refractive_index))
    marks: list[Mark] = [Curve(thin[:, 1], thin[:, 2], width=2.0)]
    reach = [thin]
    if white is not None and white.key != paint.key:
        tints, steps = (_tints(paint, white, parts) for parts in (WHITE_PARTS, np.array(LADDER_PARTS)))
        marks.append(Curve(tints[:, 1], tints[:, 2], width=2.0, is_dashed=True))
        marks += [Dot(lab[1], lab[2], screen_hex(lab), 13.0) for lab in steps]
        reach.append(tints)
    marks += [Dot(lab[1], lab[2], screen_hex(lab), 19.0) for lab in dots[::-1]]
    reached = np.concatenate([np.zeros((1, 3)), *reach])
    side = SPAN_STEP * float(np.ceil((np.ptp(reached[:, 1:], axis=0).max() + 8.0) / SPAN_STEP))
    (a_from, a_to), (b_from, b_to) = (_span(reached[:, axis], side) for axis in (1, 2))
    frame = Frame(a_from, a_to, b_from, b_to, x_marks=_marks(a_from, a_to), y_marks=_marks(b_from, b_to))
    marks.insert(0, Dot(0.0, 0.0, size=5.0))
    return Figure(
        svg=draw_curves(
            frame,
            marks,
            words=f"Path of {paint.label} in CIELAB a* and b*: thinned over white, and into white",
        ),
        title="Where its colour goes",
        x_title="a*, green to red",
        y_title="b*, blue to yellow",
        x_labels=tuple(_signed(each) for each in _marks(a_from, a_to)),
        y_labels=tuple(_signed(each) for each in _marks(b_from, b_to)[::-1]),
        legend=(("solid", "thinned over white, halved at each dot"), ("dashed", "into white, at its steps"))[
            : 2 if len(reach) > 1 else 1
        ],
    )


def _span(numbers: Floats, side: float) -> tuple[float, float]:
    """Ends of an axis of a given length around some numbers, on whole tens."""
    middle = (float(numbers.min()) + float(numbers.max())) / 2
    start = 10.0 * round((middle - side / 2) / 10.0)
    return start, start + side


def _marks(start: float, end: float) -> tuple[float, ...]:
    return tuple(float(each) for each in np.linspace(start, end, 5))


def _signed(number: float) -> str:
    return f"{number:.0f}".replace("-", "−")


def say_coats(coats: float) -> str:
    """A thickness in words.

    Examples
    --------
    >>> say_coats(1.0), say_coats(0.125), say_coats(2.0)
    ('1 coat', '1/8 coat', '2 coats')
    """
    if coats < 1:
        return f"1/{1 / coats:.0f} coat"
    return f"{coats:g} coat" + ("" if coats == 1 else "s")


def screen_hex(lab: Floats) -> str:
    """A CIELAB colour (D65, 2 degrees) as ``#rrggbb``."""
    return write_colour(xyz_to_srgb(lab_to_xyz(lab, white_point("D65", 2)))[0])


def _films(paint: Paint, coats: Floats) -> tuple[Floats, Floats]:
    return paint.optics.absorption * coats[:, None], paint.optics.scattering * coats[:, None]


def _tints(paint: Paint, white: Paint, parts: Floats) -> Floats:
    own, pale = _exact(paint), _exact(white)
    ladder = tint_lab(own, pale, parts, coats=MOST_COATS, index=paint.binder.refractive_index)
    return np.asarray(ladder[0])


def _exact(paint: Paint) -> tuple[Floats, Floats]:
    """A paint's most probable optics alone, each of shape (1, 36)."""
    return paint.optics.absorption[None], paint.optics.scattering[None]
