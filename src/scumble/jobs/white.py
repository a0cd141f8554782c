"""Which white a paint is tinted with."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Protocol, TypeVar

from scumble.paint import Binder, Provenance


class Bound(Protocol):
    """Anything that has a binder."""

    @property
    def binder(self) -> Binder:
        """What holds the pigment."""


class Labelled(Bound, Protocol):
    """What a tube says of itself, with or without its optics."""

    @property
    def pigments(self) -> tuple[str, ...]:
        """Colour Index names."""

    @property
    def provenance(self) -> Provenance:
        """Where its optics come from."""


Tube = TypeVar("Tube", bound=Labelled)


def white_for(paint: Bound, shelf: Iterable[Tube]) -> Tube | None:
    """The white a paint is tinted with: of its binder, measured before illustrative, plain titanium white first.

    Parameters
    ----------
    paint : anything with a binder
        The tube.
    shelf : iterable of Paint or of Entry
        What else there is; among equals the first is taken.
    """
    whites = [other for other in shelf if is_white(other) and other.binder is paint.binder]
    return min(
        whites,
        key=lambda white: (white.provenance is Provenance.ILLUSTRATIVE, white.pigments != ("PW6",)),
        default=None,
    )


def is_white(paint: Labelled) -> bool:
    """Whether a tube holds nothing but white pigments, by their Colour Index names."""
    return bool(paint.pigments) and all(name.upper().startswith("PW") for name in paint.pigments)
