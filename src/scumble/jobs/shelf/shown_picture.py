"""A picture of the shelf as a browser can show it: as it came, or a small copy where browsers cannot or need not."""

from __future__ import annotations

from collections import OrderedDict
from dataclasses import dataclass
from hashlib import sha256
from threading import Lock

from scumble.errors import CardError
from scumble.jobs.picture_size import picture_size
from scumble.store.picture import Picture

SHOWN_TYPES = frozenset({"image/jpeg", "image/png"})
"""Kinds of picture that every browser shows."""

KINDS = {"image/x-raw": "camera raw"}
"""Kinds that are called otherwise than their media type ends."""

LARGEST_SHOWN = 1_500_000
"""Bytes of a picture up to which it is shown as it came."""

LARGEST_WHOLE = 50_000_000
"""Picture points from which a JPEG is read at a part of its size, so that its outlines hold for that."""

MOST_KEPT = 24
"""Small copies that are remembered; each takes some 400 kB."""


@dataclass(frozen=True, slots=True)
class ShownPicture:
    """A picture for a page.

    Parameters
    ----------
    content : bytes
        To be sent.
    media_type : str
        What that is.
    size_px : (int, int) [px]
        Of the upright picture in which its outlines were drawn, whatever the size of the copy.
    """

    content: bytes
    media_type: str
    size_px: tuple[int, int]


def show_picture(picture: Picture) -> ShownPicture | None:
    """A picture as it can be shown; None for one that cannot be opened any more.

    Parameters
    ----------
    picture : Picture
        Of the shelf; it stays as it is.
    """
    size = picture_size(picture.content) if picture.media_type in SHOWN_TYPES else None
    if size is not None and size[0] * size[1] <= LARGEST_WHOLE and len(picture.content) <= LARGEST_SHOWN:
        return ShownPicture(picture.content, picture.media_type, size)
    return _copies.recall(picture.content)


def shown_size(picture: Picture) -> tuple[int, int] | None:
    """Width and height of the upright picture in which outlines were drawn; None for one that cannot be opened."""
    size = picture_size(picture.content) if picture.media_type in SHOWN_TYPES else None
    if size is not None and size[0] * size[1] <= LARGEST_WHOLE:
        return size
    shown = _copies.recall(picture.content)
    return None if shown is None else shown.size_px


def kind_words(picture: Picture) -> str:
    """What file a picture is and how large, in words.

    Examples
    --------
    >>> kind_words(Picture(bytes(3_400_000), "image/heic"))
    'HEIC, 3.4 MB'
    """
    name = KINDS.get(picture.media_type, picture.media_type.removeprefix("image/").upper())
    return f"{name}, {max(len(picture.content) / 1e6, 0.1):.1f} MB"


class _Copies:
    """Small copies by the content they were drawn from, the last ones asked for; threads may share it."""

    def __init__(self) -> None:
        self._kept: OrderedDict[str, ShownPicture | None] = OrderedDict()
        self._lock = Lock()
        self._drawing = Lock()

    def recall(self, content: bytes) -> ShownPicture | None:
        key = sha256(content).hexdigest()
        # One at a time: a raw picture takes some hundred MB while it is opened.
        with self._drawing:
            with self._lock:
                if key in self._kept:
                    self._kept.move_to_end(key)
                    return self._kept[key]
            drawn = _draw(content)
            with self._lock:
                self._kept[key] = drawn
                while len(self._kept) > MOST_KEPT:
                    self._kept.popitem(last=False)
            return drawn


def _draw(content: bytes) -> ShownPicture | None:
    from scumble.card.picture.preview import draw_preview

    try:
        copy, size = draw_preview(content)
    except CardError:
        return None
    return ShownPicture(copy, "image/jpeg", size)


_copies = _Copies()
