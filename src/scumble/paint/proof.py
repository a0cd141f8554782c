"""A proof: a predicted swatch beside the one that was painted, and what the promise of the prediction was worth."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from enum import StrEnum
from typing import Final

import numpy as np
from numpy.typing import NDArray

from scumble.colour import delta_e_2000, reflectance_to_xyz, white_point, xyz_to_lab
from scumble.paint.film import Film
from scumble.paint.layering import Layering
from scumble.paint.look import interval_de00, predict_reflectance
from scumble.paint.paint import Paint

Floats = NDArray[np.float64]

HAND_COATS: Final = 0.15
"""Relative deviation of a film that a careful hand lays down from the thickness that was asked for. *Common practice,
no source*: between a fifth more and a fifth less; the sample card's strokes stray by twice that."""

HAND_PARTS: Final = 0.10
"""Relative deviation of each part that is measured out with a spoon. *Common practice, no source*; the same that the
sample card's tints are given."""

THIN_COATS: Final = 0.75
"""Coats below which a film counts as thin. Scumble's own."""

NEUTRAL_CHROMA: Final = 12.0
"""CIELAB chroma below which a ground counts as white, grey or black. Scumble's own."""

LIGHT_GROUND: Final = 75.0
"""L* from which a neutral ground counts as white. Scumble's own."""

SMALLEST_STEP: Final = 0.5
"""Difference along one way of seeing from which it is named. Scumble's own."""

LITTLE, MUCH = 2.0, 5.0
"""Differences below which a way is *a little*, and from which it is *much*. Scumble's own."""


class ProofKind(StrEnum):
    """What kind of prediction a proof puts to the test."""

    MASSTONE = "masstone"
    UNDERTONE = "undertone"
    GLAZE = "glaze over colour"
    TINT = "tint with white"
    MIXTURE = "mixture of tubes"
    DARK = "over black or grey"


@dataclass(frozen=True, slots=True)
class Comparison:
    """A painted swatch beside its prediction.

    Parameters
    ----------
    expected, painted : array, shape (3,)
        CIELAB of the two.
    difference_de00 : float [dE00]
        How far apart they are.
    interval_de00 : float [dE00]
        Within which they lie 19 times out of 20, if the prediction, the hand and the reading are as sure as they say.
    """

    expected: Floats
    painted: Floats
    difference_de00: float
    interval_de00: float

    @property
    def is_within(self) -> bool:
        """Whether the promise was kept."""
        return self.difference_de00 <= self.interval_de00

    @property
    def shift(self) -> Floats:
        """Painted less expected: L*, a*, b*."""
        return np.asarray(self.painted - self.expected)


def compare_painted(
    expected: Floats, painted: Floats, *, optics: Floats, hand: Floats, reading: Floats
) -> Comparison:
    """Hold a painted swatch beside its prediction.

    Parameters
    ----------
    expected, painted : array, shape (3,)
        CIELAB.
    optics, hand, reading : array, shape (3, 3)
        Covariance of Lab from what is not known of the paints, from the hand that painted, and from the reading.

    Examples
    --------
    >>> lab, none = np.array([50.0, 0.0, 0.0]), np.zeros((3, 3))
    >>> compare_painted(lab, lab + 1.0, optics=np.eye(3), hand=none, reading=none).is_within
    True
    """
    lab, seen = np.asarray(expected, dtype=np.float64), np.asarray(painted, dtype=np.float64)
    return Comparison(
        lab,
        seen,
        float(delta_e_2000(lab, seen)),
        interval_de00(lab, optics + hand + reading),
    )


def predict_hand(layering: Layering, *, light: str = "D65", observer: int = 2) -> Floats:
    """Covariance of the colour that a hand brings: films a little too thick or thin, parts a little off.

    Parameters
    ----------
    layering : Layering
        To be painted.
    light : str
        ``D65``, ``D50``, ``A`` or ``LED-B3``.
    observer : int
        2 or 10 degrees.

    Returns
    -------
    array, shape (3, 3)
        Of CIELAB.

    Notes
    -----
    Each film's thickness strays by :data:`HAND_COATS` and each part by :data:`HAND_PARTS`, all by themselves. Slopes
    are taken across one deviation to either side, so that what bends within the hand's own error is met on average.
    """
    white = white_point(light, observer)

    def lab(changed: Layering) -> Floats:
        return np.asarray(
            xyz_to_lab(
                reflectance_to_xyz(predict_reflectance(changed), light=light, observer=observer), white
            )
        )

    covariance = np.zeros((3, 3))
    for more, less in _slips(layering):
        slope = (lab(more) - lab(less)) / 2.0
        covariance += np.outer(slope, slope)
    return covariance


def _slips(layering: Layering) -> Iterator[tuple[Layering, Layering]]:
    """The layering with one thing a deviation too large, and as much too small."""
    for at, film in enumerate(layering.films):
        for more, less in _film_slips(film):
            yield _with_film(layering, at, more), _with_film(layering, at, less)


def _film_slips(film: Film) -> Iterator[tuple[Film, Film]]:
    up, down = np.exp(HAND_COATS), np.exp(-HAND_COATS)
    yield replace(film, coats=film.coats * up), replace(film, coats=film.coats * down)
    up, down = float(np.exp(HAND_PARTS)), float(np.exp(-HAND_PARTS))
    for name in ("medium_parts", "water_parts"):
        amount = getattr(film, name)
        if amount > 0:
            yield replace(film, **{name: amount * up}), replace(film, **{name: amount * down})
    if len(film.parts) > 1:
        for at in range(len(film.parts)):
            yield _with_part(film, at, up), _with_part(film, at, down)


def _with_part(film: Film, at: int, factor: float) -> Film:
    parts = tuple(
        (paint, amount * (factor if place == at else 1.0)) for place, (paint, amount) in enumerate(film.parts)
    )
    return replace(film, parts=parts)


def _with_film(layering: Layering, at: int, film: Film) -> Layering:
    films = (*layering.films[:at], film, *layering.films[at + 1 :])
    return replace(layering, films=films)


def proof_kind(layering: Layering, is_white: Callable[[Paint], bool]) -> ProofKind:
    """What kind of prediction a layering is; its topmost film decides, then what it lies on.

    Parameters
    ----------
    layering : Layering
        At least one film.
    is_white : callable
        Whether a paint is a white.
    """
    top = layering.films[-1]
    coloured = [paint for paint, _ in top.parts if not is_white(paint)]
    if len(coloured) > 1:
        return ProofKind.MIXTURE
    if len(coloured) == 1 and len(top.parts) > 1:
        return ProofKind.TINT
    share = float(np.sum(top.fractions))
    thin = top.dry_coats * share < THIN_COATS
    lightness, a, b = _bare_lab(layering)
    neutral = float(np.hypot(a, b)) < NEUTRAL_CHROMA and len(layering.films) == 1
    if neutral and lightness < LIGHT_GROUND:
        return ProofKind.DARK
    if not thin:
        return ProofKind.MASSTONE
    return ProofKind.UNDERTONE if neutral else ProofKind.GLAZE


def _bare_lab(layering: Layering) -> Floats:
    """CIELAB of the bare ground."""
    return np.asarray(xyz_to_lab(reflectance_to_xyz(layering.ground.reflectance), white_point("D65", 2)))


def say_shift(expected: Floats, painted: Floats) -> str:
    """In which direction a painted swatch differs from its prediction, in words.

    Parameters
    ----------
    expected, painted : array, shape (3,)
        CIELAB.

    Examples
    --------
    >>> say_shift(np.array([50.0, 10.0, 10.0]), np.array([48.6, 6.5, 10.2]))
    'greener and a little darker than promised'
    >>> say_shift(np.array([50.0, 40.0, 30.0]), np.array([50.1, 48.0, 36.0]))
    'more vivid than promised'
    >>> say_shift(np.array([50.0, 0.0, 0.0]), np.array([50.1, 0.0, 0.0]))
    'as promised'
    """
    ways = say_ways(np.asarray(painted, dtype=np.float64) - expected, np.asarray(expected, dtype=np.float64))
    return f"{ways} than promised" if ways else "as promised"


def say_ways(shift: Floats, at: Floats) -> str:
    """A difference of colour in words: the largest ways first, none that does not count.

    Parameters
    ----------
    shift : array, shape (3,)
        Difference of L*, a*, b*.
    at : array, shape (3,)
        CIELAB that it starts from.

    Notes
    -----
    A vivid colour that moves mainly towards or away from grey is called duller or more vivid, for that is what is
    seen; any other is called by the opposites of CIELAB. Chroma of vivid colours is weighed as CIEDE2000 does
    (ISO/CIE 11664-6: S_C = 1 + 0.045 C').
    """
    lightness, a, b = shift.tolist()
    chroma = float(np.hypot(*at[1:]))
    weight = 1.0 + 0.045 * chroma
    along = float(np.hypot(*(at[1:] + shift[1:]))) - chroma if chroma > NEUTRAL_CHROMA else 0.0
    found = [("lighter" if lightness > 0 else "darker", abs(lightness))]
    if abs(along) > 0.7 * float(np.hypot(a, b)):
        found.append(("more vivid" if along > 0 else "duller", abs(along) / weight))
    else:
        found += [
            ("redder" if a > 0 else "greener", abs(a) / weight),
            ("yellower" if b > 0 else "bluer", abs(b) / weight),
        ]
    largest = max(size for _, size in found)
    kept = [
        (way, size)
        for way, size in sorted(found, key=lambda each: -each[1])
        if size >= max(SMALLEST_STEP, 0.3 * largest)
    ]
    said = [_by_size(way, size) for way, size in kept]
    return " and ".join([", ".join(said[:-1]), said[-1]] if len(said) > 1 else said)


def _by_size(way: str, size: float) -> str:
    if size < LITTLE:
        return f"a little {way}"
    return f"much {way}" if size >= MUCH else way
