"""Which of an instrument's samples was read on which area of a card, for a person to look over and put right."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from scumble.card.sheet.geometry import LAYOUTS, card_geometry
from scumble.errors import InputError
from scumble.jobs.cards.desk import CardDesk
from scumble.jobs.cards.map_samples import likeliest_layout, map_samples
from scumble.jobs.cards.page import PlacedMark, map_areas
from scumble.jobs.cards.tray import SampleWords, TrayCard
from scumble.store.readings.samples import Samples, load_samples

HOW = {"given": "as you said", "name": "by its name", "words": "by its words", "close": "closest name"}


@dataclass(frozen=True, slots=True)
class SampleRow:
    """One sample.

    Parameters
    ----------
    at : int
        Its place in the file, counted from 0.
    name : str
        What the instrument calls it.
    area : str
        Where it was read; empty if not known.
    how : str
        How that is known.
    """

    at: int
    name: str
    area: str
    how: str


@dataclass(frozen=True, slots=True)
class SamplesPage:
    """The samples of a file and the card they are placed on.

    Parameters
    ----------
    layout : str
        Of the card.
    layouts : tuple of str
        To choose from.
    rows : tuple of SampleRow
        In the order of the file.
    areas : tuple of PlacedMark
        Of the card, in millimetres.
    size_mm : (float, float) [mm]
        Of the part of the page that it takes.
    condition, backing : str
        As a person said, or as the file does.
    wrong : str
        Why the samples cannot be listed.
    """

    layout: str
    layouts: tuple[str, ...]
    rows: tuple[SampleRow, ...]
    areas: tuple[PlacedMark, ...]
    size_mm: tuple[float, float]
    condition: str
    backing: str
    wrong: str = ""


def show_samples(desk: CardDesk, card: TrayCard) -> SamplesPage:
    """The samples of a card's file, each with the area that it is taken to lie on."""
    words = card.samples
    try:
        samples = load_samples(desk.tray.path(card.key), condition=words.condition)
    except InputError as error:
        return SamplesPage("", (), (), (), (0.0, 0.0), words.condition, words.backing, str(error))
    layout = words.layout or likeliest_layout(samples.names)
    return SamplesPage(
        layout,
        tuple(LAYOUTS),
        _rows(samples, layout, {at: area for at, area in words.areas.items() if at < len(samples.names)}),
        map_areas(layout),
        _seen_mm(layout),
        words.condition,
        words.backing,
    )


def place_samples(
    desk: CardDesk, key: str, areas: Mapping[int, str], *, layout: str, condition: str, backing: str
) -> None:
    """Write down where a person says that samples were read, and how.

    Parameters
    ----------
    areas : mapping of int to str
        Area of each sample, counted from 0; an empty one leaves it out. Areas of another card are passed over.
    layout, condition, backing : str
        Empty for what the file says.

    Raises
    ------
    InputError
        If there is no such card or layout.
    """
    known = {""} | {area.name for area in card_geometry(layout).areas} if layout else {""}
    words = SampleWords(
        layout=layout,
        areas={at: area for at, area in areas.items() if area in known},
        condition=condition,
        backing=backing,
    )
    desk.tray.change(key, samples=words)


def _seen_mm(layout: str) -> tuple[float, float]:
    """Width and height of the part of the page that the card takes."""
    geometry = card_geometry(layout)
    lowest = max(corner[1] for mark in geometry.fiducials for corner in mark.box.corners_mm)
    return geometry.page_mm[0], min(lowest + 6.0, geometry.page_mm[1])


def _rows(samples: Samples, layout: str, given: dict[int, str]) -> tuple[SampleRow, ...]:
    found = map_samples(samples.names, layout=layout, given=given)
    places = {match.sample: match for match in found.matches}
    return tuple(
        SampleRow(at, name, places[at].area, HOW[places[at].how])
        if at in places
        else SampleRow(at, name, "", "")
        for at, name in enumerate(samples.names)
    )
