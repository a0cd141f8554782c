"""A paint's card again: its picture with the areas outlined, and what was read beside what is predicted."""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from scumble.card.sheet.words import FILMS, caption
from scumble.chart.strip import write_colour
from scumble.colour import (
    delta_e_2000,
    reflectance_to_xyz,
    white_point,
    xyz_to_lab,
    xyz_to_srgb,
)
from scumble.jobs.shelf.shown_picture import kind_words, shown_size
from scumble.jobs.white import is_white
from scumble.paint import CardReadings, Paint, Quantity, Reading
from scumble.solve.fit.one_card import AreaFit, Fit, fit_optics, fit_white
from scumble.store.picture import Picture

Floats = NDArray[np.float64]

DIFFERENCE_BOUNDS = (1.0, 2.0, 5.0)
DIFFERENCE_WORDS = (
    "can't be told apart",
    "told apart only side by side",
    "seen when looked for",
    "seen at once",
)
"""CIEDE2000 differences up to which two swatches are said to be that alike. *Common practice, no source.*"""


@dataclass(frozen=True, slots=True)
class Pair:
    """One area, read and predicted.

    Parameters
    ----------
    area : str
        Its name on the card.
    words : str
        What lies there, in words.
    read, predicted : str
        Screen colours.
    difference : float [dE00]
        Between the two.
    verdict : str
        That difference in words.
    coats : float [coat]
        Thickness found, 0 where nothing was painted.
    """

    area: str
    words: str
    read: str
    predicted: str
    difference: float
    verdict: str
    coats: float


@dataclass(frozen=True, slots=True)
class OutlinedArea:
    """Where an area lies in the picture.

    Parameters
    ----------
    area, words : str
        Its name, and what lies there.
    points : str
        Corners in picture points, as SVG writes them.
    """

    area: str
    words: str
    points: str


@dataclass(frozen=True, slots=True)
class CardPicture:
    """The picture of a card.

    Parameters
    ----------
    width, height : int [pixel]
        As shown.
    areas : tuple of OutlinedArea
        Those that were found.
    kind : str
        What file the original is and how large, in words.
    """

    width: int
    height: int
    areas: tuple[OutlinedArea, ...]
    kind: str = ""


def pair_areas(paint: Paint, white: Paint | None, card: CardReadings) -> tuple[Pair, ...]:
    """What the optics predict for every painted area of the card they came from, beside what was read.

    Parameters
    ----------
    paint, white : Paint
        The tube, and what its tints were mixed with.
    card : CardReadings
        Its card.

    Returns
    -------
    tuple of Pair
        In the order of the card.
    """
    index = paint.binder.refractive_index
    fit: Fit = (
        fit_white(card, index=index)
        if is_white(paint)
        else fit_optics(card, white=white.optics if white else None, index=index)
    )
    return pair_fit(fit, card)


def pair_fit(fit: Fit, card: CardReadings) -> tuple[Pair, ...]:
    """Every painted area of a card that was just fitted, as read and as the fit has it.

    Parameters
    ----------
    fit : Fit
        Of this card.
    card : CardReadings
        What was read.
    """
    return tuple(_pair(area, card) for area in fit.areas if not area.reading.is_bare)


def outline_areas(picture: Picture, card: CardReadings | None) -> CardPicture | None:
    """Outlines of the areas in a card's picture; None if it cannot be opened."""
    size = shown_size(picture)
    if size is None:
        return None
    readings = {reading.area: reading for reading in card.readings} if card else {}
    areas = tuple(
        OutlinedArea(
            area,
            area_words(readings[area]) if area in readings else area,
            " ".join(f"{x:.0f},{y:.0f}" for x, y in corners),
        )
        for area, corners in picture.outlines.items()
    )
    return CardPicture(*size, areas, kind_words(picture))


def area_words(reading: Reading) -> str:
    """What lies at an area, in words.

    Examples
    --------
    >>> area_words(Reading("thin1-red", "thin1", 1.0, 0.0, "red", np.zeros(3)))
    'Thin on red'
    >>> area_words(Reading("mine", "third", 1.0, 3.0, "toned", np.zeros(3)))
    'Third on toned, 3 parts white to 1'
    """
    words = caption(reading.film, reading.ground)
    if reading.white_parts and reading.film not in FILMS:
        words += f", {reading.white_parts / reading.paint_parts:g} parts white to 1"
    return words[0].upper() + words[1:]


def say_difference(difference: float) -> str:
    """How alike two swatches are, in words.

    Examples
    --------
    >>> say_difference(0.4), say_difference(7.0)
    ("can't be told apart", 'seen at once')
    """
    return DIFFERENCE_WORDS[bisect_right(DIFFERENCE_BOUNDS, difference)]


def _pair(area: AreaFit, card: CardReadings) -> Pair:
    spectral = card.quantity is Quantity.REFLECTANCE
    light, observer = ("D65", 2) if spectral else (card.light, card.observer)
    numbers = np.stack([area.reading.values, area.predicted])
    xyz = reflectance_to_xyz(numbers) if spectral else numbers
    lab = xyz_to_lab(xyz, white_point(light, observer))
    difference = float(delta_e_2000(lab[0], lab[1]))
    read, predicted = xyz_to_srgb(xyz, light=light, observer=observer)[0]
    return Pair(
        area=area.reading.area,
        words=area_words(area.reading),
        read=write_colour(read),
        predicted=write_colour(predicted),
        difference=difference,
        verdict=say_difference(difference),
        coats=area.coats,
    )
