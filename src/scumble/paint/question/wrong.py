"""Wrong answers that a painter could give: near the truth in the way people err, and always to be told from it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from scumble.colour import (
    delta_e_2000,
    lab_to_lch,
    lab_to_xyz,
    lch_to_lab,
    name_colour,
    reflectance_to_xyz,
    srgb_to_xyz,
    white_point,
    xyz_to_lab,
    xyz_to_srgb,
)
from scumble.paint.estimate import CERTAIN
from scumble.paint.question.question import Choice, plain_lab

Floats = NDArray[np.float64]

LEAST_APART = {1: 16.0, 2: 11.0, 3: 7.0}
"""By level, the least CIEDE2000 distance between any two swatches that are offered. Scumble's own."""

MOST_WRONG, FEWEST_WRONG = 3, 2
"""Wrong swatches beside the right one."""


@dataclass(frozen=True, slots=True)
class Guess:
    """A colour that somebody might expect.

    Parameters
    ----------
    lab : array, shape (3,)
        CIELAB.
    slip : str
        What they have in mind.
    """

    lab: Floats
    slip: str


@dataclass(frozen=True, slots=True)
class Offered:
    """Swatches to choose from.

    Parameters
    ----------
    choices : tuple of Choice
        In the order they are shown.
    right : int
        Place of the right one, from 0.
    margin : float [1]
        Distance of the nearest wrong one in units of the least that is ever offered.
    """

    choices: tuple[Choice, ...]
    right: int
    margin: float


def on_screen(lab: ArrayLike) -> Floats:
    """CIELAB of colours as a screen shows them, shape (..., 3)."""
    white = white_point("D65", 2)
    srgb, _ = xyz_to_srgb(lab_to_xyz(lab, white))
    return xyz_to_lab(srgb_to_xyz(np.clip(srgb, 0.0, 1.0)), white)


def say_colour(lab: ArrayLike) -> str:
    """A colour in plain words, without its article.

    Examples
    --------
    >>> say_colour([45.0, 20.0, -45.0])
    'dark, strong purplish blue'
    """
    said = name_colour(np.maximum(lab_to_xyz(lab, white_point("D65", 2)), 0.0))
    return said.removeprefix("a ").removeprefix("an ")


def mean_light(first: Floats, second: Floats, share: float = 0.5) -> Floats:
    """CIELAB of two reflectances averaged as lights, ``share`` of the second."""
    mixed = (1.0 - share) * reflectance_to_xyz(first) + share * reflectance_to_xyz(second)
    return xyz_to_lab(mixed, white_point("D65", 2))


def usual_guesses(lab: Floats) -> list[Guess]:
    """What is guessed where nothing better comes to mind: a step lighter, darker, duller."""
    lightness, chroma, hue = lab_to_lch(lab)
    steps = (
        (lightness + 18.0, chroma * 0.75, "the right direction, but too pale"),
        (lightness - 16.0, chroma * 0.9, "the right direction, but too dark"),
        (lightness, chroma * 0.35, "the right lightness, but too dull"),
    )
    return [
        Guess(lch_to_lab(np.array([light, size, hue])), slip)
        for light, size, slip in steps
        if 3.0 < light < 97.0
    ]


def offer_swatches(
    right: Floats, guesses: Sequence[Guess], *, level: int, rng: np.random.Generator
) -> Offered | None:
    """Put the right swatch among wrong ones.

    Parameters
    ----------
    right : array, shape (1 + draws, 3)
        CIELAB on every set of possible optics, the most probable first.
    guesses : sequence of Guess
        What may be offered beside it; particular errors before the usual ones.
    level : int
        How near they may come; see :data:`LEAST_APART`.
    rng : Generator
        Decides their order.

    Returns
    -------
    Offered or None
        None where fewer than :data:`FEWEST_WRONG` can be told apart, or where the interval leaves open which is right:
        the right swatch must be the nearest to the truth in 19 of 20 possible optics.
    """
    least, shown_right = LEAST_APART[level], on_screen(right[0])
    particular = sorted(guesses, key=lambda guess: float(delta_e_2000(right[0], guess.lab)))
    taken: list[Guess] = []
    holds = np.ones(len(right), dtype=bool)
    own = delta_e_2000(right, np.broadcast_to(right[0], right.shape))
    for guess in (*particular, *usual_guesses(right[0])):
        shown = on_screen(guess.lab)
        beside = [shown_right, *(on_screen(each.lab) for each in taken)]
        if min(float(delta_e_2000(shown, each)) for each in beside) < least:
            continue
        stays = holds & (own < delta_e_2000(right, np.broadcast_to(shown, right.shape)))
        if stays[0] and stays[1:].mean() >= CERTAIN if len(stays) > 1 else stays[0]:
            taken.append(guess)
            holds = stays
        if len(taken) == MOST_WRONG:
            break
    if len(taken) < FEWEST_WRONG:
        return None
    return _shuffled(right[0], taken, rng)


def _shuffled(right: Floats, wrong: Sequence[Guess], rng: np.random.Generator) -> Offered:
    choices = [Choice(say_colour(on_screen(right)), plain_lab(right))]
    choices += [Choice(say_colour(on_screen(each.lab)), plain_lab(each.lab), each.slip) for each in wrong]
    order = rng.permutation(len(choices)).tolist()
    nearest = min(float(delta_e_2000(on_screen(right), on_screen(each.lab))) for each in wrong)
    return Offered(tuple(choices[at] for at in order), order.index(0), max(nearest / LEAST_APART[3], 1.0))


def interval_of(right: Floats) -> float:
    """Distance from the most probable colour within which 19 of 20 possible ones lie [dE00]; shape (1 + draws, 3)."""
    if len(right) == 1:
        return 0.0
    away = delta_e_2000(right[1:], np.broadcast_to(right[0], right[1:].shape))
    return float(np.quantile(away, 0.95))
