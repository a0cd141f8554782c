"""How strong a tube is in white, beside another one and beside the whole shelf."""

from __future__ import annotations

from statistics import median

from scumble.errors import InputError
from scumble.jobs.draws import standard_draws
from scumble.jobs.remember import Remembered
from scumble.jobs.shelf.fetch_tube import fetch
from scumble.jobs.shelf.hung_shelf import HungShelf
from scumble.jobs.shelf.hung_strip import HungStrip
from scumble.paint import Paint
from scumble.paint.depth import RelativeStrength, predict_relative_strength, say_relative_strength
from scumble.paint.words import Sentence
from scumble.store.drawers.entry import Entry
from scumble.store.shelf import Shelf

LEAST_OTHERS = 4
"""Tubes beside which a rank is worth telling."""


def strength_beside(shelf: Shelf, key: str, against: str) -> tuple[Paint, RelativeStrength]:
    """Another paint, and the strength of a paint beside it, worked out once for their versions.

    Parameters
    ----------
    shelf : Shelf
        Open.
    key, against : str
        Key or label of the paint and of the reference.

    Raises
    ------
    InputError
        If there is no such paint, both are one, or they cannot be tinted with one white.
    """
    paint, white, stamp = fetch(shelf, key)
    other, _, other_stamp = fetch(shelf, against)
    if other.key == paint.key:
        raise InputError("against", against, "another tube")
    if white is None or white.key in (paint.key, other.key):
        raise InputError("against", against, "two colours, and a white on the shelf to let them down with")
    strength = _strengths.recall(
        f"{stamp}-{other_stamp}",
        lambda: predict_relative_strength(paint, other, white, normals=standard_draws()),
    )
    return other, strength


def say_depth_between(shelf: Shelf, paint: Paint, other: Paint) -> tuple[Sentence, ...]:
    """How strong one tube is in white beside another; nothing where they cannot be tinted with one white."""
    try:
        _, strength = strength_beside(shelf, paint.key, other.key)
    except InputError:
        return ()
    return (say_relative_strength(strength, other.label, paint=paint.label),)


def likely_reference(wall: HungShelf, entry: Entry) -> str:
    """Key of the tube of the same binder and family of hue whose hue is nearest, empty where there is none."""
    nearest = _nearest_first(wall, entry)
    alike = nearest and nearest[0].hue_word == wall.hung[entry.key].hue_word
    return nearest[0].key if alike else ""


def possible_references(wall: HungShelf, entry: Entry, *, most: int = 60) -> tuple[str, ...]:
    """Labels of tubes that a tube's strength can be compared with, those of like hue first."""
    return tuple(each.label for each in _nearest_first(wall, entry)[:most])


def _nearest_first(wall: HungShelf, entry: Entry) -> list[HungStrip]:
    """Tubes of a tube's binder that have a strength in white: its family of hue first, and the nearest hue."""
    own = wall.hung.get(entry.key)
    if own is None or not own.strength_word:
        return []
    return sorted(
        (each for each in _tinting(wall, own) if each.key != own.key),
        key=lambda each: (each.hue_word != own.hue_word, abs(each.hue[1] - own.hue[1]), each.key),
    )


def say_among_all(wall: HungShelf, entry: Entry) -> Sentence | None:
    """Where a tube's strength in white stands among the others of its binder; None where there are too few."""
    own = wall.hung.get(entry.key)
    if own is None or not own.strength_word:
        return None
    others = [-each.strength[0] for each in _tinting(wall, own) if each.key != own.key]
    if len(others) < LEAST_OTHERS:
        return None
    weaker = sum(each < -own.strength[0] for each in others)
    return Sentence(
        "among all",
        f"Stronger in white than {weaker} of the other {len(others)} {own.binder} tubes here",
        f"{-own.strength[0]:.3g} parts of white to a pastel; the middle one of the others takes {median(others):.3g}",
        "Parts of white by volume that one part takes down to a pastel, at the most probable optics of every tube.",
    )


def _tinting(wall: HungShelf, own: HungStrip) -> list[HungStrip]:
    """Tubes of a binder that have a strength in white."""
    return [each for each in wall.strips if each.binder == own.binder and each.strength_word]


_strengths: Remembered[RelativeStrength] = Remembered()
