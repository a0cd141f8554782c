"""A card as an instrument read it, whether its file says what lies in each area or only names samples."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path

from scumble.card.sheet.geometry import card_geometry
from scumble.errors import InputError
from scumble.jobs.cards.map_samples import (
    SamplePlaces,
    areas_in_order,
    given_by_name,
    likeliest_layout,
    map_samples,
    spellings,
)
from scumble.store.file_text import decode_text, load_bytes
from scumble.store.readings.cgats import describes_areas, is_cgats
from scumble.store.readings.columns import has_roles
from scumble.store.readings.cxf import has_tags
from scumble.store.readings.readings_file import load_readings
from scumble.store.readings.rows import ReadingsFile
from scumble.store.readings.samples import PlacedArea, Samples, card_of_samples, load_samples


@dataclass(frozen=True, slots=True)
class SampleRequest:
    """What a person says of a file of samples; all of it may be left out.

    Parameters
    ----------
    layout : str
        Of the card they were read on; the likeliest when left empty.
    said : tuple of str
        ``SAMPLE=AREA`` for samples whose names do not tell.
    in_order : bool
        Whether the samples are the areas of the card in the order in which it is painted.
    condition : str
        Measurement condition to take, M0 to M3, where the file holds several.
    """

    layout: str = ""
    said: tuple[str, ...] = ()
    in_order: bool = False
    condition: str = ""


PLAIN_REQUEST = SampleRequest()


def load_instrument_card(path: Path, request: SampleRequest = PLAIN_REQUEST) -> ReadingsFile:
    """Read a card from a file of readings, or of samples that are placed on a printed card.

    Parameters
    ----------
    path : Path
        CSV, CGATS.17 or CxF3.
    request : SampleRequest
        How samples are placed, where the file does not say what lies in each area.

    Returns
    -------
    ReadingsFile
        The card; its doubts say how each sample was placed.

    Raises
    ------
    InputError
        If the file cannot be read, or too few of its samples find a place.
    """
    if request == PLAIN_REQUEST and _says_what_lies_where(path):
        return load_readings(path)
    samples = load_samples(path, condition=request.condition)
    try:
        places = place_samples(samples, request)
    except InputError:
        if request == PLAIN_REQUEST and samples.kind == "CGATS.17":
            # The card of nobody's printing: its names themselves say film and ground.
            return load_readings(path)
        raise
    card = card_of_samples(samples, layout_areas(places.layout), places.places)
    return ReadingsFile(card.readings, (*places.sentences, *card.doubts))


def place_samples(samples: Samples, request: SampleRequest = PLAIN_REQUEST) -> SamplePlaces:
    """Where the samples of a file were read.

    Raises
    ------
    InputError
        If no bare and no painted area is among the places that were found.
    """
    given = given_by_name(request.said, samples.names)
    layout = request.layout or likeliest_layout(samples.names, given=given)
    if request.in_order:
        given = areas_in_order(samples.names, layout=layout) | given
    places = map_samples(samples.names, layout=layout, given=given)
    _check_enough(samples, places)
    return places


def layout_areas(layout: str) -> tuple[PlacedArea, ...]:
    """The areas of a printed card as samples are placed on them."""
    return tuple(
        PlacedArea(area.name, area.film, area.paint_parts, area.white_parts, area.ground)
        for area in card_geometry(layout).areas
    )


def _says_what_lies_where(path: Path) -> bool:
    """Whether a file describes its areas by itself."""
    content = load_bytes(path)
    if content.removeprefix(b"\xef\xbb\xbf").lstrip().startswith(b"<"):
        return has_tags(content)
    text, _ = decode_text(content)
    return describes_areas(text) if is_cgats(text) else has_roles(text)


def _check_enough(samples: Samples, places: SamplePlaces) -> None:
    """Refuse a mapping that leaves no card."""
    areas = {area.name: area for area in card_geometry(places.layout).areas}
    found: Mapping[str, bool] = {area: areas[area].is_bare for area in places.places.values()}
    if any(found.values()) and not all(found.values()):
        return
    shown = ", ".join(samples.names[:6]) + (" ..." if len(samples.names) > 6 else "")
    allowed = f"names such as {', '.join(list(spellings(places.layout))[:9])} of the {places.layout} card"
    hint = "Name the areas with --map SAMPLE=AREA, or click them on the Cards page."
    raise InputError("samples", f"{len(samples.names)} samples: {shown}", allowed, hint)
