"""From chosen stacks to what a person is told: areas with their looks, sittings in order, mixtures by letter."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np
from numpy.typing import NDArray

from scumble.colour import delta_e_2000
from scumble.paint import Layering, predict_look
from scumble.solve.plan.layers import Layer, Mixture, Role, Stack, predict_stacks
from scumble.solve.plan.value import Brushed, Plan, PlannedArea, PlannedPass
from scumble.solve.plan.wishes import Manner
from scumble.solve.recipe.finish import UNEVEN
from scumble.solve.recipe.search import Search
from scumble.solve.recipe.words import say_shortfall

Floats = NDArray[np.float64]

MISSED = 2.0
"""dE00 from which an area counts as missed, and why is said. *Scumble's own.*"""

WORTH_SAYING = 0.5
"""dE00 by which dearer layers must be nearer to be spoken of."""

ORDER = ("imprimatura", "lay-in", "glaze 1", "glaze 2", "glaze 3")
"""Sittings as a painter works: from the ground up. *Common practice, no source.*"""


def tell_plan(
    search: Search,
    manner: Manner,
    chosen: Sequence[Stack],
    labs: Floats,
    shares: Floats,
    *,
    nearest: Floats | None = None,
    tried: int = 0,
) -> Plan:
    """A plan in full from the stack of every area.

    Parameters
    ----------
    search : Search
        Tubes, ground and face.
    manner : Manner
        In which it is painted.
    chosen : sequence of Stack
        One an area.
    labs, shares : array, shape (areas, 3) and (areas,)
        Wanted, CIELAB, and share of the picture.
    nearest : array, shape (areas,), optional [dE00]
        The least difference of any stack that was tried on each area; its own unless said.
    tried : int
        Stacks it was chosen from.
    """
    changes = predict_unevenness(search, chosen)
    areas = tell_areas(search, chosen, labs, shares, changes, nearest)
    return Plan(manner, search.tubes, search.ground, areas, tell_passes(search, chosen, changes), tried)


def weights_of(shares: Floats) -> Floats:
    """What each area counts for: half by its share, half each alike, as small areas are looked at too."""
    return np.asarray(0.5 * shares / shares.sum() + 0.5 / len(shares))


def predict_unevenness(
    search: Search, stacks: Sequence[Stack], *, factors: Sequence[float] = (1.0 - UNEVEN, 1.0 + UNEVEN)
) -> Floats:
    """Change of colour when each layer comes out thicker or thinner, shape (stacks, layers) [dE00].

    Parameters
    ----------
    search : Search
        Tubes, ground and face.
    stacks : sequence of Stack
        Any.
    factors : sequence of float
        Thicknesses tried, as shares of the one meant.
    """
    even = predict_stacks(search, stacks)
    most = max((len(stack) for stack in stacks), default=0)
    changes = np.zeros((len(stacks), most))
    for place in range(most):
        rows = [row for row, stack in enumerate(stacks) if len(stack) > place]
        own = [stacks[row] for row in rows]
        for factor in factors:
            moved = predict_stacks(search, own, uneven=(place, factor))
            changes[rows, place] = np.maximum(changes[rows, place], delta_e_2000(even[rows], moved))
    return changes


def tell_areas(
    search: Search,
    chosen: Sequence[Stack],
    labs: Floats,
    shares: Floats,
    changes: Floats,
    nearest: Floats | None = None,
) -> tuple[PlannedArea, ...]:
    """Every area with its look and how it misses."""
    areas = []
    for at, stack in enumerate(chosen):
        films = tuple(layer.film(search.tubes) for layer in stack)
        layering = Layering(search.ground, films, search.face)
        look = predict_look(layering)
        off = float(delta_e_2000(labs[at], look.lab))
        least = off if nearest is None else min(off, float(nearest[at]))
        words = say_miss(labs[at], look.lab, off, least)
        uneven = float(changes[at].max(initial=0.0))
        areas.append(
            PlannedArea(at + 1, labs[at], float(shares[at]), stack, layering, look, off, least, uneven, words)
        )
    return tuple(areas)


def say_miss(wanted: Floats, given: Floats, difference: float, nearest: float) -> str:
    """How an area misses its colour, and whether layers of its own would not; empty where it is met.

    Examples
    --------
    >>> grey, dull = np.array([50.0, 0, 0]), np.array([54.0, 0, 0])
    >>> say_miss(grey, dull, 4.0, 4.0)
    'Out of reach: the nearest is dE00 4.0 away, too light (L* 54 for 50).'
    >>> say_miss(grey, dull, 4.0, 0.5)
    'Off by dE00 4.0, too light (L* 54 for 50). Layers of its own would come within 0.5 and cost more than they gain.'
    """
    if difference <= MISSED:
        return ""
    words = say_shortfall(wanted, given, difference).words
    if difference - nearest < WORTH_SAYING:
        return words
    faults = words.partition(" away, ")[2]
    return (
        f"Off by dE00 {difference:.1f}, {faults} Layers of its own would come within {nearest:.1f} and cost more than "
        "they gain."
    )


def tell_passes(search: Search, chosen: Sequence[Stack], changes: Floats) -> tuple[PlannedPass, ...]:
    """The sittings in order, each with what every area looks like afterwards."""
    sittings = [tuple(sittings_of(stack)) for stack in chosen]
    letters: dict[Mixture, str] = {}
    passes = []
    for turn, name in enumerate(ORDER):
        own = [
            (at, place)
            for at, each in enumerate(sittings)
            for place, sitting in enumerate(each)
            if sitting == name
        ]
        if not own:
            continue
        after = [
            tuple(layer for layer, each in zip(stack, its, strict=True) if ORDER.index(each) <= turn)
            for stack, its in zip(chosen, sittings, strict=True)
        ]
        labs = predict_stacks(search, after)
        brushed = _brushed([(at + 1, chosen[at][place]) for at, place in own], labs, letters)
        uneven = max(float(changes[at, place]) for at, place in own)
        passes.append(PlannedPass(name, brushed, labs, uneven))
    return tuple(passes)


def sittings_of(stack: Stack) -> Iterator[str]:
    """In which sitting each layer of a stack is brushed."""
    glazes = 0
    for layer in stack:
        if layer.role is Role.IMPRIMATURA:
            yield "imprimatura"
        elif layer.role.is_opaque:
            yield "lay-in"
        else:
            glazes += 1
            yield f"glaze {glazes}"


def _brushed(
    layers: Sequence[tuple[int, Layer]], labs: Floats, letters: dict[Mixture, str]
) -> tuple[Brushed, ...]:
    """The mixtures of one sitting in the order of their turns; new ones get the next letter."""
    own: dict[tuple[Mixture, Role], list[tuple[int, float]]] = {}
    for number, layer in layers:
        own.setdefault((layer.mixture, layer.role), []).append((number, layer.coats))
    in_order = sorted(own.items(), key=lambda each: _turn(each[0][1], each[1], labs))
    for (mixture, _), _areas in in_order:
        letters.setdefault(mixture, _letter(len(letters)))
    return tuple(
        Brushed(letters[mixture], mixture, role, tuple(areas)) for (mixture, role), areas in in_order
    )


def _turn(role: Role, areas: Sequence[tuple[int, float]], labs: Floats) -> tuple[int, float]:
    """When a mixture's turn comes: a lay-in from dark to light, glazes from light to dark, scumbles last.

    *Common practice, no source.*
    """
    lightness = float(np.mean([labs[number - 1, 0] for number, _ in areas]))
    return (int(role is Role.SCUMBLE), lightness if role.is_opaque else -lightness)


def _letter(place: int) -> str:
    """A, B, ... Z, AA, AB ..."""
    return chr(65 + place) if place < 26 else _letter(place // 26 - 1) + chr(65 + place % 26)
