"""Print blank strips to paint by hand: any tube, from masstone to undertone over paper, a black bar and stripes."""

from __future__ import annotations

from typing import Final

from scumble.card.sheet.box import Box
from scumble.card.sheet.layouts import GROUNDS, PAGES_MM
from scumble.chart.lettering import text_width_mm
from scumble.chart.sheet import BLACK, Line, Rectangle, Shape, Sheet, Text, grey
from scumble.chart.sheet_pdf import draw_pdf
from scumble.errors import InputError
from scumble.jobs.cards.printed_marks import CAPTION_MM, HAIR, SOFT, draw_ruler

TITLE: Final = "Strips to paint"
SENTENCE: Final = (
    "One stroke from a full brush, from thick at the left to nothing; then one full coat of each mix."
)

MARGIN_MM: Final = 12.0
HEAD_MM: Final = 17.0
PITCH_MM: Final = 29.0
STRIP_MM: Final = (118.0, 17.0)
"""Length and height of a strip."""

LADDER: Final = ((1, 1), (1, 4), (1, 19))
"""Parts of paint and of white in the squares behind a strip."""

SQUARE_MM: Final = 17.0
STRIPES: Final = ("yellow", "red", "cyan")
STRIPE_MM: Final = 9.0
PAGES: Final = ("A4", "Letter")


def print_strips(*, page: str = "A4") -> bytes:
    """Draw a page of blank strips.

    Parameters
    ----------
    page : str
        ``A4`` or ``Letter``.

    Returns
    -------
    bytes
        A PDF of one page, true to scale.

    Raises
    ------
    InputError
        If there is no such page.
    """
    return draw_pdf([strips_sheet(page)], title=f"{TITLE}, {page}", subject=SENTENCE)


def strips_sheet(page: str) -> Sheet:
    """All that is printed on it."""
    if page not in PAGES:
        raise InputError("page", page, " or ".join(PAGES))
    width, height = PAGES_MM[page]
    left = (width - (2 * MARGIN_MM + STRIP_MM[0] + len(LADDER) * (SQUARE_MM + 3.0) + 3.0)) / 2 + MARGIN_MM
    top = MARGIN_MM + HEAD_MM
    count = int((height - top - MARGIN_MM - 9.0) // PITCH_MM)
    shapes: list[Shape] = [
        Text(left, MARGIN_MM + 6.0, TITLE, 6.0, "bold"),
        Text(left, MARGIN_MM + 11.5, SENTENCE, 2.8, fill=SOFT),
    ]
    for place in range(count):
        shapes += _strip(left, top + PITCH_MM * place)
    return Sheet(width, height, (*shapes, *draw_ruler(Box(left, height - MARGIN_MM - 6.0, 100.0, 6.0))))


def _strip(left: float, top: float) -> list[Shape]:
    """One tube: lines to write on, its strip, and its squares."""
    length, tall = STRIP_MM
    y = top + 6.0
    shapes: list[Shape] = []
    for name, x, end in (("Tube", left, left + 66.0), ("Pigments", left + 70.0, left + length)):
        start = x + text_width_mm(name, size_mm=2.6) + 1.5
        shapes += [
            Text(x, top + 3.8, name, 2.6, fill=SOFT),
            Line(((start, top + 4.4), (end, top + 4.4)), SOFT, 0.15),
        ]
    shapes.append(Rectangle(left, y + 0.55 * tall, length - 40.0, 0.25 * tall, fill=BLACK))
    for place, name in enumerate(STRIPES):
        x = left + length - 36.0 + place * (STRIPE_MM + 2.5)
        shapes.append(Rectangle(x, y, STRIPE_MM, tall, fill=GROUNDS[name]))
    shapes.append(Rectangle(left, y, length, tall, stroke=HAIR, line_mm=0.2))
    for place, (paint, white) in enumerate(LADDER):
        x = left + length + 3.0 + place * (SQUARE_MM + 3.0)
        shapes += [
            Rectangle(x, y, SQUARE_MM, SQUARE_MM, stroke=HAIR, line_mm=0.2),
            Rectangle(x, y + 0.8 * SQUARE_MM, SQUARE_MM, 0.12 * SQUARE_MM, fill=grey(0.0)),
            Text(
                x + SQUARE_MM / 2,
                y + SQUARE_MM + 2.8,
                f"{paint} : {white} white",
                CAPTION_MM,
                anchor="middle",
            ),
        ]
    below = y + tall + 2.8
    shapes += [
        Text(left, below, "masstone", CAPTION_MM),
        Text(left + length, below, "undertone", CAPTION_MM, anchor="end"),
    ]
    return shapes
