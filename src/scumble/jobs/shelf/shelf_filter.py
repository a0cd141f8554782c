"""Narrow the wall: by hue, opacity, strength, permanence, binder, caution, price and stock."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, fields
from decimal import Decimal, InvalidOperation

from scumble.errors import InputError
from scumble.jobs.shelf.hung_strip import HUE_WORDS, HungStrip
from scumble.paint import Binder
from scumble.paint.caution import known_families
from scumble.paint.covering import Mark
from scumble.paint.words import STRENGTH_WORDS
from scumble.store.tube_facts import LightScale, TubeFacts

NO_FACTS = TubeFacts()

CAREFREE = "none known"
"""Asks for tubes none of whose pigments has a caution."""

LASTING = {
    "lasting": "ASTM I or II, Blue Wool 7 or 8",
    "fleeting": "ASTM III to V, Blue Wool 1 to 6",
    "not rated": "nobody has put a rating on the shelf",
}
"""Permanence to narrow by. That categories I and II serve lasting work: ASTM D4303; that 7 and 8 of the blue wools
match them: *common practice, no source*."""

STOCK = {"at hand": "one tube at least", "none left": "none", "orderable": "not discontinued"}


@dataclass(frozen=True, slots=True)
class ShelfFilter:
    """What a wall is narrowed to; an empty word leaves all.

    Parameters
    ----------
    hue, mark, strength, lasting, binder, caution, stock : str
        One word each, of those that :func:`filter_words` lists.
    most_price : str
        Highest price of a tube, in whatever currency it has.
    """

    hue: str = ""
    mark: str = ""
    strength: str = ""
    lasting: str = ""
    binder: str = ""
    caution: str = ""
    stock: str = ""
    most_price: str = ""

    def __post_init__(self) -> None:
        for name, words in filter_words().items():
            if (given := getattr(self, name)) and given not in words:
                raise InputError(name, given, ", ".join(words))
        self.price()

    @property
    def is_open(self) -> bool:
        """Whether nothing is narrowed."""
        return not any(getattr(self, each.name) for each in fields(self))

    @property
    def asks_for_facts(self) -> bool:
        """Whether it needs what the shop knows of every tube."""
        return any((self.lasting, self.stock, self.most_price.strip()))

    def price(self) -> Decimal | None:
        """The highest price, None where any will do.

        Raises
        ------
        InputError
            If it is no amount.
        """
        if not self.most_price.strip():
            return None
        try:
            price = Decimal(self.most_price.strip().replace(",", "."))
        except InvalidOperation:
            price = Decimal("NaN")
        if not (price.is_finite() and price >= 0):
            raise InputError("most_price", self.most_price, "an amount of 0 or more, such as 12.50")
        return price


def filter_words() -> dict[str, tuple[str, ...]]:
    """What can be chosen, by the filter's field."""
    return {
        "hue": HUE_WORDS,
        "mark": tuple(mark.value for mark in Mark),
        "strength": tuple(word for _, word in STRENGTH_WORDS),
        "lasting": tuple(LASTING),
        "binder": tuple(binder.value for binder in Binder),
        "caution": (CAREFREE, *known_families()),
        "stock": tuple(STOCK),
    }


def narrow(
    strips: Iterable[HungStrip], facts: Mapping[str, TubeFacts], wanted: ShelfFilter
) -> list[HungStrip]:
    """Strips that pass a filter, in their order.

    Parameters
    ----------
    strips : iterable of HungStrip
        The wall.
    facts : mapping of str to TubeFacts
        What is known of the tubes, by key.
    wanted : ShelfFilter
        What they are to be.
    """
    tests = _tests(wanted)
    return [strip for strip in strips if all(test(strip, facts.get(strip.key, NO_FACTS)) for test in tests)]


def permanence(facts: TubeFacts) -> str:
    """Whether a tube lasts in light, by the least of its ratings.

    Examples
    --------
    >>> permanence(NO_FACTS)
    'not rated'
    """
    if not facts.lightfastness:
        return "not rated"
    good = {LightScale.ASTM: ("I", "II"), LightScale.BLUE_WOOL: ("7", "8")}
    lasts = all(each.rating in good[each.scale] for each in facts.lightfastness)
    return "lasting" if lasts else "fleeting"


def _tests(wanted: ShelfFilter) -> list[Callable[[HungStrip, TubeFacts], bool]]:
    price = wanted.price()
    tests: list[tuple[str, Callable[[HungStrip, TubeFacts], bool]]] = [
        (wanted.hue, lambda strip, _: strip.hue_word == wanted.hue),
        (wanted.mark, lambda strip, _: strip.mark == wanted.mark),
        (wanted.strength, lambda strip, _: strip.strength_word == wanted.strength),
        (wanted.binder, lambda strip, _: strip.binder == wanted.binder),
        (wanted.lasting, lambda _, facts: permanence(facts) == wanted.lasting),
        (wanted.caution, lambda strip, _: _has_caution(strip, wanted.caution)),
        (wanted.stock, lambda _, facts: _in_stock(facts, wanted.stock)),
        (wanted.most_price, lambda _, facts: price is None or _costs_at_most(facts, price)),
    ]
    return [test for asked, test in tests if asked]


def _costs_at_most(facts: TubeFacts, price: Decimal) -> bool:
    return facts.price is not None and facts.price <= price


def _has_caution(strip: HungStrip, family: str) -> bool:
    return not strip.cautions if family == CAREFREE else family in strip.cautions


def _in_stock(facts: TubeFacts, asked: str) -> bool:
    if asked == "orderable":
        return not facts.discontinued
    return (facts.stock or 0) > 0 if asked == "at hand" else facts.stock == 0
