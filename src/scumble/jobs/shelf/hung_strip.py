"""One strip on the wall: what it says, what it is found by and what it hangs by, and how it is kept."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

import numpy as np

from scumble.jobs.remember import DRAWN_BY, stamp_of
from scumble.paint import Paint, Provenance
from scumble.paint.behaviour import Behaviour, predict_behaviour
from scumble.paint.caution import pigment_families
from scumble.paint.thinning import WARM_HUE, Course
from scumble.paint.words import STRENGTH_WORDS, VANISHES_BELOW
from scumble.store.drawers.entry import Entry
from scumble.store.drawers.summary_drawer import Summary

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

HUE_WORDS = (
    "yellow",
    "orange",
    "red",
    "pink",
    "purple",
    "violet",
    "blue",
    "green",
    "brown",
    "white",
    "grey",
    "black",
)
"""Families of hue that a wall can be narrowed to, as colour names end."""


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
    made_of : (Entry, Entry or None)
        The versions of the tube and of its white.
    words : str
        The strip in words, for who cannot see it.
    tokens : tuple of str
        What it is found by.
    hue, opacity, strength : tuple of float
        What it is hung by; smaller hangs first.
    binder : str
        What holds the pigment.
    hue_word : str
        Family of hue of its masstone, one of :data:`HUE_WORDS` or empty.
    strength_word : str
        Tinting strength in a word, empty for a white.
    cautions : tuple of str
        Caution families of its pigments.
    """

    key: str
    label: str
    pigments: tuple[str, ...]
    mark: str
    provenance: str
    made_of: tuple[Entry, Entry | None]
    words: str
    tokens: tuple[str, ...]
    hue: tuple[float, float]
    opacity: tuple[float, float]
    strength: tuple[float, float]
    binder: str = ""
    hue_word: str = ""
    strength_word: str = ""
    cautions: tuple[str, ...] = ()

    @property
    def stamp(self) -> str:
        """Changes whenever the strip would be drawn differently."""
        return stamp_of(*self.made_of)


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


def hue_word(name: str) -> str:
    """Family of hue that a colour's name ends in.

    Examples
    --------
    >>> hue_word("a mid, strong yellowish green"), hue_word("a deep purplish blue"), hue_word("a black")
    ('green', 'blue', 'black')
    """
    found = [word for word in split_words(name) if word in HUE_WORDS]
    return found[-1] if found else ""


def hang_strip(paint: Paint, white: Paint | None, made_of: tuple[Entry, Entry | None]) -> HungStrip:
    """Work out the strip of a paint.

    Parameters
    ----------
    paint : Paint
        The tube.
    white : Paint or None
        What it is tinted with.
    made_of : (Entry, Entry or None)
        Their versions.
    """
    behaviour = predict_behaviour(paint, white=white)
    lightness, a, b = behaviour.thinning.undertone
    grey = float(behaviour.thinning.course is Course.NEUTRAL)
    around = (FIRST_HUE - np.degrees(np.arctan2(b, a))) % 360.0
    strength = behaviour.tinting.strength_parts.value if behaviour.tinting else -1.0
    named = hue_word(behaviour.masstone_name)
    return HungStrip(
        key=paint.key,
        label=paint.label,
        pigments=paint.pigments,
        mark=behaviour.mark.value,
        provenance=PROVENANCE_WORDS[paint.provenance],
        made_of=made_of,
        words=strip_words(paint, behaviour, white),
        tokens=_tokens(paint, behaviour),
        hue=(grey, -float(lightness) if grey else float(around)),
        opacity=(float(behaviour.opacity.value), 0.0),
        strength=(-float(strength), 0.0),
        binder=paint.binder.value,
        hue_word=named if named != "black" or grey else hue_word(behaviour.undertone_name) or named,
        strength_word=strength_word(behaviour),
        cautions=_families(paint.pigments),
    )


def strip_to_summary(strip: HungStrip, white: Entry | None) -> Summary:
    """What the shelf keeps of a strip with its white, so that it need not be worked out again."""
    content = {
        "mark": strip.mark,
        "words": strip.words,
        "tokens": list(strip.tokens),
        "hangs_by": [*strip.hue, *strip.opacity, *strip.strength],
        "hue_word": strip.hue_word,
        "strength_word": strip.strength_word,
    }
    return Summary(made_by(white), content)


def summary_to_strip(entry: Entry, white: Entry | None, content: Mapping[str, Any]) -> HungStrip:
    """A strip from what the shelf kept of it."""
    by = content["hangs_by"]
    return HungStrip(
        key=entry.key,
        label=entry.label,
        pigments=entry.pigments,
        mark=content["mark"],
        provenance=PROVENANCE_WORDS[entry.provenance],
        made_of=(entry, white),
        words=content["words"],
        tokens=content["tokens"],
        hue=(by[0], by[1]),
        opacity=(by[2], by[3]),
        strength=(by[4], by[5]),
        binder=entry.binder.value,
        hue_word=content["hue_word"],
        strength_word=content["strength_word"],
        cautions=_families(entry.pigments),
    )


def made_by(white: Entry | None) -> str:
    """How a summary says what it was worked out by and with; counted up when it would say something else.

    Which version it is of, the shelf knows; which version of a white it was tinted with is in here.
    """
    return f"wall 2.{DRAWN_BY} {stamp_of(white, None) if white else 'no white'}"


@cache
def _families(pigments: tuple[str, ...]) -> tuple[str, ...]:
    """Caution families of pigments; a long shelf has the same ones over and over."""
    return pigment_families(pigments)


def _tokens(paint: Paint, behaviour: Behaviour) -> tuple[str, ...]:
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
    return tuple(sorted((words | names) - {"a", "is", "from"}))
