"""Files that are handed in: how large they may be, what they are, and a name that is only ever shown."""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass

from starlette.datastructures import UploadFile

from scumble.errors import ScumbleError

MOST_BYTES = 120_000_000
"""Of one file, unless its page says otherwise: a scan of A4 at 600 dots per inch in TIFF has 105 MB."""

LONGEST_NAME = 80

_STARTS = (
    (b"\xff\xd8\xff", "image/jpeg"),
    (b"\x89PNG\r\n\x1a\n", "image/png"),
    (b"II*\x00", "image/tiff"),
    (b"MM\x00*", "image/tiff"),
    (b"PK\x03\x04", "application/zip"),
    (b"%PDF", "application/pdf"),
    (b"GIF8", "image/gif"),
    (b"SQLite format 3\x00", "application/vnd.sqlite3"),
)
"""First bytes of files. *Source:* ISO/IEC 10918-1, ISO/IEC 15948, TIFF 6.0, ISO/IEC 21320-1, ISO 32000-1, GIF89a,
SQLite file format 3."""

_HEIF_BRANDS = (b"heic", b"heix", b"hevc", b"mif1", b"msf1", b"heim", b"heis")
"""*Source:* ISO/IEC 23008-12, brands in the box ``ftyp``."""


class TooLargeError(ScumbleError):
    """A file or a request is larger than is taken in; answered with status 413.

    Parameters
    ----------
    name : str
        What was handed in.
    most_bytes : int
        What is allowed.
    """

    def __init__(self, name: str, most_bytes: int) -> None:
        super().__init__(f"{name} is larger than {most_bytes / 1e6:g} MB. Hand in a smaller copy.")


@dataclass(frozen=True, slots=True)
class Upload:
    """A file that was handed in.

    Parameters
    ----------
    content : bytes
        All of it.
    name : str
        Its name without folders or odd signs, to be shown; it never becomes a path.
    media_type : str
        What its first bytes say; what the browser says is not believed.
    """

    content: bytes
    name: str
    media_type: str


def receive_upload(file: UploadFile, *, most_bytes: int = MOST_BYTES) -> Upload:
    """Take in one file.

    Parameters
    ----------
    file : UploadFile
        From a form.
    most_bytes : int
        How large it may be.

    Raises
    ------
    TooLargeError
        If it is larger.
    """
    name = safe_name(file.filename or "")
    content = file.file.read(most_bytes + 1)
    if len(content) > most_bytes:
        raise TooLargeError(name, most_bytes)
    return Upload(content, name, sniff_media_type(content))


def safe_name(given: str) -> str:
    """A name to show: without folders, control signs and reversed writing, and not too long.

    Examples
    --------
    >>> safe_name("../../etc/pass\\x00wd"), safe_name("C:\\\\cards\\\\Blue (2).JPG"), safe_name("")
    ('passwd', 'Blue (2).JPG', 'unnamed')
    """
    last = re.split(r"[/\\]", unicodedata.normalize("NFC", given))[-1]
    shown = "".join(
        sign for sign in last if unicodedata.category(sign)[0] not in "C" and sign not in '<>:"|?*'
    )
    shown = shown.strip(" .")
    if len(shown) > LONGEST_NAME:
        stem, dot, ending = shown.rpartition(".")
        ending = dot + ending if stem and len(ending) <= 8 else ""
        shown = shown[: LONGEST_NAME - len(ending)] + ending
    return shown or "unnamed"


def sniff_media_type(content: bytes) -> str:
    """What a file is by its first bytes; text is ``text/plain``, anything unknown ``application/octet-stream``.

    Examples
    --------
    >>> sniff_media_type(b"\\xff\\xd8\\xff\\xe0"), sniff_media_type(b"area,film\\n"), sniff_media_type(b"\\x00\\x01")
    ('image/jpeg', 'text/plain', 'application/octet-stream')
    """
    for start, kind in _STARTS:
        if content.startswith(start):
            return kind
    if content[4:8] == b"ftyp" and content[8:12] in _HEIF_BRANDS:
        return "image/heic"
    if content[:4] == b"RIFF" and content[8:12] == b"WEBP":
        return "image/webp"
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        return "text/plain"
    head = content[:2048]
    if head.removeprefix(b"\xef\xbb\xbf").lstrip().startswith(b"<?xml"):
        return "application/xml"
    return "application/octet-stream" if not head or b"\x00" in head else "text/plain"
