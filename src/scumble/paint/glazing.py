"""What a paint does as a glaze: one thin film over each of several grounds."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from scumble.colour import delta_e_2000, name_colour, reflectance_to_xyz
from scumble.optics.film import film_response
from scumble.paint.drawdown import chroma_of, lab_of
from scumble.paint.estimate import Estimate, estimate_of, possible_optics
from scumble.paint.ground import Ground
from scumble.paint.paint import Paint
from scumble.paint.thinning import LEAST_CHROMA
from scumble.paint.words import Sentence, write_number
from scumble.tables import BANDS

Floats = NDArray[np.float64]

GLAZE_COATS = 0.1
"""One glaze [coat]. Scumble's own."""

HARDLY = 4.0
"""Colour difference up to which a glaze hardly shows on a ground [dE00]. Scumble's own."""

DARK = 30.0
"""CIELAB lightness below which a ground is dark. Scumble's own."""

VEILS_BY = 4.0
"""Gain of CIELAB lightness from which a film lies like a veil on a dark ground. Scumble's own."""


@dataclass(frozen=True, slots=True)
class Glazed:
    """One glaze over one ground.

    Parameters
    ----------
    ground : str
        What the ground is called.
    bare, glazed : array, shape (3,)
        CIELAB of the ground under clear medium, and of the glaze on it.
    name : str
        The glazed colour in plain words.
    change : Estimate [dE00]
        How far the two are apart.
    lightness, chroma : Estimate
        Change of CIELAB lightness and chroma.
    """

    ground: str
    bare: Floats
    glazed: Floats
    name: str
    change: Estimate
    lightness: Estimate
    chroma: Estimate


def predict_glazing(
    paint: Paint, grounds: Mapping[str, Ground], *, normals: Floats | None = None
) -> tuple[Glazed, ...]:
    """Work out one glaze over every ground.

    Parameters
    ----------
    paint : Paint
        The tube.
    grounds : mapping of str to Ground
        By name.
    normals : array, shape (draws, 72), optional
        Standard normal numbers; without them no intervals are worked out.
    """
    own = possible_optics(paint.optics, np.zeros((0, 72)) if normals is None else normals)
    index = paint.binder.refractive_index
    film = film_response(own[0] * GLAZE_COATS, own[1] * GLAZE_COATS, index=index)
    nothing = np.full(BANDS, 1e-9)
    clear = film_response(nothing, nothing, index=index)
    found = []
    for name, ground in grounds.items():
        below = ground.under_film(index)
        seen, bare = film.over(below), lab_of(clear.over(below))
        lab = lab_of(seen)
        found.append(
            Glazed(
                ground=name,
                bare=bare,
                glazed=lab[0],
                name=name_colour(reflectance_to_xyz(seen[0])),
                change=estimate_of(delta_e_2000(lab, np.broadcast_to(bare, lab.shape))),
                lightness=estimate_of(lab[:, 0] - bare[0]),
                chroma=estimate_of(chroma_of(lab) - chroma_of(bare)),
            )
        )
    return tuple(found)


def most_turned(several: tuple[Glazed, ...]) -> Glazed:
    """The ground that a glaze turns most: a coloured one where there is any that is not dark."""
    coloured = [each for each in several if each.bare[0] >= DARK and chroma_of(each.bare) >= LEAST_CHROMA]
    return max(coloured or several, key=lambda each: each.change.value)


def describe_glazing(several: tuple[Glazed, ...]) -> Sentence:
    """Say what a paint does as a glaze: what it turns white and one colour into, where it hardly shows or is a veil."""
    told = [each for each in several if each.ground == "white"] + [most_turned(several)]
    turns = [f"{each.ground} into {each.name}" for each in told if each.change.value > HARDLY]
    hardly = [each.ground for each in several if each.change.high <= HARDLY]
    perhaps = [each.ground for each in several if each.change.value <= HARDLY < each.change.high]
    veils = [each.ground for each in several if each.lightness.low >= VEILS_BY]
    sinks = [each.ground for each in several if each.bare[0] < DARK and each.lightness.high < 0.0]
    said = [f"turns {_listed(turns)}"] if turns else []
    if hardly:
        said.append(f"hardly shows on {_listed(hardly)}")
    if perhaps:
        said.append(f"probably hardly shows on {_listed(perhaps)}")
    if sinks:
        said.append(f"sinks into {_listed(sinks)}")
    if veils:
        said.append(f"lies like a veil on {_listed(veils)}")
    number = ", ".join(f"{each.ground} dE00 {write_number(each.change, 0)}" for each in several)
    meaning = (
        f"A film of {GLAZE_COATS:g} coat over flat grounds of invented colours, each beside the same ground under "
        "clear medium. " + "; ".join(f"{each.ground} becomes {each.name}" for each in several) + "."
    )
    claim = f"Glazed thin it {_listed(said)}"
    return Sentence("glazing", claim, number, meaning)


def _listed(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
