"""How much paint a plan takes, where the painting's size and what a coat is are known; what is not known is said."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from math import pi

import numpy as np

from scumble.jobs.tube.how_far import coats_um
from scumble.solve.plan.value import Brushed, Plan
from scumble.store.tube_facts import TubeFacts

STRAND_MM = 8.0
"""Thickness of the strand that comes out of a tube [mm]. *Common practice, no source*; tubes differ."""

ML_PER_CM = pi * (STRAND_MM / 20.0) ** 2
"""Paint in a centimetre of it [ml/cm]."""

NO_SIZE = "How much paint it takes is not worked out: say how wide the painting is."
NO_COAT = (
    "How much paint it takes cannot be worked out: of no tube it uses is it known what a full coat is. "
    "Say it on the papers of a tube, as 80 um or 0.4 ml on 50 cm2."
)


@dataclass(frozen=True, slots=True)
class Amount:
    """How much of one thing.

    Parameters
    ----------
    name : str
        A tube's label, or medium.
    key : str
        Of the tube; empty for medium.
    ml : float [ml]
        As it lies on the painting; what stays on palette and brush is not in it.
    strand_cm : float [cm]
        The same as it comes out of a tube.
    """

    name: str
    key: str
    ml: float

    @property
    def strand_cm(self) -> float:
        """Length of strand [cm]."""
        return self.ml / ML_PER_CM


@dataclass(frozen=True, slots=True)
class Amounts:
    """How much paint a plan takes.

    Parameters
    ----------
    by_mixture : dict of str to float [ml]
        Of every mixture by its letter, thinner left out; empty where it is not known.
    by_tube : tuple of Amount
        Tubes and medium, the most first.
    notes : tuple of str
        What is not known or was taken from other tubes.
    """

    by_mixture: dict[str, float]
    by_tube: tuple[Amount, ...]
    notes: tuple[str, ...]


def amounts_of(
    plan: Plan, facts: Mapping[str, TubeFacts], *, width_cm: float | None, aspect: float
) -> Amounts:
    """Work out how much paint a plan takes.

    Parameters
    ----------
    plan : Plan
        The plan.
    facts : mapping of str to TubeFacts
        What is known of the tubes; a full coat of each, above all.
    width_cm : float, optional [cm]
        Of the painting.
    aspect : float [1]
        Its height by its width.

    Notes
    -----
    A coat of a mixture holds its parts in proportion, each as thick as its own full coat; a micrometre on a square
    metre is a millilitre.
    """
    if width_cm is None:
        return Amounts({}, (), (NO_SIZE,))
    keys = [paint.key for paint in plan.used]
    thick_um = coats_um(keys, facts)
    if thick_um is None:
        return Amounts({}, (), (NO_COAT,) if keys else ())
    um = dict(zip(keys, thick_um.tolist(), strict=True))
    middle = float(np.median(thick_um))
    area_m2 = (width_cm / 100.0) ** 2 * aspect
    labels = {paint.key: paint.label for paint in plan.used}
    mixtures: dict[str, float] = {}
    things: dict[str, float] = {}
    for one in plan.passes:
        for each in one.brushed:
            whole_um = _coats_on_picture(plan, each) * area_m2
            for key, share in _shares(plan, each):
                ml = whole_um * share * um.get(key, middle)
                things[key] = things.get(key, 0.0) + ml
                mixtures[each.letter] = mixtures.get(each.letter, 0.0) + ml
    amounts = [Amount(labels.get(key, "medium"), key, ml) for key, ml in things.items()]
    return Amounts(mixtures, tuple(sorted(amounts, key=lambda each: -each.ml)), _notes(keys, labels, facts))


def _coats_on_picture(plan: Plan, each: Brushed) -> float:
    """Coats times the share of the picture that they lie on."""
    shares = {area.number: area.share for area in plan.areas}
    return sum(coats * shares[number] for number, coats in each.areas)


def _shares(plan: Plan, each: Brushed) -> list[tuple[str, float]]:
    """Share of each tube, and of medium as the empty key, in a film as it is laid."""
    mixture = each.mixture
    whole = sum(part for _, part in mixture.parts) + mixture.medium + mixture.thinner
    own = [(plan.tubes[place].key, part / whole) for place, part in mixture.parts]
    return [*own, ("", mixture.medium / whole)] if mixture.medium else own


def _notes(keys: list[str], labels: Mapping[str, str], facts: Mapping[str, TubeFacts]) -> tuple[str, ...]:
    unknown = [labels[key] for key in keys if key not in facts or facts[key].full_coat() is None]
    notes = [
        "As it lies on the painting; what stays on the palette and in the brush comes on top, a third or more. "
        f"Strand: {STRAND_MM:g} mm thick, as many tubes give it (common practice, no source)."
    ]
    if unknown:
        notes.append(
            f"What a full coat is was not said of {', '.join(unknown)}: taken as the middle one of the others."
        )
    return tuple(notes)


def say_amount(ml: float) -> str:
    """An amount that a hand can measure, in words.

    Examples
    --------
    >>> say_amount(0.03), say_amount(2.345), say_amount(41.2)
    ('under 0.1 ml', '2.3 ml', '41 ml')
    """
    if ml < 0.1:
        return "under 0.1 ml"
    return f"{ml:.1f} ml" if ml < 10.0 else f"{ml:.0f} ml"
