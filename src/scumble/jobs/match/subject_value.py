"""What a subject takes and gives, painted one way and another: the values that commands and pages show."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any

REACHED = 2.0
"""dE00 up to which a colour counts as reached. *Scumble's own.*"""


@dataclass(frozen=True, slots=True)
class Passage:
    """One colour of the subject as one way paints it.

    Parameters
    ----------
    colour : str
        Screen colour.
    difference, interval : float [dE00]
        To the wanted colour, and within what the prediction holds 19 times in 20.
    brightness, chroma : float
        CIELAB L* and C*.
    films : tuple of str
        In words, lowest first.
    tubes : tuple of str
        Short names.
    mixtures : tuple of str
        What must be stirred together, each in a form that is the same for the same mixture.
    coats : int
        To brush, one after the other.
    slips : int
        Things measured or laid of which a tenth more or less shows.
    unevenness, wet_shift : float [dE00]
        A fifth more or less of a film, and the last film from wet to dry.
    paint : float [coat]
        Paint used, medium left out.
    """

    colour: str
    difference: float
    interval: float
    brightness: float
    chroma: float
    films: tuple[str, ...]
    tubes: tuple[str, ...]
    mixtures: tuple[str, ...]
    coats: int
    slips: int
    unevenness: float
    wet_shift: float
    paint: float


@dataclass(frozen=True, slots=True)
class SubjectColour:
    """One colour of the subject, and how each way paints it.

    Parameters
    ----------
    label, name : str
        What it is called, and in plain words.
    colour : str
        Screen colour.
    share : float [1]
        Of the subject.
    ways : dict of str to Passage
        By the ways' names; a way that has no film for it is missing.
    """

    label: str
    name: str
    colour: str
    share: float
    ways: dict[str, Passage]


@dataclass(frozen=True, slots=True)
class Tally:
    """What the whole subject takes and gives by one way.

    Parameters
    ----------
    way : str
        ``cover`` or ``glaze``.
    painted, reached : int
        Colours that it can paint at all, and within :data:`REACHED`.
    difference : float [dE00]
        Mean over the subject, of what it paints; so are the next seven. None where it paints nothing.
    brightness, chroma : float
        CIELAB L* and C*.
    coats : float
        To brush on one place.
    paint : float [coat]
        Used on one place, medium left out.
    unevenness, wet_shift, interval : float [dE00]
        See :class:`Passage`.
    tubes, mixtures : int
        Different ones.
    most_coats : int
        On the place that takes most; one less is the number of waits for drying.
    slips : int
        Corrections to reckon with, over all colours.
    """

    way: str
    painted: int
    reached: int
    difference: float | None
    brightness: float | None
    chroma: float | None
    coats: float | None
    paint: float | None
    unevenness: float | None
    wet_shift: float | None
    interval: float | None
    tubes: int
    mixtures: int
    most_coats: int
    slips: int


@dataclass(frozen=True, slots=True)
class Subject:
    """A subject painted both ways.

    Parameters
    ----------
    source, ground : str
        Where its colours come from, and what it is painted on.
    brightness, chroma : float
        Mean CIELAB L* and C* of what is wanted.
    colours : tuple of SubjectColour
        In the order given.
    tallies : tuple of Tally
        Covering first, as everywhere; no order of merit.
    cautions : tuple of str
        Of every pigment used.
    illustrative : bool
        Whether a tube among them was argued and not measured.
    """

    source: str
    ground: str
    brightness: float
    chroma: float
    colours: tuple[SubjectColour, ...]
    tallies: tuple[Tally, ...]
    cautions: tuple[str, ...]
    illustrative: bool

    def as_data(self) -> dict[str, Any]:
        """Plain data, ready for JSON."""
        return asdict(self)
