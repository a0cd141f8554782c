"""At the counter: a customer asks in the trade's words and gets three tubes, each with the reason it was picked."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import Final, NamedTuple

import numpy as np

from scumble.errors import InputError
from scumble.jobs.lasting import short_lasting
from scumble.jobs.remember import Remembered, stamp_of
from scumble.jobs.shelf.fetch_tube import behaviour_of, fetch
from scumble.jobs.shelf.show_shelf import PROVENANCE_WORDS, HungStrip, show_shelf
from scumble.jobs.tube.evidence import Evidence, evidence_of
from scumble.jobs.white import white_for
from scumble.paint import Binder, Paint
from scumble.paint.behaviour import Behaviour, predict_behaviour
from scumble.paint.caution import ALWAYS, pigment_cautions, pigment_families
from scumble.paint.words import Sentence, describe_behaviour
from scumble.store.shelf import Shelf
from scumble.store.tube_facts import LightScale, TubeFacts

TUBES: Final = 3
"""How many are shown: enough to choose from, few enough to compare on one screen."""

APART: Final = 25.0
"""Hue angle by which tubes of one answer lie apart where no colour was asked for [degree]. Scumble's own."""

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


@dataclass(frozen=True, slots=True)
class Picked:
    """One tube of an answer.

    Parameters
    ----------
    key, label : str
        Short name for addresses, and what it is called.
    pigments, mark, provenance, binder : str
        What stands under its strip.
    stamp, strip_words : str
        Of its drawing, and the drawing in words.
    reasons : tuple of Sentence
        Why it was picked.
    evidence : Evidence or None
        Two swatches to look at.
    facts : tuple of str
        Price, size, stock, lightfastness, as far as the shop knows them.
    cautions : tuple of str
        Of its pigments.
    """

    key: str
    label: str
    pigments: str
    mark: str
    provenance: str
    binder: str
    stamp: str
    strip_words: str
    reasons: tuple[Sentence, ...]
    evidence: Evidence | None
    facts: tuple[str, ...]
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CounterPage:
    """A question with its answer, or all questions.

    Parameters
    ----------
    asks : dict of str to Ask
        What can be asked.
    asked : str
        What was asked; empty on the first page.
    colours, binders : tuple of str
        What the answer can be narrowed to.
    colour, binder : str
        What it was narrowed to.
    picked : tuple of Picked
        At most three tubes.
    choice : int
        How many tubes would do.
    notes : tuple of str
        What is said of every answer.
    total : int
        Tubes on the shelf.
    """

    asks: dict[str, Ask]
    asked: str
    colours: tuple[str, ...]
    binders: tuple[str, ...]
    colour: str
    binder: str
    picked: tuple[Picked, ...]
    choice: int
    notes: tuple[str, ...]
    total: int


def show_counter(shelf: Shelf, asked: str = "", *, colour: str = "", binder: str = "") -> CounterPage:
    """Answer a customer.

    Parameters
    ----------
    shelf : Shelf
        Open.
    asked : str
        One of :data:`ASKS`; empty shows what can be asked.
    colour : str
        One of :data:`COLOURS`, or any.
    binder : str
        One of the shelf's binders, or any.

    Raises
    ------
    InputError
        For an unknown question, colour or binder.
    """
    entries = shelf.load_entries()
    binders = tuple(sorted({entry.binder.value for entry in entries}))
    for field, given, allowed in (
        ("question", asked, tuple(ASKS)),
        ("colour", colour, COLOURS),
        ("binder", binder, binders),
    ):
        if given and given not in allowed:
            raise InputError(field, given, ", ".join(allowed) or "nothing: the shelf is empty")
    found = [tube for _, tube in rank_tubes(shelf, asked, colour, binder)] if asked else []
    picked = spread(found, apart=0.0 if colour else APART)
    asks = dict(ASKS)
    if asked != "light" and not any(facts.lightfastness for facts in shelf.tubes.load_all().values()):
        del asks["light"]
    notes = (CLASS_NOTE, *ALWAYS[1:]) if asked == "class" else ALWAYS
    return CounterPage(
        asks=asks,
        asked=asked,
        colours=COLOURS,
        binders=binders if len(binders) > 1 else (),
        colour=colour,
        binder=binder,
        picked=tuple(_picked(shelf, tube, ASKS[asked].topics) for tube in picked),
        choice=len(found),
        notes=notes,
        total=len(entries),
    )


def rank_tubes(shelf: Shelf, asked: str, colour: str = "", binder: str = "") -> list[tuple[float, Tube]]:
    """Tubes that will do for a question, the best first; discontinued ones and those out of stock are not offered."""
    ranked = []
    for tube in _tubes(shelf, colour):
        if binder and tube.binder.value != binder:
            continue
        if tube.facts.discontinued or tube.facts.stock == 0:
            continue
        rank = ASKS[asked].rank(tube)
        if rank is not None:
            ranked.append((rank, tube))
    return sorted(ranked, key=lambda each: (-each[0], each[1].strip.label.casefold()))


def spread(tubes: Sequence[Tube], *, apart: float) -> tuple[Tube, ...]:
    """The first tubes of a ranking that are not one another in another jar: other pigments, and hues apart.

    Parameters
    ----------
    tubes : sequence of Tube
        The best first.
    apart : float [degree]
        Least difference of hue, as far as there are enough tubes.
    """
    taken: list[Tube] = []
    for least in (apart, 0.0):
        for tube in tubes:
            if len(taken) < TUBES and all(_differs(tube, other, least) for other in taken):
                taken.append(tube)
    return tuple(taken)


def _differs(tube: Tube, other: Tube, apart: float) -> bool:
    if tube.strip.key == other.strip.key:
        return False
    if tube.strip.pigments and tube.strip.pigments == other.strip.pigments:
        return False
    (grey, hue), (other_grey, other_hue) = tube.strip.hue, other.strip.hue
    if grey or other_grey:
        return grey != other_grey or apart == 0.0
    return abs((hue - other_hue + 180.0) % 360.0 - 180.0) >= apart


def _tubes(shelf: Shelf, colour: str) -> list[Tube]:
    """Tubes of a colour with their behaviour, worked out where their version was not met before."""
    strips = show_shelf(shelf, find=colour).strips
    entries = {entry.key: entry for entry in shelf.load_entries()}
    whites = {key: white_for(entry, entries.values()) for key, entry in entries.items()}
    stamps = {key: stamp_of(entry, whites[key]) for key, entry in entries.items()}
    unknown = any(stamps[strip.key] not in _behaviours for strip in strips)
    paints = {paint.key: paint for paint in shelf.load_paints()} if unknown else {}
    facts = shelf.tubes.load_all()

    def work(key: str) -> Behaviour:
        white = whites[key]
        return predict_behaviour(paints[key], white=paints[white.key] if white else None)

    return [
        Tube(
            strip,
            entries[strip.key].binder,
            _behaviours.recall(stamps[strip.key], partial(work, strip.key)),
            facts.get(strip.key, TubeFacts()),
        )
        for strip in strips
    ]


def _picked(shelf: Shelf, tube: Tube, topics: tuple[str, ...]) -> Picked:
    paint, found, stamp = fetch(shelf, tube.strip.key)
    white = found if found is not None and found.key != paint.key else None
    behaviour = _sure.recall(stamp, lambda: behaviour_of(paint, white))
    said = {sentence.topic: sentence for sentence in describe_behaviour(behaviour)}
    evidence = evidence_of(paint, white, behaviour)
    return Picked(
        key=paint.key,
        label=paint.label,
        pigments=" ".join(paint.pigments) or "pigment not given",
        mark=behaviour.mark.value,
        provenance=PROVENANCE_WORDS[paint.provenance],
        binder=paint.binder.value,
        stamp=stamp,
        strip_words=tube.strip.words,
        reasons=tuple(said[topic] for topic in topics if topic in said),
        evidence=next((evidence[topic] for topic in topics if topic in evidence), None),
        facts=_facts(paint, tube.facts),
        cautions=pigment_cautions(paint.pigments),
    )


def _facts(paint: Paint, facts: TubeFacts) -> tuple[str, ...]:
    said = []
    if facts.price is not None:
        said.append(f"{facts.price:.2f} {facts.currency}")
    if facts.size_ml is not None:
        said.append(f"{facts.size_ml:g} ml")
    if facts.stock is not None:
        said.append(f"{facts.stock} on the shelf")
    if facts.shop_code:
        said.append(facts.shop_code)
    lasting = short_lasting(facts)
    said.append(f"lightfastness {lasting}" if lasting else "lightfastness not rated here")
    return (paint.binder.value, *said)


_behaviours: Remembered[Behaviour] = Remembered()
_sure: Remembered[Behaviour] = Remembered()
