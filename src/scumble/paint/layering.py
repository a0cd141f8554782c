"""A ground and the films on it."""

from __future__ import annotations

from dataclasses import dataclass

from scumble.errors import InputError
from scumble.optics.face import Face
from scumble.paint.film import Film
from scumble.paint.ground import Ground

MOST_FILMS = 40


@dataclass(frozen=True, slots=True)
class Layering:
    """A ground and the films on it, the first film lowest.

    Parameters
    ----------
    ground : Ground
        What lies at the bottom.
    films : tuple of Film
        From the ground up; may be empty.
    face : Face
        State of the topmost face.
    wet : bool
        Whether the topmost film is still wet.
    """

    ground: Ground
    films: tuple[Film, ...] = ()
    face: Face = Face.GLOSS
    wet: bool = False

    def __post_init__(self) -> None:
        if len(self.films) > MOST_FILMS:
            raise InputError("films", len(self.films), f"at most {MOST_FILMS} films")

    @property
    def index(self) -> float:
        """Refractive index of the topmost film's binder; all films are taken to match it [1]."""
        return self.films[-1].binder.refractive_index if self.films else 1.5
