"""What the page of one card says: its picture with every area outlined, what was read there and what is predicted."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from scumble.card.geometry import card_geometry
from scumble.card.photographed import AreaSeen
from scumble.card.words import caption
from scumble.chart.strip import write_colour
from scumble.colour import reflectance_to_xyz, xyz_to_srgb
from scumble.errors import InputError
from scumble.jobs.card_beside import Pair, area_words, pair_fit, say_difference
from scumble.jobs.card_desk import CardDesk, CardRead, CardStands
from scumble.jobs.card_file import provenance_of
from scumble.jobs.card_keep import Fitted, fit_card
from scumble.jobs.predict import bare_grounds
from scumble.jobs.task import State
from scumble.jobs.white import is_white
from scumble.paint import Binder, CardReadings, Film, Layering, Paint, Quantity, Reading, predict_look
from scumble.paint.reading import CONDITIONS
from scumble.solve.fit import AreaFit

WIDTH = 1000
"""Width of the picture in the units of its drawing, whatever its size."""

SHORT = {
    "glare": "glare",
    "blot": "shadow or blots",
    "clipped": "overexposed",
    "cut off": "beyond the picture's colours",
    "uneven": "uneven",
    "too dark": "too dark",
    "few points": "too small",
    "outside": "outside the picture",
    "unpainted": "unpainted?",
}
"""What stands at a place in the picture; the sentence stands in the list."""

SMOOTH, LIVELY = 0.04, 0.1
"""Relative scatter up to which a film is called even, and somewhat uneven."""


@dataclass(frozen=True, slots=True)
class PlacedMark:
    """An area in the picture.

    Parameters
    ----------
    area, words : str
        Its name, and what lies there.
    points : str
        Its corners, as SVG writes them.
    x, y : float
        Where its label stands.
    look : str
        ``good``, ``doubtful`` or ``out``.
    label : str
        What is wrong there, short; empty when nothing is.
    """

    area: str
    words: str
    points: str
    x: float
    y: float
    look: str
    label: str


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


@dataclass(frozen=True, slots=True)
class CardPage:
    """All that the page of a card shows.

    Parameters
    ----------
    stands : CardStands
        The card and how far it is.
    height : float
        Of the picture in units of its drawing; 0 where there is none.
    marks : tuple of PlacedMark
        Areas in the picture.
    rows : tuple of AreaRow
        Areas in the list.
    said : tuple of str
        What the fit is worth; why there is none, if there is none.
    remarks : tuple of str
        What is doubtful about the picture as a whole, and what was assumed.
    whites : tuple of (str, str)
        Short names and labels of the whites to choose from.
    labels : tuple of str
        Tubes that are on the shelf.
    binders, conditions : tuple of str
        To choose from.
    white_label : str
        The white that its tints were fitted with.
    measured : str
        How an instrument read it, in a sentence.
    again : CardStands, optional
        The picture that was taken again.
    wrong : str
        What could not be done just now.
    """

    stands: CardStands
    height: float
    marks: tuple[PlacedMark, ...]
    rows: tuple[AreaRow, ...]
    said: tuple[str, ...]
    remarks: tuple[str, ...]
    whites: tuple[tuple[str, str], ...]
    labels: tuple[str, ...]
    binders: tuple[str, ...]
    conditions: dict[str, str]
    white_label: str = ""
    measured: str = ""
    again: CardStands | None = None
    retaken: tuple[str, ...] = ()
    wrong: str = ""

    @property
    def is_over(self) -> bool:
        """Whether its reading came to an end."""
        return self.stands.state in (State.DONE, State.FAILED, State.CANCELLED)


def show_card(desk: CardDesk, key: str, *, wrong: str = "") -> CardPage:
    """Gather the page of a card.

    Raises
    ------
    InputError
        If it is not on the tray.
    """
    stands = desk.stands(key)
    entries = desk.shelf.load_entries()
    fitted, said = _try_to_fit(desk, key, stands)
    read = stands.read
    choices = stands.card.choices
    return CardPage(
        stands=stands,
        height=_height(read),
        marks=_marks(read, choices) if read else (),
        rows=_rows(desk, key, read, fitted) if read else (),
        said=said,
        remarks=read.remarks if read else (),
        whites=tuple((each.key, each.label) for each in entries if is_white(each)),
        labels=tuple(each.label for each in entries),
        binders=tuple(binder.value for binder in Binder),
        conditions=CONDITIONS,
        white_label=fitted.white.label if fitted and fitted.white else "",
        measured=_measured(read.readings) if read and not read.areas else "",
        again=desk.retake_of(key),
        retaken=tuple(area for area, choice in choices.items() if choice == "retake"),
        wrong=wrong,
    )


def _try_to_fit(desk: CardDesk, key: str, stands: CardStands) -> tuple[Fitted | None, tuple[str, ...]]:
    if stands.read is None:
        return None, ()
    try:
        fitted = fit_card(desk, key)
    except InputError as error:
        return None, (str(error),)
    return fitted, fitted.said


def _height(read: CardRead | None) -> float:
    return WIDTH * read.size_px[1] / read.size_px[0] if read and read.size_px[0] else 0.0


def _marks(read: CardRead, choices: Mapping[str, str]) -> tuple[PlacedMark, ...]:
    share = WIDTH / read.size_px[0] if read.size_px[0] else 1.0
    return tuple(_mark(area, share, choices.get(area.reading.area, "")) for area in read.areas)


def _mark(area: AreaSeen, share: float, choice: str) -> PlacedMark:
    corners = [(x * share, y * share) for x, y in area.outline_px]
    weight = {"accept": 1.0, "": area.reading.weight}.get(choice, 0.0)
    look = "out" if weight == 0.0 else "doubtful" if weight < 1.0 else "good"
    label = "; ".join(SHORT.get(fault.kind, fault.kind) for fault in area.faults)
    if choice:
        label = {"accept": "accepted", "leave out": "left out", "retake": "to be retaken"}[choice]
    return PlacedMark(
        area.reading.area,
        area_words(area.reading),
        " ".join(f"{x:.1f},{y:.1f}" for x, y in corners),
        round(sum(x for x, _ in corners) / 4, 1),
        round(sum(y for _, y in corners) / 4, 1),
        look,
        label,
    )


def _rows(desk: CardDesk, key: str, read: CardRead, fitted: Fitted | None) -> tuple[AreaRow, ...]:
    chosen = desk.chosen(key)
    seen = {area.reading.area: area for area in read.areas}
    pairs = {pair.area: pair for pair in pair_fit(fitted.fit, fitted.readings)} if fitted else {}
    sure = _intervals(desk, key, fitted) if fitted else {}
    choices = desk.tray.find(key).choices
    return tuple(
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


def _intervals(desk: CardDesk, key: str, fitted: Fitted) -> dict[str, float]:
    """How far the prediction of each painted area may be off [dE00], from the covariance of the fit."""
    words = desk.tray.find(key).tube
    binder = Binder(words.binder)
    paint = Paint("this", "this", fitted.fit.optics, provenance_of(fitted.readings), (), binder)
    try:
        grounds = bare_grounds(fitted.readings)
    except InputError:
        # A bare area of a colour that no surface has says nothing of what lies under a film.
        return {}

    def interval(area: AreaFit) -> float:
        reading = area.reading
        parts: tuple[tuple[Paint, float], ...] = ((paint, reading.paint_parts),)
        if reading.white_parts and fitted.white is not None:
            parts = (*parts, (fitted.white, reading.white_parts))
        film = Film(parts, area.coats)
        return float(predict_look(Layering(grounds[reading.ground], (film,))).interval_de00)

    return {area.reading.area: interval(area) for area in fitted.fit.areas if not area.reading.is_bare}


def _measured(readings: CardReadings) -> str:
    """How an instrument read a card, in a sentence."""
    what = "spectra" if readings.quantity is Quantity.REFLECTANCE else "colours"
    said = [f"Read by instrument as {what}"]
    said.append(
        f"condition {readings.condition} ({CONDITIONS[readings.condition]})"
        if readings.condition
        else "measurement condition not known"
    )
    said.append(f"over {readings.backing} backing" if readings.backing else "backing not known")
    return ", ".join(said) + "."


def map_areas(layout: str, page: str = "A4") -> tuple[PlacedMark, ...]:
    """The areas of a printed card, to be chosen by clicking; in millimetres.

    Raises
    ------
    InputError
        If there is no such layout.
    """
    return tuple(
        PlacedMark(
            area.name,
            caption(area.film, area.ground)[0].upper() + caption(area.film, area.ground)[1:],
            " ".join(f"{x:.1f},{y:.1f}" for x, y in area.box.corners_mm),
            area.box.x_mm + area.box.width_mm / 2,
            area.box.y_mm + area.box.height_mm / 2,
            "good",
            "",
        )
        for area in card_geometry(layout, page).areas
    )
