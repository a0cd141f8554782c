"""Print a chart: what every kind shares - choosing the paints, the file that comes out, and saying what was drawn."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from scumble.chart.box import Box
from scumble.chart.frame import Frame
from scumble.chart.legend import Item, beyond_item, draw_legend, legend_height_mm
from scumble.chart.page import Page
from scumble.chart.patch import Patch
from scumble.chart.profile import Profile
from scumble.chart.sheet import Shape, Sheet
from scumble.errors import InputError
from scumble.jobs.charts.press import press_notes
from scumble.jobs.files import write_whole
from scumble.jobs.white import is_white, white_for
from scumble.paint import Paint
from scumble.store.shelf import Shelf

Progress = Callable[[str, float], None]

FORMATS = (".pdf", ".svg")

LEAST_COATS, MOST_COATS = 0.005, 8.0
"""Films that grids and triangles are laid in [coat]."""


@dataclass(frozen=True, slots=True)
class Chart:
    """A chart, drawn.

    Parameters
    ----------
    kind : str
        Which chart it is.
    title, subject : str
        Its name, and what it shows in a sentence.
    page : Page
        What it is drawn on.
    sheets : tuple of Sheet
        Its pages.
    told : dict
        What was drawn, as plain data.
    profile : Profile or None
        Of the printer that it is written for; ``None`` is sRGB.
    """

    kind: str
    title: str
    subject: str
    page: Page
    sheets: tuple[Sheet, ...]
    told: dict[str, Any] = field(default_factory=dict)
    profile: Profile | None = None

    def as_data(self) -> dict[str, Any]:
        """What was drawn, ready for JSON."""
        return {
            "kind": self.kind,
            "title": self.title,
            "page": self.page.name,
            "page_mm": [self.page.width_mm, self.page.height_mm],
            "pages": len(self.sheets),
            "profile": None if self.profile is None else self.profile.name,
            **self.told,
        }


def chart_pdf(chart: Chart, *, progress: Callable[[float], None] | None = None) -> bytes:
    """A chart as PDF, true to scale, fonts embedded, in sRGB or for the printer it was drawn for."""
    from scumble.chart.sheet_pdf import draw_pdf

    return draw_pdf(
        chart.sheets, title=chart.title, subject=chart.subject, profile=chart.profile, progress=progress
    )


def chart_svg(chart: Chart, *, number: int = 1) -> str:
    """One page of a chart as SVG, counted from 1, in the colours that its printer can give it.

    Raises
    ------
    InputError
        If it has no such page.
    """
    from scumble.chart.ink import proof_sheet
    from scumble.chart.sheet_svg import draw_svg

    if not 1 <= number <= len(chart.sheets):
        raise InputError("number", number, f"a page from 1 to {len(chart.sheets)}")
    sheet = chart.sheets[number - 1]
    if chart.profile is not None:
        sheet = proof_sheet(sheet, chart.profile)
    return draw_svg(sheet, title=chart.subject or chart.title)


def save_chart(
    chart: Chart, out: Path, *, progress: Callable[[float], None] | None = None
) -> tuple[Path, ...]:
    """Write a chart as the PDF or SVG that its file's ending asks for; several pages of SVG are numbered.

    Returns
    -------
    tuple of Path
        The files written.

    Raises
    ------
    InputError
        If the ending is another one, or the file cannot be written.
    """
    check_format(out)
    if out.suffix.lower() == ".pdf":
        write_whole(out, chart_pdf(chart, progress=progress))
        return (out,)
    count = len(chart.sheets)
    files = [out] if count == 1 else [out.with_stem(f"{out.stem}-{page}") for page in range(1, count + 1)]
    for number, file in enumerate(files, start=1):
        write_whole(file, chart_svg(chart, number=number).encode())
    return tuple(files)


def check_format(out: Path) -> None:
    """See that a file's ending is one that a chart can be written as.

    Raises
    ------
    InputError
        If it is not.
    """
    if out.suffix.lower() not in FORMATS:
        raise InputError("out", str(out), "a file that ends in .pdf or .svg")


def load_chosen(shelf: Shelf, keys: Sequence[str], *, least: int, most: int) -> tuple[Paint, ...]:
    """The paints a person names.

    Parameters
    ----------
    shelf : Shelf
        Open.
    keys : sequence of str
        Short names or labels.
    least, most : int
        How many the chart can show.

    Raises
    ------
    InputError
        If one is not on the shelf or is named twice, or there are too few or too many.
    """
    allowed = f"{least} paints" if least == most else f"{least} to {most} paints"
    allowed = allowed if most > 1 else "one paint"
    if not least <= len(keys) <= most:
        raise InputError("paints", ", ".join(keys) or "none", allowed, "Name them by their short names.")
    paints = tuple(shelf.load_paint(key) for key in keys)
    names = [paint.key for paint in paints]
    twice = next((name for name in names if names.count(name) > 1), None)
    if twice is not None:
        raise InputError("paints", twice, "each paint once")
    return paints


def whites_for(shelf: Shelf, paints: Sequence[Paint]) -> tuple[Paint | None, ...]:
    """The white that each paint is tinted with; none for the white itself or where there is none."""
    whites = [paint for paint in shelf.load_paints() if is_white(paint)]
    found = (white_for(paint, whites) for paint in paints)
    return tuple(
        white if white is not None and white.key != paint.key else None
        for paint, white in zip(paints, found, strict=True)
    )


def pigments_line(pigments: Sequence[str]) -> str:
    """Colour Index names in a row.

    Examples
    --------
    >>> pigments_line(("PB29", "PW6")), pigments_line(())
    ('PB29 + PW6', 'pigment not given')
    """
    return " + ".join(pigments) or "pigment not given"


def check_parts(parts: Sequence[float]) -> None:
    """See that parts can be measured out.

    Raises
    ------
    InputError
        If one is not above 0 or is more than a thousand.
    """
    if not all(0.0 < part <= 1000.0 for part in parts):
        raise InputError("parts", ":".join(f"{part:g}" for part in parts), "numbers above 0, at most 1000")


def check_coats(coats: float) -> None:
    """See that a film of such a thickness can be laid.

    Raises
    ------
    InputError
        If it cannot.
    """
    if not LEAST_COATS <= coats <= MOST_COATS:
        raise InputError("coats", f"{coats:g}", f"{LEAST_COATS:g} to {MOST_COATS:g} coats")


def say_film(coats: float) -> str:
    """A film at the head of a sentence.

    Examples
    --------
    >>> say_film(1.0), say_film(0.25)
    ('One coat', '0.25 of a coat')
    """
    return "One coat" if coats == 1.0 else f"{coats:g} of a coat" if coats < 1.0 else f"{coats:g} coats"


def frame_with(frame: Frame, items: Sequence[Item]) -> tuple[Frame, tuple[Shape, ...]]:
    """A frame with room for a legend, and the legend drawn in it; both as they were when it has no items."""
    if not items:
        return frame, ()
    room = legend_height_mm(items, width_mm=frame.inner.width_mm, size_mm=frame.small_mm)
    framed = replace(frame, legend_mm=room)
    return framed, draw_legend(items, framed.legend, size_mm=framed.small_mm)


def open_chart(
    frame: Frame, *, blank: bool, profile: Profile | None = None, items: Sequence[Item] = ()
) -> tuple[Frame, tuple[Shape, ...]]:
    """Open a page of swatches: the frame with what is said of the printer, and the legend.

    Parameters
    ----------
    frame : Frame
        Heading and notes.
    blank : bool
        Whether it is to be painted by hand: nothing then goes beyond any printer.
    profile : Profile or None
        Of the printer.
    items : sequence of Item
        Signs of the legend besides the corner of what cannot be shown.

    Returns
    -------
    frame, legend : Frame, tuple of Shape
        The frame with room for the legend, and the legend drawn in it.
    """
    noted = replace(frame, notes=(*frame.notes, *press_notes(profile)))
    return frame_with(noted, items if blank else (*items, beyond_item()))


def told_patch(box: Box, patch: Patch) -> dict[str, Any]:
    """One swatch as plain data: where it lies and what is shown."""
    return {
        "box_mm": [round(side, 3) for side in (box.x_mm, box.y_mm, box.width_mm, box.height_mm)],
        "srgb": None if patch.colour is None else list(patch.colour),
        "beyond_screen": patch.beyond,
    }
