"""Show the shelf as a wall of painted strips: found by words, narrowed, hung by hue, opacity, strength or name."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from urllib.parse import urlencode

from scumble.errors import InputError
from scumble.jobs.shelf.hung_shelf import hang_waiting
from scumble.jobs.shelf.hung_strip import (
    FIRST_HUE,
    ILLUSTRATIVE,
    PROVENANCE_WORDS,
    WARM_FROM,
    HungStrip,
    split_words,
    strength_word,
    strip_words,
)
from scumble.jobs.shelf.known_facts import facts_of, look_at_facts
from scumble.jobs.shelf.shelf_filter import NO_FACTS, ShelfFilter, filter_words, narrow
from scumble.store.shelf import Shelf
from scumble.store.tube_facts import TubeFacts

__all__ = [
    "FIRST_HUE",
    "ILLUSTRATIVE",
    "ORDERS",
    "PROVENANCE_WORDS",
    "WARM_FROM",
    "HungStrip",
    "ShelfPage",
    "hang_all",
    "show_shelf",
    "split_words",
    "strength_word",
    "strip_words",
]

STRIPS_A_PAGE = 72
"""Strips that one page of the wall shows; with their words they stay well below 100 kB."""

ORDERS: dict[str, Callable[[HungStrip], object]] = {
    "hue": lambda strip: strip.hue,
    "opacity": lambda strip: strip.opacity,
    "strength": lambda strip: strip.strength,
    "name": lambda strip: strip.label.casefold(),
}
"""What the wall can be hung by, out of the strip itself."""

BY_FACTS: dict[str, Callable[[TubeFacts], object]] = {
    "price": lambda facts: (facts.price is None, facts.price or 0),
}
"""What else it can be hung by, out of what the shop knows of a tube; tubes of which nothing is known come last."""


@dataclass(frozen=True, slots=True)
class ShelfPage:
    """Everything the Shelf page says.

    Parameters
    ----------
    strips : tuple of HungStrip
        Those found, in order; of a page, those on it.
    total : int
        How many tubes there are in all.
    order : str
        What they are hung by.
    orders : tuple of str
        What else they could be hung by.
    find : str
        The words they were found by, as given.
    only_illustrative : bool
        Whether no tube of the person's own is on the shelf yet.
    found : int
        How many were found on all pages together.
    page, pages : int
        Which page this is, counted from 1, and how many there are.
    waiting : int
        Tubes that hang nowhere yet, as they are still being worked out.
    wanted : ShelfFilter
        What the wall was narrowed to.
    choices : dict
        What it can be narrowed to, by field.
    facts : dict
        What the shop knows of the tubes shown.
    """

    strips: tuple[HungStrip, ...]
    total: int
    order: str
    orders: tuple[str, ...]
    find: str
    only_illustrative: bool
    found: int = 0
    page: int = 1
    pages: int = 1
    waiting: int = 0
    wanted: ShelfFilter = field(default_factory=ShelfFilter)
    choices: dict[str, tuple[str, ...]] = field(default_factory=dict)
    facts: dict[str, TubeFacts] = field(default_factory=dict)

    def address(self, **other: str | int) -> str:
        """Address of this wall with something changed; an empty word leaves a part out."""
        asked: dict[str, str | int] = {"order": self.order, "find": self.find}
        asked |= {name: getattr(self.wanted, name) for name in (*self.choices, "most_price")}
        return "/?" + urlencode({name: said for name, said in (asked | other).items() if said != ""})


def show_shelf(
    shelf: Shelf,
    *,
    order: str = "hue",
    find: str = "",
    wanted: ShelfFilter | None = None,
    page: int | None = None,
    most_new: int | None = None,
) -> ShelfPage:
    """Hang the shelf on the wall.

    Parameters
    ----------
    shelf : Shelf
        Open.
    order : str
        ``hue``, ``opacity``, ``strength``, ``name`` or ``price``.
    find : str
        Words that a strip must answer to, all of them: parts of its name, Colour Index names, colour words, marks
        of transparency, *warm*, *cool*, *strong*, *illustrative* and so on.
    wanted : ShelfFilter, optional
        What the wall is narrowed to.
    page : int, optional
        Which page of the wall, counted from 1; all of it by default. One beyond the last is the last.
    most_new : int, optional
        How many strips that were never worked out may be worked out now; all by default.

    Raises
    ------
    InputError
        If there is no such order.
    """
    orders = (*ORDERS, *BY_FACTS)
    if order not in orders:
        raise InputError("order", order, ", ".join(orders))
    wall, narrowed = hang_waiting(shelf, most=most_new), wanted or ShelfFilter()
    words = split_words(find)
    answering = [strip for strip in wall.strips if all(_answers(strip, word) for word in words)]
    needed = narrowed.asks_for_facts or order in BY_FACTS
    known = look_at_facts(shelf, wall) if needed else {}
    found = narrow(answering, known, narrowed)
    found.sort(key=lambda strip: (_place(strip, order, known), strip.label.casefold()))
    pages = max(1, -(-len(found) // STRIPS_A_PAGE)) if page is not None else 1
    here = min(max(page or 1, 1), pages)
    shown = found if page is None else found[(here - 1) * STRIPS_A_PAGE : here * STRIPS_A_PAGE]
    facts = known or facts_of(shelf, wall, [strip.key for strip in shown])
    return ShelfPage(
        strips=tuple(shown),
        total=len(wall.entries),
        order=order,
        orders=orders,
        find=find,
        only_illustrative=all(
            PROVENANCE_WORDS[entry.provenance] == ILLUSTRATIVE for entry in wall.entries.values()
        ),
        found=len(found),
        page=here,
        pages=pages,
        waiting=len(wall.waiting),
        wanted=narrowed,
        choices=filter_words(),
        facts={strip.key: facts.get(strip.key, NO_FACTS) for strip in shown},
    )


def hang_all(shelf: Shelf) -> list[HungStrip]:
    """A strip for every paint, worked out where its version was not met before."""
    return list(hang_waiting(shelf).strips)


def _place(strip: HungStrip, order: str, facts: Mapping[str, TubeFacts]) -> object:
    if order in BY_FACTS:
        return BY_FACTS[order](facts.get(strip.key, NO_FACTS))
    return ORDERS[order](strip)


def _answers(strip: HungStrip, word: str) -> bool:
    """Whether some word of a strip begins with a wanted one."""
    return any(token.startswith(word) for token in strip.tokens)
