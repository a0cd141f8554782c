"""A file that is handed in to read proofs by: a photograph of their sheet, or what an instrument wrote."""

from __future__ import annotations

from scumble.jobs.cards.desk import CardDesk
from scumble.jobs.proofs.read_instrument import ReadFile, read_instrument
from scumble.jobs.proofs.read_sheet import read_sheet


def hand_in(desk: CardDesk, content: bytes, media_type: str, *, sheet: str = "") -> ReadFile:
    """Read proofs from a file, whichever it is; a photograph by the target or profile that cards are read by.

    Parameters
    ----------
    desk : CardDesk
        Of the open shelf.
    content : bytes
        The whole file.
    media_type : str
        What its first bytes say.
    sheet : str
        Serial of the sheet, where it cannot be read off a photograph, or the boxes of a file need it.

    Raises
    ------
    InputError, CardError, StoreError
        If nothing in it is a proof's, or the shelf cannot be written.
    """
    if media_type.startswith("image/") or (
        media_type == "application/octet-stream" and len(content) > 100_000
    ):
        colour = desk.aids.options(desk.aids.chosen())
        return read_sheet(desk.shelf, content, media_type, sheet=sheet, colour=colour)
    return read_instrument(desk.shelf, content, sheet=sheet)
