"""A few tubes side by side: their strips, what they have in figures, and in what each two differ."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np

from scumble.errors import InputError
from scumble.jobs.lasting import compare_lasting, lasting_sentences
from scumble.jobs.shelf.fetch_tube import behaviour_at, fetch
from scumble.jobs.shelf.hung_shelf import hang_waiting
from scumble.jobs.shelf.hung_strip import HungStrip
from scumble.jobs.tube.beside_reference import say_depth_between
from scumble.jobs.tube.how_far import spreading_of
from scumble.paint import Paint
from scumble.paint.behaviour import Behaviour
from scumble.paint.caution import pigment_cautions
from scumble.paint.comparing import Pair, compare_behaviour
from scumble.paint.words import Sentence, write_number
from scumble.store.shelf import Shelf
from scumble.store.tube_facts import TubeFacts

MOST_BESIDE = 6
"""Tubes that are laid side by side."""


@dataclass(frozen=True, slots=True)
class Row:
    """One thing said of every tube.

    Parameters
    ----------
    title : str
        What it is.
    cells : tuple of str
        What each tube has, in the order of the strips.
    """

    title: str
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Beside:
    """Everything the page says.

    Parameters
    ----------
    strips : tuple of HungStrip
        The tubes; fewer than two where too few were asked for.
    rows : tuple of Row
        Their figures.
    pairs : tuple of (str, tuple of Sentence)
        Names of two tubes, and in what they differ.
    """

    strips: tuple[HungStrip, ...]
    rows: tuple[Row, ...]
    pairs: tuple[tuple[str, tuple[Sentence, ...]], ...]


def show_beside(shelf: Shelf, keys: Sequence[str], *, least: int = 0) -> Beside:
    """Lay tubes side by side.

    Parameters
    ----------
    shelf : Shelf
        Open.
    keys : sequence of str
        Their keys, twice the same counting once.
    least : int
        How many there must be.

    Raises
    ------
    InputError
        If there are too few or more than six, or one is not there.
    """
    wanted = list(dict.fromkeys(keys))
    if not least <= len(wanted) <= MOST_BESIDE:
        hint = "Go back and pick fewer." if len(wanted) > MOST_BESIDE else "Name one more."
        raise InputError("paint", f"{len(wanted)} tubes", f"two to {MOST_BESIDE}", hint)
    paints = {key: fetch(shelf, key) for key in wanted}
    wall = hang_waiting(shelf)
    strips = tuple(wall.hung[paint.key] for paint, _, _ in paints.values())
    behaviours = [behaviour_at(paint, white, stamp) for paint, white, stamp in paints.values()]
    facts = [shelf.tubes.load(strip.key) for strip in strips]
    tubes = [paint for paint, _, _ in paints.values()]
    return Beside(strips, _rows(strips, tubes, behaviours, facts), _pairs(shelf, tubes, behaviours, facts))


def _rows(
    strips: Sequence[HungStrip],
    paints: Sequence[Paint],
    behaviours: Sequence[Behaviour],
    facts: Sequence[TubeFacts],
) -> tuple[Row, ...]:
    told = {
        "opacity": [f"{each.mark.value} ({write_number(each.opacity, 2)})" for each in behaviours],
        "contrast ratio of one coat": [write_number(each.contrast_ratio, 2) for each in behaviours],
        "coats to hide": [_coats(each) for each in behaviours],
        "masstone": [each.masstone_name for each in behaviours],
        "undertone": [each.undertone_name for each in behaviours],
        "thinned, it": [each.thinning.course.value for each in behaviours],
        "strength in white": [_strength(each) for each in behaviours],
        "one tube hides": [
            _goes(paint, behaviour, each)
            for paint, behaviour, each in zip(paints, behaviours, facts, strict=True)
        ],
        "pigments": [" ".join(strip.pigments) or "not given" for strip in strips],
        "binder": [strip.binder for strip in strips],
        "in light": [" ".join(lasting_sentences(each)).replace("Lightfastness: ", "") for each in facts],
        "price": [_price(each) for each in facts],
        "at hand": ["not counted" if each.stock is None else str(each.stock) for each in facts],
        "take care": [
            " ".join(pigment_cautions(strip.pigments)) or "none known by its pigments" for strip in strips
        ],
        "where from": [strip.provenance for strip in strips],
    }
    return tuple(Row(title, tuple(cells)) for title, cells in told.items())


def _pairs(
    shelf: Shelf, paints: Sequence[Paint], behaviours: Sequence[Behaviour], facts: Sequence[TubeFacts]
) -> tuple[tuple[str, tuple[Sentence, ...]], ...]:
    found = []
    for one, two in combinations(range(len(paints)), 2):
        names = paints[one].label, paints[two].label
        said = compare_behaviour(Pair(*names, behaviours[one], behaviours[two]))
        deep = say_depth_between(shelf, paints[one], paints[two])
        lasts = compare_lasting((names[0], facts[one]), (names[1], facts[two]))
        found.append((f"{names[0]} and {names[1]}", (*said, *deep, lasts)))
    return tuple(found)


def _goes(paint: Paint, behaviour: Behaviour, facts: TubeFacts) -> str:
    spreading = spreading_of(paint, behaviour, facts)
    if spreading is None:
        return "not known: say what a coat is"
    if not np.isfinite(spreading.hiding_um.value):
        return "nothing: it does not hide"
    tube = spreading.m2_per_tube
    if tube is None:
        return f"{write_number(spreading.m2_per_litre, 1)} m² to the litre"
    return f"{write_number(tube, 2)} m²"


def _coats(behaviour: Behaviour) -> str:
    coats = behaviour.coats_to_hide
    return write_number(coats, 1) if np.isfinite(coats.value) else "more than 8"


def _strength(behaviour: Behaviour) -> str:
    if behaviour.tinting is None:
        return "none of its own"
    return f"{write_number(behaviour.tinting.strength_parts, 1)} parts of white to a pastel"


def _price(facts: TubeFacts) -> str:
    if facts.price is None:
        return "not given"
    whole = f"{facts.price:.2f} {facts.currency}"
    if facts.size_ml is None:
        return whole
    return f"{whole} for {facts.size_ml:g} ml, {float(facts.price) / facts.size_ml * 100:.2f} for 100 ml"
