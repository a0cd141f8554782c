"""What a target asks of the card, or the chart of somebody's own, that it lies beside."""

from __future__ import annotations

from typing import Protocol

import numpy as np
from numpy.typing import ArrayLike, NDArray

from scumble.card.find.lens import Lens
from scumble.card.light.sampling import Sample
from scumble.card.photographed import Fault

Floats = NDArray[np.float64]


class Laid(Protocol):
    """What lies in an area of a printed card, or in a box of somebody's own chart."""

    @property
    def name(self) -> str:
        """Of the area."""

    @property
    def film(self) -> str:
        """The stroke."""

    @property
    def ground(self) -> str:
        """Name of the bare area that shows what lies under it."""

    @property
    def paint_parts(self) -> float:
        """Parts of paint."""

    @property
    def white_parts(self) -> float:
        """Parts of white to them."""

    @property
    def is_bare(self) -> bool:
        """Whether nothing was painted there."""


class Place(Protocol):
    """Where a card or a chart lies in the picture, as far as a target beside it asks."""

    @property
    def lens(self) -> Lens:
        """Of the picture."""

    @property
    def block_px(self) -> Floats:
        """Corners within which no target lies, shape (4, 2)."""

    def to_mm(self, points_px: ArrayLike, /) -> Floats:
        """From picture to paper, shape (..., 2)."""


class PaperLight(Protocol):
    """Light on the bare paper, as far as a target beside it asks."""

    @property
    def middle_mm(self) -> Floats:
        """Middle of the paper."""

    @property
    def places_mm(self) -> Floats:
        """Where paper was seen, shape (n, 2)."""

    @property
    def residual(self) -> float:
        """Relative error of the light at a place that was not seen."""

    def paper_at(self, places_mm: ArrayLike, /) -> Floats:
        """Linear channels of bare paper, shape (..., 3)."""


class Seen(Protocol):
    """What was seen of an area, against the paper."""

    @property
    def area(self) -> Laid:
        """What lies there."""

    @property
    def sample(self) -> Sample:
        """What the picture shows of it."""

    @property
    def centre(self) -> Floats:
        """Its mean light, shape (3,)."""

    @property
    def faults(self) -> tuple[Fault, ...]:
        """What is wrong with it by itself."""
