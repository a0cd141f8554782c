"""The fonts of a sheet: how wide words are and where a line of them breaks."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Final

from scumble.chart.sheet import Face

if TYPE_CHECKING:
    from reportlab.pdfbase.ttfonts import TTFont

POINTS_PER_MM: Final = 72.0 / 25.4

_FILES: Final[dict[Face, str]] = {"regular": "Vera.ttf", "bold": "VeraBd.ttf", "italic": "VeraIt.ttf"}
"""Bitstream Vera, which reportlab installs with itself under a licence that lets anyone embed it."""


@cache
def font(face: Face) -> TTFont:
    """The font of a face, ready to be embedded."""
    import reportlab
    from reportlab.pdfbase.ttfonts import TTFont

    folder = Path(reportlab.__file__).parent / "fonts"
    return TTFont(f"Vera-{face}", str(folder / _FILES[face]))


def text_width_mm(words: str, *, size_mm: float, face: Face = "regular") -> float:
    """Width of a line of words.

    Parameters
    ----------
    words : str
        The line.
    size_mm : float [mm]
        Height of the font's body.
    face : str
        ``regular``, ``bold`` or ``italic``.

    Examples
    --------
    >>> round(text_width_mm("undertone", size_mm=4.0), 2)
    20.73
    """
    return float(font(face).stringWidth(words, size_mm))


def break_lines(words: str, *, width_mm: float, size_mm: float, face: Face = "regular") -> tuple[str, ...]:
    """Break a sentence into lines that fit a width; a word that is longer stands alone.

    Examples
    --------
    >>> break_lines("a film over a ground", width_mm=22.0, size_mm=4.0)
    ('a film over', 'a ground')
    """
    lines: list[str] = []
    line = ""
    for word in words.split():
        longer = f"{line} {word}".strip()
        if line and text_width_mm(longer, size_mm=size_mm, face=face) > width_mm:
            lines.append(line)
            longer = word
        line = longer
    return (*lines, line)
