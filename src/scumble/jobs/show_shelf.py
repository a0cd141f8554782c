"""Show the shelf as a wall of painted strips: found by words, hung by hue, opacity, strength or name."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import partial

import numpy as np

from scumble.errors import InputError
from scumble.jobs.remember import Remembered, stamp_of
from scumble.jobs.white import white_for
from scumble.paint import Paint, Provenance
from scumble.paint.behaviour import Behaviour, predict_behaviour
from scumble.paint.thinning import WARM_HUE, Course
from scumble.paint.words import STRENGTH_WORDS, VANISHES_BELOW
from scumble.store.entry import Entry
from scumble.store.shelf import Shelf

FIRST_HUE = 108.0
"""CIELAB hue angle with which the wall begins, a greenish yellow [degree]; it runs on over red to green."""

WARM_FROM = 0.3
"""Cosine of the angle to the warm pole from which a colour is called warm, and below its negative cool."""

ILLUSTRATIVE = "illustrative"

PROVENANCE_WORDS = {
    Provenance.CARD: "read from its card",
    Provenance.INSTRUMENT: "read by instrument",
    Provenance.ILLUSTRATIVE: ILLUSTRATIVE,
}
"""Where the optics come from, in the few words that fit under a strip."""


@dataclass(frozen=True, slots=True)
class HungStrip:
    """One strip on the wall.

    Parameters
    ----------
    key, label : str
        Short name for addresses, and what the person calls it.
    pigments : tuple of str
        Colour Index names.
    mark : str
        One of the four marks of transparency.
    provenance : str
        Where the optics come from, in a few words.
    stamp : str
        Changes whenever the strip would be drawn differently.
    words : str
        The strip in words, for who cannot see it.
    tokens : frozenset of str
        What it is found by.
    hue, opacity, strength : tuple of float
        What it is hung by; smaller hangs first.
    """

    key: str
    label: str
    pigments: tuple[str, ...]
    mark: str
    provenance: str
    stamp: str
    words: str
    tokens: frozenset[str]
    hue: tuple[float, float]
    opacity: tuple[float, float]
    strength: tuple[float, float]


ORDERS: dict[str, Callable[[HungStrip], object]] = {
    "hue": lambda strip: strip.hue,
    "opacity": lambda strip: strip.opacity,
    "strength": lambda strip: strip.strength,
    "name": lambda strip: strip.label.casefold(),
}
"""What the wall can be hung by."""


@dataclass(frozen=True, slots=True)
class ShelfPage:
    """Everything the Shelf page says.

    Parameters
    ----------
    strips : tuple of HungStrip
        Those found, in order.
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
    """

    strips: tuple[HungStrip, ...]
    total: int
    order: str
    orders: tuple[str, ...]
    find: str
    only_illustrative: bool


def show_shelf(shelf: Shelf, *, order: str = "hue", find: str = "") -> ShelfPage:
    """Hang the shelf on the wall.

    Parameters
    ----------
    shelf : Shelf
        Open.
    order : str
        ``hue``, ``opacity``, ``strength`` or ``name``.
    find : str
        Words that a strip must answer to, all of them: parts of its name, Colour Index names, colour words, marks
        of transparency, *warm*, *cool*, *strong*, *illustrative* and so on.

    Raises
    ------
    InputError
        If there is no such order.
    """
    if order not in ORDERS:
        raise InputError("order", order, ", ".join(ORDERS))
    hung = hang_all(shelf)
    wanted = split_words(find)
    found = [strip for strip in hung if all(_answers(strip, word) for word in wanted)]
    return ShelfPage(
        strips=tuple(sorted(found, key=lambda strip: (ORDERS[order](strip), strip.label.casefold()))),
        total=len(hung),
        order=order,
        orders=tuple(ORDERS),
        find=find,
        only_illustrative=all(strip.provenance == ILLUSTRATIVE for strip in hung),
    )


def hang_all(shelf: Shelf) -> list[HungStrip]:
    """A strip for every paint, worked out where its version was not met before."""
    entries = shelf.load_entries()
    pairs = {entry.key: white_for(entry, entries) for entry in entries}
    stamps = {entry.key: stamp_of(entry, pairs[entry.key]) for entry in entries}
    unknown = any(stamp not in _hung for stamp in stamps.values())
    paints = {paint.key: paint for paint in shelf.load_paints()} if unknown else {}
    return [
        _hung.recall(stamps[entry.key], partial(_hang, entry, pairs[entry.key], paints)) for entry in entries
    ]


def split_words(text: str) -> list[str]:
    """Words to find by, in lower case; hyphens and colons stay inside a word.

    Examples
    --------
    >>> split_words("Transparent, PB15:3  semi-opaque")
    ['transparent', 'pb15:3', 'semi-opaque']
    """
    return re.findall(r"[^\W_]+(?:[-:][^\W_]+)*", text.casefold())


def strip_words(paint: Paint, behaviour: Behaviour, white: Paint | None) -> str:
    """A strip in words."""
    bar = "the bar shows through" if behaviour.contrast_ratio.value < 0.9 else "the bar hardly shows through"
    steps = (
        ""
        if behaviour.tinting is None
        else f" Beside it, its steps into {white.label.lower() if white else 'white'}."
    )
    return (
        f"Painted strip of {paint.label}: masstone {behaviour.masstone_name}; thinned it turns "
        f"{behaviour.undertone_name}; {behaviour.mark.value}, {bar}.{steps}"
    )


def strength_word(behaviour: Behaviour) -> str:
    """Tinting strength in a word; none for a white."""
    if behaviour.tinting is None:
        return ""
    parts = behaviour.tinting.strength_parts.value
    return next(word for bound, word in STRENGTH_WORDS if parts <= bound)


def _answers(strip: HungStrip, word: str) -> bool:
    """Whether some word of a strip begins with a wanted one."""
    return any(token.startswith(word) for token in strip.tokens)


def _hang(entry: Entry, white_of: Entry | None, paints: Mapping[str, Paint]) -> HungStrip:
    paint, white = paints[entry.key], paints[white_of.key] if white_of else None
    behaviour = predict_behaviour(paint, white=white)
    lightness, a, b = behaviour.thinning.undertone
    grey = float(behaviour.thinning.course is Course.NEUTRAL)
    around = (FIRST_HUE - np.degrees(np.arctan2(b, a))) % 360.0
    strength = behaviour.tinting.strength_parts.value if behaviour.tinting else -1.0
    return HungStrip(
        key=paint.key,
        label=paint.label,
        pigments=paint.pigments,
        mark=behaviour.mark.value,
        provenance=PROVENANCE_WORDS[paint.provenance],
        stamp=stamp_of(entry, white_of),
        words=strip_words(paint, behaviour, white),
        tokens=_tokens(paint, behaviour),
        hue=(grey, -lightness if grey else float(around)),
        opacity=(behaviour.opacity.value, 0.0),
        strength=(-strength, 0.0),
    )


def _tokens(paint: Paint, behaviour: Behaviour) -> frozenset[str]:
    thinning = behaviour.thinning
    _, a, b = thinning.undertone
    warmth = np.cos(np.arctan2(b, a) - np.radians(WARM_HUE)) if thinning.course is not Course.NEUTRAL else 0.0
    said = [
        paint.label,
        paint.key,
        *paint.pigments,
        paint.binder.value,
        paint.provenance.value,
        behaviour.mark.value,
        behaviour.masstone_name,
        behaviour.undertone_name,
        thinning.course.value,
        strength_word(behaviour),
        "warm" if warmth > WARM_FROM else "cool" if warmth < -WARM_FROM else "neutral",
        "vanishes" if behaviour.black_lightness.value < VANISHES_BELOW else "",
    ]
    words = {word for text in said for word in split_words(text)}
    names = {part for word in split_words(paint.label) for part in word.split("-")}
    return frozenset(words | names) - {"a", "is", "from"}


_hung: Remembered[HungStrip] = Remembered()
