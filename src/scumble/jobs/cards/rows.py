"""The list of a card's areas: what was read at each, how sure it is, and what the fit has there."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from scumble.card.photographed import AreaSeen
from scumble.chart.strip import write_colour
from scumble.colour import reflectance_to_xyz, upsample_colours, white_point, xyz_to_lab, xyz_to_srgb
from scumble.errors import InputError
from scumble.jobs.cards.area_words import choices_for
from scumble.jobs.cards.bare_grounds import bare_grounds
from scumble.jobs.cards.beside import Pair, area_words, pair_fit, say_difference
from scumble.jobs.cards.card_file import provenance_of
from scumble.jobs.cards.desk import CardDesk
from scumble.jobs.cards.keep import Fitted
from scumble.jobs.cards.reading import CardRead
from scumble.paint import Binder, CardReadings, Film, Ground, Layering, Paint, Quantity, Reading, predict_look
from scumble.solve.fit.one_card import AreaFit

SMOOTH, LIVELY = 0.04, 0.1
"""Relative scatter up to which a film is called even, and somewhat uneven."""


@dataclass(frozen=True, slots=True)
class AreaRow:
    """An area in the list.

    Parameters
    ----------
    area, words : str
        Its name, and what lies there.
    read : str
        Screen colour of what was read.
    bound : float [dE00]
        How far that may be off, 19 times in 20; 0 if not known.
    scatter : str
        How even the film is, in words; empty for an instrument.
    verdict : str
        What was wrong, in sentences.
    weight : float [1]
        Trust in it as it enters the fit.
    choice : str
        What a person decided; empty if the reader's verdict stands.
    predicted : str
        Screen colour of what the fit has there; empty if it was not fitted.
    difference : float [dE00]
        Between the two.
    says : str
        That difference in words.
    interval : float [dE00]
        How far the prediction may be off, 19 times in 20.
    coats : float [coat]
        Thickness found.
    is_bare : bool
        Whether nothing is painted there.
    lab : str
        What was read as L*, a* and b* under D65, 2 degrees, to be looked for elsewhere; empty where it is not known.
    choices : tuple of (str, str)
        What a person may say of it, and how that reads.
    """

    area: str
    words: str
    read: str
    bound: float
    scatter: str
    verdict: str
    weight: float
    choice: str
    predicted: str = ""
    difference: float = 0.0
    says: str = ""
    interval: float = 0.0
    coats: float = 0.0
    is_bare: bool = False
    lab: str = ""
    choices: tuple[tuple[str, str], ...] = ()


def area_rows(desk: CardDesk, key: str, read: CardRead, fitted: Fitted | None) -> tuple[AreaRow, ...]:
    """Every area of a card as it was read, beside what the fit has there.

    Parameters
    ----------
    desk, key : CardDesk, str
        Where the card lies.
    read : CardRead
        What came of reading it.
    fitted : Fitted, optional
        The fit, where there is one.
    """
    chosen = desk.chosen(key)
    seen = {area.reading.area: area for area in read.areas}
    pairs = {pair.area: pair for pair in pair_fit(fitted.fit, fitted.readings)} if fitted else {}
    sure = _intervals(desk, key, fitted) if fitted else {}
    choices = desk.tray.find(key).choices
    rows = (
        _row(
            reading,
            chosen,
            seen.get(reading.area),
            choices.get(reading.area, ""),
            pairs.get(reading.area),
            sure,
        )
        for reading in chosen.readings
    )
    asked = read.readings.readings
    return tuple(
        replace(row, words=area_words(meant), choices=choices_for(meant, asked))
        for row, meant in zip(rows, asked, strict=True)
    )


def _row(
    reading: Reading,
    card: CardReadings,
    seen: AreaSeen | None,
    choice: str,
    pair: Pair | None,
    sure: dict[str, float],
) -> AreaRow:
    known = seen is not None and np.isfinite(seen.bound_de00)
    bound = seen.bound_de00 if seen is not None and known else 0.0
    row = AreaRow(
        area=reading.area,
        words=area_words(reading),
        read=_screen(reading, card),
        bound=bound,
        scatter=say_scatter(seen.scatter) if seen is not None and not reading.is_bare else "",
        verdict=" ".join(fault.sentence for fault in seen.faults) if seen is not None else "",
        weight=reading.weight,
        choice=choice,
        is_bare=reading.is_bare,
        lab=_lab(reading, card),
    )
    if pair is None:
        return row
    interval = sure.get(reading.area, 0.0)
    told = say_difference(pair.difference)
    if pair.difference > float(np.hypot(bound, interval)) > 0.0:
        told += ", and more than both promise"
    return replace(
        row,
        predicted=pair.predicted,
        difference=pair.difference,
        says=told,
        interval=interval,
        coats=pair.coats,
    )


def say_scatter(scatter: float) -> str:
    """How even a film is, in words.

    Examples
    --------
    >>> say_scatter(0.02), say_scatter(0.2)
    ('even, within 2 %', 'uneven, within 20 %')
    """
    word = "even" if scatter <= SMOOTH else "somewhat uneven" if scatter <= LIVELY else "uneven"
    return f"{word}, within {100 * scatter:.0f} %"


def _screen(reading: Reading, card: CardReadings) -> str:
    spectral = card.quantity is Quantity.REFLECTANCE
    light, observer = ("D65", 2) if spectral else (card.light, card.observer)
    xyz = reflectance_to_xyz(reading.values) if spectral else reading.values
    return write_colour(xyz_to_srgb(xyz, light=light, observer=observer)[0])


def _lab(reading: Reading, card: CardReadings) -> str:
    spectral = card.quantity is Quantity.REFLECTANCE
    if not spectral and (card.light, card.observer) != ("D65", 2):
        return ""
    xyz = reflectance_to_xyz(reading.values) if spectral else reading.values
    lab = xyz_to_lab(np.maximum(xyz, 0.0), white_point("D65", 2))
    return " ".join(f"{number:.1f}" for number in lab)


def _grounds(readings: CardReadings) -> dict[str, Ground]:
    """What lies under the films; where glare lies over a bare area, the nearest colour that a surface can have."""
    try:
        return bare_grounds(readings)
    except InputError:
        bare = readings.bare()
    spectra = (
        upsample_colours(reading.values, light=readings.light, observer=readings.observer)
        for reading in bare.values()
    )
    return {
        name: Ground(spectrum.clip(0.0, 1.0), label=name)
        for name, spectrum in zip(bare, spectra, strict=True)
    }


def _intervals(desk: CardDesk, key: str, fitted: Fitted) -> dict[str, float]:
    """How far the prediction of each painted area may be off [dE00], from the covariance of the fit."""
    words = desk.tray.find(key).tube
    binder = Binder(words.binder)
    paint = Paint("this", "this", fitted.fit.optics, provenance_of(fitted.readings), (), binder)
    grounds = _grounds(fitted.readings)

    def interval(area: AreaFit) -> float:
        reading = area.reading
        parts: tuple[tuple[Paint, float], ...] = ((paint, reading.paint_parts),)
        if reading.white_parts and fitted.white is not None:
            parts = (*parts, (fitted.white, reading.white_parts))
        film = Film(parts, area.coats)
        return float(predict_look(Layering(grounds[reading.ground], (film,))).interval_de00)

    return {area.reading.area: interval(area) for area in fitted.fit.areas if not area.reading.is_bare}
