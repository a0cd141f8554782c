"""A paint as a list shows it: everything but its optics and how well they are known."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from scumble.paint import Binder, Provenance


@dataclass(frozen=True, slots=True)
class Entry:
    """One version of a paint.

    Parameters
    ----------
    key, label : str
        As in `Paint`.
    provenance : Provenance
        Where its optics come from.
    pigments : tuple of str
        Colour Index names.
    binder : Binder
        What holds the pigment.
    version : int
        Counted from 1.
    saved_at : datetime
        When this version was saved, UTC.
    """

    key: str
    label: str
    provenance: Provenance
    pigments: tuple[str, ...]
    binder: Binder
    version: int
    saved_at: datetime
