"""What a customer can ask at the counter, in the trade's words, and how a tube ranks in the answer."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Final, NamedTuple

import numpy as np

from scumble.jobs.shelf.show_shelf import HungStrip
from scumble.paint import Binder
from scumble.paint.behaviour import Behaviour
from scumble.paint.caution import pigment_families
from scumble.store.tube_facts import LightScale, TubeFacts

DUST_ONLY: Final = frozenset({"titanium dioxide"})
"""Families of pigment whose caution is about dry powder and sanding alone."""

COLOURS: Final = ("yellow", "orange", "red", "violet", "blue", "green", "brown", "white", "black")
"""What a customer can ask for; a tube answers by the names of its masstone and undertone."""


@dataclass(frozen=True, slots=True)
class Tube:
    """A tube with what its rank depends on.

    Parameters
    ----------
    strip : HungStrip
        As it hangs on the shelf.
    binder : Binder
        What holds the pigment.
    behaviour : Behaviour
        Of its most probable optics.
    facts : TubeFacts
        What the shop knows of it.
    """

    strip: HungStrip
    binder: Binder
    behaviour: Behaviour
    facts: TubeFacts


class Ask(NamedTuple):
    """One question, in the trade's words."""

    says: str
    """What the customer wants."""
    means: str
    """What is looked for, in a sentence."""
    topics: tuple[str, ...]
    """Sentences of a paint's behaviour that are its reasons, the first with the swatches."""
    rank: Callable[[Tube], float | None]
    """The higher the better; None for a tube that will not do."""
    none: str
    """What is said when no tube will do."""


def _cover(tube: Tube) -> float | None:
    """By the hundredth of the contrast ratio, then the lighter first: a dark film hides a dark ground without merit."""
    ratio, lightness = tube.behaviour.contrast_ratio.value, float(tube.behaviour.thinning.masstone[0])
    return round(ratio, 2) + lightness / 1e5 if ratio >= 0.9 else None


def _glaze(tube: Tube) -> float | None:
    """Clear first, then how full the thin film is: a glaze muddies by the light that it scatters back over the dark."""
    behaviour, thinning = tube.behaviour, tube.behaviour.thinning
    chroma = float(np.hypot(*thinning.undertone[1:]))
    clear = 1.0 - behaviour.opacity.value
    return clear * chroma if behaviour.opacity.value < 0.35 and chroma > 15.0 else None


def _tint(tube: Tube) -> float | None:
    tinting = tube.behaviour.tinting
    if tinting is None:
        return None
    pale = tinting.ladder[tinting.ladder[:, 0] >= 55.0]
    return float(np.hypot(pale[:, 1], pale[:, 2]).max()) if len(pale) else None


def _black(tube: Tube) -> float | None:
    lightness, a, b = tube.behaviour.over_black
    stands = tube.behaviour.black_lightness.value
    return stands * (float(lightness) + float(np.hypot(a, b))) if stands >= 0.7 and lightness > 25.0 else None


def _class(tube: Tube) -> float | None:
    """The fuller colour of those whose pigments ask for no special care and whose binder needs no solvent."""
    families = set(pigment_families(tube.strip.pigments)) - DUST_ONLY
    if families or not tube.strip.pigments or tube.binder is Binder.OIL:
        return None
    tint = _tint(tube)
    return tint if tint is not None else float(tube.behaviour.contrast_ratio.value)


def _veil(tube: Tube) -> float | None:
    """A pale film that neither hides nor vanishes: it turns what is dark below it cool and misty."""
    behaviour = tube.behaviour
    opacity, lightness = behaviour.opacity.value, float(behaviour.over_black[0])
    return lightness * (1.0 - abs(opacity - 0.65)) if 0.35 <= opacity <= 0.95 and lightness > 45.0 else None


def _lasting(tube: Tube) -> float | None:
    """Only what somebody has rated counts, and only the two best ratings of either scale."""
    ranks = [
        each.scale.ratings.index(each.rating)
        if each.scale is LightScale.ASTM
        else len(each.scale.ratings) - 1 - each.scale.ratings.index(each.rating)
        for each in tube.facts.lightfastness
    ]
    return -float(max(ranks)) if ranks and max(ranks) <= 1 else None


ASKS: Final[dict[str, Ask]] = {
    "cover": Ask(
        "Cover an old colour",
        "Tubes of which one coat hides black best.",
        ("cover", "strength"),
        _cover,
        "No tube of this kind hides in one coat. Ask for two coats, or for white under it.",
    ),
    "glaze": Ask(
        "Glaze without muddying",
        "Clear tubes whose thin film is full of colour.",
        ("transparency", "thinning"),
        _glaze,
        "No tube of this kind is clear enough to glaze with.",
    ),
    "tints": Ask(
        "Mix bright tints",
        "Tubes whose pale mixtures with white stay brightest.",
        ("with white", "strength"),
        _tint,
        "No tube of this kind can be mixed with a white of this shelf.",
    ),
    "black": Ask(
        "Paint over black",
        "Tubes that keep their colour on a black ground.",
        ("over black", "cover"),
        _black,
        "No tube of this kind stands out on black; lay white under it first.",
    ),
    "veil": Ask(
        "Lay a mist over dark",
        "Pale tubes that veil without hiding: a scumble.",
        ("over black", "transparency"),
        _veil,
        "No tube of this kind is pale and milky enough for a veil.",
    ),
    "class": Ask(
        "Supply a school class",
        "Bright tubes whose pigments ask for no special care, in a binder that needs no solvent.",
        ("with white", "cover"),
        _class,
        "No tube of this kind can be named for a class by its pigments alone. Ask at the counter.",
    ),
    "light": Ask(
        "Hang in a bright room",
        "Tubes that somebody has rated among the most lasting in light.",
        ("tones", "cover"),
        _lasting,
        "Nobody has put a lightfastness rating of such a tube on this shelf. Read the label, or ask at the counter.",
    ),
}

CLASS_NOTE: Final = (
    "Picked by Colour Index names only. No paint is food: no spraying, no sanding, no fingers in mouths; wash hands. "
    "Whether a tube may be given to children of an age says its label and the rules of this country."
)
