"""Plan a painting: from colour areas, tubes, a ground and a manner to passes that land on the wanted colours.

Every manner allows some kinds of layers. All stacks of such layers that come near some area's colour, and those that
arise when areas share mixtures, are worked out by the full engine, film over film; then each area is given one, so that
colour, mixtures, passes and steadiness of hand are weighed together (:mod:`scumble.solve.plan.choose`).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

import numpy as np
from numpy.typing import NDArray

from scumble.colour import delta_e_2000
from scumble.errors import InputError
from scumble.optics.face import Face
from scumble.paint import Binder, Ground, Paint
from scumble.solve.plan.choose import Pool, choose_stacks
from scumble.solve.plan.layers import Layer, Mixture, Role, Stack, predict_stacks
from scumble.solve.plan.pool import Palette
from scumble.solve.plan.share import share_layers
from scumble.solve.plan.tell import predict_unevenness, tell_plan, weights_of
from scumble.solve.plan.value import Plan
from scumble.solve.plan.wishes import Manner, PlanWishes
from scumble.solve.recipe.find import usable_tubes
from scumble.solve.recipe.finish import UNEVEN
from scumble.solve.recipe.search import Search
from scumble.solve.recipe.target import target_of_lab

Floats = NDArray[np.float64]
Progress = Callable[[str, float], None]

NEAR = 6.0
"""dE00 beyond an area's best within which a stack stays in the choice for it."""

MOST_OF_AREA = 60
"""Stacks of each area that stay in the choice."""

PER_COAT = 0.03
"""dE00 that one coat more on an area must gain."""

WASH_PARTS = 8.0
"""Parts of water or solvent to one of paint in an imprimatura. *Common practice, no source.*"""


class Painting:
    """A picture's areas and the tubes at hand; plans in all manners share what is worked out.

    Parameters
    ----------
    labs : array, shape (areas, 3)
        Wanted, CIELAB (D65, 2 degrees), the lightest first.
    shares : array, shape (areas,)
        Of the picture.
    shelf : sequence of Paint
        Tubes at hand.
    ground : Ground
        What it is painted on.
    wishes : PlanWishes
        Limits and prices.
    face : Face
        Of the finished work.
    binder : Binder, optional
        Which tubes to use; those of which there are most by default.

    Raises
    ------
    InputError
        If there is no tube to use, or no area.
    """

    def __init__(
        self,
        labs: Floats,
        shares: Floats,
        shelf: Sequence[Paint],
        ground: Ground,
        wishes: PlanWishes | None = None,
        *,
        face: Face = Face.GLOSS,
        binder: Binder | None = None,
    ) -> None:
        self.wishes = wishes or PlanWishes()
        if len(labs) == 0:
            raise InputError("areas", "none", "at least one colour area")
        self.labs, self.shares = np.asarray(labs, dtype=np.float64), np.asarray(shares, dtype=np.float64)
        self.tubes = usable_tubes(shelf, self.wishes.recipe, binder)
        self.search = Search(target_of_lab(self.labs[0]), self.tubes, ground, face)
        self.weights = weights_of(self.shares)
        self.below = self._imprimatura()
        self.palette = Palette(self.search, self.labs, self.wishes, self.below)

    def _imprimatura(self) -> Stack:
        """A wash of the tube that tones the ground: one part with eight that leave, in one coat."""
        if self.wishes.imprimatura is None:
            return ()
        wash = Mixture(((self.wishes.imprimatura, 1.0),), thinner=WASH_PARTS)
        return (Layer(wash, 1.0, Role.IMPRIMATURA),)

    def plan(self, manner: Manner, *, progress: Progress | None = None) -> Plan | None:
        """The plan in one manner; None where the tubes cannot do it at all.

        Parameters
        ----------
        manner : Manner
            How it is built up.
        progress : callable, optional
            Told what is being done and the share; what it raises stops the work.
        """
        tell = progress or (lambda _words, _share: None)
        tell("mixing", 0.0)
        stacks = self._stacks(manner)
        if not stacks:
            return None
        tell("sharing mixtures", 0.5)
        first, misses = self._choose(stacks)
        best = [stacks[int(row)] for row in np.unique(np.argsort(misses, axis=0, kind="stable")[:2])]
        shared = share_layers(
            self.search,
            self.labs,
            self.below,
            [stacks[row] for row in first],
            best,
            most_glazes=self.wishes.most_glazes,
        )
        stacks = _once([*stacks, *shared])
        tell("weighing passes", 0.7)
        chosen, misses = self._choose(stacks)
        tell("looking at what comes out", 0.9)
        return tell_plan(
            self.search,
            manner,
            [stacks[row] for row in chosen],
            self.labs,
            self.shares,
            nearest=misses.min(axis=0),
            tried=len(stacks),
        )

    def _stacks(self, manner: Manner) -> list[Stack]:
        """Stacks that a manner allows and that come near some area."""
        palette = self.palette
        bare: list[Stack] = [] if manner is Manner.OPAQUE else [self.below]
        if manner is Manner.TRANSPARENT:
            return _once([*bare, *palette.glazes])
        if manner is Manner.OPAQUE:
            return _once(palette.covers)
        laid = palette.greyest() if manner is Manner.GRISAILLE else palette.bodies
        alone = [(*self.below, each.layer) for each in laid]
        found = [*bare, *alone, *palette.glaze_over(laid)]
        if manner is not Manner.GRISAILLE:
            found += palette.veils
        if manner is Manner.BLOCKED:
            found += palette.covers
        return _once(found) if alone or manner is Manner.BLOCKED else []

    def _choose(self, stacks: Sequence[Stack]) -> tuple[list[int], Floats]:
        """A stack for every area, as places in the list; and the differences of all."""
        wishes = self.wishes
        labs = predict_stacks(self.search, stacks)
        misses = delta_e_2000(labs[:, None], np.broadcast_to(self.labs, (len(stacks), *self.labs.shape)))
        likely = np.flatnonzero(_likely(misses))
        near = [stacks[int(row)] for row in likely]
        steady = predict_unevenness(self.search, near, factors=(1.0 + UNEVEN,)).max(axis=1, initial=0.0)
        coats = np.array([sum(layer.coats for layer in stack) for stack in near])
        price = wishes.per_unevenness * steady + PER_COAT * coats
        mixtures = {
            m: at for at, m in enumerate(dict.fromkeys(layer.mixture for stack in near for layer in stack))
        }
        uses = np.zeros((len(near), len(mixtures)), dtype=np.bool_)
        for row, stack in enumerate(near):
            uses[row, [mixtures[layer.mixture] for layer in stack]] = True
        pool = Pool(
            (misses[likely] + price[:, None]) * self.weights,
            uses,
            np.array([sum(layer.role in (Role.GLAZE, Role.SCUMBLE) for layer in stack) for stack in near]),
            np.array([any(layer.role.is_opaque for layer in stack) for stack in near]),
        )
        choice = choose_stacks(pool, per_mixture=wishes.per_mixture, per_pass=wishes.per_pass)
        return [int(likely[row]) for row in choice.stacks], misses


def _once(stacks: Iterable[Stack]) -> list[Stack]:
    return list(dict.fromkeys(stacks))


def _likely(misses: Floats) -> NDArray[np.bool_]:
    """Stacks that are among the nearest of some area."""
    kept = np.zeros(len(misses), dtype=np.bool_)
    for column in misses.T:
        near = np.argsort(column, kind="stable")[:MOST_OF_AREA]
        kept[near[column[near] <= column[near[0]] + NEAR]] = True
    return kept
