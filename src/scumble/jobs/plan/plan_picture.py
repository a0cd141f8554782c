"""Plan a painting from a picture: divide it, plan it in every manner, and hand all that back."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np

from scumble.errors import InputError
from scumble.jobs.files import shelf_path
from scumble.jobs.plan.found import PlanFound
from scumble.jobs.plan.reference import Reference, open_reference
from scumble.jobs.plan.request import PlanRequest, prepare
from scumble.solve.plan.areas import divide_picture
from scumble.solve.plan.painting import Painting
from scumble.solve.plan.wishes import Manner
from scumble.store.shelf import Shelf

Progress = Callable[[str, float], None]

TITLES = {
    Manner.TRANSPARENT: "all transparent",
    Manner.GRISAILLE: "glazed over a grisaille",
    Manner.UNDERPAINTED: "glazed over a coloured underpainting",
    Manner.BLOCKED: "blocked in, glazed where that serves",
    Manner.OPAQUE: "all opaque",
}
"""The manners in words, from the most transparent to the most opaque."""

SHARE_OF_DIVIDING = 0.1
"""Of the whole work [1]."""


def plan_picture(
    request: PlanRequest, reference: Reference, shelf: Shelf, *, progress: Progress | None = None
) -> PlanFound:
    """Plan a painting in every manner.

    Parameters
    ----------
    request : PlanRequest
        How.
    reference : Reference
        The picture.
    shelf : Shelf
        Open.
    progress : callable, optional
        Told what is being done and the share; what it raises stops the work.

    Raises
    ------
    InputError
        If something asked for cannot be used.
    """
    return begin_planning(request, reference, shelf)(progress or (lambda _words, _share: None))


def begin_planning(
    request: PlanRequest, reference: Reference, shelf: Shelf
) -> Callable[[Progress], PlanFound]:
    """Check what is asked for against the shelf, and make the work that answers it.

    Raises
    ------
    InputError
        If something asked for cannot be used.
    """
    paints, facts = shelf.load_paints(), shelf.tubes.load_all()
    if not paints:
        raise InputError("shelf", "no paints", "at least one paint", "Read a sample card first.")
    prepared = prepare(request, shelf, paints, facts)

    def work(tell: Progress) -> PlanFound:
        tell("dividing the picture into areas", 0.0)
        division = divide_picture(reference.labs, request.count, np.random.default_rng(request.seed))
        painting = Painting(
            division.labs,
            division.shares,
            prepared.tubes,
            prepared.ground,
            prepared.wishes,
            face=prepared.face,
        )
        plans = {}
        for number, manner in enumerate(Manner):
            done = SHARE_OF_DIVIDING + (1.0 - SHARE_OF_DIVIDING) * number / len(Manner)
            tell(TITLES[manner], done)

            def within(words: str, share: float, manner: Manner = manner, done: float = done) -> None:
                tell(f"{TITLES[manner]}: {words}", done + share * (1.0 - SHARE_OF_DIVIDING) / len(Manner))

            found = painting.plan(manner, progress=within)
            if found is not None:
                plans[manner] = found
        return PlanFound(request, reference, division, painting.search, plans, facts)

    return work


def plan_from_shelf(
    request: PlanRequest, picture: Path, shelf: Path | None, *, progress: Progress | None = None
) -> PlanFound:
    """Plan a painting with the tubes of a shelf's file.

    Raises
    ------
    InputError, CardError, StoreError
        If something asked for cannot be used, or a file cannot be read.
    """
    from scumble.store.shelf import open_shelf

    reference = open_reference(picture)
    with open_shelf(shelf_path(shelf)) as opened:
        return plan_picture(request, reference, opened, progress=progress)
