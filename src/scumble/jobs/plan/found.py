"""What came of planning a picture: the division, a plan for every manner, how near each comes, and its pictures."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from scumble.card.picture.regions import draw_points, draw_regions, enlarge_places
from scumble.colour import delta_e_2000, encode_srgb, lab_to_xyz, white_point, xyz_to_srgb
from scumble.errors import InputError
from scumble.jobs.plan.reference import Reference
from scumble.jobs.plan.request import PlanRequest
from scumble.solve.plan.areas import Division
from scumble.solve.plan.layers import predict_stacks
from scumble.solve.plan.value import Plan
from scumble.solve.plan.wishes import Manner
from scumble.solve.recipe.search import Search
from scumble.store.tube_facts import TubeFacts

Floats = NDArray[np.float64]

REACHED = 2.0
"""dE00 within which an area counts as reached. *Scumble's own.*"""

BLACK_AT = 20.0
"""dE00 at which the map of misses is black; where nothing is missed it is white."""

PICTURES = ("wanted", "areas", "misses")
"""Pictures besides those of the passes."""


@dataclass(frozen=True, slots=True)
class Error:
    """How far a finished picture is from its reference.

    Parameters
    ----------
    mean, high : float [dE00]
        Over all points: the mean, and what 95 % are within.
    reducing_mean, reducing_high : float [dE00]
        The same if every area had its wanted colour: what painting in so few colours costs by itself.
    paints_mean : float [dE00]
        Mean over the picture of what areas miss their wanted colour by.
    reached : int
        Areas within :data:`REACHED`.
    interval : float [dE00]
        Mean over the picture of what the prediction is good for, 19 times in 20.
    """

    mean: float
    high: float
    reducing_mean: float
    reducing_high: float
    paints_mean: float
    reached: int
    interval: float


@dataclass(frozen=True)
class PlanFound:
    """A picture planned in every manner.

    Parameters
    ----------
    request : PlanRequest
        As asked.
    reference : Reference
        The picture.
    division : Division
        Its colour areas.
    search : Search
        Tubes, ground and face that the plans were made with.
    plans : dict of Manner to Plan
        Manners that the tubes cannot do are missing.
    facts : mapping of str to TubeFacts
        What was known of the tubes.
    changed : tuple of str
        What has changed since a kept plan was made; empty for a new one.
    """

    request: PlanRequest
    reference: Reference
    division: Division
    search: Search
    plans: dict[Manner, Plan]
    facts: Mapping[str, TubeFacts] = field(default_factory=dict)
    changed: tuple[str, ...] = ()

    def plan(self, manner: str = "") -> Plan:
        """The plan in one manner, the one asked for unless said.

        Raises
        ------
        InputError
            If the tubes cannot do it.
        """
        wanted = manner or self.request.manner
        for each, plan in self.plans.items():
            if each.value == wanted:
                return plan
        known = ", ".join(each.value for each in self.plans)
        raise InputError("manner", wanted, f"one that these tubes can do: {known or 'none'}")

    @cached_property
    def finer(self) -> NDArray[np.uint8]:
        """Areas on a map that pictures are drawn from."""
        return enlarge_places(self.division.places)

    @cached_property
    def _errors(self) -> dict[Manner, Error]:
        return {manner: self._error(plan) for manner, plan in self.plans.items()}

    def error(self, plan: Plan) -> Error:
        """How far a plan's finished picture is from the reference."""
        return self._errors[plan.manner]

    def _error(self, plan: Plan) -> Error:
        each = self._misses(np.array([area.look.lab for area in plan.areas]))
        reduced = self._misses(self.division.labs)
        shares = self.division.shares
        missed = np.array([area.difference for area in plan.areas])
        return Error(
            float(each.mean()),
            float(np.quantile(each, 0.95)),
            float(reduced.mean()),
            float(np.quantile(reduced, 0.95)),
            float(shares @ missed),
            int((missed <= REACHED).sum()),
            float(shares @ np.array([area.interval for area in plan.areas])),
        )

    def _misses(self, labs: Floats) -> Floats:
        """Difference of every point of the reference to its area's colour, shape (height, width) [dE00]."""
        return delta_e_2000(self.reference.labs, labs[self.division.places])

    # Pictures

    def picture(self, which: str, manner: str = "") -> bytes:
        """One of :data:`PICTURES`, or ``pass-1``, ``pass-2`` ...: the painting after that pass; as a PNG.

        Raises
        ------
        InputError
            If there is no such picture.
        """
        if which == "wanted":
            return draw_points(self.reference.codes)
        if which == "areas":
            return draw_regions(self.finer, codes_of(self.division.labs))
        plan = self.plan(manner)
        if which == "misses":
            far = np.clip(self._misses(np.array([a.look.lab for a in plan.areas])) / BLACK_AT, 0.0, 1.0)
            grey = np.round(255.0 * encode_srgb((1.0 - far) ** 2)).astype(np.uint8)
            return draw_points(np.repeat(grey[..., None], 3, axis=-1))
        number = which.removeprefix("pass-")
        if number.isdecimal() and 0 <= int(number) <= len(plan.passes):
            return draw_regions(self.finer, codes_of(self.labs_after(plan, int(number))))
        allowed = f"{', '.join(PICTURES)}, or pass-0 to pass-{len(plan.passes)}"
        raise InputError("picture", which, allowed)

    def labs_after(self, plan: Plan, number: int) -> Floats:
        """What every area looks like after so many passes, shape (areas, 3); 0 is the bare ground."""
        if number:
            return plan.passes[number - 1].labs
        return np.repeat(predict_stacks(self.search, [()]), len(plan.areas), axis=0)


def codes_of(labs: Floats) -> NDArray[np.uint8]:
    """Screen colours of CIELAB, shape (colours, 3), as 8 bits."""
    rgb, _ = xyz_to_srgb(lab_to_xyz(labs, white_point("D65", 2)).clip(0.0), light="D65", observer=2)
    return np.round(255.0 * np.clip(rgb, 0.0, 1.0)).astype(np.uint8)
