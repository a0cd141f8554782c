"""What surrounds every chart: a heading, and at the foot notes, a ruler to check the scale by, the page's number."""

from __future__ import annotations

import math
from dataclasses import dataclass

from scumble.chart.box import Box
from scumble.chart.lettering import break_lines, text_width_mm
from scumble.chart.page import Page
from scumble.chart.sheet import BLACK, Face, Line, Shape, Sheet, Text, grey

SOFT = grey(0.35)
HAIR = grey(0.7)

LEADING = 1.32
"""Distance of lines of words, as a share of their body."""

SHOWS_RELATIONS = "A printed chart shows relations; the painted card shows the paint."

RULER_MM = 50
RULER_SAYS = "50 mm: if it measures otherwise, print again at 100 %."


@dataclass(frozen=True, slots=True)
class Frame:
    """The fixed parts of a chart's pages.

    Parameters
    ----------
    page : Page
        What it is drawn on.
    title, subtitle : str
        Heading, and a line under it.
    notes : tuple of str
        Sentences at the foot, besides the one that every chart carries.
    legend_mm : float [mm]
        Height left free above the notes for a legend.
    """

    page: Page
    title: str
    subtitle: str
    notes: tuple[str, ...] = ()
    legend_mm: float = 0.0

    @property
    def scale(self) -> float:
        """How much larger than on A4 the words are set: with the root of the page's shorter side [1]."""
        shorter = min(self.page.width_mm, self.page.height_mm)
        return float(min(max(math.sqrt(shorter / 210.0), 0.8), 1.8))

    @property
    def margin_mm(self) -> float:
        """White all round [mm]."""
        return 12.0 * self.scale

    @property
    def small_mm(self) -> float:
        """Body of notes [mm]."""
        return 2.5 * self.scale

    @property
    def inner(self) -> Box:
        """Where the chart itself is drawn."""
        across = self.margin_mm
        top = across + self._head_mm
        bottom = self.page.height_mm - across - self._foot_mm
        return Box(across, top, self.page.width_mm - 2 * across, bottom - top)

    @property
    def legend(self) -> Box:
        """Where its legend is drawn, under the chart."""
        inner = self.inner
        return Box(inner.x_mm, inner.bottom_mm + 3.0 * self.scale, inner.width_mm, self.legend_mm)

    def draw(self, shapes: tuple[Shape, ...], *, number: int = 1, count: int = 1) -> Sheet:
        """A page of the chart.

        Parameters
        ----------
        shapes : tuple of Shape
            What is drawn inside the frame.
        number, count : int
            Which page of how many.
        """
        foot = self._foot(f"{number} of {count}" if count > 1 else "")
        return Sheet(self.page.width_mm, self.page.height_mm, (*self._head(), *shapes, *foot))

    @property
    def _head_mm(self) -> float:
        return (16.5 if self.subtitle else 11.5) * self.scale

    @property
    def _title_mm(self) -> float:
        """Body of the title, smaller where it would not fit [mm]."""
        wanted, wide = 7.0 * self.scale, self.page.width_mm - 2 * self.margin_mm
        return min(wanted, wide / max(text_width_mm(self.title, size_mm=1.0, face="bold"), 1e-6))

    @property
    def _note_lines(self) -> list[str]:
        wide = self.page.width_mm - 2 * self.margin_mm
        words = " ".join((SHOWS_RELATIONS, *self.notes))
        return list(break_lines(words, width_mm=wide, size_mm=self.small_mm))

    @property
    def _foot_mm(self) -> float:
        legend = self.legend_mm + 3.0 * self.scale if self.legend_mm else 0.0
        notes = len(self._note_lines) * LEADING * self.small_mm
        return legend + notes + 13.0 * self.scale

    def _head(self) -> list[Shape]:
        x, top, scale = self.margin_mm, self.margin_mm, self.scale
        shapes: list[Shape] = [Text(x, top + 5.4 * scale, self.title, self._title_mm, "bold")]
        if self.subtitle:
            wide = self.page.width_mm - 2 * x
            size = min(3.0 * scale, wide / max(text_width_mm(self.subtitle, size_mm=1.0), 1e-6))
            shapes.append(Text(x, top + 11.2 * scale, self.subtitle, size, fill=SOFT))
        return shapes

    def _foot(self, pages: str) -> list[Shape]:
        x, bottom, size = self.margin_mm, self.page.height_mm - self.margin_mm, self.small_mm
        right = self.page.width_mm - x
        lines = self._note_lines
        first = bottom - 8.0 * self.scale - (len(lines) - 1) * LEADING * size
        shapes: list[Shape] = [
            Text(x, first + LEADING * size * number, line, size, fill=SOFT)
            for number, line in enumerate(lines)
        ]
        shapes.extend(draw_ruler(x, bottom, size_mm=size * 0.92, width_mm=right - x))
        if pages:
            shapes.append(Text(right, bottom, pages, size, anchor="end", fill=SOFT))
        return shapes


def draw_ruler(x_mm: float, base_mm: float, *, size_mm: float, width_mm: float) -> tuple[Shape, ...]:
    """Draw a ruler of 50 mm, a tick every millimetre, longer at 5 and 10, and what it is for.

    Parameters
    ----------
    x_mm, base_mm : float [mm]
        Its left end, on its line.
    size_mm : float [mm]
        Body of its words.
    width_mm : float [mm]
        Room for the ruler and its words; where that is little they only say its length.
    """
    room = width_mm - RULER_MM - 12.0
    says = RULER_SAYS if text_width_mm(RULER_SAYS, size_mm=size_mm) <= room else f"{RULER_MM} mm"
    shapes: list[Shape] = [Line(((x_mm, base_mm), (x_mm + RULER_MM, base_mm)), BLACK, 0.15)]
    for step in range(RULER_MM + 1):
        height = 3.0 if step % 10 == 0 else 2.1 if step % 5 == 0 else 1.2
        shapes.append(Line(((x_mm + step, base_mm), (x_mm + step, base_mm - height)), BLACK, 0.15))
    return (*shapes, Text(x_mm + RULER_MM + 2.0, base_mm, says, size_mm, fill=SOFT))


def draw_lines(
    words: str,
    box: Box,
    *,
    size_mm: float,
    face: Face = "regular",
    fill: tuple[float, float, float] = BLACK,
    most: int = 99,
) -> tuple[tuple[Shape, ...], float]:
    """Draw a sentence in lines from the top of a box.

    Parameters
    ----------
    words : str
        The sentence.
    box : Box
        Its width breaks the lines; its height is not looked at.
    size_mm : float [mm]
        Body of the letters.
    face, fill
        How it is set.
    most : int
        Lines beyond this number are dropped and the last one ends in dots.

    Returns
    -------
    shapes, bottom : tuple of Shape, float [mm]
        Where the next line's top would be.
    """
    lines = [
        fit_words(line, width_mm=box.width_mm, size_mm=size_mm, face=face)
        for line in break_lines(words, width_mm=box.width_mm, size_mm=size_mm, face=face)
    ]
    if len(lines) > most:
        lines = [
            *lines[: most - 1],
            fit_words(f"{lines[most - 1]} …", width_mm=box.width_mm, size_mm=size_mm, face=face),
        ]
    step = LEADING * size_mm
    shapes = tuple(
        Text(box.x_mm, box.y_mm + 0.95 * size_mm + step * number, line, size_mm, face, fill=fill)
        for number, line in enumerate(lines)
    )
    return shapes, box.y_mm + step * len(lines)


def fit_words(words: str, *, width_mm: float, size_mm: float, face: Face = "regular") -> str:
    """A line of words, cut and ended in dots where it is too wide.

    Examples
    --------
    >>> fit_words("Phthalocyanine blue", width_mm=20.0, size_mm=3.0)
    'Phthalocya…'
    """
    if text_width_mm(words, size_mm=size_mm, face=face) <= width_mm:
        return words
    while words and text_width_mm(f"{words}…", size_mm=size_mm, face=face) > width_mm:
        words = words[:-1].rstrip()
    return f"{words}…"
