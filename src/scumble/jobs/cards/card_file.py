"""A card in whichever file it comes: a photograph, a scan, or readings."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Final

from scumble.errors import InputError
from scumble.jobs.cards.instrument_card import PLAIN_REQUEST, SampleRequest, load_instrument_card
from scumble.jobs.colour_request import PLAIN_COLOUR, ColourRequest, colour_options
from scumble.paint import CardReadings, Provenance, Quantity
from scumble.paint.reading import CONDITIONS
from scumble.store.picture import Picture

if TYPE_CHECKING:
    from scumble.card.photographed import PhotographedCard

LONGEST_START: Final = 4096
"""Bytes from the beginning of a file within which a picture shows its kind."""


def load_card(
    path: Path, samples: SampleRequest = PLAIN_REQUEST, colour: ColourRequest = PLAIN_COLOUR
) -> tuple[CardReadings, Picture | None, tuple[str, ...]]:
    """Readings of a card from whichever kind of file it is, the picture they came from, and remarks.

    Parameters
    ----------
    path : Path
        A picture, or a file of readings or of an instrument's samples.
    samples : SampleRequest
        How samples are placed on a card, where the file does not say what lies in each area.
    colour : ColourRequest
        Ways to better colours than a photograph alone gives.
    """
    media_type = picture_type(path)
    if media_type is None:
        file = load_instrument_card(path, samples)
        return file.readings, None, (*how_measured(file.readings), *file.doubts)
    from scumble.card.read import read_photograph

    content = path.read_bytes()
    seen = read_photograph(content, **colour_options(colour))
    outlines = {area.reading.area: area.outline_px for area in seen.areas}
    return seen.readings, Picture(content, media_type, outlines), remarks_of(seen)


def remarks_of(seen: PhotographedCard) -> tuple[str, ...]:
    """All that is to be said of a photograph: warnings, faults of areas, what was taken for granted."""
    faults = tuple(f"Area {area.reading.area}: {area.verdict}" for area in seen.areas if area.faults)
    return (*seen.warnings, *faults, *seen.assumptions)


def how_measured(readings: CardReadings) -> tuple[str, ...]:
    """Condition and backing in a sentence, none where neither is known.

    Examples
    --------
    >>> how_measured(CardReadings((), Quantity.XYZ, condition="M1", backing="black"))
    ('Measured under M1 (daylight, ultraviolet included), over a black backing.',)
    """
    said = []
    if readings.condition:
        said.append(f"under {readings.condition} ({CONDITIONS[readings.condition]})")
    if readings.backing:
        plain = readings.backing in ("white", "black")
        said.append(f"over a {readings.backing} backing" if plain else f"backed by {readings.backing}")
    return (f"Measured {', '.join(said)}.",) if said else ()


def picture_type(path: Path) -> str | None:
    """Media type of a picture file by its first bytes; None for anything else."""
    from scumble.card.picture.kinds import media_type_of

    try:
        with path.open("rb") as file:
            start = file.read(LONGEST_START)
    except OSError as error:
        said = error.strerror or str(error)
        raise InputError("card", str(path), "a file that can be read", said) from None
    return media_type_of(start)


def provenance_of(readings: CardReadings) -> Provenance:
    """Colours come from a picture of a card, spectra from an instrument."""
    return Provenance.CARD if readings.quantity is Quantity.XYZ else Provenance.INSTRUMENT
