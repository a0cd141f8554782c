"""A file that is handed in to read proofs by: a photograph of their sheet, or what an instrument wrote."""

from __future__ import annotations

from scumble.jobs.proofs.read_instrument import ReadFile, read_instrument
from scumble.jobs.proofs.read_sheet import read_sheet
from scumble.store.shelf import Shelf


def hand_in(shelf: Shelf, content: bytes, media_type: str, *, sheet: str = "") -> ReadFile:
    """Read proofs from a file, whichever it is.

    Parameters
    ----------
    shelf : Shelf
        Open.
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
        return read_sheet(shelf, content, media_type, sheet=sheet)
    return read_instrument(shelf, content, sheet=sheet)
