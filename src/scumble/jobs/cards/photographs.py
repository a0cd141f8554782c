"""Several photographs of one card, read and put together."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from scumble.errors import CardError, InputError
from scumble.jobs.cards.card_file import picture_type, remarks_of
from scumble.jobs.colour_request import PLAIN_COLOUR, ColourRequest, colour_options
from scumble.paint import CardReadings
from scumble.store.picture import Picture

MOST_PHOTOGRAPHS = 12


def load_photographs(
    paths: Sequence[Path], colour: ColourRequest = PLAIN_COLOUR
) -> tuple[CardReadings, Picture | None, tuple[str, ...]]:
    """Readings of one card from several photographs, the picture that adds most to them, and remarks.

    Parameters
    ----------
    paths : sequence of Path
        Photographs or scans of the same card.
    colour : ColourRequest
        Ways to better colours; corners of a target are looked for in each.

    Raises
    ------
    InputError, CardError
        If one is no picture, none can be read, or they show different cards. A photograph that cannot be read is left
        out, and said, while another can.
    """
    from scumble.card.combine import combine_photographs
    from scumble.card.read import read_photograph

    if len(paths) > MOST_PHOTOGRAPHS:
        raise InputError("card", f"{len(paths)} photographs", f"at most {MOST_PHOTOGRAPHS} of one card")
    if colour.corners:
        raise InputError(
            "target-corners", colour.corners, "one photograph", "They lie elsewhere in each picture."
        )
    options = colour_options(colour)
    names, seen, kinds, remarks = [], [], [], []
    for path in paths:
        kind = picture_type(path)
        if kind is None:
            allowed = "photographs, where several files are given for one card"
            raise InputError("card", path.name, allowed, "With --each every file is a card of its own.")
        try:
            seen.append((path, read_photograph(path, **options)))
        except CardError as error:
            remarks.append(f"{path.name} is left out: {error}")
            refused = error
        else:
            names.append(path.name)
            kinds.append(kind)
    if not seen:
        raise refused
    whole = combine_photographs(names, [card for _, card in seen])
    best = max(range(len(seen)), key=lambda number: whole.shares[number])
    path, card = seen[best]
    outlines = {area.reading.area: area.outline_px for area in card.areas}
    told = ", ".join(f"{name} {100 * share:.0f} %" for name, share in zip(names, whole.shares, strict=True))
    counted = f"{len(names)} photographs of one card, by what each is worth: {told}."
    picture = Picture(path.read_bytes(), kinds[best], outlines)
    return whole.readings, picture, (counted, *remarks, *whole.remarks, *remarks_of(card))
