"""Files that are whole or not there: where the shelf lies, and writing without leaving halves."""

from __future__ import annotations

import os
from pathlib import Path

from scumble.errors import InputError


def shelf_path(given: Path | None) -> Path:
    """The shelf that was asked for, or the person's own."""
    if given is not None:
        return given
    from platformdirs import user_data_path

    return user_data_path("scumble", appauthor=False) / "shelf.sqlite"


def write_whole(path: Path, content: bytes) -> None:
    """Write a file so that it is never seen half-written.

    Raises
    ------
    InputError
        If the folder is missing or cannot be written.
    """
    unfinished = path.with_name(f".{path.name}.{os.getpid()}.unfinished")
    try:
        unfinished.write_bytes(content)
        unfinished.replace(path)
    except OSError as error:
        said = error.strerror or str(error)
        raise InputError("out", str(path), "a file in a folder that can be written", said) from None
    finally:
        unfinished.unlink(missing_ok=True)
