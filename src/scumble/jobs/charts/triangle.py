"""Print a triangle of three paints: every mixture of so many parts, each in its place."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

import numpy as np

from scumble.chart.box import Box
from scumble.chart.frame import Frame, draw_lines
from scumble.chart.page import page_of
from scumble.chart.painted import as_colour
from scumble.chart.patch import Patch
from scumble.chart.profile import Profile
from scumble.chart.sheet import Shape, Text
from scumble.chart.triangle import Parts, cell_centre, cell_radius_mm, draw_triangle, triangle_parts
from scumble.errors import InputError
from scumble.jobs.charts.press import printable
from scumble.jobs.charts.print_chart import Chart, check_coats, load_chosen, open_chart, say_film
from scumble.jobs.grounds import chart_ground
from scumble.jobs.white import white_for
from scumble.paint import Paint
from scumble.paint.swatches import Swatches, predict_swatches, stir_optics
from scumble.store.shelf import Shelf

STEPS = 6
"""Parts in every mixture."""

LEAST_STEPS, MOST_STEPS = 2, 12

COATS = 1.0
"""Thickness of every film [coat]."""


def print_chart_triangle(
    shelf: Shelf,
    keys: Sequence[str],
    *,
    steps: int = STEPS,
    white_parts: float = 0.0,
    coats: float = COATS,
    page: str = "A4",
    blank: bool = False,
    title: str = "",
    profile: Profile | None = None,
) -> Chart:
    """Draw a triangle of three paints.

    Parameters
    ----------
    shelf : Shelf
        Open.
    keys : sequence of str
        Three paints of one binder: top, left and right corner.
    steps : int
        Parts in every mixture, 2 to 12.
    white_parts : float [parts]
        White stirred into every mixture, to one part of it.
    coats : float [coat]
        Thickness of every film.
    page : str
        Size of paper.
    blank : bool
        Leave the swatches empty, with the parts in them, to be painted by hand.
    title : str
        Heading; one of its own when left empty.
    profile : Profile, optional
        Of the printer.

    Raises
    ------
    InputError
        For an unknown page or paint, paints of several binders, or steps that cannot be drawn.
    """
    paper = page_of(page)
    if not LEAST_STEPS <= steps <= MOST_STEPS:
        raise InputError("steps", steps, f"a whole number from {LEAST_STEPS} to {MOST_STEPS}")
    if not 0.0 <= white_parts <= 1000.0:
        raise InputError("white-parts", f"{white_parts:g}", "a number from 0 to 1000")
    check_coats(coats)
    paints = load_chosen(shelf, keys, least=3, most=3)
    white = white_for(paints[0], shelf.load_paints()) if white_parts else None
    if white_parts and white is None:
        raise InputError(
            "white-parts", f"{white_parts:g}", "0", f"The shelf has no white in {paints[0].binder}."
        )
    every = triangle_parts(steps)
    swatches = printable(predict_triangle(paints, every, white, white_parts, coats), profile)
    patches = [
        Patch(
            None if blank else as_colour(swatches.srgb[number]),
            " : ".join(map(str, parts)),
            beyond=not swatches.in_gamut[number],
        )
        for number, parts in enumerate(every)
    ]
    names = [paint.label for paint in paints]
    heading = title or " · ".join(names)
    subtitle = f"{steps} parts in all, by volume: top : left : right"
    if white is not None:
        subtitle += f"; to one part of each mixture {white_parts:g} of {white.label.lower()}"
    notes = (f"{say_film(coats)} over white paper, computed from the paints' optics for daylight (D65).",)
    frame, legend = open_chart(
        Frame(paper, heading, subtitle, () if blank else notes), blank=blank, profile=profile
    )
    shapes, radius, place = _draw(frame, patches, names, steps)
    told = {
        "blank": blank,
        "steps": steps,
        "white_parts": white_parts,
        "coats": coats,
        "radius_mm": round(radius, 3),
        "swatches": [
            _told(paints, parts, patch, cell_centre(place, parts, radius_mm=radius))
            for parts, patch in zip(every, patches, strict=True)
        ],
    }
    subject = f"Triangle of {', '.join(names)} in {steps} parts."
    return Chart("triangle", heading, subject, paper, (frame.draw((*shapes, *legend)),), told, profile)


def predict_triangle(
    paints: Sequence[Paint], every: Sequence[Parts], white: Paint | None, white_parts: float, coats: float
) -> Swatches:
    """All mixtures in one go, shape (mixtures,).

    Raises
    ------
    InputError
        If the paints are not of one binder.
    """
    amounts = np.array(every, dtype=np.float64)
    if white is not None:
        pale = white_parts * amounts.sum(axis=1, keepdims=True)
        amounts, paints = np.concatenate([amounts, pale], axis=1), [*paints, white]
    absorption, scattering, index = stir_optics(paints, amounts)
    below = chart_ground("white").under_film(index)
    return predict_swatches(coats * absorption, coats * scattering, below, index=index)


def _draw(
    frame: Frame, patches: Sequence[Patch], names: Sequence[str], steps: int
) -> tuple[list[Shape], float, Box]:
    """The swatches and the names at their corners; the radius of a swatch, and the box they fill."""
    size = 3.2 * frame.scale
    inner = frame.inner
    room = Box(inner.x_mm, inner.y_mm + 2 * size, inner.width_mm, inner.height_mm - 6 * size)
    radius = cell_radius_mm(room, steps)
    high = radius * (1.5 * steps + 2.0)
    place = Box(room.x_mm, room.y_mm + (room.height_mm - high) / 2, room.width_mm, high)
    shapes: list[Shape] = [
        *draw_triangle(place, patches, steps, size_mm=2.6 * frame.scale),
        Text(place.centre[0], place.y_mm - 0.7 * size, names[0], size, "bold", "middle"),
    ]
    half = math.sqrt(3.0) * radius * (steps + 1) / 2
    below = place.bottom_mm + 0.6 * size
    left = Box(place.centre[0] - half, below, half - size, 0.0)
    shapes += draw_lines(names[1], left, size_mm=size, face="bold", most=2)[0]
    shapes.append(Text(place.centre[0] + half, below + 0.95 * size, names[2], size, "bold", "end"))
    return shapes, radius, place


def _told(paints: Sequence[Paint], parts: Parts, patch: Patch, centre: tuple[float, float]) -> dict[str, Any]:
    return {
        "parts": {paint.key: part for paint, part in zip(paints, parts, strict=True) if part},
        "centre_mm": [round(place, 3) for place in centre],
        "srgb": None if patch.colour is None else list(patch.colour),
        "beyond_screen": patch.beyond,
    }
