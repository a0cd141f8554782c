"""Which kind of picture file this is, told by its first bytes and not by its name."""

from __future__ import annotations

import struct
from typing import Final

RAW: Final = "camera raw"
HEIC: Final = "HEIC"

_RAW_STARTS: Final = (
    b"FUJIFILMCCD-RAW",
    b"IIRO",
    b"IIRS",
    b"MMOR",
    b"IIU\x00",
    b"II\x1a\x00\x00\x00HEAPCCDR",
)
"""First bytes of camera raw files that are no TIFF (*common practice, no source*)."""

_HEIC_BRANDS: Final = (b"heic", b"heix", b"heim", b"heis", b"mif1", b"msf1", b"hevc")
"""Brands of ISO/IEC 23008-12, and of films in the same box, which its reader then refuses."""

_DNG_VERSION: Final = 50706
_NEW_SUBFILE_TYPE: Final = 254
_PHOTOMETRIC: Final = 262
_SUB_DIRECTORIES: Final = 330
_SENSOR_VALUES: Final = (32803, 34892)
"""Photometric interpretations of a colour filter mosaic and of linear sensor values (TIFF/EP, DNG 1.7, from memory)."""

_MEDIA_TYPES: Final = {
    "JPEG": "image/jpeg",
    "PNG": "image/png",
    "TIFF": "image/tiff",
    HEIC: "image/heic",
    RAW: "image/x-raw",
}


def picture_kind(start: bytes) -> str:
    """``JPEG``, ``PNG``, ``TIFF``, ``HEIC``, ``camera raw``, or nothing for a file that is none of these.

    Parameters
    ----------
    start : bytes
        The beginning of the file, or all of it; a raw file shows itself in the first few kilobytes.

    Examples
    --------
    >>> picture_kind(bytes.fromhex("ffd8ffe0")), picture_kind(b"area,film")
    ('JPEG', '')
    """
    if start.startswith(b"\xff\xd8\xff"):
        return "JPEG"
    if start.startswith(b"\x89PNG\r\n\x1a\n"):
        return "PNG"
    if start[4:12] == b"ftypcrx " or start.startswith(_RAW_STARTS):
        return RAW
    if start[4:8] == b"ftyp" and start[8:12] in _HEIC_BRANDS:
        return HEIC
    if start[:4] in (b"II*\x00", b"MM\x00*"):
        return RAW if _is_raw_tiff(start) else "TIFF"
    return ""


def media_type_of(start: bytes) -> str | None:
    """Media type of a picture file by its beginning; ``None`` for anything else."""
    return _MEDIA_TYPES.get(picture_kind(start))


def _is_raw_tiff(start: bytes) -> bool:
    """Whether the first directory of a TIFF is that of a camera raw file."""
    if start[8:10] == b"CR":
        return True
    tags = _first_directory(start)
    if _DNG_VERSION in tags or tags.get(_PHOTOMETRIC) in _SENSOR_VALUES:
        return True
    # Raw files of other makers begin with a small copy and keep the sensor's values in a directory below it.
    return tags.get(_NEW_SUBFILE_TYPE) == 1 and _SUB_DIRECTORIES in tags


def _first_directory(start: bytes) -> dict[int, int]:
    """Tags of the first directory with the number that stands in each entry; what lies beyond the end is left out."""
    order = "<" if start[:2] == b"II" else ">"
    tags: dict[int, int] = {}
    try:
        (place,) = struct.unpack_from(order + "I", start, 4)
        (count,) = struct.unpack_from(order + "H", start, place)
        for number in range(count):
            tag, kind = struct.unpack_from(order + "HH", start, place + 2 + 12 * number)
            value = struct.unpack_from(order + ("H" if kind == 3 else "I"), start, place + 10 + 12 * number)
            tags[tag] = value[0]
    except struct.error:
        pass
    return tags
