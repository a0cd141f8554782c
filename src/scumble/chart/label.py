"""Shelf labels: the geometry of label sheets, and one label."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Final

from scumble.chart.box import Box
from scumble.chart.frame import LEADING, SOFT, fit_words
from scumble.chart.legend import MARK_WORDS
from scumble.chart.lettering import text_width_mm
from scumble.chart.lying import LyingColours, draw_lying
from scumble.chart.page import Page, page_of
from scumble.chart.sheet import Colour, Shape, Text
from scumble.chart.signs import draw_care, draw_transparency
from scumble.errors import InputError

QUIET_MM = 2.6
"""Left free inside a label all round: feeders shift a sheet by a millimetre or two. *Common practice, no source.*"""

LEAST_MM = (25.0, 15.0)
"""Smallest label that can be read."""


@dataclass(frozen=True, slots=True)
class LabelSheet:
    """A sheet of labels, described by its geometry alone.

    Parameters
    ----------
    page : Page
        The sheet.
    columns, rows : int
        Labels across and down.
    label_mm : (float, float) [mm]
        Width and height of one label.
    corner_mm : (float, float) [mm]
        Top left corner of the first label.
    pitch_mm : (float, float) [mm]
        From one label's left and top to the next one's.
    """

    page: Page
    columns: int
    rows: int
    label_mm: tuple[float, float]
    corner_mm: tuple[float, float]
    pitch_mm: tuple[float, float]

    @property
    def count(self) -> int:
        """Labels on one sheet."""
        return self.columns * self.rows

    def label(self, place: int) -> Box:
        """The label at a place, counted from 0 along the rows."""
        row, column = divmod(place, self.columns)
        x, y = self.corner_mm
        return Box(x + self.pitch_mm[0] * column, y + self.pitch_mm[1] * row, *self.label_mm)


KNOWN: Final[dict[str, tuple[str, int, int, tuple[float, float]]]] = {
    "70x37": ("A4", 3, 8, (0.0, 0.0)),
    "70x42.3": ("A4", 3, 7, (0.0, 0.0)),
    "105x74": ("A4", 2, 4, (0.0, 0.0)),
    "63.5x38.1": ("A4", 3, 7, (2.5, 0.0)),
    "99.1x38.1": ("A4", 2, 7, (2.5, 0.0)),
    "99.1x67.7": ("A4", 2, 4, (2.5, 0.0)),
    "38.1x21.2": ("A4", 5, 13, (2.5, 0.0)),
    "66.7x25.4": ("Letter", 3, 10, (3.2, 0.0)),
    "101.6x50.8": ("Letter", 2, 5, (4.8, 0.0)),
}
"""Label size: sheet, labels across and down, gaps between them [mm]; the block stands in the middle of the sheet.
Common sizes, *from memory, common practice, no source*; measure your own sheet."""

ALLOWED = f"{', '.join(KNOWN)}, or COLUMNSxROWS:WIDTHxHEIGHT, with +GAPxGAP behind it where labels stand apart, in mm"

_WRITTEN = re.compile(
    r"(\d{1,2})x(\d{1,2}):(\d{1,3}(?:\.\d+)?)x(\d{1,3}(?:\.\d+)?)(?:\+(\d{1,2}(?:\.\d+)?)x(\d{1,2}(?:\.\d+)?))?"
)


def label_sheet(text: str, *, page: str = "") -> LabelSheet:
    """The label sheet that a person names by its label's size or describes by its geometry.

    Parameters
    ----------
    text : str
        ``70x37``, or ``3x8:70x37``, or with gaps between labels ``3x7:63.5x38.1+2.5x0`` [mm].
    page : str
        Size of the sheet; that of the known size, or A4, when left empty.

    Raises
    ------
    InputError
        If there is no such sheet, or its labels do not fit the page.

    Examples
    --------
    >>> sheet = label_sheet("70x37")
    >>> sheet.count, sheet.corner_mm
    (24, (0.0, 0.5))
    >>> label_sheet("3x7:63.5x38.1+2.5x0").label(20).x_mm
    139.25
    """
    plain = text.replace(" ", "").replace("×", "x").casefold().removesuffix("mm")
    if plain in KNOWN:
        sheet, columns, rows, gaps = KNOWN[plain]
        width, height = (float(side) for side in plain.split("x"))
    elif found := _WRITTEN.fullmatch(plain):
        sheet, columns, rows = "A4", int(found[1]), int(found[2])
        width, height = float(found[3]), float(found[4])
        gaps = float(found[5] or 0.0), float(found[6] or 0.0)
    else:
        raise InputError("labels", text, ALLOWED)
    paper = page_of(page or sheet)
    across, down = columns * width + (columns - 1) * gaps[0], rows * height + (rows - 1) * gaps[1]
    if min(columns, rows) < 1 or across > paper.width_mm + 1e-6 or down > paper.height_mm + 1e-6:
        fits = f"labels that fit {paper.width_mm:g} x {paper.height_mm:g} mm"
        raise InputError("labels", text, fits, f"These take {across:g} x {down:g} mm.")
    if width < LEAST_MM[0] or height < LEAST_MM[1]:
        raise InputError("labels", text, f"labels of at least {LEAST_MM[0]:g} x {LEAST_MM[1]:g} mm")
    corner = (round((paper.width_mm - across) / 2, 4), round((paper.height_mm - down) / 2, 4))
    return LabelSheet(paper, columns, rows, (width, height), corner, (width + gaps[0], height + gaps[1]))


@dataclass(frozen=True, slots=True)
class LabelWords:
    """What a label says and shows.

    Parameters
    ----------
    label, pigments, provenance : str
        Name, Colour Index names, and where the optics come from.
    mark : int
        0 transparent to 3 opaque.
    care : bool
        Whether a pigment asks for care.
    strip : LyingColours
        Of its stroke.
    price : str
        Of a tube, with its size; may be empty.
    seed : int
        Decides the hand.
    """

    label: str
    pigments: str
    provenance: str
    mark: int
    care: bool
    strip: LyingColours
    seed: int
    price: str = ""


def draw_label(box: Box, words: LabelWords, *, paper: Colour, bar: Colour) -> tuple[Shape, ...]:
    """Draw one label: the strip on top, its words below.

    Parameters
    ----------
    box : Box
        The whole label.
    words : LabelWords
        What it says.
    paper, bar : Colour
        The grounds of the strip.
    """
    inner = box.shrunk(QUIET_MM)
    size = min(inner.height_mm / 9.0, inner.width_mm / 15.0, 5.0)
    small = 0.72 * size
    text_mm = LEADING * size + 2 * 1.45 * small
    panel = Box(inner.x_mm, inner.y_mm, inner.width_mm, inner.height_mm - text_mm - 0.25 * size)
    name = fit_words(words.label, width_mm=inner.width_mm, size_mm=size, face="bold")
    y = panel.bottom_mm + 0.25 * size + 0.95 * size
    shapes: list[Shape] = [
        *draw_lying(panel, words.strip, paper=paper, bar=bar, seed=words.seed),
        Text(inner.x_mm, y, name, size, "bold"),
    ]
    y += 1.45 * small
    care = 1.5 * small if words.care else 0.0
    if words.care:
        shapes += draw_care(inner.x_mm, y - 0.92 * small, 1.15 * small, ink=SOFT)
    priced = text_width_mm(words.price, size_mm=small, face="bold") + small if words.price else 0.0
    pigments = fit_words(words.pigments, width_mm=inner.width_mm - care - priced, size_mm=small)
    if words.price:
        shapes.append(Text(inner.right_mm, y, words.price, small, "bold", anchor="end"))
    shapes.append(Text(inner.x_mm + care, y, pigments, small, fill=SOFT))
    y += 1.45 * small
    shapes += draw_transparency(inner.x_mm, y - 0.98 * small, 1.2 * small, step=words.mark)
    mark = f"{MARK_WORDS[words.mark]} · {words.provenance}"
    room = inner.width_mm - 1.9 * small
    shapes.append(
        Text(inner.x_mm + 1.9 * small, y, fit_words(mark, width_mm=room, size_mm=small), small, fill=SOFT)
    )
    return tuple(shapes)


def draw_cutting_corners(box: Box) -> tuple[Shape, ...]:
    """Draw a hairline around a label, for a first print on plain paper."""
    return (box.drawn(stroke=(0.8, 0.8, 0.8), line_mm=0.1),)
