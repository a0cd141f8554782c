"""How large a picture file is, as it will be shown, without decoding it."""

from __future__ import annotations

import struct
from collections.abc import Iterator
from struct import unpack_from

PNG_START = b"\x89PNG\r\n\x1a\n"
FRAME_HEADERS = frozenset({*range(0xC0, 0xD0)} - {0xC4, 0xC8, 0xCC})
"""JPEG markers that open a frame and carry its size. *Source:* ISO/IEC 10918-1, Table B.1."""

EXIF, START_OF_SCAN, ORIENTATION_TAG = 0xE1, 0xDA, 0x0112


def picture_size(content: bytes) -> tuple[int, int] | None:
    """Width and height of a JPEG or PNG in pixels, turned upright as a browser does.

    Parameters
    ----------
    content : bytes
        The file.

    Returns
    -------
    tuple of int, or None
        None for any other file, or a broken one.

    Notes
    -----
    *Source:* ISO/IEC 10918-1 (JPEG), ISO/IEC 15948 (PNG), CIPA DC-008 (Exif orientation, tag 274).

    Examples
    --------
    >>> picture_size(b"\\x89PNG\\r\\n\\x1a\\n" + b"\\0\\0\\0\\rIHDR" + b"\\0\\0\\0\\x07\\0\\0\\0\\x05")
    (7, 5)
    """
    try:
        if content.startswith(PNG_START):
            width, height = unpack_from(">II", content, 16)
            return width, height
        return _jpeg_size(content) if content.startswith(b"\xff\xd8") else None
    except struct.error:
        return None


def _jpeg_size(content: bytes) -> tuple[int, int] | None:
    turned = False
    for marker, start, end in _segments(content):
        if marker == EXIF and content[start : start + 6] == b"Exif\0\0":
            turned = _orientation(content[start + 6 : end]) >= 5
        if marker in FRAME_HEADERS:
            height, width = unpack_from(">HH", content, start + 1)
            return (height, width) if turned else (width, height)
    return None


def _segments(content: bytes) -> Iterator[tuple[int, int, int]]:
    """Marker, start and end of the segments before the picture data."""
    place = 2
    while place + 4 <= len(content):
        if content[place] != 0xFF:
            return
        marker = content[place + 1]
        if marker == 0xFF or 0xD0 <= marker <= 0xD8 or marker == 0x01:
            place += 1 if marker == 0xFF else 2
            continue
        if marker == START_OF_SCAN:
            return
        (length,) = unpack_from(">H", content, place + 2)
        yield marker, place + 4, place + 2 + length
        place += 2 + max(length, 2)


def _orientation(tiff: bytes) -> int:
    """Orientation 1 to 8 of a TIFF block; 1 when it says nothing."""
    order = "<" if tiff[:2] == b"II" else ">"
    (directory,) = unpack_from(order + "I", tiff, 4)
    (entries,) = unpack_from(order + "H", tiff, directory)
    for number in range(entries):
        tag, _, _, value = unpack_from(order + "HHIH", tiff, directory + 2 + 12 * number)
        if tag == ORIENTATION_TAG:
            return int(value)
    return 1
