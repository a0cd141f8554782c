"""The picture a card was read from, as it came, with the outlines that were found in it."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field

from scumble.errors import InputError

Outline = tuple[tuple[float, float], ...]
"""Corners of an area [pixel], in order."""

_MEDIA_TYPE = re.compile(r"image/[a-z0-9][a-z0-9.+-]*")


@dataclass(frozen=True, slots=True)
class Picture:
    """A photograph or scan of a card.

    Parameters
    ----------
    content : bytes
        The file, unchanged.
    media_type : str
        What it is, e.g. ``image/jpeg``.
    outlines : mapping of str to tuple of (float, float)
        Corners of each area in the picture [pixel].
    """

    content: bytes
    media_type: str
    outlines: Mapping[str, Outline] = field(default_factory=dict)

    def __post_init__(self) -> None:
        if not self.content:
            raise InputError("picture", "nothing", "the content of a picture file")
        if not _MEDIA_TYPE.fullmatch(self.media_type):
            raise InputError("media_type", self.media_type, "a picture's, such as image/jpeg")
        plain = {
            area: tuple((float(x), float(y)) for x, y in corners) for area, corners in self.outlines.items()
        }
        object.__setattr__(self, "outlines", plain)
