"""Colours of painted strips for print: every paint, thickness and ground of a chart in one prediction."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from scumble.chart.profile import Profile
from scumble.chart.wall import BAR, STRIPES, STROKE, Grounds, HangingColours
from scumble.jobs.charts.press import printable
from scumble.jobs.grounds import STRIPE_GROUNDS, bare_colour, chart_ground
from scumble.jobs.shelf.paint_strip import HANGING_COURSE, TINT_COATS, ridge_factors
from scumble.paint import Paint
from scumble.paint.swatches import Swatches, predict_swatches
from scumble.paint.tinting import LADDER_PARTS

Floats = NDArray[np.float64]

LEVELS = 3
"""Thicknesses told apart within one stroke."""

PAPER_STOPS = 13
"""Places along a hanging stroke where its colour over the paper is worked out."""

OPTICS = ("absorption", "scattering")
NO_TINTS = np.zeros((0, LEVELS, 3))


def hanging_colours(
    paints: Sequence[Paint], whites: Sequence[Paint | None], profile: Profile | None = None
) -> tuple[HangingColours, ...]:
    """Screen colours of hanging strips, all paints of one binder in one go.

    Parameters
    ----------
    paints : sequence of Paint
        The tubes.
    whites : sequence of Paint or None
        What each is tinted with.
    profile : Profile, optional
        Of the printer.
    """
    colours: dict[int, HangingColours] = {}
    for binder in {paint.binder for paint in paints}:
        places = [place for place, paint in enumerate(paints) if paint.binder is binder]
        own = [paints[place] for place in places]
        strokes = printable(_strokes(own), profile)
        tints = printable(ladder_swatches(own, [whites[place] for place in places]), profile)
        for number, place in enumerate(places):
            mixes = whites[place] is not None
            colours[place] = _pick(strokes, tints, number, mixes)
    return tuple(colours[place] for place in range(len(paints)))


def hanging_grounds(*, bare_paper: bool = False) -> Grounds:
    """Screen colours of the grounds under hanging strips; the paper can be left to the sheet itself."""
    shown = {name: bare_colour(name) for name in ("white", "black", *STRIPE_GROUNDS)}
    paper = np.ones(3) if bare_paper else shown["white"]
    return Grounds(paper, shown["black"], tuple(shown[name] for name in STRIPE_GROUNDS))


def hanging_coats() -> tuple[Floats, tuple[str, ...]]:
    """Thickness at every place of a hanging stroke whose colour is wanted, and the ground it lies on.

    Returns
    -------
    coats : array, shape (stops,) [coat]
        Along the paper, then in the middle of the bar and of every stripe.
    grounds : tuple of str
        Name of the ground at each.
    """
    crossed = [(box.centre[1] - STROKE.y_mm) / STROKE.height_mm for box in (BAR, *STRIPES)]
    share = np.concatenate([np.linspace(0.0, 1.0, PAPER_STOPS), crossed])
    places, coats = zip(*HANGING_COURSE, strict=True)
    grounds = ("white",) * PAPER_STOPS + ("black", *STRIPE_GROUNDS)
    return np.exp(np.interp(share, places, np.log(coats))), grounds


def ladder_swatches(paints: Sequence[Paint], whites: Sequence[Paint | None]) -> Swatches:
    """Steps into white over white paper, shape (paints, steps, levels); a paint without a white stays itself."""
    share = 1.0 / (1.0 + np.array(LADDER_PARTS))[:, None]
    pairs = [(paint.optics, (white or paint).optics) for paint, white in zip(paints, whites, strict=True)]
    own_a, own_s = (np.array([getattr(own, name) for own, _ in pairs]) for name in OPTICS)
    pale_a, pale_s = (np.array([getattr(pale, name) for _, pale in pairs]) for name in OPTICS)
    absorption = share * own_a[:, None] + (1.0 - share) * pale_a[:, None]
    scattering = share * own_s[:, None] + (1.0 - share) * pale_s[:, None]
    coats = TINT_COATS * ridge_factors(LEVELS)[:, None]
    index = paints[0].binder.refractive_index
    below = chart_ground("white").under_film(index)
    return predict_swatches(
        coats * absorption[:, :, None], coats * scattering[:, :, None], below, index=index
    )


def _strokes(paints: Sequence[Paint]) -> Swatches:
    """Strokes of paints of one binder, shape (paints, levels, stops)."""
    coats, grounds = hanging_coats()
    index = paints[0].binder.refractive_index
    below = np.array([chart_ground(name).under_film(index) for name in grounds])
    films = (ridge_factors(LEVELS)[:, None] * coats)[..., None]
    absorption, scattering = (
        np.array([getattr(paint.optics, name) for paint in paints])[:, None, None] * films for name in OPTICS
    )
    return predict_swatches(absorption, scattering, below, index=index)


def _pick(strokes: Swatches, tints: Swatches, number: int, mixes: bool) -> HangingColours:
    """One paint's colours out of all."""
    drawn, middle = strokes.srgb[number], LEVELS // 2
    after = PAPER_STOPS + 1
    seen = [strokes.in_gamut[number, middle].all(), not mixes or tints.in_gamut[number, :, middle].all()]
    return HangingColours(
        paper=drawn[:, :PAPER_STOPS],
        bar=drawn[:, PAPER_STOPS:after],
        stripes=tuple(drawn[:, after + stripe : after + stripe + 1] for stripe in range(len(STRIPE_GROUNDS))),
        tints=tints.srgb[number] if mixes else NO_TINTS,
        beyond=not all(seen),
    )
