"""Boxes that somebody drew over the picture of a chart, and what they say lies in each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np

from scumble.card.photographed import Outline
from scumble.card.sheet.box import Box
from scumble.errors import InputError
from scumble.paint.reading import BARE

PAPER: Final = "white"
"""Name of the ground that is bare paper."""

MOST_BOXES: Final = 200
LEAST_SIDE_PX: Final = 8.0


@dataclass(frozen=True, slots=True)
class MarkedBox:
    """One box, and what its owner says lies in it.

    Parameters
    ----------
    name : str
        Unique on the chart; a bare box goes by the name of its ground.
    corner_px : (float, float) [px]
        Its top left corner in the upright picture.
    size_px : (float, float) [px]
        Width and height.
    film : str
        ``bare``, ``full``, or the name of a stroke of one thickness.
    ground : str
        The bare box that shows what lies under it; of a bare box its own ground.
    paint_parts, white_parts : float
        Parts by volume.
    """

    name: str
    corner_px: tuple[float, float]
    size_px: tuple[float, float]
    film: str = "full"
    ground: str = PAPER
    paint_parts: float = 1.0
    white_parts: float = 0.0

    @property
    def is_bare(self) -> bool:
        """Whether nothing was painted here."""
        return self.film == BARE

    @property
    def is_paper(self) -> bool:
        """Whether it shows bare paper."""
        return self.is_bare and self.ground == PAPER

    @property
    def outline_px(self) -> Outline:
        """Its corners."""
        return Box(*self.corner_px, *self.size_px).corners_mm

    @property
    def middle_px(self) -> tuple[float, float]:
        """Where it lies."""
        return self.corner_px[0] + self.size_px[0] / 2, self.corner_px[1] + self.size_px[1] / 2


def check_boxes(boxes: Sequence[MarkedBox], size_px: tuple[int, int]) -> None:
    """Refuse boxes that do not make a chart, in words.

    Raises
    ------
    InputError
        Naming the box.
    """
    if len(boxes) > MOST_BOXES:
        raise InputError("boxes", len(boxes), f"at most {MOST_BOXES}")
    if not any(box.is_paper for box in boxes):
        raise InputError("boxes", "no bare paper", "at least one box on bare paper", "It sets the white.")
    if all(box.is_bare for box in boxes):
        raise InputError("boxes", "nothing painted", "at least one box on paint")
    names = [box.name for box in boxes]
    grounds = {box.ground for box in boxes if box.is_bare}
    for box in boxes:
        if names.count(box.name) > 1:
            raise InputError(f"box {box.name}", "two of that name", "a name of its own for every box")
        if box.ground not in grounds:
            hint = f"Draw a box on the bare {box.ground}, or choose another ground."
            raise InputError(
                f"box {box.name}", f"over {box.ground}", "over a ground that is marked bare", hint
            )
        _check_place(box, size_px)


def _check_place(box: MarkedBox, size_px: tuple[int, int]) -> None:
    if min(box.size_px) < LEAST_SIDE_PX:
        given = f"{box.size_px[0]:.0f} by {box.size_px[1]:.0f} points"
        raise InputError(f"box {box.name}", given, f"sides of at least {LEAST_SIDE_PX:.0f} points")
    ends = np.add(box.corner_px, box.size_px)
    if min(box.corner_px) < 0 or np.any(ends > size_px):
        raise InputError(f"box {box.name}", "partly outside", "inside the picture")
