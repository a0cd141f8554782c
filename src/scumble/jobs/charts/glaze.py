"""Print a glazing grid: thin films of some paints over grounds, or over dry films of other paints."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from scumble.chart.frame import Frame
from scumble.chart.grid import GridPlan, Square, square_boxes
from scumble.chart.page import page_of
from scumble.chart.painted import as_colour
from scumble.chart.patch import Patch
from scumble.chart.profile import Profile
from scumble.chart.sheet import WHITE, Colour
from scumble.errors import InputError
from scumble.jobs.charts.grid import GridWords, draw_grid_chart
from scumble.jobs.charts.press import printable
from scumble.jobs.charts.print_chart import Chart, load_chosen, told_patch
from scumble.jobs.grounds import COLOURED, SIX_GROUNDS, bare_colour, chart_ground
from scumble.paint import PAPERS, Paint
from scumble.paint.swatches import Swatches, predict_glazed_swatches, shared_binder
from scumble.store.shelf import Shelf

Floats = NDArray[np.float64]

MOST_PAINTS, MOST_GROUNDS = 16, 12

GLAZES = (1, 2)
"""How many thin films are laid, side by side in every square."""

GLAZE_COATS = 0.1
"""One glaze [coat]."""

LEAST_COATS, MOST_COATS = 0.005, 1.0

TALL = 1.5
"""Height of a square to its width where few paints leave room [1]."""

DRY_COATS = 1.0
"""A dry film of paint that is glazed over, on white paper [coat]."""


@dataclass(frozen=True, slots=True)
class Below:
    """What is glazed over.

    Parameters
    ----------
    name : str
        What it is called.
    key : str
        As it was asked for.
    ground : array, shape (36,) [1]
        Reflectance of the ground at the bottom, seen from inside a film.
    paint : Paint or None
        Of the dry film on it; ``None`` for a bare ground.
    """

    name: str
    key: str
    ground: Floats
    paint: Paint | None


def print_chart_glaze(
    shelf: Shelf,
    keys: Sequence[str],
    *,
    over: Sequence[str] = SIX_GROUNDS,
    coats: float = GLAZE_COATS,
    page: str = "A4",
    blank: bool = False,
    title: str = "",
    profile: Profile | None = None,
) -> Chart:
    """Draw a glazing grid.

    Parameters
    ----------
    shelf : Shelf
        Open.
    keys : sequence of str
        One to sixteen paints of one binder.
    over : sequence of str
        What they are laid over: papers, coloured grounds, or paints of the shelf as dry coats over white paper.
    coats : float [coat]
        Thickness of one glaze.
    page : str
        Size of paper.
    blank : bool
        Print the grounds only, to be glazed by hand.
    title : str
        Heading; one of its own when left empty.
    profile : Profile, optional
        Of the printer.

    Raises
    ------
    InputError
        For an unknown page, paint or ground, paints of several binders, or an impossible thickness.
    """
    paper = page_of(page)
    if not LEAST_COATS <= coats <= MOST_COATS:
        raise InputError("coats", f"{coats:g}", f"{LEAST_COATS:g} to {MOST_COATS:g} coat")
    paints = load_chosen(shelf, keys, least=1, most=MOST_PAINTS)
    grounds = find_grounds(shelf, over, paints)
    swatches = printable(predict_glazes(paints, grounds, coats), profile)
    shown = [_ground_colour(swatches, column, below, blank=blank) for column, below in enumerate(grounds)]
    squares = [
        [_square(swatches, row, column, colour, blank=blank) for column, colour in enumerate(shown)]
        for row in range(len(paints))
    ]
    rows, columns = [paint.label for paint in paints], [below.name for below in grounds]
    heading = title or ("Glazing grid to paint" if blank else "Glazing grid")
    subtitle = f"in each square: one glaze, and two; a glaze is {coats:g} of a full coat"
    frame = Frame(paper, heading, subtitle, _notes(blank=blank))
    words = GridWords(rows, columns, "glaze : over")
    sheet, plan = draw_grid_chart(frame, words, squares, tall=TALL, blank=blank, profile=profile)
    told = {
        "blank": blank,
        "coats": coats,
        "over": [below.key for below in grounds],
        "squares": _told(paints, grounds, squares, plan),
    }
    subject = f"Glazes of {', '.join(rows)} over {', '.join(columns)}."
    return Chart("glaze", heading, subject, paper, (sheet,), told, profile)


def find_grounds(shelf: Shelf, names: Sequence[str], paints: Sequence[Paint]) -> tuple[Below, ...]:
    """What a person wants to glaze over.

    Raises
    ------
    InputError
        If a name is neither a ground nor a paint, is given twice, or the paint has another binder.
    """
    if not 1 <= len(names) <= MOST_GROUNDS or len(set(names)) < len(names):
        raise InputError("over", ", ".join(names) or "nothing", f"1 to {MOST_GROUNDS} grounds, each once")
    return tuple(_find_ground(shelf, name, paints) for name in names)


def _find_ground(shelf: Shelf, name: str, paints: Sequence[Paint]) -> Below:
    index = paints[0].binder.refractive_index
    if name in COLOURED or name in PAPERS:
        return Below(name, name, chart_ground(name).under_film(index), None)
    try:
        paint = shelf.load_paint(name)
    except InputError:
        known = ", ".join([*PAPERS, *(each for each in COLOURED if each not in PAPERS)])
        raise InputError("over", name, f"{known}, or a paint of the shelf") from None
    shared_binder([*paints, paint])
    return Below(paint.label, paint.key, chart_ground("white").under_film(index), paint)


def predict_glazes(paints: Sequence[Paint], grounds: Sequence[Below], coats: float) -> Swatches:
    """All glazes over all grounds in one go, shape (paints, grounds, 1 + glazes); the first is no glaze.

    Raises
    ------
    InputError
        If the paints are not of one binder.
    """
    index = shared_binder(paints).refractive_index
    laid = coats * np.array((0, *GLAZES), dtype=np.float64)[:, None]
    depths = []
    for name in ("absorption", "scattering"):
        glaze = np.array([getattr(paint.optics, name) for paint in paints])[:, None, None] * laid
        dry = np.array(
            [
                np.zeros_like(below.ground)
                if below.paint is None
                else DRY_COATS * getattr(below.paint.optics, name)
                for below in grounds
            ]
        )[None, :, None]
        depths.append(np.stack(np.broadcast_arrays(glaze, dry), axis=-2))
    bottom = np.array([below.ground for below in grounds])[:, None]
    return predict_glazed_swatches(depths[0], depths[1], bottom, index=index)


def _notes(*, blank: bool) -> tuple[str, ...]:
    if blank:
        return ("Lay one thin film over both halves, let it dry, then a second over the right half only.",)
    return (
        "The margin of a square is the ground, or a dry full coat of the paint named above it over white paper.",
        "Computed from the paints' optics for daylight (D65).",
    )


def _ground_colour(swatches: Swatches, column: int, below: Below, *, blank: bool) -> Colour:
    """What is seen beside the glazes: the bare ground, or the dry film; white paper to paint on is not printed."""
    if blank and below.key == "white":
        return WHITE
    return as_colour(bare_colour(below.key) if below.paint is None else swatches.srgb[0, column, 0])


def _square(swatches: Swatches, row: int, column: int, ground: Colour, *, blank: bool) -> Square:
    patches = tuple(
        Patch(
            None if blank else as_colour(swatches.srgb[row, column, films]),
            f"{films} ×" if blank else "",
            beyond=not swatches.in_gamut[row, column, films],
        )
        for films in GLAZES
    )
    return Square(patches, ground=ground)


def _told(
    paints: Sequence[Paint], grounds: Sequence[Below], squares: Sequence[Sequence[Square]], plan: GridPlan
) -> list[dict[str, Any]]:
    return [
        {"paint": paint.key, "over": below.key, "glazes": films, **told_patch(box, patch)}
        for row, paint in enumerate(paints)
        for column, below in enumerate(grounds)
        for films, (box, patch) in zip(
            GLAZES, square_boxes(plan.square(row, column), squares[row][column]), strict=True
        )
    ]
