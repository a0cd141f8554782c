"""The serial of a printed card, and the code a machine reads it from.

A serial tells two cards of the same layout apart, so that a card is known again: seven characters of the 32 that are
not easily mistaken for each other (no I, L, O, U), and a check character that is none of I, L and O.

*Source:* check character by ISO/IEC 7064:2003 MOD 37,36 (hybrid system, from memory): it finds every single wrong
character and nearly all exchanges of neighbours. Code: QR, ISO/IEC 18004, version 1, error correction Q (a quarter
of it may be splashed).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from scumble.card.sheet.layouts import PLANS
from scumble.errors import InputError

ALPHABET: Final = "0123456789ABCDEFGHJKMNPQRSTVWXYZ"
"""What the first seven characters are drawn from."""

_ALL: Final = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ"
LENGTH: Final = 7
SERIALS: Final = len(ALPHABET) ** LENGTH
"""How many serials there are."""

_ALIKE: Final = str.maketrans("ILO", "110")
_MARK: Final = "SC"
"""Begins every code, so that another QR code on the table is not taken for a card's."""

MODULES: Final = 21
"""Modules along a side."""


@dataclass(frozen=True, slots=True)
class CardCode:
    """What the code on a card says.

    Parameters
    ----------
    layout : str
        Name of its layout.
    serial : str
        Eight characters, with the check character.
    """

    layout: str
    serial: str

    @property
    def text(self) -> str:
        """What is encoded.

        Examples
        --------
        >>> CardCode("full", new_serial(0)).text
        'SC-F2-0000000H'
        """
        return f"{_MARK}-{PLANS[self.layout].code}-{self.serial}"


def new_serial(number: int) -> str:
    """The serial of a number, or of the next one whose check character is not easily mistaken.

    Parameters
    ----------
    number : int
        0 to 32**7 - 1; drawn at random it is unlikely to come twice: one chance in a hundred among 26,000 cards.

    Examples
    --------
    >>> new_serial(123456789)
    '03NQK8NG'
    """
    body, rest = "", number
    for _ in range(LENGTH):
        rest, place = divmod(rest, len(ALPHABET))
        body = ALPHABET[place] + body
    check = _check_character(body)
    return new_serial((number + 1) % SERIALS) if check in "ILO" else body + check


def known_serial(text: str) -> str:
    """A serial as somebody typed it, made plain.

    Parameters
    ----------
    text : str
        Capitals or not, with or without blanks and dashes; O for 0 and I or L for 1 are understood.

    Raises
    ------
    InputError
        If it is no serial: too short, too long, or its check character does not fit.

    Examples
    --------
    >>> known_serial("o3nq-k8ng")
    '03NQK8NG'
    """
    plain = "".join(text.upper().split()).replace("-", "")
    plain = plain.translate(_ALIKE)
    body, check = plain[:LENGTH], plain[LENGTH:]
    good = len(plain) == LENGTH + 1 and set(body) <= set(ALPHABET)
    if not good or _check_character(body) != check:
        raise InputError(
            "serial", text, "the eight characters printed under the card's code", "Check them one by one."
        )
    return plain


def spelled(serial: str) -> str:
    """A serial in two groups, as it is printed.

    Examples
    --------
    >>> spelled("03NQK8NG")
    '03NQ-K8NG'
    """
    return f"{serial[:4]}-{serial[4:]}"


def _check_character(body: str) -> str:
    """ISO/IEC 7064 MOD 37,36."""
    carried = 36
    for character in body:
        carried = (carried + _ALL.index(character)) % 36 or 36
        carried = carried * 2 % 37
    return _ALL[(37 - carried) % 36]


def code_cells(code: CardCode) -> tuple[tuple[bool, ...], ...]:
    """Modules of the code row by row, true where black, without the quiet zone."""
    import segno

    drawn = segno.make_qr(code.text, version=1, error="q", boost_error=False, mask=0)
    return tuple(tuple(bool(module) for module in row) for row in drawn.matrix)


def code_of_text(text: str) -> CardCode | None:
    """What a code read by any reader says; ``None`` if it is not a card's, or is damaged.

    Examples
    --------
    >>> code_of_text("SC-F2-03NQK8NG")
    CardCode(layout='full', serial='03NQK8NG')
    >>> code_of_text("SC-F2-03NQK8NT") is None, code_of_text("https://example.org") is None
    (True, True)
    """
    parts = text.split("-")
    layouts = {plan.code: layout for layout, plan in PLANS.items() if plan.code}
    if len(parts) != 3 or parts[0] != _MARK or parts[1] not in layouts:
        return None
    try:
        return CardCode(layouts[parts[1]], known_serial(parts[2]))
    except InputError:
        return None


def read_code(grey: NDArray[np.uint8]) -> CardCode | None:
    """Look for a card's code in a picture, or in the part of one where it must lie.

    Parameters
    ----------
    grey : array of uint8, shape (height, width)
        Rows of grey values.
    """
    import zxingcpp

    formats: Any = zxingcpp.BarcodeFormat.QRCode
    for found in zxingcpp.read_barcodes(np.ascontiguousarray(grey), formats=formats):
        code = code_of_text(found.text)
        if code is not None:
            return code
    return None
