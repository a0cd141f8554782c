"""Print a mixing grid: every paint stirred into every other, each mixture with its steps into white."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np

from scumble.chart.box import Box
from scumble.chart.frame import Frame
from scumble.chart.grid import Square, square_boxes
from scumble.chart.page import page_of
from scumble.chart.painted import as_colour
from scumble.chart.patch import Patch
from scumble.chart.profile import Profile
from scumble.errors import InputError
from scumble.jobs.charts.grid import GridWords, draw_grid_chart
from scumble.jobs.charts.press import printable
from scumble.jobs.charts.print_chart import Chart, check_coats, check_parts, load_chosen, say_film, told_patch
from scumble.jobs.grounds import chart_ground
from scumble.jobs.white import white_for
from scumble.paint import Paint
from scumble.paint.swatches import Swatches, predict_swatches, stir_optics
from scumble.store.shelf import Shelf

MOST_PAINTS = 14

LADDER = (1.0, 4.0, 9.0)
"""Parts of white to one part of each mixture, in the steps under it."""

MOST_STEPS = 6
"""Steps into white that have room under a square."""

MIX_PARTS = (3.0, 1.0)
"""Parts of the paint at the side and of that along the top."""

COATS = 1.0
"""Thickness of every film [coat]."""


def print_chart_mix(
    shelf: Shelf,
    keys: Sequence[str],
    *,
    page: str = "A4",
    parts: tuple[float, float] = MIX_PARTS,
    ladder: Sequence[float] = LADDER,
    coats: float = COATS,
    blank: bool = False,
    title: str = "",
    profile: Profile | None = None,
) -> Chart:
    """Draw a mixing grid.

    Parameters
    ----------
    shelf : Shelf
        Open.
    keys : sequence of str
        Two to fourteen paints of one binder.
    page : str
        Size of paper.
    parts : (float, float)
        Parts by volume of the paint at the side and of the paint along the top.
    ladder : sequence of float
        Parts of white to one part of each mixture; none leaves the steps out.
    coats : float [coat]
        Thickness of every film.
    blank : bool
        Leave the squares empty, with the amounts in them, to be painted by hand.
    title : str
        Heading; one of its own when left empty.
    profile : Profile, optional
        Of the printer.

    Raises
    ------
    InputError
        For an unknown page or paint, paints of several binders, or parts or coats that cannot be laid.
    """
    paper = page_of(page)
    check_parts(parts)
    check_parts(ladder)
    check_coats(coats)
    if len(ladder) > MOST_STEPS:
        raise InputError("ladder", ":".join(f"{part:g}" for part in ladder), f"at most {MOST_STEPS} steps")
    paints = load_chosen(shelf, keys, least=2, most=MOST_PAINTS)
    white = white_for(paints[0], shelf.load_paints())
    steps = (0.0, *ladder) if white is not None else (0.0,)
    swatches = printable(predict_mixes(paints, white, parts, steps, coats), profile)
    squares = _squares(swatches, parts, steps, blank=blank)
    names = [paint.label for paint in paints]
    said, heading = _say_parts(parts), title or ("Mixing grid to paint" if blank else "Mixing grid")
    notes = _notes(white, steps[1:], coats, blank=blank)
    frame, words = Frame(paper, heading, f"{said} by volume", notes), GridWords(names, names, "side : top")
    sheet, plan = draw_grid_chart(frame, words, squares, tall=1.3, blank=blank, profile=profile)
    boxes = [[plan.square(row, column) for column in range(len(names))] for row in range(len(names))]
    told = {
        "blank": blank,
        "coats": coats,
        "white": white.key if white else None,
        "squares": _told(paints, squares, boxes, parts, steps),
    }
    subject = f"Mixing grid of {', '.join(names)}; {said}."
    return Chart("mix", heading, subject, paper, (sheet,), told, profile)


def predict_mixes(
    paints: Sequence[Paint],
    white: Paint | None,
    parts: tuple[float, float],
    white_parts: Sequence[float],
    coats: float,
) -> Swatches:
    """All mixtures and their steps into white in one go, shape (paints, paints, steps).

    Raises
    ------
    InputError
        If the paints are not of one binder.
    """
    count = len(paints)
    own = np.eye(count)
    amounts = parts[0] * own[:, None] + parts[1] * own[None, :]
    amounts = amounts / amounts.sum(axis=-1, keepdims=True)
    if white is None:
        absorption, scattering, index = stir_optics(paints, amounts[:, :, None])
    else:
        steps = np.array(white_parts)
        shape = (count, count, len(steps), 1)
        pale = np.broadcast_to(steps[:, None], shape)
        mixed = np.broadcast_to(amounts[:, :, None], (*shape[:-1], count))
        absorption, scattering, index = stir_optics([*paints, white], np.concatenate([mixed, pale], axis=-1))
    below = chart_ground("white").under_film(index)
    return predict_swatches(coats * absorption, coats * scattering, below, index=index)


def _notes(white: Paint | None, ladder: Sequence[float], coats: float, *, blank: bool) -> tuple[str, ...]:
    steps = ", ".join(f"{part:g}" for part in ladder)
    notes = ["On the diagonal each paint stands alone."]
    if white is not None and ladder:
        notes.append(f"Under each mixture: one part of it to {steps} parts of {white.label.lower()}.")
    if blank:
        notes.append("Amounts in the squares are parts by volume: side : top, then mixture : white.")
    else:
        notes.append(
            f"{say_film(coats)} over white paper, computed from the paints' optics for daylight (D65)."
        )
    return tuple(notes)


def _say_parts(parts: tuple[float, float]) -> str:
    return f"{parts[0]:g} parts of the paint at the side to {parts[1]:g} of the paint along the top"


def _squares(
    swatches: Swatches, parts: tuple[float, float], steps: Sequence[float], *, blank: bool
) -> list[list[Square]]:
    count = len(swatches.srgb)
    return [
        [_square(swatches, row, column, parts, steps, blank=blank) for column in range(count)]
        for row in range(count)
    ]


def _square(
    swatches: Swatches,
    row: int,
    column: int,
    parts: tuple[float, float],
    steps: Sequence[float],
    *,
    blank: bool,
) -> Square:
    words = "alone" if row == column else f"{parts[0]:g} : {parts[1]:g}"
    patches = [
        Patch(
            None if blank else as_colour(swatches.srgb[row, column, step]),
            words if step == 0 else f"1 : {parts_of_white:g}",
            beyond=not swatches.in_gamut[row, column, step],
        )
        for step, parts_of_white in enumerate(steps)
    ]
    return Square((patches[0],), tuple(patches[1:]))


def _told(
    paints: Sequence[Paint],
    squares: Sequence[Sequence[Square]],
    boxes: Sequence[Sequence[Box]],
    parts: tuple[float, float],
    steps: Sequence[float],
) -> list[dict[str, Any]]:
    return [
        {
            "parts": {paint.key: 1.0} if paint is other else {paint.key: parts[0], other.key: parts[1]},
            "white_parts": steps[step],
            **told_patch(own, patch),
        }
        for row, paint in enumerate(paints)
        for column, other in enumerate(paints)
        for step, (own, patch) in enumerate(square_boxes(boxes[row][column], squares[row][column]))
    ]
