"""Bytes of a file somebody hands in, bounded and decoded to text."""

from __future__ import annotations

import codecs
import stat
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

from scumble.errors import InputError

LARGEST_BYTES: Final = 8_000_000
"""Largest readings file that is opened; a card of 36 bands and a hundred areas takes 40 kB."""

_MARKS: Final = (
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF16_LE, "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)

_OTHER_FILES: Final = (
    (b"PK\x03\x04", "a spreadsheet or zip archive", "Save the sheet as CSV and hand that in."),
    (b"\x89PNG", "a PNG picture", "Hand it in as the photograph of a card, not as a readings file."),
    (b"\xff\xd8\xff", "a JPEG picture", "Hand it in as the photograph of a card, not as a readings file."),
    (b"%PDF", "a PDF", "Hand in the numbers as CSV."),
)

SOME_FILE: Final = "readings file"
"""What a file is called in an error while nobody knows its name."""

_TEXT: Final = "a text file, CSV or CGATS.17"


def load_bytes(path: Path) -> bytes:
    """Read a file, but never more than `LARGEST_BYTES` of it.

    Parameters
    ----------
    path : Path
        An ordinary file.

    Raises
    ------
    InputError
        If there is none, it may not be read, it is no ordinary file, or it is too large (found out without
        reading it).
    """
    try:
        facts = path.stat()
        if stat.S_ISDIR(facts.st_mode):
            raise InputError(path.name, "a folder", _TEXT)
        if not stat.S_ISREG(facts.st_mode):
            raise InputError(path.name, "something that is not an ordinary file", _TEXT)
        _check_size(path.name, facts.st_size)
        with path.open("rb") as file:
            data = file.read(LARGEST_BYTES + 1)
    except FileNotFoundError:
        raise InputError(path.name, "no such file", _TEXT, "Check the name and the folder.") from None
    except PermissionError:
        raise InputError(path.name, "a file that may not be read", _TEXT, "Ask for its read right.") from None
    except (OSError, ValueError) as error:
        raise InputError(path.name, "a file that cannot be read", _TEXT, f"{error}.") from None
    _check_size(path.name, len(data))
    return data


@contextmanager
def said_of_file(path: Path) -> Iterator[None]:
    """Around what is read of a file: an error names the file beside the line and column.

    Raises
    ------
    InputError
        Naming the file first.
    """
    try:
        yield
    except InputError as error:
        named = error.field in (SOME_FILE, path.name)
        field = path.name if named else f"{path.name}, {error.field}"
        raise InputError(field, error.given, error.allowed, error.hint) from None


def _check_size(name: str, size: int) -> None:
    if size > LARGEST_BYTES:
        hint = "A card's readings take some kilobytes; is it the right file?"
        raise InputError(name, f"{size / 1e6:.0f} MB", f"at most {LARGEST_BYTES / 1e6:.0f} MB", hint)


def decode_text(content: str | bytes, *, name: str = SOME_FILE) -> tuple[str, tuple[str, ...]]:
    """Turn what was handed in into text with plain line ends.

    Parameters
    ----------
    content : str or bytes
        UTF-8 with or without a byte-order mark, UTF-16 with one, or Latin-1 (its Windows form, code page 1252).
    name : str
        What to call it in an error.

    Returns
    -------
    text, doubts : str, tuple of str
        Doubts say when the encoding had to be guessed.

    Raises
    ------
    InputError
        If it is empty, too large, or no text.

    Examples
    --------
    >>> decode_text(b"gr\\xfcn\\r\\n")[0]
    'grün\\n'
    """
    doubts: tuple[str, ...] = ()
    if isinstance(content, bytes):
        _check_size(name, len(content))
        content, doubts = _decode(content, name)
    else:
        _check_size(name, len(content))
    text = content.removeprefix("\ufeff").replace("\r\n", "\n").replace("\r", "\n")
    if not text.strip():
        raise InputError(name, "an empty file", _TEXT)
    _check_printable(text, name)
    return text, doubts


def _decode(data: bytes, name: str) -> tuple[str, tuple[str, ...]]:
    for start, kind, remedy in _OTHER_FILES:
        if data.startswith(start):
            raise InputError(name, kind, _TEXT, remedy)
    for mark, encoding in _MARKS:
        if data.startswith(mark):
            return _decode_strictly(data[len(mark) :], encoding, name), ()
    if b"\x00" in data[:4096]:
        raise InputError(
            name, "bytes that are no text", _TEXT, "Save it as UTF-8, or as UTF-16 with its mark."
        )
    try:
        return data.decode("utf-8"), ()
    except UnicodeDecodeError:
        pass
    try:
        text = data.decode("cp1252")
    except UnicodeDecodeError:
        text = data.decode("latin-1")
    return text, ("The file is not UTF-8; letters beyond plain English were read as Latin-1.",)


def _decode_strictly(data: bytes, encoding: str, name: str) -> str:
    try:
        return data.decode(encoding)
    except UnicodeDecodeError as error:
        hint = f"It breaks off at byte {error.start}; save it as UTF-8."
        raise InputError(name, f"broken {encoding.upper()} text", _TEXT, hint) from None


def _check_printable(text: str, name: str) -> None:
    for sign in set(text):
        # Control characters and lone surrogates never stand in a table that a person or an instrument wrote.
        if (ord(sign) < 32 and sign not in "\t\n\f") or ord(sign) == 127 or 0xD800 <= ord(sign) <= 0xDFFF:
            line = text[: text.index(sign)].count("\n") + 1
            given = f"the character U+{ord(sign):04X} in line {line}"
            raise InputError(name, given, _TEXT, "It looks like a binary file; save the table as CSV.")
