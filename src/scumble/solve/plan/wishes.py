"""In which manner a picture is to be painted, and what a person asks of its plan."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from scumble.errors import InputError
from scumble.solve.recipe.answer import Wishes


class Manner(StrEnum):
    """How a picture is built up, from the most transparent to the most opaque."""

    TRANSPARENT = "transparent"
    GRISAILLE = "grisaille"
    UNDERPAINTED = "underpainted"
    BLOCKED = "blocked"
    OPAQUE = "opaque"


@dataclass(frozen=True, slots=True)
class PlanWishes:
    """What a person asks of a plan; prices are in dE00 of the picture's mean.

    Parameters
    ----------
    most_tubes : int
        In an opaque mixture, 1 to 3.
    most_glazes : int
        Passes of glazes, 1 to 3.
    most_coats : float [coat]
        That an opaque mixture may take to hide what lies below.
    per_mixture : float [dE00]
        Price of one mixture more.
    per_pass : float [dE00]
        Price of one pass more.
    per_unevenness : float [1]
        Price of the colour change when a film comes out a fifth thicker.
    imprimatura : int or None
        Place of the tube that tones the ground; None for none.
    recipe : Wishes
        What is asked of every mixture: exclusions and the sum of parts.
    """

    most_tubes: int = 3
    most_glazes: int = 2
    most_coats: float = 4.0
    per_mixture: float = 0.1
    per_pass: float = 0.3
    per_unevenness: float = 0.25
    imprimatura: int | None = None
    recipe: Wishes = field(default_factory=Wishes)

    def __post_init__(self) -> None:
        for name, least, most in (
            ("most_tubes", 1, 3),
            ("most_glazes", 1, 3),
            ("most_coats", 1.0, 8.0),
            ("per_mixture", 0.0, 10.0),
            ("per_pass", 0.0, 100.0),
            ("per_unevenness", 0.0, 10.0),
        ):
            value = getattr(self, name)
            if not least <= value <= most:
                raise InputError(name, value, f"a number from {least:g} to {most:g}")
