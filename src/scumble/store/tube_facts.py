"""What is said on and about a tube: price, size, stock, and who says how it lasts."""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from scumble.errors import InputError
from scumble.paint.coat import Coat, parse_coat


class LightScale(StrEnum):
    """Scale on which lightfastness is rated."""

    ASTM = "ASTM D4303"
    BLUE_WOOL = "Blue Wool"

    @property
    def ratings(self) -> tuple[str, ...]:
        """What can be said on it, the most lasting first for ASTM D4303, last for Blue Wool (ISO 105-B01)."""
        return ("I", "II", "III", "IV", "V") if self is LightScale.ASTM else tuple("12345678")


@dataclass(frozen=True, slots=True)
class Lightfastness:
    """One rating, and who gave it.

    Parameters
    ----------
    scale : LightScale
        ASTM D4303 category or Blue Wool reference.
    rating : str
        ``I`` to ``V``, or ``1`` to ``8``.
    said_by : str
        Who says so: the label, a data sheet, an own test.
    """

    scale: LightScale
    rating: str
    said_by: str

    def __post_init__(self) -> None:
        if self.rating not in self.scale.ratings:
            first, *_, last = self.scale.ratings
            raise InputError(f"lightfastness, {self.scale}", self.rating, f"{first} to {last}")
        _check_line("lightfastness, said by", self.said_by, most=200)
        if not self.said_by.strip():
            raise InputError("lightfastness, said by", self.said_by, "who says so, such as 'the label'")


@dataclass(frozen=True, slots=True)
class TubeFacts:
    """What a shop knows of a tube.

    Parameters
    ----------
    price : Decimal, optional
        Of one tube, in ``currency``.
    currency : str
        Three letters of ISO 4217; needed with a price.
    size_ml : float, optional [ml]
        Volume of paint in a tube.
    stock : int, optional
        Tubes at hand.
    shop_code : str
        The shop's own number for it.
    discontinued : bool
        Whether it can no longer be ordered.
    lightfastness : tuple of Lightfastness
        As many as are known.
    notes : str
        Anything else.
    coat : str
        How much paint a full coat is, in the words of :func:`scumble.paint.coat.parse_coat`; empty where nobody said.
    """

    price: Decimal | None = None
    currency: str = ""
    size_ml: float | None = None
    stock: int | None = None
    shop_code: str = ""
    discontinued: bool = False
    lightfastness: tuple[Lightfastness, ...] = ()
    notes: str = ""
    coat: str = ""

    def __post_init__(self) -> None:
        self._check_price()
        if self.size_ml is not None and not (math.isfinite(self.size_ml) and 0 < self.size_ml <= 1e6):
            raise InputError("size_ml", self.size_ml, "millilitres above 0, such as 37")
        if self.stock is not None and not 0 <= self.stock <= 1_000_000:
            raise InputError("stock", self.stock, "a whole number of tubes from 0 to 1000000")
        object.__setattr__(self, "shop_code", self.shop_code.strip())
        _check_line("shop_code", self.shop_code, most=80)
        object.__setattr__(self, "notes", clean_notes(self.notes))
        object.__setattr__(self, "coat", " ".join(self.coat.split()))
        _check_line("coat", self.coat, most=80)
        self.full_coat()

    def full_coat(self) -> Coat | None:
        """How much paint a full coat is, None where nobody said.

        Raises
        ------
        InputError
            If it was said in other words than can be read.
        """
        return parse_coat(self.coat) if self.coat else None

    def _check_price(self) -> None:
        if self.currency and not (
            len(self.currency) == 3 and self.currency.isascii() and self.currency.isupper()
        ):
            raise InputError("currency", self.currency, "three capitals, such as EUR")
        if self.price is None:
            return
        if not self.price.is_finite() or not 0 <= self.price < Decimal(10**12) or len(f"{self.price:f}") > 20:
            raise InputError("price", self.price, "an amount of 0 or more, such as 12.50")
        if not self.currency:
            raise InputError("currency", "", "three capitals beside a price, such as EUR")


def _check_line(field: str, said: str, *, most: int) -> None:
    if len(said) > most or not said.isprintable():
        raise InputError(field, said, f"at most {most} characters on one line")


def clean_notes(said: str) -> str:
    """Notes with plain line ends and no blanks around them.

    Raises
    ------
    InputError
        If they are longer than 20,000 characters or hold signs that are no text.
    """
    if not said:
        return ""
    plain = said.replace("\r\n", "\n").replace("\r", "\n").strip()
    whole = plain.encode("utf-8", "replace").decode("utf-8") == plain
    if len(plain) > 20_000 or not whole or any(ord(sign) < 32 and sign not in "\n\t" for sign in plain):
        raise InputError("notes", said, "at most 20000 characters of text")
    return plain
