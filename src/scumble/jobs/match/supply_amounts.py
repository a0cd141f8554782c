"""How much paint a class needs: so many millilitres each, or what an area takes where it is known what a coat is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import ceil, isfinite

import numpy as np
from numpy.typing import NDArray

from scumble.errors import InputError
from scumble.jobs.tube.how_far import coats_um
from scumble.store.tube_facts import TubeFacts

Floats = NDArray[np.float64]

LARGEST_M2 = 100.0
"""That one painter covers."""

MOST_COATS = 8.0

UNSAID_DOUBT = 0.5
"""How far a coat may be off that is taken from the other tubes [1]. *Scumble's own.*"""


@dataclass(frozen=True, slots=True)
class Painted:
    """One wanted colour as it is painted by one route.

    Parameters
    ----------
    route : str
        ``cover`` or ``glaze``.
    members : tuple of int
        Places among the chosen tubes.
    coats : array [coat]
        Of each.
    """

    route: str
    members: tuple[int, ...]
    coats: Floats


@dataclass(frozen=True, slots=True)
class Amounts:
    """What is needed of each chosen tube.

    Parameters
    ----------
    volumes_ml : array [ml]
        For all painters.
    words : str
        For whom and for what, as a heading says it.
    notes : tuple of str
        How it was worked out, and what is not known.
    """

    volumes_ml: Floats
    words: str
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Need:
    """What paint is needed for.

    Parameters
    ----------
    painters : int
        For how many it is bought.
    ml_each : float [ml]
        Paint that each uses, of all tubes together; not looked at where an area is said.
    m2_each : float, optional [m2]
        Area that each paints, shared evenly among the wanted colours and routes.
    coats : float, optional
        Full coats that a covered colour is laid in; where left out, as many as hide, one at least.
    """

    painters: int = 12
    ml_each: float = 60.0
    m2_each: float | None = None
    coats: float | None = None

    def __post_init__(self) -> None:
        if not 1 <= self.painters <= 1000:
            raise InputError("painters", self.painters, "1 to 1000")
        if not 0.0 < self.ml_each <= 10_000.0:
            raise InputError("ml each", f"{self.ml_each:g}", "millilitres above 0, at most 10000")
        if self.m2_each is not None and not (isfinite(self.m2_each) and 0.0 < self.m2_each <= LARGEST_M2):
            raise InputError("m2 each", f"{self.m2_each:g}", f"square metres above 0, at most {LARGEST_M2:g}")
        if self.coats is not None and not 0.0 < self.coats <= MOST_COATS:
            raise InputError("coats", f"{self.coats:g}", f"coats above 0, at most {MOST_COATS:g}")
        if self.coats is not None and self.m2_each is None:
            raise InputError(
                "coats", f"{self.coats:g}", "coats together with an area", "Say how many m2 each paints."
            )


def work_out_amounts(
    need: Need, painted: Sequence[Painted], keys: Sequence[str], facts: Mapping[str, TubeFacts]
) -> Amounts:
    """What is needed of each tube.

    Parameters
    ----------
    need : Need
        For whom and for what.
    painted : sequence of Painted
        Every wanted colour that is reached at all, once a route.
    keys : sequence of str
        Of the chosen tubes.
    facts : mapping of str to TubeFacts
        What is known of them; the coat is what counts.

    Notes
    -----
    One micrometre over a square metre is a millilitre. *Source:* the definition of spreading rate in ISO 4618.
    """
    thick = coats_um(keys, facts)
    if need.m2_each is not None and thick is not None:
        return _by_area(need, need.m2_each, painted, keys, facts, thick)
    used = np.zeros(len(keys))
    for each in painted:
        used[list(each.members)] += each.coats
    volumes = used if thick is None else used * thick
    shares = volumes / max(float(volumes.sum()), 1e-12)
    whole = need.painters * need.ml_each
    notes: tuple[str, ...] = ()
    if thick is not None:
        area = whole * float((shares / thick).sum())
        notes = (f"All this paint lies on about {area:.2g} m² in single coats.", *_unsaid(keys, facts))
    elif need.m2_each is not None:
        notes = (
            f"How much {need.m2_each:g} m² each takes can't be told: of none of them was it said what a coat is. "
            f"The amounts are for {need.ml_each:g} ml each. Lay a coat, measure it and put it on the tube, as in "
            f'scumble tube {keys[0]} --coat "0.4 ml on 5 x 10 cm".',
        )
    return Amounts(whole * shares, f"{need.painters} painters at {need.ml_each:g} ml each", notes)


def _by_area(
    need: Need,
    m2_each: float,
    painted: Sequence[Painted],
    keys: Sequence[str],
    facts: Mapping[str, TubeFacts],
    thick: Floats,
) -> Amounts:
    area = need.painters * m2_each / max(len(painted), 1)
    laid = np.zeros(len(keys))
    for each in painted:
        whole = float(np.sum(each.coats))
        # A glaze holds the paint that was worked out for it; the rest of its film is medium.
        coats = each.coats if each.route == "glaze" else each.coats / whole * _coats_of(need, whole)
        laid[list(each.members)] += coats
    volumes = area * laid * thick
    said = [facts[key].full_coat() if key in facts else None for key in keys]
    doubts = np.array([UNSAID_DOUBT if coat is None else coat.doubt for coat in said])
    doubt = float(np.sqrt(np.sum((volumes * doubts) ** 2)) / max(float(volumes.sum()), 1e-12))
    said_coats = (
        "as many coats as hide" if need.coats is None else f"{need.coats:g} coat" + "s" * (need.coats != 1)
    )
    notes = (
        f"{need.painters * m2_each:g} m² take about {volumes.sum():.0f} ml, give or take {100 * doubt:.0f} % for what "
        f"is known of coats; every colour has the same share of the area, covered in {said_coats}. What stays on brush "
        "and palette is not counted.",
        *_unsaid(keys, facts),
    )
    return Amounts(volumes, f"{need.painters} painters, {m2_each:g} m² each in {said_coats}", notes)


def _coats_of(need: Need, solved: float) -> float:
    """Coats that a covered colour is laid in; a hundredth beyond whole coats is no coat more."""
    return float(max(1, ceil(solved - 0.01))) if need.coats is None else need.coats


def _unsaid(keys: Sequence[str], facts: Mapping[str, TubeFacts]) -> tuple[str, ...]:
    """Tubes whose coat was taken from the others."""
    count = sum(not facts.get(key, TubeFacts()).coat for key in keys)
    if not count:
        return ()
    which = "one tube" if count == 1 else f"{count} tubes"
    return (f"Of {which} no coat was said; the middle one of the others was taken.",)
