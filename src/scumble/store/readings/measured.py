"""How a card was measured, as files of instruments say it: condition, backing, and the card's serial."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any, Final

from scumble.errors import InputError
from scumble.paint.reading import CONDITIONS
from scumble.store.readings.raw import MEASURED

LONGEST_BACKING: Final = 80

_CONDITION = re.compile(r"\bM_?([0-3])\b|\bM([0-3])(?=_)", re.IGNORECASE)

_BACKINGS: Final = {
    **dict.fromkeys(("white", "wb", "w", "white backing", "white_backing"), "white"),
    **dict.fromkeys(("black", "bb", "k", "b", "black backing", "black_backing"), "black"),
}
"""Words for the two backings of ISO 13655; others are kept as they are."""


def find_condition(said: str) -> str:
    """The measurement condition that a text names, empty if it names none or several.

    Examples
    --------
    >>> find_condition("Illumination=D50 Condition=M1"), find_condition("M0_Incandescent"), find_condition("none")
    ('M1', 'M0', '')
    """
    found = {f"M{one or other}" for one, other in _CONDITION.findall(said)}
    return found.pop() if len(found) == 1 else ""


def read_measured(header: Mapping[str, str]) -> dict[str, Any]:
    """What the words above a table say of how it was measured, checked.

    Parameters
    ----------
    header : mapping of str to str
        ``condition``, ``backing`` and ``serial``, where given; others are passed over.

    Raises
    ------
    InputError
        For a condition that is none, and for words too long to keep.

    Examples
    --------
    >>> read_measured({"condition": "m1", "backing": "Black backing", "noise": "0.01"})
    {'condition': 'M1', 'backing': 'black'}
    """
    said: dict[str, Any] = {name: header[name].strip() for name in MEASURED if header.get(name, "").strip()}
    if "condition" in said:
        found = find_condition(said["condition"])
        if not found:
            raise InputError(
                "condition", said["condition"], ", ".join(CONDITIONS), "They are those of ISO 13655."
            )
        said["condition"] = found
    if "backing" in said:
        plain = " ".join(said["backing"].split())
        said["backing"] = _BACKINGS.get(plain.lower(), plain)
        if len(plain) > LONGEST_BACKING or not plain.isprintable():
            raise InputError(
                "backing", plain[:40], f"white, black, or a few words of at most {LONGEST_BACKING} signs"
            )
    if len(said.get("serial", "")) > 8:
        raise InputError("serial", said["serial"], "the eight characters printed under the card's code")
    return said
